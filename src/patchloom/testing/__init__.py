"""For tests, ours and yours: planted rigs and shows, strategies for them, one-call conformance checks.

- `generate`: rigs and shows that can be patched, from a seed, with the hidden patch that proves it
  (`plan` the skeleton, `sources` signals on sockets, `carry` how they get there, `lists` what is asked for, `parts` the
  rig, `show` the show, `settle` the hidden patch, `flow` the walker that doubts it);
- `trial`: solves many of them and says how long it took;
- `strategies`: the same for Hypothesis;
- `conformance`: `check_paper`, `check_renderer`, `check_rule`, `check_importer` for plugins.

Nothing of the core imports this package; it is the only one that may import hypothesis.
"""

from __future__ import annotations
