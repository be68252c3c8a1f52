"""What conformance checks try a plugin on: small shows, large ones, empty ones, ugly names, half an answer.

Comes in: nothing.  Goes out: `Case`s for rules and papers, `Book`s for renderers, bytes for importers; the same every
time.  Next: `conformance`.
"""

from __future__ import annotations

from functools import cache

import attrs

from patchloom.finding import Finding
from patchloom.model.base import build
from patchloom.model.patch import Patch, Setting
from patchloom.model.period import period_ids
from patchloom.model.rig import Rig
from patchloom.model.show import Show
from patchloom.pages import (
    Book,
    Cell,
    Column,
    Diagram,
    Edge,
    Node,
    Page,
    Plan,
    Remark,
    Row,
    Stamp,
    Step,
    StepGroup,
    Table,
    Thing,
    cautions,
)
from patchloom.testing.generate import Planted, generate

__all__ = ["UGLY", "Case", "books", "cases", "files"]

UGLY = (
    "<b>loud</b> & \"quoted\" 'name'",
    "=1+1",
    "@here",
    "-2",
    "+3",
    "\u0645\u0637\u0631\u0628",
    "\u6b4c\u624b \u4e8c",
    "a" * 200,
    "</script><script>alert(1)</script>",
    "e\u0301\u0302 \U0001f3a4",
)
"""Names people and their keyboards come up with, and reading lets pass."""

_UNREAD = ("tab\tinside", "line\nbreak", "bell\x07")
"""Names reading does not let pass; a book made in Python may still hold them."""


@attrs.frozen
class Case:
    """One thing to try: what it is, and what a rule or a paper is given."""

    about: str
    rig: Rig
    show: Show
    patch: Patch
    findings: tuple[Finding, ...] = ()


@cache
def cases() -> tuple[Case, ...]:
    """Return the cases for rules and papers."""
    small = generate(1, desks=1, sources=3, features=("box-8", "fixed-plugs"))
    middle = generate(
        2,
        desks=2,
        sources=12,
        features=(
            "box-16",
            "mirror",
            "two-step",
            "slots",
            "fixed-plugs",
            "stereo",
            "phantom-8",
            "need-never",
            "shared-gain",
            "spares",
            "gaps",
        ),
    )
    acts = generate(
        3,
        desks=3,
        sources=20,
        features=(
            "box-16",
            "box-32",
            "cascade",
            "two-step",
            "block",
            "wired",
            "pass-blocks",
            "recorder",
            "free-plugs",
            "stereo",
            "two-acts",
            "talkback",
            "feeds-in-lists",
            "home-over-another-desk",
        ),
    )
    guest = generate(
        4,
        desks=3,
        sources=16,
        features=(
            "box-16",
            "slots",
            "pass-slots",
            "converter",
            "double-rate",
            "one-way",
            "local-sockets",
            "fixed-plugs",
            "leader",
            "stereo",
        ),
    )
    return (
        *(
            _solved(about, row)
            for about, row in (("one desk", small), ("two desks", middle), ("two acts", acts), ("a guest", guest))
        ),
        _ugly(middle),
        _half("half an answer", acts),
        _unanswered("nothing set", acts),
        _bare(),
    )


def _solved(about: str, planted: Planted) -> Case:
    return Case(about, planted.rig, planted.show, planted.patch)


def _ugly(planted: Planted) -> Case:
    """Return a show whose names are as bad as names get, ids aside."""
    show = planted.show
    named = tuple(
        attrs.evolve(row, name=UGLY[number % len(UGLY)], person=UGLY[-1 - number % len(UGLY)])
        for number, row in enumerate(show.sources)
    )
    feeds = tuple(attrs.evolve(row, name=UGLY[number % len(UGLY)]) for number, row in enumerate(show.feeds))
    return Case("ugly names", planted.rig, attrs.evolve(show, name=UGLY[0], sources=named, feeds=feeds), planted.patch)


def _half(about: str, planted: Planted) -> Case:
    """Return a patch with every second choice and route gone, and the judge's findings about it."""
    from patchloom.check.verify import verify

    settings = tuple(
        attrs.evolve(
            row,
            selections=row.selections[::2],
            routes=row.routes[::2],
            gains=(),
            owners=row.owners[:1],
            plugs=dict(list(row.plugs.items())[::2]),
        )
        for row in planted.patch.settings
    )
    patch = attrs.evolve(planted.patch, settings=settings)
    return Case(about, planted.rig, planted.show, patch, verify(planted.rig, planted.show, patch))


def _unanswered(about: str, planted: Planted) -> Case:
    patch = Patch(settings=tuple(Setting(period=key) for key in period_ids(planted.show)))
    return Case(about, planted.rig, planted.show, patch)


