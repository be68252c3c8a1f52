"""From one rig and one show to a verified patch and everyone's papers.

Comes in: a *rig* (what the house or truck has) and a *show* (what tonight needs), as JSON documents or
built in Python.  Goes out: a *patch* (every plug, selection, clock, owner and gain, proved from scratch)
and *papers* for every position in its own order.

The packages, in the order work flows through them:

- `document` turns text into checked plain data, `library` holds generic types and open-standard formats;
- `model` turns plain data into frozen objects: `Rig`, `Show`, `Patch`;
- `solve` answers a show over a rig; `check` judges the answer and shares no code with `solve`;
- `pages`, `drawing` and `show_day` turn answers into papers and into answers to show-day questions;
- `plugins` finds papers, renderers, rules and importers, ours and strangers' alike;
- `pipeline` shows it all in a row, and `cli` is the command line over it.

The public names below are loaded on first use, so that `import patchloom` stays quick.
"""

from __future__ import annotations

import sys
from types import ModuleType

TYPE_CHECKING = False  # importing typing alone would cost more than all the rest of this module
if TYPE_CHECKING:
    from typing import Any

    from patchloom.check.look import looks
    from patchloom.check.own import rule
    from patchloom.errors import AddressError, DocumentError, Impossible, PatchloomError, PluginError, Undecided
    from patchloom.finding import Complaint, Fact, Finding
    from patchloom.model.patch import Patch
    from patchloom.model.rig import Rig
    from patchloom.model.routing import routing_rule
    from patchloom.model.show import Show
    from patchloom.pipeline import (
        book,
        check,
        digest,
        read_patch,
        read_rig,
        read_show,
        render,
        solve,
        trace,
        verify,
        write,
    )

__version__ = "0.1.0"

__all__ = [
    "AddressError",
    "Complaint",
    "DocumentError",
    "Fact",
    "Finding",
    "Impossible",
    "Patch",
    "PatchloomError",
    "PluginError",
    "Rig",
    "Show",
    "Undecided",
    "book",
    "check",
    "digest",
    "looks",
    "read_patch",
    "read_rig",
    "read_show",
    "render",
    "routing_rule",
    "rule",
    "solve",
    "trace",
    "verify",
    "write",
]

_HOME = {
    "patchloom.check.look": ("looks",),
    "patchloom.check.own": ("rule",),
    "patchloom.errors": ("AddressError", "DocumentError", "Impossible", "PatchloomError", "PluginError", "Undecided"),
    "patchloom.finding": ("Complaint", "Fact", "Finding"),
    "patchloom.model.patch": ("Patch",),
    "patchloom.model.rig": ("Rig",),
    "patchloom.model.routing": ("routing_rule",),
    "patchloom.model.show": ("Show",),
}


class _Package(ModuleType):
    """This package's own class: `patchloom.solve` stays the function although a package has that name too."""

    def __setattr__(self, name: str, value: Any) -> None:
        if name in __all__ and isinstance(value, ModuleType):
            return  # importing patchloom.solve or patchloom.check would hide the public function
        super().__setattr__(name, value)


sys.modules[__name__].__class__ = _Package


def __getattr__(name: str) -> Any:
    """Return a public name, importing its home on first use (PEP 562)."""
    if name not in __all__:
        raise AttributeError(f"module 'patchloom' has no attribute {name!r}")
    from importlib import import_module

    home = next((module for module, names in _HOME.items() if name in names), "patchloom.pipeline")
    value = getattr(import_module(home), name)
    globals()[name] = value
    return value


def __dir__() -> list[str]:
    return sorted({*__all__, *globals()})
