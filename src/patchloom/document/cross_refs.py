"""A show held against a rig: every address the show names must be there and be the right kind of place.

Comes in: an expanded rig, an expanded show.  Goes out: complaints about the show.
Next: `reader.py`; a caller that has both as data asks `cross`.

Whether a signal can get there is no question of reading; the solver answers it.
"""

from __future__ import annotations

from typing import Any

from patchloom.document.complaints import Complaints, Path, near
from patchloom.document.names import address
from patchloom.document.places import Place, Places
from patchloom.finding import Complaint

__all__ = ["cross", "cross_check"]


def cross(rig: dict[str, Any], show: dict[str, Any], *, name: str = "show") -> tuple[Complaint, ...]:
    """Return the complaints of an expanded show against an expanded rig, paths in the expanded show."""
    complaints = Complaints(name)
    complaints.written = show
    cross_check(rig, show, complaints)
    return complaints.finish()


def cross_check(rig: dict[str, Any], show: dict[str, Any], complaints: Complaints) -> None:
    """Complain about every address of a show that the rig does not have."""
    look = _Look(Places(rig), complaints)
    for key, row in show.get("positions", {}).items():
        with complaints.shield():
            if row.get("desk"):
                look.device(row["desk"], ("positions", key, "desk"))
    for number, row in enumerate(show.get("plug", [])):
        with complaints.shield():
            for place, text in enumerate(row.get("into", [])):
                look.plug(text, ("plug", number, "into", place))
    for number, row in enumerate(show.get("lists", [])):
        with complaints.shield():
            look.list_at(row.get("at"), ("lists", number, "at"))
            look.survives(row, ("lists", number))
            for place, want in enumerate(row.get("wants", [])):
                look.channel(want, row.get("at"), ("lists", number, "wants", place))
    for number, row in enumerate(show.get("feeds", [])):
        with complaints.shield():
            _feed(look, row, ("feeds", number))
    look.owners(show.get("owners", []), ("owners",))
    for number, row in enumerate(show.get("inserts", [])):
        with complaints.shield():
            for field in ("channel", "send", "return"):
                look.any_place(row.get(field), ("inserts", number, field))
    for number, row in enumerate(show.get("fixed", [])):
        with complaints.shield():
            look.selected(row.get("into"), ("fixed", number, "into"))
            look.any_place(row.get("from"), ("fixed", number, "from"))
    for number, row in enumerate(show.get("periods", [])):
        with complaints.shield():
            _period(look, row, ("periods", number))
    for number, row in enumerate(show.get("wishes", {}).get("spare", [])):
        with complaints.shield():
            for place, text in enumerate(row.get("at", [])):
                look.plug(text, ("wishes", "spare", number, "at", place))
    for number, row in enumerate(show.get("wishes", {}).get("prefer", [])):
        with complaints.shield():
            for place, text in enumerate(row.get("at", [])):
                look.any_place(text, ("wishes", "prefer", number, "at", place))
    for number, row in enumerate(show.get("routing", [])):
        with complaints.shield():
            for place, text in enumerate(row.get("at", [])):
                look.thing(text, ("routing", number, "at", place))


def _feed(look: _Look, row: dict[str, Any], here: Path) -> None:
    look.survives(row, here)
    if row.get("from"):
        place = look.any_place(row["from"], (*here, "from"))
        if place is not None and place.kind != "sum":
            look.complain(
                (*here, "from"), "direction", f'"{row["from"]}" makes no mixes', row["from"], look.of_kind(place.device, "sum")
            )
    for number, to in enumerate(row.get("to", [])):
        for place_number, text in enumerate(to.get("at", [])):
            look.destination(text, (*here, "to", number, "at", place_number))


def _period(look: _Look, row: dict[str, Any], here: Path) -> None:
    for number, device in enumerate(row.get("without_devices", [])):
        look.device(device, (*here, "without_devices", number))
    for number, link in enumerate(row.get("without_links", [])):
        if link not in look.places.links:
            look.complain(
                (*here, "without_links", number), "dangling", f'there is no link "{link}"', link, near(link, look.places.links)
            )
    look.owners(row.get("owners", []), (*here, "owners"))


