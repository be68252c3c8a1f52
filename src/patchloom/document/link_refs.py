"""What a link joins: two ends that are there, free, able to speak its format and facing each other.

Comes in: an expanded rig and its places.  Goes out: complaints.  Next: `rig_refs.py`.
"""

from __future__ import annotations

from typing import Any, NamedTuple

from patchloom.address import Span
from patchloom.document.complaints import Complaints, Path, near
from patchloom.document.names import address
from patchloom.document.places import Place, Places, each_way

__all__ = ["check_links"]


class _End(NamedTuple):
    span: Span
    path: Path
    text: str
    port: dict[str, Any] | None
    place: Place | None


def check_links(rig: dict[str, Any], places: Places, formats: list[str], complaints: Complaints) -> None:
    """Complain about every link that cannot be as written."""
    ids: list[str] = []
    taken: dict[tuple[str, str], list[tuple[int, int, str]]] = {}
    stock = [row.get("id") for row in rig.get("stock", []) if row]
    for number, link in enumerate(rig.get("links", [])):
        with complaints.shield():
            here: Path = ("links", number)
            name = link.get("id", "")
            if name in ids:
                complaints.about((*here, "id"), "duplicate-id", f'there is a link "{name}" already', value=name)
            ids.append(name)
            ends = [
                end
                for place, text in enumerate(link.get("join", []))
                if (end := _end(text, (*here, "join", place), places, complaints)) is not None
            ]
            for end in ends:
                _free(end, name, taken, complaints)
            _format(link, here, ends, places, formats, complaints)
            if len(ends) == 2:
                _facing(link, here, ends[0], ends[1], places, complaints)
            for place, cable in enumerate(link.get("cables", [])):
                if cable and cable.get("stock") and cable["stock"] not in stock:
                    complaints.about(
                        (*here, "cables", place, "stock"),
                        "dangling",
                        f'there is no stock row "{cable["stock"]}"',
                        hint=near(cable["stock"], [row for row in stock if row]),
                    )


def _end(text: str, path: Path, places: Places, complaints: Complaints) -> _End | None:
    """Return one end of a link; complain and return None when it is not there."""
    span = address(text, path, complaints, expanded=True)
    if span is None:
        return None
    if span.device not in places.devices:
        complaints.about(
            path, "dangling", f'there is no device "{span.device}"', value=text, hint=near(span.device, places.devices)
        )
        return None
    kind = places.type_of(span.device)
    if kind is None:
        return None
    ports, banks = kind.get("ports", {}), kind.get("banks", {})
    options = [*ports, *(key for key, row in banks.items() if row.get("socket"))]
    there = f"{span.device} has {', '.join(options) or 'neither ports nor sockets'}."
    if span.bank is None:
        complaints.about(path, "address", f'"{text}" names no port of the device', value=text, hint=there)
        return None
    if span.bank in ports:
        if span.first is not None:
            complaints.about(
                path, "address", f'"{text}": a link takes a whole port', value=text, hint=f'Write "{span.device}.{span.bank}".'
            )
            return None
        return _End(span, path, text, ports[span.bank], None)
    port, _, way = span.bank.partition(".")
    if way and port in ports:
        complaints.about(
            path,
            "address",
            f'"{text}" is one side of a port; a link joins the port',
            value=text,
            hint=f'Write "{span.device}.{port}".',
        )
        return None
    if span.bank in banks:
        place = places.find(span.device, span.bank)
        if place is not None and not place.kind.endswith("-socket"):
            complaints.about(path, "not-a-socket", f'"{text}" is inside the device; no cable reaches it', value=text, hint=there)
            return None
        over = places.over(span)
        if over is not None:
            complaints.about(
                path, "out-of-range", f'"{text}" goes past the {over} sockets of {span.device}.{span.bank}', value=text
            )
            return None
        return _End(span, path, text, None, place)
    complaints.about(
        path,
        "dangling",
        f'"{span.device}" has no port or socket bank "{span.bank}"',
        value=text,
        hint=near(span.bank, options) or there,
    )
    return None


def _free(end: _End, link: str, taken: dict[tuple[str, str], list[tuple[int, int, str]]], complaints: Complaints) -> None:
    """Complain about a port or socket that is joined already."""
    key = (end.span.device, end.span.bank or "")
    first = end.span.first or 1
    last = end.span.last or (end.place.size if end.place and end.place.size else 10**6)
    for low, high, other in taken.setdefault(key, []):
        if first <= high and low <= last:
            complaints.about(
                end.path,
                "joined-twice",
                f'"{end.text}" is joined by the link "{other}" already',
                value=end.text,
                hint="One connector takes one cable; a split or a switch is a device.",
            )
            break
    taken[key].append((first, last, link))


