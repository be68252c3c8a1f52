"""Rig and show in, patch out: one module per question.

Comes in: a rig and a show.  Goes out: a `Patch` (not yet doubted: the pipeline hands it to the judge), or
`Impossible` with a proof, or `Undecided`.  Next: `check/`.

In the order a reader meets them:

- `answer` goes through the acts and the questions; `acting` finds plugs for an act and its scenes; `unhonoured` names what
  the search leaves aside.
- `case` is one period made ready: `ready` binds what is fixed and reserves what is asked for exactly; `spare` makes lines
  of the declared spares.
- `fabric` is the rig as segments and the ways between them; `cutting` makes it.
- `slot` says where each want must land; `unit` what has to be placed; `inserts`: a declared insert as a fixed choice and a
  socket kept free.
- `bundles/` carries whole bundles of legs at once, where every choice is slot by slot.
- `path` holds the words of the search (goals, legs, steps, prices); `state` what a try has taken, `pools` of shared limits;
  `search` finds one way; `route` finds ways and takes them.
- `attempt` places and routes unit by unit (`options`: what it chooses among); `ripup` lets a unit take a way from others;
  `place` tries again in other orders.
- `counting/` proves by counting that there is no patch; `whole/` finds or disproves one by one programme in whole numbers.
- `changes/` follows an answer before it, moving as little as it can; `wishes/` asks for more and says how far it got;
  `ruled/` keeps routing rules.
- `clock`, `owner`, `gain` and `copper`: the clock tree, the owner of each preamp, gain, trims and phantom;
  `controls` asks them all; `notes` says what a reader should know.
- `straight` counts a leg at the slot it was asked for where a block drags it there; `emit`: the state of the search as a `Patch`.
- `explain/`: why there is no patch, and ways out.  `exact/`: tiny rigs by trying everything; not part of a solve.
"""

from __future__ import annotations

from patchloom.solve.answer import solve

__all__ = ["solve"]
