"""Two short names on one desk that are equal once cut to what the desk can show.

What it says: in one list, two signals (or two legs) whose labels are the same after truncation.
Why: KEYS L and KEYS R both become KEYS at four characters, and somebody opens the wrong one (common practice, no
source).  Legs count as different where the leg's name still fits.
When it is no fault: the same signal twice in one list, on purpose.
"""

from __future__ import annotations

from collections.abc import Iterator

from patchloom.address import parse
from patchloom.check.catalogue import ENTRY
from patchloom.finding import Finding
from patchloom.model.patch import Patch
from patchloom.model.period import in_period
from patchloom.model.rig import Rig
from patchloom.model.show import List, Show, Want

__all__ = ["labels_collide"]

_NAME = "labels-collide"
_ABSENT = 12
"""Characters of a label where neither the position nor the bank says."""


def labels_collide(rig: Rig, show: Show, patch: Patch) -> Iterator[Finding]:
    """Yield a finding for each label that two signals of one list would share."""
    entry = ENTRY[_NAME]
    for setting in patch.settings:
        here, tonight = in_period(rig, show, setting.period)
        for item in tonight.lists:
            length = _length(here, tonight, item)
            labels: dict[str, list[str]] = {}
            for want in item.wants:
                for leg, label in _labels(tonight, want, length) if want is not None else ():
                    legs = labels.setdefault(label.casefold(), [])
                    if leg not in legs:
                        legs.append(leg)
            for label, legs in labels.items():
                if len(legs) > 1:
                    yield Finding(
                        _NAME,
                        entry.severity,
                        f"{item.id} shows {', '.join(legs)} all as {label!r}, cut to {length} characters.",
                        (item.id, *legs),
                        (("characters", length), ("equal", len(legs))),
                        entry.todo,
                        setting.period,
                    )


def _length(rig: Rig, show: Show, item: List) -> int:
    own = show.position(item.position).label_length
    if own is not None:
        return own
    span = parse(item.at)
    kind = rig.type_of(span.device).banks.get(span.bank or "") if span.device in rig.devices else None
    return kind.label_length if kind is not None and kind.label_length else _ABSENT


def _labels(show: Show, want: Want, length: int) -> Iterator[tuple[str, str]]:
    """Yield (leg, label) for the legs of a want; a leg's name is kept at the end when it fits."""
    signal = show.signals().get(want.signal)
    if signal is None:
        return
    stem = want.name or signal.short or signal.name or signal.id
    legs = [want.leg] if want.leg else [""] if want.fold or not signal.legs else list(signal.legs)
    for leg in legs:
        name = f"{signal.id}.{leg}" if leg else signal.id
        tail = f" {leg}" if leg else ""
        room = length - len(tail)
        yield name, (stem[:room].rstrip() + tail) if room > 0 else stem[:length]
