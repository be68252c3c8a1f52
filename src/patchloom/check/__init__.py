"""An answer is doubted here: what contradicts the rig or the show, and what the rules say beyond that.

Comes in: a rig, a show, a patch.  Goes out: sorted findings.  Next: `pages`, `cli`.
Nothing here is shared with `solve`: one makes an answer, the other recomputes everything from scratch.

- `verify`: the judge; one file per question: `ground` (the rig as documented), `fitting` (which rows a choice
  fits), `side` (the inputs of one bank), `feeders` (who feeds each slot), `signals` (what each slot carries),
  `places` (plugs and mixes), `inserts`, `wants`, `destinations`, `routes`, `routing` (rules of the user's own), `limits`,
  `clock`, `control`, `gain`, `phantom`, `spares`.
- `report`: findings in the making, folded under their root.
- `catalogue`: every check by name, severity, one line, and what to do.
- `look`: what every rule reads: a patch period by period, four graphs over the same cables, worked out once.
- `rules/`: one rule a file, `speak` and `tally` how it says what it has to say, `entries` its line in the catalogue; `own`:
  a rule of somebody's own, under a decorator.
- `cables`, `talk`: how long cables must be and what the store has; who is heard in a mix, for the rules that ask.
- `check`: runs the rules, folds what follows from `verify` under its root (`folding`), and applies waivers.
- `trade`: sixty things a careful engineer checks, and who issues each; `pages/`: the page of each that no rule covers;
  `explain`: all a check or an entry says about itself; `shown` and `edits`: cases, read from files; `judging`: what is said of
  one, by whomever it asks.
- `proof`: the data of a proof page, `capacity` how full everything is, `applies` what verify had nothing to look at.

A rule is a function `(rig, show, patch) -> iterable of findings`; it must not change what it is given.
"""

from __future__ import annotations

from patchloom.check.check import check

__all__ = ["check"]
