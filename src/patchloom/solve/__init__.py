"""Rig and show in, patch out: one module per question.

Comes in: a rig and a show.  Goes out: a `Patch` (not yet doubted: the pipeline hands it to the judge), or
`Impossible` with a proof, or `Undecided`.  Next: `check/`.

In the order a reader meets them:

- `answer` goes through the periods and the questions; `unhonoured` names what the search leaves aside.
- `case` is one period made ready: `ready` binds what is fixed and reserves what is asked for exactly; `spare` makes lines
  of the declared spares.
- `riders` and `bundle` carry whole bundles of legs where every choice is slot by slot; `ride` repeats one way.
- `fabric` is the rig as segments and the ways between them; `cutting` makes it.
- `slot` says where each want must land; `unit` what has to be placed.
- `path` holds the words of the search (goals, legs, steps, prices); `state` what a try has taken; `search` finds one
  way; `route` finds ways and takes them.
- `attempt` places and routes unit by unit; `ripup` lets a unit take a way from others; `place` tries again in other orders.
- `complete`: whether there is a patch at all, by one programme in whole numbers: `crowd` counts legs that are alike, `grain`
  and `lattice` say where they can be, `flows` and `programme` make columns and rows, `highs` is the only door to the
  library that solves them, `blueprint` reads the answer.
- `clock`, `owner`, `gain` and `copper`: the clock tree, the owner of each preamp, gain, trims and phantom;
  `controls` asks them all; `notes` says what a reader should know.
- `reach`, `bounds` and `cuts`: counting proofs that no patch exists; `graph`: the flow behind them.
- `replay` puts an answer before back as it was; `change` adds what is new and moves as little as it can; `exhaust` looks at
  every way of a small change.
- `wishes` carries wishes where a way is left; `better` asks for more of them, with `pack` (a model of who shares blocks)
  and `tight` (the exact programme); `measure`, `blocks`, `cover` and `upstream` say how far they are met and what no
  patch can beat.
- `rules`: routing rules as segments a leg may not enter; `abide` carries legs by them; `overruled` and `seats` prove that
  they leave nothing.
- `inserts`: a declared insert as a fixed choice and a socket kept free.
- `emit`: the state of the search as a `Patch`.
- `exact`, with `exact_slots` and `exact_wants`: tiny rigs by trying everything, to hold the search against; not part of a solve.
- `explain`: why there is no patch, down to the facts that cannot be left out, and ways out: `explain_atoms` (what could
  be otherwise), `explain_shrink` (what of it is in conflict), `explain_words`, `explain_ways` (what would help) with
  `explain_offers`, `explain_cables` and `explain_cost`; `explain_oracle` asks the solver, again and again.
"""

from __future__ import annotations

from patchloom.solve.answer import solve

__all__ = ["solve"]
