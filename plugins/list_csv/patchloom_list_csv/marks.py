"""What people write in a cell: channels, stereo, phantom, stands, dittos, gaps.

Comes in: the text of one cell.  Goes out: what it means, and words for the report where it was a guess.
Next: `body.py` asks it cell by cell.
"""

from __future__ import annotations

import re
from typing import NamedTuple

from patchloom_list_csv.headers import number_of

__all__ = ["Channels", "Name", "base_and_side", "channels", "is_ditto", "is_unused", "kind_of", "name", "phantom", "stand", "yes"]

_DITTO = {'"', "''", "\u3003", "\u201d", "\u201c", "ditto", "same", "do.", "dito", "idem"}
_UNUSED = {"-", "--", "\u2013", "\u2014", "n/a", "na", "spare", "tbc", "tba", "unused", "not used", "empty", "free", "x"}
_YES = {
    "48",
    "48v",
    "+48",
    "+48v",
    "p48",
    "y",
    "yes",
    "x",
    "on",
    "1",
    "ja",
    "j",
    "oui",
    "o",
    "si",
    "s\u00ed",
    "\u25cf",
    "\u2022",
    "\u2713",
    "\u2714",
    "\u221a",
    "\u2611",
    "true",
    "tick",
    "phantom",
    "v",
}
_NO = {"n", "no", "-", "0", "off", "none", "nein", "non", "false", "\u2013", "\u2014", "\u2717", "\u2718", "\u2610"}
_NEVER = {"never", "no!", "never!", "nie", "jamais"}
_STANDS = {
    "tb": "tall boom",
    "sb": "short boom",
    "s": "straight",
    "cl": "clip",
    "clamp": "clamp",
    "tbl": "table",
    "hang": "hang",
    "floor": "floor",
    "plate": "floor",
    "hh": "hand-held",
    "lav": "clip on clothing",
    "hs": "headset",
    "rb": "straight",
}
_MONTHS = {
    name: number
    for number, name in enumerate(("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"), start=1)
}
_MONTHS.update(
    {
        "mai": 5,
        "okt": 10,
        "dez": 12,
        "m\u00e4r": 3,
        "mrz": 3,
        "d\u00e9c": 12,
        "f\u00e9v": 2,
        "avr": 4,
        "ene": 1,
        "abr": 4,
        "ago": 8,
        "dic": 12,
        "gen": 1,
        "mag": 5,
        "giu": 6,
        "lug": 7,
        "set": 9,
        "ott": 10,
    }
)
_STEREO = re.compile(
    r"(?:\s*\(?\b(?:st|stereo|2\s?ch|l\s*[/+&]\s*r|lr)\b\)?"
    r"|\s*\(?[x\u00d7]\s?2\b\)?|\s*\((?:l|r),?\s?(?:r|l)\))\.?\s*\Z",
    re.I,
)
_SIDE = re.compile(
    r"(?P<base>.+?)[\s_./-]*(?:\((?P<a>l|r|left|right)\)"
    r"|(?<=[\s_./-])(?P<b>l|r|left|right|links|rechts))\.?\Z",
    re.I,
)
_MANY = re.compile(
    r"(?P<base>.+?)\s*\(?(?:[x\u00d7]\s?(?P<count>[2-9]|1[0-6])"
    r"|(?P<first>\d{1,2})\s*[-\u2013]\s*(?P<last>\d{1,2}))\)?\Z",
    re.I,
)


class Channels(NamedTuple):
    """The channels a cell names, and what was guessed."""

    numbers: tuple[int, ...] = ()
    guess: str = ""
    question: str = ""


class Name(NamedTuple):
    """A name without its marks: whether it is stereo, how many it stands for, the number of the first."""

    text: str
    stereo: bool = False
    many: int = 1
    first: int = 1
    guess: str = ""


def is_ditto(text: str) -> bool:
    """Return whether a cell says "as above"."""
    return text.casefold() in _DITTO


def is_unused(text: str) -> bool:
    """Return whether a name says that nothing is there."""
    return text.casefold() in _UNUSED


def yes(text: str) -> bool:
    """Return whether a mark in a column of marks says yes."""
    return text.casefold() in _YES or text.casefold() in ("st", "stereo", "l/r", "lr", "l+r", "2")


