"""What to set on each desk, in the order that does least harm, derived from the patch.

Comes in: rig, show, patch, findings.  Goes out: one page per desk and act, and one for the devices nobody
sits at.  Next: any renderer.

Only steps that exist are printed, numbers included.  The order (common practice, no source): ends muted,
power, rate, clock, links, addresses, claims, blocks and channels, labels, phantom, gains and trims, taps,
outputs, inserts, talkback, recall, saving, proof.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

import attrs

from patchloom.pages import Page, StepGroup, View, cautions, list_id, merged, translated, views
from patchloom_settings_checklist import gain, input_side, output_side, start
from patchloom_settings_checklist.seat import Seat

__all__ = ["pages"]

_ORDER = (
    start.ends,
    start.power,
    start.rate,
    start.clock,
    start.links,
    start.addresses,
    start.claims,
    input_side.blocks,
    input_side.slots,
    input_side.labels,
    gain.phantom,
    gain.gains,
    gain.trims,
    output_side.taps,
    output_side.outputs,
    output_side.inserts,
    output_side.talk,
    output_side.recall,
    output_side.save,
    output_side.proof,
)


def pages(
    rig: Any, show: Any, patch: Any, findings: Iterable[Any], *, options: Mapping[str, Any] | None = None
) -> Iterator[Page]:
    """Yield the checklists, desks in the order of their positions, the devices nobody sits at last."""
    seen = list(views(rig, show, patch, options))
    if seen:
        yield from translated(_pages(seen), seen[0].say)


def _pages(seen: list[View]) -> Iterator[Page]:
    desks = dict.fromkeys(desk for view in seen for key in view.positions() if (desk := view.show.desk_of(key)))
    for desk in desks:
        yield from merged(_page(view, _seat(view, desk)) for view in seen if desk in view.rig.devices)
    for view in seen:
        rest = tuple(_rest(view, set(desks)))
        if rest:
            yield Page(
                "steps",
                "Settings checklist",
                subject="devices",
                subject_name=view.say("devices nobody sits at"),
                period=view.period,
                period_name=view.period_name,
                steps=rest,
                cautions=cautions(("hearing",)),
                touches=tuple(key for key in view.rig.devices if key not in desks),
            )
            break


def _seat(view: View, desk: str) -> Seat:
    return Seat(view, desk, tuple(key for key in view.positions() if view.show.desk_of(key) == desk))


def _page(view: View, seat: Seat) -> Page:
    groups = tuple(group for make in _ORDER if (group := make(seat)).steps)
    names = ", ".join(view.position_name(key) for key in seat.positions)
    return Page(
        "steps",
        "Settings checklist",
        subject=seat.desk,
        subject_name=view.device_name(seat.desk),
        position=seat.positions[0],
        period=view.period,
        period_name=view.period_name,
        about=view.say("{people}. Work from the top; do not skip ahead.", people=names),
        steps=groups,
        cautions=cautions(["hearing", *(["phantom"] if any(group.id == "phantom" for group in groups) else [])]),
        notes=tuple(dict.fromkeys(note for row in seat.lists() for note in view.notes_for(list_id(row)))),
        touches=tuple(
            dict.fromkeys(
                [
                    seat.desk,
                    *seat.positions,
                    *seat.legs(),
                    *(leg.split(".")[0] for leg in seat.legs()),
                    *(link.id for link in view.links_of(seat.desk)),
                    *seat.claimed(),
                ]
            )
        ),
    )


def _rest(view: View, desks: set[str]) -> Iterator[StepGroup]:
    """Yield the settings of the devices that are no position's desk: clock, links, addresses, selections."""
    made: dict[str, StepGroup] = {}
    for key in view.rig.devices:
        if key in desks:
            continue
        seat = Seat(view, key, ())
        for make in (start.clock, start.links, start.addresses, input_side.blocks, input_side.slots):
            group = make(seat)
            if group.steps:
                old = made.get(group.id)
                made[group.id] = attrs.evolve(group, steps=(*(old.steps if old else ()), *group.steps))
    yield from (made[key] for key in ("clock", "links", "addresses", "blocks", "slots") if key in made)
