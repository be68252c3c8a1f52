"""Planted faults: each a different way to be wrong, put into a right patch, and what must be found for it.

Comes in: nothing.  Goes out: `FAULTS`, one row a kind; `table()` is the page `faults.md`.
"""

from __future__ import annotations

from . import faults_carried, faults_riding, faults_ruled
from .planting import FAULTS, Fault

__all__ = ["FAULTS", "Fault", "table"]

_ENTERED = (faults_carried, faults_riding, faults_ruled)
"""The modules that enter kinds, in the order of the page."""


def table() -> str:
    """Return the page of all kinds, as Markdown."""
    rows = [
        "# Kinds of faults that are planted and found",
        "",
        "Each kind is put into a right patch (`bases.py`), and exactly the checks named speak. Made from `faults.py`.",
        "",
        "| | kind | base | found as |",
        "|---|---|---|---|",
    ]
    rows += [
        f"| {number} | {row.kind} | {row.base} | {', '.join(f'`{name}`' for name in row.found)} |"
        for number, row in enumerate(FAULTS, 1)
    ]
    return "\n".join(rows) + "\n"
