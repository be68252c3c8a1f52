"""A book: the pages of every paper asked for, stamped, with what must be said on each of them.

Comes in: rig, show, patch, findings, paper functions by name, and the words of the stamp.  Goes out: a `Book`.
Next: renderer plugins.

A paper that breaks is named in the book's `faults` and all others are still made; only a paper asked for
by name (`strict`) raises.  No clock is read here.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from inspect import signature
from typing import Any

import attrs

from patchloom.address import parse
from patchloom.errors import AddressError, PatchloomError, PluginError
from patchloom.finding import SEVERITIES, Finding
from patchloom.model.base import dump
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Show
from patchloom.pages.options import check, for_paper
from patchloom.pages.page import KINDS, Book, Page, Remark, Stamp
from patchloom.pages.words import Say, say_in

__all__ = ["ORDER", "STATUSES", "Paper", "book", "merged", "remarks"]

Paper = Callable[..., Iterable[Page]]
"""What a paper plugin is: a plain function `(rig, show, patch, findings) -> pages`, that may take `options` by keyword."""

ORDER = (
    "proof-page",
    "stage-plot",
    "signal-diagram",
    "input-list",
    "output-list",
    "desk-patch",
    "patch-sheet",
    "act-matrix",
    "settings-checklist",
    "clock-sheet",
    "phantom-sheet",
    "gain-sheet",
    "line-check",
    "pack-sheet",
    "guest-map",
    "labels",
    "cable-list",
)
"""The order of papers in a book: what it is all about, everyone's lists, the desks, the checks, the shop; then all others."""

STATUSES = ("DRAFT", "ISSUED", "AS-BUILT")
"""What the status of a book may be."""

_PRINTED = ("stop", "safety", "warn")

_ENGLISH = "What the checks have to say, rules and assumptions included, is in their own words, in English."
_QUOTES = ("proof-page",)
"""Papers that quote the checks even where none of them found anything."""


def book(
    rig: Rig,
    show: Show,
    patch: Patch,
    findings: Iterable[Finding] = (),
    papers: Mapping[str, Paper] | Iterable[tuple[str, Paper]] = (),
    *,
    positions: Iterable[str] = (),
    date: str = "",
    revision: str = "",
    replaces: str = "",
    status: str = "DRAFT",
    approver: str = "",
    changes: int | None = None,
    digest: str = "",
    faults: Iterable[Remark] = (),
    strict: bool = False,
    options: Mapping[str, Any] | None = None,
) -> Book:
    """Return the book of a solved show.

    `papers` are paper functions by name, in the order their pages are to come.  `positions` keeps the pages
    of these positions and everybody's pages; absent, all.  `date` is when the book is made, with its time
    zone, as it is to be printed.  `digest` is the patch's, computed when absent.  `faults` are papers that
    could not even be loaded.  `options` are those of `pages.options`: `NAME` for every paper, `PAPER.NAME` for one.

    Raises PatchloomError for a status that is not in `STATUSES`, for one but DRAFT over a stop nobody has signed, or for an
    option that cannot be, and, where `strict`, PluginError for the first paper that breaks.
    """
    findings, given = tuple(findings), dict(options or {})
    _may_be(status, findings)
    named = tuple(papers.items() if isinstance(papers, Mapping) else papers)
    check(given, (name for name, _ in named))
    stamp = Stamp(
        show=show.name,
        rig=rig.name,
        date=show.date,
        revision=revision,
        replaces=replaces,
        generated=date,
        status=status,
        approver=approver,
        patch=digest or _digest(dump(patch)),
        changes=changes,
    )
    kept, broken = set(positions), list(faults)
    pages: list[Page] = []
    for name, paper in named:
        try:
            mine = {"options": for_paper(given, name)} if given and _takes_options(paper) else {}
            made = tuple(_checked(name, paper(rig, show, patch, findings, **mine)))
        except Exception as problem:
            if strict:
                raise PluginError(f"paper {name} could not be made: {type(problem).__name__}: {problem}") from problem
            broken.append(Remark("stop", f"Paper {name} could not be made: {type(problem).__name__}: {problem}", (name,)))
            continue
        pages.extend(page for page in made if not kept or not page.position or page.position in kept)
    ids = _Ids.of(rig, show)
    said = {key: tuple(remarks(patch, findings, say_in(key))) for key in dict.fromkeys(page.language for page in pages)}
    return Book(stamp=stamp, pages=tuple(_finished(page, said[page.language], ids) for page in pages), faults=tuple(broken))


def _may_be(status: str, findings: tuple[Finding, ...]) -> None:
    """Refuse a status there is none of, and any but DRAFT over a stop nobody has signed."""
    if status not in STATUSES:
        raise PatchloomError(f"status {status!r} is none of {', '.join(STATUSES)}")
    stops = [row for row in findings if row.severity == "stop" and not row.waived]
    if status != "DRAFT" and stops:
        raise PatchloomError(
            f"{len(stops)} {'stop' if len(stops) == 1 else 'stops'} nobody has signed: papers cannot be {status}. "
            f"First: {stops[0]} Mend it, sign it off in the show's waivers, or keep DRAFT."
        )


def _takes_options(paper: Paper) -> bool:
    """Return whether a paper may be given options: papers written before there were any are called without."""
    try:
        parameters = signature(paper).parameters.values()
    except (TypeError, ValueError):
        return False
    return any(row.name == "options" or row.kind is row.VAR_KEYWORD for row in parameters)


