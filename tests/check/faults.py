"""Planted faults: each a different way to be wrong, put into a right patch, and what must be found for it.

Comes in: nothing.  Goes out: `FAULTS`, one row a kind; `table()` is the page `faults.md`.
"""

from __future__ import annotations

from . import faults_carried, faults_of_lines, faults_riding, faults_ruled
from .faults_of_rules import RULED
from .planting import FAULTS, Fault

__all__ = ["FAULTS", "RULED", "Fault", "table"]

_ENTERED = (faults_carried, faults_riding, faults_ruled, faults_of_lines)
"""The modules that enter kinds, in the order of the page."""


def table() -> str:
    """Return the page of all kinds, as Markdown."""
    rows = [
        "# Kinds of faults that are planted and found",
        "",
        "Each kind is put into a right patch (`bases.py`), and exactly the checks named speak: `verify` first, then what only "
        "rules can see, of which `verify` says nothing. Made from `faults.py`.",
        "",
        "| | kind | base | found as |",
        "|---|---|---|---|",
    ]
    rows += [
        f"| {number} | {row.kind} | {row.base} | {', '.join(f'`{name}`' for name in row.found)} |"
        for number, row in enumerate((*FAULTS, *RULED), 1)
    ]
    return "\n".join(rows) + "\n"
