"""Why there is no patch, in the user's words, and what would help.

Comes in: rig and show, the first proof.  Goes out: an irreducible set of facts and ways out that were solved again.
Next: the pipeline puts them into `Impossible`.

- `why` goes through it; `atoms`: what could be otherwise; `shrink`: what of it is in conflict; `words`: how it is said.
- `ways`: what would help, with `offers` and `cables`; `cost` ranks them; `oracle` asks the solver, again and again.
"""
