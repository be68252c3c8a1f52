"""For tests, ours and yours: drawn rigs, shows, answers and faults, and one call that says whether a plugin is right.

Comes in: a seed, a strategy, or a plugin.  Goes out: a rig and a show that can be patched; or nothing, or what breaks a
contract; or the smallest case that shows it, on disk.  Next: tests.

Drawn by Hypothesis, and shrunk to what a person can read (extra `testing`):

- `strategies`: `rigs`, `shows`, `pairs`, `solved`, `infeasible`, `broken`, `types`
  (`kit` the types, `joining` the rig, `lead` signals through any rig, `asking` the show, `short` what makes it impossible,
  `faults` what makes a patch wrong, `last` what was drawn last, `health` what drawing costs).

Out of a seed, large and odd:

- `generate`: rigs and shows that can be patched, with the hidden patch that proves it
  (`plan` the skeleton, `sources` signals on sockets, `carry` how they get there, `lists` what is asked for, `parts` the
  rig, `show` the show, `settle` the hidden patch, `flow` the walker that doubts it); `tight` hard ones;
- `trial`: solves many of them and says how long it took.

- `counterexample`: `find_counterexample`, and how a case is left on disk; `pytest_plugin` does so for tests that fail.

Checks of plugins:

- `conformance`: `check_paper`, `check_renderer`, `check_rule`, `check_importer`
  (`cases` what they are tried on, `known` what there is to speak of, `watch` what they do beside answering);
- `folder`: `run_cases` and `case_test`, cases of rules as a folder of JSON files.

Nothing of the core imports this package.  The names below are loaded when they are first asked for.
"""

from __future__ import annotations

import importlib
from typing import Any

__all__ = [
    "FEATURES",
    "Breach",
    "Broken",
    "Infeasible",
    "Pair",
    "Planted",
    "Solved",
    "broken",
    "case_test",
    "check_importer",
    "check_paper",
    "check_renderer",
    "check_rule",
    "check_types",
    "find_counterexample",
    "infeasible",
    "pairs",
    "planted",
    "rigs",
    "run_cases",
    "shows",
    "solved",
    "types",
]

_HOMES = {
    "FEATURES": "generate",
    "Planted": "generate",
    **dict.fromkeys(("Broken", "Infeasible", "Pair", "Solved"), "last"),
    **dict.fromkeys(("case_test", "run_cases"), "folder"),
    "find_counterexample": "counterexample",
    **dict.fromkeys(("broken", "infeasible", "pairs", "planted", "rigs", "shows", "solved", "types"), "strategies"),
}


def __getattr__(name: str) -> Any:
    if name not in __all__:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(importlib.import_module(f"{__name__}.{_HOMES.get(name, 'conformance')}"), name)
