"""For tests, ours and yours: planted rigs and shows, strategies for them, one-call conformance checks.

Comes in: a seed, or a plugin.  Goes out: a rig and a show that can be patched; or nothing, or what breaks a contract.
Next: tests.

- `generate`: rigs and shows that can be patched, from a seed, with the hidden patch that proves it
  (`plan` the skeleton, `sources` signals on sockets, `carry` how they get there, `lists` what is asked for, `parts` the
  rig, `show` the show, `settle` the hidden patch, `flow` the walker that doubts it);
- `trial`: solves many of them and says how long it took;
- `strategies`: the same for Hypothesis, and the one module that needs it;
- `conformance`: `check_paper`, `check_renderer`, `check_rule`, `check_importer` for plugins
  (`cases` what they are tried on, `known` what there is to speak of, `watch` what they do beside answering).

- `folder`: `run_cases` and `case_test`, cases of rules as a folder of JSON files.

Nothing of the core imports this package.  The names below are loaded when they are first asked for.
"""

from __future__ import annotations

import importlib
from typing import Any

__all__ = [
    "FEATURES",
    "Breach",
    "Planted",
    "case_test",
    "check_importer",
    "check_paper",
    "check_renderer",
    "check_rule",
    "planted",
    "run_cases",
]

_HOMES = {
    "FEATURES": "generate",
    "Planted": "generate",
    "case_test": "folder",
    "planted": "strategies",
    "run_cases": "folder",
}


def __getattr__(name: str) -> Any:
    if name not in __all__:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(importlib.import_module(f"{__name__}.{_HOMES.get(name, 'conformance')}"), name)