def channels(text: str) -> Channels:
    """Return the channels a cell names: `7`, `07`, `9/10`, `17-18`, `9+10`, a date where a pair was."""
    whole = number_of(text)
    if whole is not None:
        return Channels((whole,) if whole else (), "", "" if whole else "channel 0: channels count from 1")
    pair = re.fullmatch(r"([0-9]{1,3})\s*[-/+,&\u2013]\s*([0-9]{1,3})", text.strip())
    if pair and int(pair[1]) < int(pair[2]) <= int(pair[1]) + 16:
        numbers = tuple(range(int(pair[1]), int(pair[2]) + 1))
        return Channels(numbers, f"taken as channels {numbers[0]} to {numbers[-1]}")
    date = _date(text)
    if date is not None:
        return date
    suffixed = re.fullmatch(r"([0-9]{1,3})\s*([A-Za-z])", text.strip())
    if suffixed:
        return Channels(
            (int(suffixed[1]),), f"taken as channel {int(suffixed[1])}", f"what does the {suffixed[2]!r} behind the channel mean?"
        )
    return Channels((), "", "this is no channel number")


def _date(text: str) -> Channels | None:
    """Return the pair of channels that a spreadsheet has turned into a date; None when it is no date."""
    parts = [part for part in re.split(r"[\s./-]+", text.casefold()) if part]
    numbers = [_MONTHS.get(part[:3]) if part[:1].isalpha() else int(part) if part.isdigit() else None for part in parts]
    if not 2 <= len(parts) <= 4 or None in numbers or not (any(part[:1].isalpha() for part in parts) or len(parts) == 3):
        return None
    small = sorted(number for number in numbers if number is not None and number <= 31)[:3]
    for low, high in ((a, b) for a in small for b in small):
        if high == low + 1:
            return Channels(
                (low, high),
                f"a date where a pair of channels was: taken as {low} and {high}",
                f"is this channels {low} and {high}? A spreadsheet has made a date of it.",
            )
    return Channels((), "", "a date where a channel should be")


def name(text: str) -> Name:
    """Return a name without its stereo mark or count: `Keys (ST)`, `Keys L/R`, `Toms 1-3`, `BVs x3`."""
    bare = _STEREO.sub("", text)
    if bare and bare != text:
        return Name(bare.strip(" -/("), True, 1, 1, "taken as one stereo source")
    many = _MANY.fullmatch(text)
    if many is None:
        return Name(text)
    if many["count"]:
        return Name(many["base"].strip(), False, int(many["count"]), 1, f"taken as {many['count']} sources")
    low, high = int(many["first"]), int(many["last"])
    if not low < high <= low + 15:
        return Name(text)
    return Name(many["base"].strip(), False, high - low + 1, low, f"taken as {high - low + 1} sources")


def base_and_side(text: str) -> tuple[str, str]:
    """Return a name without its side and the side, `L` or `R`; the name itself and nothing when it has none."""
    found = _SIDE.fullmatch(text)
    if found is None:
        return text, ""
    side = (found["a"] or found["b"])[0].upper()
    return found["base"].strip(), "L" if side == "L" else "R"


def phantom(text: str) -> tuple[str, str]:
    """Return `need`, `no`, `never` or `unknown`, and a question where the mark is not known; blank is unknown."""
    word = text.casefold().strip(" .")
    if not word or word == "?":
        return "unknown", "does it need phantom?" if word else ""
    if text.casefold() in _NEVER:
        return "never", ""
    if word in _YES:
        return "need", ""
    return ("no", "") if word in _NO else ("unknown", "does this mark mean phantom or not?")


def stand(text: str) -> str:
    """Return a stand in words where the cell holds its abbreviation."""
    return _STANDS.get(text.casefold().strip("."), text)


def kind_of(mic: str, name_text: str) -> str:
    """Return how a source is drawn, by the words of its microphone cell and its name; empty when they do not say."""
    words = set(re.findall(r"[a-z0-9]+", f"{mic} {name_text}".casefold()))
    if words & {"talkback", "talk", "tb"} and not mic:
        return "talkback"
    if words & {"rx", "radio", "wireless", "receiver", "rf", "headset"}:
        return "radio"
    if words & {"di", "dis"}:
        return "di"
    if words & {"playback", "tracks", "laptop", "click", "timecode"} and not words & {"mic"}:
        return "playback"
    if words & {"line", "xlr", "jack"}:
        return "line"
    return "mic" if mic and not words & {"none"} else ""
