"""Make random shows with hard names, make all their papers, and measure every box a browser sets.

    python tests/drawing/random_shows.py            200 shows
    python tests/drawing/random_shows.py 20 100     20 shows, from seed 100
    python tests/drawing/random_shows.py --examples the demo and the examples of the docs, as they are

Never part of the suite; needs a Chromium.  Prints what is wrong with which show, and how much was looked at; ends with 1
where anything is wrong.  Names are of 60 letters, Arabic, Japanese, Polish, markup and plain ones, by turns; the stage has
a size or none, things have places or none.
"""

from __future__ import annotations

import random
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

import attrs

import patchloom
from patchloom.drawing import scene_svg, scenes
from patchloom.model.rig import Place
from patchloom.model.show import Show, Stage, Thing, Zone
from patchloom.pages import Book, book
from patchloom.plugins import load, load_all
from patchloom.testing.generate import Planted, generate
from tests.drawing.measure import faults
from tests.drawing.rendered import faults_of, measured, paper_faults, sheets_of
from tests.drawing.samples import HARD, KINDS

ROOT = Path(__file__).parents[2]
SIXTY = "The very last violin at the outermost left desk upstage, tu 2"
EASY = ("Kick", "Snare top", "Overheads", "Lead voice", "Guitar left", "Piano low", "Choir 3", "Talk")
LEGAL = [name for key, name in HARD.items() if key != "control"]
"""Names a document may hold: control characters never get past reading."""

_TOGETHER = 3
"""Shows measured by one start of the browser."""


def named(dice: random.Random) -> str:
    """Return a name: a plain one as often as a hard one."""
    return dice.choice(EASY) if dice.random() < 0.5 else dice.choice([SIXTY, *LEGAL])


def staged(planted: Planted, seed: int) -> Planted:
    """Return a planted show with names and a stage."""
    dice = random.Random(seed)
    size = (round(dice.uniform(5, 22), 1), round(dice.uniform(4, 14), 1)) if dice.random() < 0.7 else (None, None)
    zones = {
        f"z{n}": Zone(
            id=f"z{n}",
            name=named(dice),
            side=dice.choice(("SR", "C", "SL", "")),
            depth=dice.choice(("US", "MS", "DS", "OFF", "")),
        )
        for n in range(dice.randint(1, 6))
    }

    def at() -> tuple[float, ...] | None:
        half, deep = (size[0] or 8) / 2, size[1] or 6
        return (round(dice.uniform(-half, half), 2), round(dice.uniform(0, deep), 2)) if size[0] and dice.random() < 0.7 else None

    sources = tuple(
        attrs.evolve(source, name=named(dice), at=at() if dice.random() < 0.4 else None, zone=dice.choice(list(zones)))
        for source in planted.show.sources
    )
    ids = [source.id for source in sources]
    things = tuple(
        Thing(
            kind=dice.choice(KINDS[:-1]),
            name=named(dice),
            at=at(),
            zone=dice.choice(list(zones)),
            turn_deg=dice.choice((0, 0, 90, 180)),
            sources=tuple(dice.sample(ids, min(len(ids), dice.randint(0, 4)))),
        )
        for _ in range(dice.randint(1, 30))
    )
    feeds = tuple(attrs.evolve(feed, name=named(dice)) for feed in planted.show.feeds)
    show: Show = attrs.evolve(
        planted.show,
        name=named(dice),
        sources=sources,
        feeds=feeds,
        stage=Stage(width_m=size[0], depth_m=size[1], zones=zones, things=things),
    )
    devices = {
        key: attrs.evolve(
            device, name=named(dice) if dice.random() < 0.5 else "", place=Place(at=at(), zone=dice.choice(list(zones)))
        )
        for key, device in planted.rig.devices.items()
    }
    return planted._replace(show=show, rig=attrs.evolve(planted.rig, devices=devices))


def random_books(count: int, first: int) -> Iterator[tuple[str, Book]]:
    """Yield books of random shows; every third is a large one."""
    papers = load_all("papers").objects
    for seed in range(first, first + count):
        size = {} if seed % 3 == 0 else {"desks": 1 + seed % 3, "sources": 6 + seed % 20}
        planted = staged(generate(seed, **size), seed)
        stamp = {"revision": "B", "replaces": "A", "date": "2030-01-01"}
        yield f"seed {seed}", book(planted.rig, planted.show, planted.patch, (), papers, **stamp)


def shipped_books() -> Iterator[tuple[str, Book]]:
    """Yield the books of the demo and of the examples in the docs."""
    for folder in (ROOT / "src" / "patchloom" / "demo", *sorted((ROOT / "docs" / "examples").iterdir())):
        if (folder / "rig.json").exists():
            rig = patchloom.read_rig(folder / "rig.json")
            show = patchloom.read_show(folder / "show.json", rig)
            yield folder.name, patchloom.book(rig, show, patchloom.solve(rig, show), revision="A", date="2030-01-01")


def main(arguments: list[str]) -> int:
    """Measure, print, and return 1 where anything is wrong."""
    numbers = [int(word) for word in arguments if word.isdigit()] + [200, 0][len(arguments) :]
    rows = shipped_books() if "--examples" in arguments else random_books(*numbers[:2])
    seen = sheets_seen = lines_seen = wrong = 0
    waiting: list[tuple[str, str, str]] = []
    for name, made in rows:
        seen += 1
        drawn = [scene for page in made.pages for scene in scenes(page, stamp=made.stamp, number="page 1 of 9")]
        for fault in (fault for scene in drawn for fault in faults(scene)):
            wrong += 1
            print(f"{name}: as placed: {fault}")
        waiting.append((name, ".one", sheets_of([scene_svg(scene, inline=True) for scene in drawn])))
        (paper,) = load("renderers", "html")(made, {"files": "book"})
        waiting.append((name, ".sheet", paper.bytes.decode("utf-8")))
        if len(waiting) >= 2 * _TOGETHER:
            counts = _look(waiting)
            sheets_seen, lines_seen, wrong, waiting = sheets_seen + counts[0], lines_seen + counts[1], wrong + counts[2], []
    counts = _look(waiting)
    sheets_seen, lines_seen, wrong = sheets_seen + counts[0], lines_seen + counts[1], wrong + counts[2]
    print(f"{seen} shows, {sheets_seen} sheets, {lines_seen} lines of text measured in a browser: {wrong} faults")
    return 1 if wrong or not lines_seen else 0


def _look(waiting: list[tuple[str, str, str]]) -> tuple[int, int, int]:
    """Return how many sheets and lines were measured, and how many faults were printed."""
    sheets = lines = wrong = 0
    for kind in (".one", ".sheet"):
        mine = [(name, text) for name, selects, text in waiting if selects == kind]
        if not mine:
            continue
        with tempfile.TemporaryDirectory() as folder:
            found = measured([text for _, text in mine], kind, Path(folder))
        for (name, _), rows in zip(mine, found, strict=True):
            for sheet in rows:
                sheets, lines = sheets + 1, lines + len(sheet["lines"])
                for fault in faults_of(sheet) if kind == ".one" else paper_faults(sheet):
                    wrong += 1
                    print(f"{name}: {'drawing' if kind == '.one' else 'paper'}: {fault}")
    return sheets, lines, wrong


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