def _bare() -> Case:
    rig = build(Rig, {"domains": {"main": {"rate": 48000}}})
    return Case("an empty rig and show", rig, Show(), Patch(settings=(Setting(),)))


@cache
def books() -> tuple[Book, ...]:
    """Return the books for renderers: none, every kind of page, ugly names, a long table."""
    stamp = Stamp(show=UGLY[0], rig="house", date="a Friday", generated="2001-02-03 04:05 UTC", approver=UGLY[1])
    pages = (
        _table("Input list", "foh", UGLY + _UNREAD),
        _table("Empty", "foh", ()),
        _table("Long", "mon", tuple(f"row {n}" for n in range(200))),
        _diagram(),
        _plan(),
        _steps(),
    )
    fault = Remark("stop", "Paper broken could not be made", ("broken",))
    return (Book(stamp=stamp), Book(stamp=stamp, pages=pages, faults=(fault,)), Book(stamp=Stamp(), pages=pages[:1]))


def _table(title: str, position: str, names: tuple[str, ...]) -> Page:
    columns = (
        Column("ch", "Ch", 1, "number"),
        Column("name", "Name", 4),
        Column("at", "At", 2, "address"),
        Column("ok", "", 1, "tick"),
    )
    rows = tuple(
        Row((str(number), Cell(name, ("strong",)), f"BOX1.mic[{number}]", Cell("", ("tick",))), block=(number - 1) // 8)
        for number, name in enumerate(names, 1)
    )
    return Page(
        kind="table",
        title=title,
        paper="trial",
        subject=title.lower().replace(" ", "-"),
        position=position,
        tables=(Table("inputs", columns=columns, rows=rows, notes=("Blank means unknown.",)),),
        notes=(UGLY[0],),
        cautions=cautions(("phantom", "hearing")),
        remarks=(Remark("safety", f"Look at {UGLY[0]}", ("BOX1",)),),
    )


def _diagram() -> Page:
    nodes = (Node("BOX1", UGLY[0], kind="box"), Node("DESK1", UGLY[6], kind="desk", lines=(UGLY[5],)), Node("ALONE"))
    edges = (
        Edge("K", "BOX1", "DESK1", label=UGLY[0], lines=("12 of 16",), arrows="both"),
        Edge("L", "DESK1", "BOX1", kind="clock"),
    )
    return Page(kind="diagram", title="Signal", paper="trial", diagram=Diagram(nodes=nodes, edges=edges))


def _plan() -> Page:
    things = (
        Thing(id="t1", kind="performer", label=UGLY[0], at=(0.0, 2.0), zone="C"),
        Thing(id="t2", kind="wedge", label=UGLY[6]),
    )
    return Page(kind="plan", title="Stage", paper="trial", plan=Plan(width_m=10.0, depth_m=8.0, to_scale=True, things=things))


def _steps() -> Page:
    steps = (Step(UGLY[0], lines=("gain 20 dB",), at="BOX1", caution="Mute first.", hears=("foh",)), Step("Then the clock."))
    return Page(kind="steps", title="Settings", paper="trial", position="foh", steps=(StepGroup("clock", "Clock", steps=steps),))


def files() -> tuple[tuple[str, bytes], ...]:
    """Return bytes for importers: a plain list, ugly ones, and what is no list at all."""
    plain = "Ch,Name,Mic,48V\n1,Kick,dynamic,\n2,Overhead L,condenser,x\n3,Overhead R,condenser,x\n,,,\n4,Vox,,\n"
    ugly = "Ch;Name;Notes\r\n" + "".join(f'{n};"{name.replace(chr(34), chr(34) * 2)}";?\r\n' for n, name in enumerate(UGLY, 1))
    return (
        ("a plain list", plain.encode()),
        ("ugly names", ugly.encode()),
        ("a byte order mark", b"\xef\xbb\xbf" + plain.encode()),
        ("UTF-16", plain.encode("utf-16")),
        ("one byte a letter", "Ch,Name\n1,Fl\u00fcgel\n".encode("latin-1")),
        ("old line ends", plain.replace("\n", "\r").encode()),
        ("nothing", b""),
        ("blank lines", b"\n\n , ,\n"),
        ("no header", b"kick\nsnare\n"),
        ("an open quote", b'Ch,Name\n1,"kick\n2,snare\n'),
        ("zero bytes", b"\x00\x01\x02" * 50),
        ("random bytes", bytes(range(256)) * 4),
        ("the same name twice", b"Ch,Name\n1,Vox\n2,Vox\n2,Vox\n"),
        ("a long line", b"Ch,Name\n1," + b"x" * 50_000 + b"\n"),
    )
