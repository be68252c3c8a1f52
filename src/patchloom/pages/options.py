"""What people may choose about papers: language, units, columns, order, length of short names, pitch of strips, spares.

Comes in: options by name, as somebody typed them.  Goes out: frozen `Options`, checked.  Next: `binding` hands each paper
its own; a paper asks its `View`.

`NAME` is for every paper that knows it, `PAPER.NAME` for one paper, whose own options may have any name.  No option takes
away a caution, a finding, a waiver or a field that was not honoured: none of them is asked about.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from difflib import get_close_matches
from typing import Any

import attrs

from patchloom.errors import PatchloomError
from patchloom.pages.words import LANGUAGES, Say, say_in

__all__ = ["Options", "check", "for_paper", "known"]

_FOOT = 0.3048
_MOST_SHORT = 40


def _option(doc: str, default: Any) -> Any:
    return attrs.field(default=default, metadata={"doc": doc})


@attrs.frozen
class Options:
    """What is chosen, defaults filled in."""

    language: str = _option(f"Language of fixed words: {', '.join(LANGUAGES)}.", "en")
    units: str = _option("`metres` or `feet`.", "metres")
    columns: tuple[str, ...] = _option(
        "Columns of lists, by id and in this order. Number, name and 48V stay. Absent: those of the position's kind.", ()
    )
    sort: str = _option(
        "Order of rows: `channel`, `walking` or `name`, where a paper can be read in several. Absent: its own.", ""
    )
    short: int | None = _option("Most characters of a short name. Absent: what the desk says, else 12.", None)
    pitch: float | None = _option("Distance from strip to strip on a desk, in mm. Absent: 25.", None)
    box_pitch: float | None = _option("Distance from socket to socket on a box, in mm. Absent: 30.", None)
    spares: int = _option("Spare cables of each kind, in percent of those needed, rounded up.", 10)

    @property
    def say(self) -> Say:
        """Return what says fixed words in the language."""
        return say_in(self.language)

    @classmethod
    def of(cls, given: Mapping[str, Any] | Options | None) -> Options:
        """Return options checked; those this class does not know are left to the paper they are for."""
        if isinstance(given, Options):
            return given
        names = known()
        made: dict[str, Any] = {name: value for name, value in (given or {}).items() if name in names}
        for name in ("language", "units", "sort"):
            if name in made:
                made[name] = _one_of(name, str(made[name]))
        if "columns" in made:
            made["columns"] = (made["columns"],) if isinstance(made["columns"], str) else tuple(made["columns"])
        if made.get("short") is not None:
            made["short"] = int(_number("short", made["short"], 1, _MOST_SHORT))
        for name in ("pitch", "box_pitch"):
            if made.get(name) is not None:
                made[name] = _number(name, made[name], 8, 120)
        if "spares" in made:
            made["spares"] = int(_number("spares", made["spares"], 0, 500))
        return cls(**made)

    def length(self, metres: float | None) -> str:
        """Return a length as it is printed, with its unit; empty when it is unknown."""
        if metres is None:
            return ""
        if self.units == "feet":
            return f"{metres / _FOOT:.1f}".removesuffix(".0") + " ft"
        return f"{metres:g} m"

    def sizes(self, metres: Iterable[float]) -> str:
        """Return sides by sides as they are printed: `3 × 2 m`."""
        if self.units == "feet":
            return " \u00d7 ".join(f"{side / _FOOT:.1f}".removesuffix(".0") for side in metres) + " ft"
        return " \u00d7 ".join(f"{side:g}" for side in metres) + " m"


_CHOICES = {
    "language": LANGUAGES,
    "units": ("metres", "feet"),
    "sort": ("", "channel", "walking", "name"),
}


def known() -> tuple[str, ...]:
    """Return the names of the options every paper may be asked for."""
    return tuple(field.name for field in attrs.fields(Options))


def for_paper(given: Mapping[str, Any], paper: str) -> dict[str, Any]:
    """Return the options of one paper: those for all, and those that name it, which win."""
    mine = {name: value for name, value in given.items() if "." not in name}
    return mine | {
        name.partition(".")[2]: value for name, value in given.items() if name.partition(".")[0] == paper and "." in name
    }


def check(given: Mapping[str, Any], papers: Iterable[str]) -> None:
    """Raise PatchloomError for an option nobody knows, a paper that is not there, or a value that cannot be."""
    papers = tuple(papers)
    for name in given:
        paper, dot, _ = name.rpartition(".")
        if dot and paper not in papers:
            raise PatchloomError(f"option {name}: no paper is called {paper!r}{_hint(paper, papers)}")
        if not dot and name not in known():
            raise PatchloomError(f"no option of papers is called {name!r}{_hint(name, known())}")
    for paper in ("", *papers):
        Options.of(for_paper(given, paper))


def _hint(name: str, there: Iterable[str]) -> str:
    close = get_close_matches(name, list(there), 1, 0.5)
    return f"; did you mean {close[0]!r}?" if close else f"; there are {', '.join(there)}"


def _one_of(name: str, value: str) -> str:
    if value not in _CHOICES[name]:
        raise PatchloomError(f"option {name}: {value!r} is none of {', '.join(word for word in _CHOICES[name] if word)}")
    return value


def _number(name: str, value: Any, least: float, most: float) -> float:
    try:
        number = float(value)
    except (TypeError, ValueError):
        raise PatchloomError(f"option {name}: {value!r} is no number") from None
    if not least <= number <= most:
        raise PatchloomError(f"option {name}: {value} lies outside {least:g} to {most:g}")
    return number
