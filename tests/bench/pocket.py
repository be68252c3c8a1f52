"""The pocket book with long lists: run `python tests/bench/pocket.py`; needs playwright and a Chromium.

Comes in: how many lines.  Goes out: printed rows: size of the file, time to make it, time until its list stands, until a search
has answered (the first one reads everything once), for a tick, and between frames while the list is scrolled by more than a
window each frame.  Times are those of this machine; the last column holds them against a book of 100 lines, which is what counts.
"""

from __future__ import annotations

import argparse
import statistics
import sys
import tempfile
import time
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parents[2]))

from tests.plugins.pocket import browser, long_book, made

SEARCH = """async (words) => { const begun = performance.now(); const box = document.getElementById("find");
  box.value = words; box.dispatchEvent(new Event("input"));
  const name = () => (document.querySelector(".hit .name") || {}).textContent;
  while (name() !== "Singer " + words.slice(7)) await new Promise((done) => setTimeout(done));
  return performance.now() - begun; }"""
SCROLL = """async () => { const gaps = []; let last = performance.now();
  for (let step = 0; step < 60; step += 1) { window.scrollBy(0, 900); await new Promise(requestAnimationFrame);
    const now = performance.now(); gaps.push(now - last); last = now; }
  return gaps.sort((one, two) => one - two)[30]; }"""
TICK = "() => { const begun = performance.now(); document.querySelector('.tick.ok').click(); return performance.now() - begun; }"


def measured(chrome: Any, path: Path, count: int) -> dict[str, float]:
    """Return the times of one reader, in ms."""
    room = chrome.new_context(viewport={"width": 360, "height": 740})
    page = room.new_page()
    page.goto(path.as_uri())
    page.wait_for_selector(".row")
    found = {"list stands, ms": page.evaluate("performance.getEntriesByName('patchloom shown')[0].startTime")}
    found["first search, ms"] = page.evaluate(SEARCH, f"singer {count - 1}")
    found["next search, ms"] = page.evaluate(SEARCH, f"singer {count - 2}")
    page.goto(f"{path.as_uri()}#view=check&position=foh")
    page.wait_for_selector(".check")
    found["tick, ms"] = page.evaluate(TICK)
    page.goto(f"{path.as_uri()}#position=foh")
    page.wait_for_selector("#main > .end .row")
    found["frame while scrolling, ms"] = page.evaluate(SCROLL)
    room.close()
    return found


def row_of(chrome: Any, folder: Path, count: int, rounds: int) -> dict[str, float]:
    """Return the figures of a book of so many lines: medians of some readers."""
    book = long_book(count)
    made(book)
    begun = time.process_time()
    text = made(book)
    path = folder / f"{count}.html"
    path.write_text(text, encoding="utf-8")
    figures = {"file, kB": len(text.encode()) / 1000, "made in, ms": (time.process_time() - begun) * 1000}
    rows = [measured(chrome, path, count) for _ in range(rounds)]
    return {**figures, **{name: statistics.median(row[name] for row in rows) for name in rows[0]}}


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=10_000)
    parser.add_argument("--rounds", type=int, default=5)
    given = parser.parse_args()
    with browser() as chrome, tempfile.TemporaryDirectory() as folder:
        short, long = (row_of(chrome, Path(folder), count, given.rounds) for count in (100, given.count))
    print(f"{'':28}{100:>10}{given.count:>10}{'ratio':>10}")
    for name in short:
        print(f"{name:28}{short[name]:>10.0f}{long[name]:>10.0f}{long[name] / max(short[name], 0.1):>10.1f}")


if __name__ == "__main__":
    main()