def _format(
    link: dict[str, Any], here: Path, ends: list[_End], places: Places, formats: list[str], complaints: Complaints
) -> None:
    """Complain about a format that is missing, unknown, not spoken, or not there at the rate."""
    name = link.get("format", "")
    wired = [end for end in ends if end.port is not None]
    if not name:
        if wired:
            spoken = [set(end.port.get("speaks", [])) for end in wired if end.port]
            both = sorted(set.intersection(*spoken)) if spoken else []
            complaints.about(
                here,
                "missing",
                f'the link "{link.get("id", "")}" joins ports and names no format',
                value=None,
                hint=f"Both ends speak {', '.join(both)}." if both else "",
            )
        return
    form = places.formats.get(name)
    if form is None:
        complaints.about(
            (*here, "format"),
            "dangling",
            f'there is no format "{name}"',
            value=name,
            hint=near(name, formats) or "Write it under formats, or take one of the library's.",
        )
        return
    for end in wired:
        port = end.port or {}
        if name not in port.get("speaks", []):
            complaints.about(
                (*here, "format"),
                "not-spoken",
                f'the port {end.text} does not speak "{name}"',
                value=name,
                hint=f"It speaks {', '.join(port.get('speaks', []))}.",
            )
            continue
        rate = places.rate(end.span.device, port.get("clock", ""))
        if form.get("digital", True) and form.get("channels") and rate is not None and each_way(form, rate) is None:
            rates = ", ".join(sorted(form["channels"], key=int))
            complaints.about(
                (*here, "format"),
                "rate",
                f'"{name}" is not given at {rate} Hz, the rate of {end.span.device}',
                value=name,
                hint=f"It is given at {rates} Hz.",
            )
            break
    for end in ends:
        if end.port is None and form.get("digital", True):
            complaints.about(
                (*here, "format"),
                "not-spoken",
                f'{end.text} is a run of sockets and "{name}" is a format for ports',
                value=name,
                hint="Leave the format out: analogue is meant.",
            )
            break
    framings = form.get("framings", [])
    for place, framing in enumerate(link.get("framing", [])):
        if framing not in framings:
            complaints.about(
                (*here, "framing", place),
                "value",
                f'"{name}" has no framing "{framing}"',
                value=framing,
                hint=near(framing, framings) or (f"It has {', '.join(framings)}." if framings else "It has one framing only."),
            )


def _facing(link: dict[str, Any], here: Path, one: _End, two: _End, places: Places, complaints: Complaints) -> None:
    """Complain about ends that do not face each other."""
    if (one.port is None) != (two.port is None):
        complaints.about(
            (*here, "join"),
            "direction",
            f"{one.text} and {two.text}: a port cannot be joined to a run of sockets",
            value=one.text,
        )
        return
    if one.port is None or two.port is None:
        _sockets(here, one, two, complaints)
        return
    ways = (one.port.get("ways", "both"), two.port.get("ways", "both"))
    if ways in (("in", "in"), ("out", "out")):
        complaints.about(
            (*here, "join"), "direction", f"{one.text} and {two.text} both go {ways[0]} only; nothing can pass", value=one.text
        )
    form = places.formats.get(link.get("format", ""), {})
    if form.get("one_way") and ways not in (("in", "in"), ("out", "out")) and (ways[0] == "in" or ways[1] == "out"):
        complaints.about(
            (*here, "join"),
            "direction",
            f'"{link["format"]}" runs from the first end to the second, and {one.text} cannot send or {two.text} cannot receive',
            value=one.text,
            hint="Turn the two ends round.",
        )
    ends = (one.port.get("end"), two.port.get("end"))
    if ends[0] and ends[0] == ends[1] and not _even(form):
        complaints.about(
            (*here, "join"),
            "direction",
            f'{one.text} and {two.text} both are the {ends[0]} end of "{link.get("format")}"',
            value=one.text,
            hint="A format with uneven directions joins a first end to a second.",
        )


def _even(form: dict[str, Any]) -> bool:
    return not form.get("one_way") and all(
        not isinstance(size, list) or size[0] == size[-1] for size in form.get("channels", {}).values()
    )


def _sockets(here: Path, one: _End, two: _End, complaints: Complaints) -> None:
    """Complain about two runs of sockets that face the same way or are not equally long."""
    kinds = [end.place.kind if end.place else "" for end in (one, two)]
    if sorted(kinds) != ["in-socket", "out-socket"]:
        way = "inputs" if kinds[0] == "in-socket" else "outputs"
        complaints.about(
            (*here, "join"),
            "direction",
            f"{one.text} and {two.text} both are {way}; a cable joins outputs to inputs",
            value=one.text,
        )
        return
    lengths = [
        end.span.last - end.span.first + 1 if end.span.first and end.span.last else (end.place.size if end.place else None)
        for end in (one, two)
    ]
    if one.span.first and two.span.first and lengths[0] != lengths[1]:
        complaints.about(
            (*here, "join"),
            "unequal",
            f"{one.text} has {lengths[0]} sockets and {two.text} has {lengths[1]}",
            value=one.text,
            hint="Join runs of one length.",
        )
