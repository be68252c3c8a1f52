"""A pocket book of the hand-made show, and a browser to read it in: what the tests of the pocket book share."""

from __future__ import annotations

import shutil
import subprocess
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from functools import lru_cache
from pathlib import Path
from typing import Any

import attrs
import pytest

from patchloom import pipeline
from patchloom.address import Slot
from patchloom.model.base import Table
from patchloom.model.patch import Patch
from patchloom.pages import Book, PathEnd, PathHop, PathPosition, Paths, PathSignal
from patchloom.pages import Path as Way
from patchloom.plugins import load
from tests.pages import world
from tests.plugins.browser import chromium

__all__ = ["AXE", "Reader", "axe", "browser", "long_book", "made", "older", "pocket_book"]

AXE = "axe-core@4"
"""The checker of accessibility, from the npm registry."""


def older() -> Patch:
    """Return the patch before: the kick on another socket, the house's first two channels the other way round, one line more."""
    patch = world.patch()
    setting = patch.settings[0]
    routes = []
    for route in setting.routes:
        hops = list(route.hops)
        if route.leg == "kick":
            hops = [place._replace(number=2) if place.bank == "mic" else place for place in hops]
        if route.to == "foh" and route.leg in ("pack", "kick"):
            hops[-1] = hops[-1]._replace(number={"pack": 2, "kick": 1}[route.leg])
        routes.append(attrs.evolve(route, hops=tuple(hops)))
    lost = attrs.evolve(routes[0], leg="talk", to="rec", hops=(Slot("MON", "talk", 1), Slot("REC", "track", 8)))
    plugs = Table({**setting.plugs, "kick": Slot("BOX", "mic", 2)})
    before = attrs.evolve(setting, plugs=plugs, routes=(*routes, lost))
    return attrs.evolve(patch, settings=(before,))


@lru_cache(maxsize=8)
def pocket_book(show: Any = None, previous: Patch | None = None, language: str = "en", **stamp: Any) -> Book:
    """Return the book of the hand-made show with its paths."""
    words: dict[str, Any] = {"date": "2030-05-31 18:00 +00:00", "revision": "C", "replaces": "B", "status": "ISSUED", **stamp}
    shown = show or world.show()
    options = {"language": language} if language != "en" else None
    return pipeline.book(world.rig(), shown, world.patch(), findings=world.FINDINGS, previous=previous, options=options, **words)


def made(book: Book, **options: Any) -> str:
    """Return the text of a pocket book."""
    (row,) = load("renderers", "pocket")(book, options)
    text: str = row.bytes.decode("utf-8")
    return text


def long_book(count: int) -> Book:
    """Return a book with a list of so many channels, each with a way of five hops of its own."""
    banks = ("BOX mic", "BOX main.out", "FOH a.in", "FOH intake", "FOH ch")
    stations = [(step, *bank.split()) for step, bank in zip(("plug", "wired", "link", "select", "select"), banks, strict=True)]
    hops, ways, signals = [], [], []
    for number in range(1, count + 1):
        first, key, name = len(hops), f"s{number}", f"Singer {number}"
        for step, device, bank in stations:
            link = "K1" if step == "link" else ""
            hops.append(
                PathHop(f"{device}.{bank}[{number}]", f"{device} {bank}-{number}", device, step, link, f"{step} {number}")
            )
        signals.append(PathSignal(key, name, "mic", (key,)))
        ways.append(Way(key, key, name, "foh", number, hops=tuple(range(first, first + len(stations))), phantom="ON"))
    told = Paths(
        show="sha256:" + "3" * 64,
        positions=(PathPosition("foh", "House", "foh", "FOH"),),
        ends=(PathEnd("foh", "list", "House", "foh", "FOH ch"),),
        signals=tuple(signals),
        hops=tuple(hops),
        paths=tuple(ways),
    )
    return attrs.evolve(pocket_book(), pages=(), paths=told)


def axe(cache: Path) -> str:
    """Return the script of the accessibility checker, fetched once; skip with the reason where it cannot be had."""
    found = cache / "axe.min.js"
    if not found.exists():
        npm = shutil.which("npm")
        if npm is None:
            pytest.skip("no npm on this machine: accessibility is not checked")
        with tempfile.TemporaryDirectory(dir=cache) as name:  # tests in other processes may fetch it too
            here = Path(name)
            done = subprocess.run(
                [npm, "pack", AXE, "--silent"], cwd=here, capture_output=True, text=True, timeout=120, check=False
            )
            packed = sorted(here.glob("axe-core-*.tgz"))
            if done.returncode or not packed:
                pytest.skip(f"npm could not fetch {AXE}: accessibility is not checked ({done.stderr.strip()[-200:]})")
            shutil.unpack_archive(packed[-1], here, filter="data")
            (here / "package" / "axe.min.js").replace(found)
    return found.read_text(encoding="utf-8")


class Reader:
    """Somebody with the book open: a page, and what it complained of or asked the network for."""

    def __init__(self, page: Any, path: Path) -> None:
        self.page, self.path = page, path
        self.said: list[str] = []
        self.asked: list[str] = []
        page.set_default_timeout(30_000)
        page.on("console", lambda message: self.said.append(f"{message.type}: {message.text}"))
        page.on("pageerror", lambda problem: self.said.append(f"error: {problem}"))
        page.on("request", lambda request: self.asked.append(request.url))

    def open(self, place: str = "") -> None:
        """Open the book at a place, and wait until it is there."""
        self.page.goto(f"{self.path.as_uri()}#{place}")
        self.page.wait_for_selector("#title", state="attached")

    def until(self, condition: str) -> None:
        """Wait until a condition holds; asked from outside, for the book's policy lets nobody make code of text inside."""
        late = time.monotonic() + 30.0
        while not self.page.evaluate(condition):
            assert time.monotonic() < late, condition
            self.page.wait_for_timeout(10)

    def outside(self) -> list[str]:
        """Return what was asked for and is not the file itself (a file handed out stands under `blob:`)."""
        own = self.path.as_uri()
        return [url for url in self.asked if url.partition("#")[0] != own and not url.startswith("blob:")]

    def rows(self) -> list[str]:
        """Return the names in the list, from top to bottom."""
        names: list[str] = self.page.locator("#main .row .name bdi").all_inner_texts()
        return names

    def wide(self) -> int:
        """Return the width of the page, which is that of the window where nothing sticks out."""
        return int(self.page.evaluate("document.documentElement.scrollWidth"))


@contextmanager
def browser() -> Iterator[Any]:
    """Yield a Chromium of this machine; skip with the reason where there is none, or no playwright."""
    driver = pytest.importorskip("playwright.sync_api", reason="playwright is not installed: the pocket book is not opened")
    arguments = ["--no-sandbox", "--disable-background-networking", "--disable-component-update", "--no-first-run"]
    with driver.sync_playwright() as play:
        found = play.chromium.launch(executable_path=chromium(), args=arguments)
        yield found
        found.close()