@attrs.frozen
class _Ids:
    """What a remark can point at."""

    seats: frozenset[str]
    """Positions and lists: a remark about one is for its own papers."""
    things: frozenset[str]
    """Devices, links, sources, feeds."""

    @classmethod
    def of(cls, rig: Rig, show: Show) -> _Ids:
        lists = [key for row in show.lists for key in (row.id, row.position) if key]
        return cls(
            frozenset([*show.positions, *lists, *(feed.mixed_at for feed in show.feeds)]),
            frozenset([*rig.devices, *(link.id for link in rig.links), *show.signals()]),
        )

    def meant(self, row: Remark, page: Page) -> bool:
        """Return whether a remark belongs on a page.

        What points at nothing known is for every page; `safety` is for every page it so much as brushes; any other
        is for the pages of what it names first.
        """
        known = [place for place in row.where if place in self.seats or place in self.things]
        if not known or not page.touches:
            return True
        if row.kind == "safety":
            return bool(set(page.touches).intersection(known))
        chief = known[0]
        if chief in self.seats:
            return chief in (page.position, page.subject)
        return chief in page.touches


def _checked(name: str, pages: Iterable[Page]) -> Iterator[Page]:
    """Yield the pages of a paper with its name on them; raise PluginError for what is no page."""
    for page in pages:
        if not isinstance(page, Page):
            raise PluginError(f"gave a {type(page).__name__} where a Page is due")
        if page.kind not in KINDS:
            raise PluginError(f"gave a page of kind {page.kind!r}; there are {', '.join(KINDS)}")
        yield attrs.evolve(page, paper=name)


def remarks(patch: Patch, findings: Iterable[Finding], say: Say | None = None) -> Iterator[tuple[str, Remark]]:
    """Yield (period, remark) for all that must be said: findings, gravest first, waived ones, wishes, fields not honoured.

    An empty period stands for the whole show.  What a finding says is the check's own words, in English whatever the paper.
    """
    say = say or say_in("en")
    rows = sorted(findings, key=Finding.sort_key)
    for row in rows:
        if not row.waived and row.severity in _PRINTED:
            yield row.period, Remark(row.severity, _words(row), _places(row.where))
    for row in rows:
        if row.waived:
            signed = say("Signed off: {who}", who=row.waived)
            yield row.period, Remark("waived", f"{say(row.severity)} {_words(row)} {signed}", _places(row.where))
    for setting in patch.settings:
        for wish in setting.unmet:
            places = tuple(word.strip() for word in wish.split(":"))
            yield (
                setting.period,
                Remark(
                    "unmet",
                    f"{setting.period}{': ' if setting.period else ''}{say('wish not carried: {wish}', wish=wish)}",
                    places,
                ),
            )
    if patch.unhonoured:
        yield "", Remark("unhonoured", say("Asked for and not honoured yet: {what}.", what="; ".join(patch.unhonoured)))


def _words(row: Finding) -> str:
    period = f" [{row.period}]" if row.period else ""
    numbers = ", ".join(f"{name} {value}" for name, value in row.numbers)
    return f"{row.rule}{period}: {row.message}{f' ({numbers})' if numbers else ''}{f' {row.todo}' if row.todo else ''}"


def _places(where: Iterable[str]) -> tuple[str, ...]:
    """Return places as they are matched: each itself, then the device of an address or the signal of a leg."""
    found: list[str] = []
    for place in where:
        try:
            found.extend((place, parse(place).device))
        except AddressError:
            found.append(place)
    return tuple(dict.fromkeys(found))


def _finished(page: Page, said: tuple[tuple[str, Remark], ...], ids: _Ids) -> Page:
    """Return a page with its digest and with the remarks that belong on it, gravest first.

    In another language than the checks' own, a line says that what they say is in English.
    """
    acts = {"", page.period, *page.also}
    mine = [row for period, row in said if (not page.period or period in acts) and ids.meant(row, page)]
    order = {kind: place for place, kind in enumerate((*SEVERITIES, "waived", "unmet", "unhonoured"))}
    every = sorted((*page.remarks, *mine), key=lambda row: order.get(row.kind, len(order)))
    if page.language != "en" and (mine or page.paper in _QUOTES):
        place = next((n for n, row in enumerate(every) if row.kind not in SEVERITIES), len(every))
        every.insert(place, Remark("note", say_in(page.language)(_ENGLISH)))
    bare = attrs.evolve(page, remarks=(), digest="")
    return attrs.evolve(page, remarks=tuple(dict.fromkeys(every)), digest=_digest(dump(bare)))


def _digest(data: dict[str, Any]) -> str:
    from patchloom.document import digest  # its schemas are not needed, and it loads on use

    return digest(data)


def merged(pages: Iterable[Page]) -> Iterator[Page]:
    """Yield pages with those that say the same in several periods made one, named for all of them.

    A page joins an earlier one when paper, subject, position and content agree; the order of first
    appearance is kept.
    """
    kept: dict[Page, list[Page]] = {}
    for page in pages:
        kept.setdefault(attrs.evolve(page, period="", period_name=""), []).append(page)
    for same in kept.values():
        first = same[0]
        names = ", ".join(dict.fromkeys(page.period_name or page.period for page in same))
        yield attrs.evolve(first, period_name=names, also=tuple(page.period for page in same[1:]))
