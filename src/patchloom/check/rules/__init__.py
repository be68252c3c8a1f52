"""Rules beyond what verify holds: one file each, found by the entry-point group `patchloom.rules`.

Comes in: a rig, a show, a patch.  Goes out: findings.  Next: `check.check` runs them.

A file holds one function of the same name; its docstring is its page of the reference: what it says, why, when it is
no fault, what data it needs, what to do, source.  Name, severity, one line and next step stand in `check/entries`;
cases that pass and fail in `tests/rules/cases`.
"""

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module
from typing import Any

from patchloom.check.catalogue import ENTRIES

__all__ = ["RULES"]


def _function(name: str) -> Callable[..., Any]:
    word = name.replace("-", "_")
    found: Callable[..., Any] = getattr(import_module(f"{__name__}.{word}"), word)
    return found


RULES = tuple((entry.name, _function(entry.name)) for entry in ENTRIES if entry.issuer == "rule")
"""The shipped rules as (name, function), in the order of the catalogue."""
