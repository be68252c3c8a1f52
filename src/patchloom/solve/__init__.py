"""Rig and show in, patch out: one module per question.

Comes in: a rig and a show.  Goes out: a `Patch` (not yet doubted: the pipeline hands it to the judge), or
`Impossible` with a proof, or `Undecided`.  Next: `check/`.

- `fabric`: the rig as segments and the ways between them.
- `slot`: where each want must land.
- `place`: which socket each source takes, which slot each mix is made on.
- `route`: how each signal gets there, sharing one copy and one block wherever it can.
- `clock`, `owner`, `gain`: the clock tree, the owner of each preamp, gain, trims and phantom.
- `bounds`: counting proofs that no patch exists; `graph`: flows and matchings for them.
- `emit`: the state of the search as a `Patch`.
"""

from __future__ import annotations

from patchloom.solve.answer import solve

__all__ = ["solve"]