class _Look:
    """Looks addresses up and words what is wrong with them."""

    def __init__(self, places: Places, complaints: Complaints) -> None:
        self.places = places
        self.complaints = complaints

    def complain(self, path: Path, kind: str, message: str, value: Any, hint: str = "") -> None:
        """Note one complaint at a path of the expanded show."""
        self.complaints.about(path, kind, message, value=value, hint=hint)

    def device(self, name: str, path: Path, text: str | None = None) -> bool:
        """Return whether the rig has a device."""
        if name in self.places.devices:
            return True
        self.complain(path, "dangling", f'the rig has no device "{name}"', text or name, near(name, self.places.devices))
        return False

    def any_place(self, text: Any, path: Path) -> Place | None:
        """Return the place an address names; None for a whole device, and after a complaint."""
        span = address(text, path, self.complaints, expanded=True) if isinstance(text, str) else None
        if span is None or not self.device(span.device, path, text) or span.bank is None:
            return None
        place = self.places.find(span.device, span.bank)
        if place is None:
            kind = self.places.type_of(span.device)
            if kind is not None:
                self._no_bank(text, span.device, span.bank, kind, path)
            return None
        if not place.supported:
            self.complain(
                path,
                "rate",
                f'"{span.device}.{span.bank}" is not there at {self.places.rate(span.device)} Hz',
                text,
                "The type gives no size at this rate.",
            )
            return None
        over = self.places.over(span)
        if over is not None:
            where = f"{span.device}.{span.bank}"
            self.complain(
                path,
                "out-of-range",
                f'"{text}" is out of range: {where} has {over} slots at this rate',
                text,
                f"They are {where}[1-{over}]." if over else "",
            )
            return None
        return place

    def _no_bank(self, text: str, device: str, bank: str, kind: dict[str, Any], path: Path) -> None:
        options = self.places.banks(device)
        hint = near(bank, options)
        if bank in kind.get("ports", {}):
            hint = f'A port has two sides: write "{device}.{bank}.in" or "{device}.{bank}.out".'
        self.complain(path, "dangling", f'"{device}" has no bank "{bank}"', text, hint or f"It has {', '.join(options)}.")

    def of_kind(self, device: str, kind: str) -> str:
        """Return a hint naming the banks of a device that are of a kind."""
        names = [name for name in self.places.banks(device) if (place := self.places.find(device, name)) and place.kind == kind]
        return f"{device} has {', '.join(names)}." if names else ""

    def plug(self, text: Any, path: Path) -> None:
        """Complain about a place a source cannot be plugged into."""
        place = self.any_place(text, path)
        if place is not None and place.kind != "in-socket":
            self.complain(
                path,
                "not-a-socket",
                f'"{text}" is no input socket; a source cannot be plugged there',
                text,
                self.of_kind(place.device, "in-socket"),
            )
        elif (
            place is None
            and text in self.places.devices
            and self.places.type_of(text) is not None
            and not self.places.inputs(text)
        ):
            self.complain(path, "not-a-socket", f'"{text}" has no general input sockets', text)

    def list_at(self, text: Any, path: Path) -> None:
        """Complain about a place a list cannot land in."""
        place = self.any_place(text, path)
        if place is not None and place.kind in ("in-socket", "port-in", "sum") and not self.places.arrives(place):
            what = {"in-socket": "a bank of input sockets", "port-in": "the incoming side of a port", "sum": "a bank of mixes"}[
                place.kind
            ]
            self.complain(
                path,
                "list-at",
                f'"{text}" is {what}; a list lands in channels, tracks or mixer inputs',
                text,
                self.of_kind(place.device, "process"),
            )

    def channel(self, want: Any, at: Any, path: Path) -> None:
        """Complain about an entry fixed beyond the end of its bank."""
        channel = want.get("channel") if isinstance(want, dict) else None
        if not isinstance(channel, int) or not isinstance(at, str):
            return
        device, _, bank = at.partition("[")[0].partition(".")
        place = self.places.find(device, bank)
        if place is not None and place.size is not None and channel > place.size:
            words = f"channel {channel} is out of range: {device}.{bank} has {place.size} slots"
            self.complain((*path, "channel"), "out-of-range", words, channel)

    def destination(self, text: Any, path: Path) -> None:
        """Complain about a place a feed cannot arrive at."""
        place = self.any_place(text, path)
        if place is not None and place.kind in ("in-socket", "port-in", "sum") and not self.places.arrives(place):
            message = f'"{text}" is no place a feed can arrive at: no link comes in there, and nothing ends there'
            self.complain(path, "direction", message, text, self.of_kind(place.device, "out-socket"))

    def selected(self, text: Any, path: Path) -> None:
        """Complain about a place no selection feeds."""
        place = self.any_place(text, path)
        if place is not None and place.kind in ("in-socket", "port-in", "sum"):
            message = f'"{text}" takes its signal from outside or from a mix; no selection feeds it'
            self.complain(path, "direction", message, text)

    def owners(self, rows: list[Any], path: Path) -> None:
        """Complain about preamps that are none."""
        for number, row in enumerate(rows):
            for at, text in enumerate(row.get("preamps", [])):
                here = (*path, number, "preamps", at)
                place = self.any_place(text, here)
                if place is not None and not place.row.get("preamp"):
                    self.complain(here, "no-preamp", f'"{text}" has no preamps', text, self._with_preamps(place.device))

    def _with_preamps(self, device: str) -> str:
        banks = (self.places.type_of(device) or {}).get("banks", {})
        names = [name for name, row in banks.items() if row.get("preamp")]
        return f"{device} has them in {', '.join(names)}." if names else ""

    def survives(self, row: dict[str, Any], here: Path) -> None:
        """Complain about a loss of something the rig does not have."""
        for number, item in enumerate(row.get("survives", [])):
            lost = item.get("loss_of")
            options = [*self.places.devices, *self.places.links]
            if lost and lost not in options:
                self.complain(
                    (*here, "survives", number, "loss_of"),
                    "dangling",
                    f'the rig has no device or link "{lost}"',
                    lost,
                    near(lost, options),
                )

    def thing(self, text: Any, path: Path) -> None:
        """Complain about a text that is neither a link, a device nor an address of one."""
        if text not in self.places.links:
            self.any_place(text, path)
