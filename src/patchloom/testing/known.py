"""What there is in a rig and a show, for checking that nobody speaks of anything else.

Comes in: a rig, a show.  Goes out: `Known`, which answers whether an id or an address exists.  Next: `conformance`.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from patchloom.address import Span, parse
from patchloom.errors import AddressError
from patchloom.model.base import at_rate
from patchloom.model.period import period_ids
from patchloom.model.rig import Rig
from patchloom.model.show import Show

__all__ = ["Known"]

_ADDRESS = re.compile(r"\b[A-Za-z][A-Za-z0-9_-]*(?:\.[A-Za-z][A-Za-z0-9_-]*){1,2}\[[0-9]+(?:-[0-9]+)?\]")


class Known:
    """Every id and address of a rig and a show."""

    def __init__(self, rig: Rig, show: Show) -> None:
        self.rig = rig
        self.periods = frozenset(period_ids(show))
        self.positions = frozenset(
            [*show.positions, *(row.position for row in show.lists), *(row.mixed_at for row in show.feeds)]
        )
        legs = [leg for signal in show.signals().values() for leg in signal.leg_ids()]
        lists = [key for row in show.lists for key in (row.id, row.position) if key]
        self.ids = frozenset(
            [
                *rig.devices,
                *rig.types,
                *rig.domains,
                *rig.formats,
                *(link.id for link in rig.links),
                *show.signals(),
                *legs,
                *lists,
                *self.positions,
                *self.periods,
                *(row.id for row in show.groups),
            ]
        )

    def has(self, text: str) -> bool:
        """Return whether a text is an id, or the address of something that is there; words with a space are let pass."""
        if text in self.ids or " " in text or not text:
            return True
        try:
            return self._there(parse(text))
        except AddressError:
            return False

    def strays(self, text: str) -> Iterator[str]:
        """Yield the numbered addresses in a text, by their look, whose device is there and whose slot is not."""
        for found in dict.fromkeys(_ADDRESS.findall(text)):
            try:
                span = parse(found)
            except AddressError:
                continue
            if span.device in self.rig.devices and not self._there(span):
                yield found

    def _there(self, span: Span) -> bool:
        if span.device not in self.rig.devices:
            return False
        kind = self.rig.type_of(span.device)
        if span.bank is None or span.bank in kind.ports:
            return True
        port, _, side = span.bank.partition(".")
        if span.bank not in kind.banks:
            return port in kind.ports and side in ("in", "out")
        size = at_rate(kind.banks[span.bank].slots, self.rig.domain_of(span.device, kind.banks[span.bank].clock).hertz)  # type: ignore[arg-type]
        return span.last is None or span.last <= (size or 0)
