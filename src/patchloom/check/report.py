"""Findings in the making: one item per root cause, with what it takes down folded under it.

Comes in: what the checks of `verify` notice.  Goes out: frozen `Finding`s.  Next: `verify` sorts them.
"""

from __future__ import annotations

from collections.abc import Hashable
from typing import Any

from patchloom.check.catalogue import ENTRY
from patchloom.finding import Finding

__all__ = ["Item", "Report"]

_SHOWN = 6
"""How many of the things behind a root cause a message names; the number always counts all."""


class Item:
    """One root cause; `behind` collects what is lost with it, in the order noticed."""

    __slots__ = ("behind", "idle", "message", "numbers", "rule", "todo", "where")

    def __init__(self, rule: str, message: str, where: tuple[str, ...], numbers: tuple[tuple[str, Any], ...], todo: str) -> None:
        self.rule = rule
        self.message = message
        self.where = where
        self.numbers = numbers
        self.todo = todo
        self.behind: dict[str, None] = {}
        self.idle: bool | None = None
        """Whether it was only met in looking around: it counts once something is behind it."""

    def finding(self, period: str) -> Finding:
        """Return the frozen finding."""
        entry = ENTRY[self.rule]
        message, numbers, where = self.message, self.numbers, tuple(dict.fromkeys(self.where))
        if self.behind:
            names = list(self.behind)
            more = f" and {len(names) - _SHOWN} more" if len(names) > _SHOWN else ""
            message += f" Behind it: {', '.join(names[:_SHOWN])}{more}."
            numbers += (("behind it", len(names)),)
            where += tuple(name for name in names if name not in where)
        return Finding(self.rule, entry.severity, message, where, numbers, self.todo or entry.todo, period)


class Report:
    """What is found in one period."""

    def __init__(self, period: str = "") -> None:
        self.period = period
        self._items: dict[Hashable, Item] = {}

    def add(
        self,
        rule: str,
        message: str,
        *where: object,
        numbers: tuple[tuple[str, Any], ...] = (),
        todo: str = "",
        key: Hashable = None,
    ) -> Item:
        """Return the item noted; a second one under the same rule and key is the first one again.

        What is empty, such as the owner of what nobody owns, is no place.
        """
        places = tuple(text for place in where if (text := str(place)))
        name = (rule, places if key is None else key)
        found = self._items.get(name)
        if found is None:
            found = self._items[name] = Item(rule, message, places, numbers, todo)
        return found

    def get(self, rule: str, key: Hashable) -> Item | None:
        """Return the item of a rule and key, None when there is none."""
        return self._items.get((rule, key))

    def items(self) -> list[Item]:
        """Return the items so far, in the order noticed."""
        return list(self._items.values())

    def findings(self) -> list[Finding]:
        """Return what was found, frozen."""
        return [item.finding(self.period) for item in self._items.values() if item.behind or not item.idle]
