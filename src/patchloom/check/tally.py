"""What a rule has to say in the end: findings once, absent fields once each, or that there was nothing to look at.

Comes in: what a rule notices as it goes from period to period.  Goes out: findings.  Next: the rules of `rules/`.

What holds in every period is said once, for the whole show; what a scene has in common with its act is said of the act.
A field that is absent is named once, with everything it is missing for.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

import attrs

from patchloom.check.speak import found, nothing, some, unchecked
from patchloom.finding import Finding
from patchloom.model.patch import Patch
from patchloom.model.show import Show

__all__ = ["Tally"]


class Tally:
    """What one rule has met so far."""

    def __init__(self, rule: str, show: Show, patch: Patch) -> None:
        self.rule = rule
        self.seen = 0
        """How many things were looked at; nought at the end means there was nothing to look at."""
        self._periods = tuple(setting.period for setting in patch.settings)
        self._known = {"", *self._periods}
        self._act_of = {row.id: row.scene_of for row in show.periods if row.scene_of}
        self._found: dict[Finding, list[str]] = {}
        self._lacking: dict[str, tuple[str, dict[str, None]]] = {}

    def found(
        self,
        period: str,
        message: str,
        *where: object,
        numbers: Iterable[tuple[str, Any]] = (),
        severity: str = "",
        todo: str = "",
    ) -> None:
        """Note what is wrong in a period (empty: whatever the period); words as in `speak.found`."""
        if period not in self._known:
            raise ValueError(f"{self.rule} speaks of period {period!r}, and the patch has none of that name")
        row = found(self.rule, message, *where, numbers=numbers, severity=severity, todo=todo)
        self._found.setdefault(row, []).append(period)

    def lacks(self, field: str, because: str, *where: object) -> None:
        """Note that a field is absent for something; `because` ends the sentence "Not checked, because"."""
        _, places = self._lacking.setdefault(field, (because, {}))
        places.update((str(place), None) for place in where)

    def told(self, otherwise: str) -> Iterator[Finding]:
        """Yield everything noted; `otherwise` says why there was nothing to look at."""
        if not self.seen and not self._found and not self._lacking:
            yield nothing(self.rule, otherwise)
            return
        for row, periods in self._found.items():
            for period in self._few(periods):
                yield attrs.evolve(row, period=period)
        for field, (because, places) in self._lacking.items():
            row = unchecked(self.rule, because, field, where=places)
            yield attrs.evolve(row, numbers=(*row.numbers, ("not checked", len(places)), ("things seen", self.seen)))

    def when(self, periods: list[str]) -> str:
        """Return ` in act1, act3` for some periods, a scene left out beside its act; empty for all of them."""
        few = [period for period in self._few(periods) if period]
        return f" in {some(few)}" if few else ""

    def _few(self, periods: list[str]) -> Iterable[str]:
        if len(self._periods) == len(set(periods)):
            return ("",)
        return [period for period in dict.fromkeys(periods) if self._act_of.get(period) not in periods]
