"""What is written on the devices and links of a picture, by what the check is about: owners, phantom, gains, choices.

Comes in: a look at one period, the findings of the failing rig.  Goes out: lines by device, and what crosses by link.
Next: `picture` puts them on its drawing, of the failing rig and of the passing one alike.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator

from patchloom.address import Slot, Span, parse
from patchloom.check.judging import READING, SOLVE
from patchloom.check.look import Look
from patchloom.errors import AddressError
from patchloom.finding import Finding

__all__ = ["carried", "subjects", "written"]

_MOST = 4
"""Lines on one device, at most; the rest is counted."""
_OF = {
    "owner": "owner", "takeover": "owner", "tracking": "owner",
    "phantom": "phantom", "di": "phantom", "passive": "phantom",
    "gain": "gain", "trim": "gain", "converter": "gain", "front": "gain",
    "clock": "clock", "leader": "clock", "fallback": "clock", "election": "clock", "rate": "clock", "framing": "clock",
}  # fmt: skip
"""First word of a check's name to what it is about; other checks are about choices."""


def subjects(found: Iterable[Finding]) -> tuple[str, ...]:
    """Return what findings are about: owner, phantom, gain, clock, choice; a complaint and a proof speak for themselves."""
    judged = (row.rule for row in found if row.rule != SOLVE and not row.rule.startswith(READING))
    return tuple(dict.fromkeys(_OF.get(name.partition("-")[0], "choice") for name in judged))


def written(look: Look, about: Iterable[str], found: Iterable[Finding]) -> dict[str, list[str]]:
    """Return, by device, what to write on it: the owners of its preamps, switches that are on, gains, or choices named."""
    rows = list(found)
    makers: dict[str, Callable[[], Iterator[tuple[str, str]]]] = {
        "owner": lambda: _owners(look),
        "phantom": lambda: _phantom(look),
        "gain": lambda: _gains(look, rows),
        "choice": lambda: _choices(look, rows),
    }
    lines: dict[str, dict[str, None]] = {}
    for subject in about:
        for device, line in makers[subject]() if subject in makers else ():
            lines.setdefault(device, {}).setdefault(line)
    return {device: _short(list(own)) for device, own in lines.items()}


def _short(lines: list[str]) -> list[str]:
    return lines if len(lines) <= _MOST else [*lines[: _MOST - 1], f"and {len(lines) - _MOST + 1} more"]


def carried(look: Look, about: Iterable[str]) -> dict[str, list[str]]:
    """Return, by link, what crosses it beside audio: the control of owners, and what a cable does not pass."""
    found: dict[str, list[str]] = {}
    if "owner" in about:
        ends = {link.id: link.join[1].partition(".")[0] for link in look.rig.links}
        for row in look.setting.owners:
            for link, there in zip(row.path[1::2], row.path[2::2], strict=False):
                word = "control-to" if ends.get(link) == there else "control-from"
                if link in ends and word not in found.setdefault(link, []):
                    found[link].append(word)
    return found


def _run(span: Span) -> str:
    return f"{span.bank}[{span.first}]" if span.first == span.last else f"{span.bank}[{span.first}-{span.last}]"


def _owners(look: Look) -> Iterator[tuple[str, str]]:
    for row in look.setting.owners:
        yield row.preamps.device, f"{_run(row.preamps)}: owner {row.owner or 'at the box'}"


def _phantom(look: Look) -> Iterator[tuple[str, str]]:
    for row in look.setting.phantom:
        if row.on:
            whom = f", for {', '.join(row.because[:3])}" if row.because else ""
            yield row.at.device, f"phantom on: {_run(row.at)}{whom}"
    for device in look.rig.devices:
        kind = look.rig.type_of(device)
        for word, says in (("yes", "passes"), ("no", "stops")) if not kind.digital else ():
            banks = dict.fromkeys(row.into.partition("[")[0] for row in kind.select if row.dc == word)
            if banks:
                yield device, f"{says} direct current: {', '.join(banks)}"
        for bank, row in kind.banks.items():
            if row.phantom_supply:
                yield device, f"feeds phantom at {bank}"


def _gains(look: Look, found: list[Finding]) -> Iterator[tuple[str, str]]:
    named = {place for row in found for place in row.where}
    for row in look.setting.gains:
        if row.leg not in named and str(row.at) not in named:
            continue
        if row.gain_db is not None:
            yield row.at.device, f"{row.leg}: {row.gain_db:g} dB at {row.at.bank}[{row.at.number}]"
        wanted = look.sources[row.leg].want_db if row.leg in look.sources else {}
        for position, trim in row.trims_db.items():
            device = look.desks.get(position, "")
            if device and position in wanted:
                yield device, f"{row.leg}: {wanted[position]:g} dB wanted, {f'trim {trim:+g}' if trim else 'no trim'}"


def _choices(look: Look, found: list[Finding]) -> Iterator[tuple[str, str]]:
    spans = [span for row in found for place in row.where if (span := _span(place)) is not None and span.bank]
    for choice in look.setting.selections:
        if any(_meet(span, choice.into) for span in spans):
            tap = f" at {choice.tap}" if choice.tap else ""
            whence = _run(choice.from_) if choice.from_.device == choice.into.device else str(choice.from_)
            yield choice.into.device, f"{_run(choice.into)} takes {whence}{tap}"


def _span(place: str) -> Span | None:
    try:
        return parse(place)
    except AddressError:
        return None


def _meet(one: Span, two: Span) -> bool:
    if one[:2] != two[:2]:
        return False
    return (
        one.first is None
        or two.holds(Slot(one.device, one.bank or "", one.first))
        or (two.first is not None and one.holds(Slot(two.device, two.bank or "", two.first)))
    )
