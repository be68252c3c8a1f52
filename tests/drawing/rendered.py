"""Boxes of text as a real browser sets it, for drawings and for papers as HTML.

A document is opened in Chromium with a script of ours in it (the papers' own policy lets none run, so it is taken out of
the copy that is measured), which writes down every line of text with its box, its size, and the box it must stay in.
"""

from __future__ import annotations

import html
import json
import re
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from tests.plugins.browser import run

__all__ = ["SMALLEST_PX", "faults_of", "measured", "paper_faults", "sheets_of"]

SMALLEST_PX = 9 * 96 / 72
"""Nine points in the pixels of a browser."""

_ROOMS = {"tall": 257.0, "wide": 188.0, "large": 257.0}
"""Room on the sheets of papers as HTML, in mm; on a screen each has 6 mm more above and below.  A sheet of any other name is
as large as its drawing."""

_SLACK = 0.6
"""Pixels that two boxes may share, or a box may leave its sheet by, before it counts."""

_SCRIPT = """<script>
const measure = doc => {
  const view = doc.defaultView, out = [];
  for (const sheet of doc.querySelectorAll("SHEETS")) {
    const s = sheet.getBoundingClientRect(), lines = [];
    const scale = node => { const svg = node.closest("svg");
      return svg ? svg.getBoundingClientRect().width / svg.viewBox.baseVal.width : 1; };
    const put = (text, r, node, kept) => { if (r.right - r.left > 0.01 && text.trim()) lines.push([text, r.left - s.left,
      r.top - s.top, r.right - s.left, r.bottom - s.top, parseFloat(view.getComputedStyle(node).fontSize) * scale(node),
      kept]); };
    for (const node of sheet.querySelectorAll("svg text")) put(node.textContent, node.getBoundingClientRect(), node, null);
    const walk = doc.createTreeWalker(sheet, NodeFilter.SHOW_TEXT);
    while (walk.nextNode()) {
      const node = walk.currentNode, parent = node.parentElement;
      if (parent.closest("svg,style,title,desc") || !node.textContent.trim()) continue;
      const cell = parent.closest("td,th"), c = cell && cell.getBoundingClientRect(), rows = [];
      const range = doc.createRange(); range.selectNodeContents(node);
      for (const r of range.getClientRects()) {
        const last = rows[rows.length - 1];
        if (last && Math.abs(last.top - r.top) < 1) {
          last.left = Math.min(last.left, r.left); last.right = Math.max(last.right, r.right);
        } else rows.push({left: r.left, top: r.top, right: r.right, bottom: r.bottom});
      }
      for (const r of rows) put(node.textContent, r, parent,
        c && [c.left - s.left, c.top - s.top, c.right - s.left, c.bottom - s.top]);
    }
    out.push({wide: s.width, high: s.height, name: sheet.className, lines: lines,
      rows: [...sheet.querySelectorAll("tbody tr")].map(row => row.getBoundingClientRect().height)});
  }
  return out;
};
window.addEventListener("load", () => {
  const data = document.createElement("pre"); data.id = "measured";
  data.textContent = JSON.stringify([...document.querySelectorAll("iframe")].map(frame => measure(frame.contentDocument)));
  document.body.replaceChildren(data);
});
</script>"""


def measured(documents: Sequence[str], sheets: str, folder: Path) -> list[list[dict[str, Any]]]:
    """Return, for each document, what `sheets` selects: its size, its rows, and its lines: [text, x0, y0, x1, y1, size, cell]."""
    page = folder / "measured.html"
    frames = []
    for document in documents:
        bare = re.sub(r'<meta http-equiv="Content-Security-Policy"[^>]*>', "", document)
        frames.append(f'<iframe width="1900" height="1200" srcdoc="{html.escape(bare, quote=True)}"></iframe>')
    script = _SCRIPT.replace("SHEETS", sheets)
    page.write_text(f"<!DOCTYPE html><meta charset=utf-8><body>{''.join(frames)}{script}", encoding="utf-8")
    made = run(page, folder / "profile", "--dump-dom", "--window-size=2000,1200").decode("utf-8", "replace")
    found = re.search(r'<pre id="measured">(.*?)</pre>', made, re.S)
    assert found is not None, f"the page was not measured: {made[-300:]}"
    data: list[list[dict[str, Any]]] = json.loads(html.unescape(found[1]))
    assert len(data) == len(documents)
    return data


def sheets_of(drawings: Sequence[str]) -> str:
    """Return a document with every drawing on it, each at its own size."""
    body = "".join(f'<div class="one" style="width:max-content">{drawing}</div>' for drawing in drawings)
    return f'<!DOCTYPE html><html><head><meta charset="utf-8"></head><body>{body}</body></html>'


def faults_of(sheet: dict[str, Any], smallest: float = SMALLEST_PX) -> list[str]:
    """Return every breach on a sheet: text over text, text off it, out of its cell, or too small."""
    found = []
    lines = sheet["lines"]
    for text, x0, y0, x1, y1, size, cell in lines:
        said = text[:40]
        if size < smallest - 0.05:
            found.append(f"{said!r} is {size:.2f} px high, {smallest:.2f} is the least")
        if x0 < -_SLACK or y0 < -_SLACK or x1 > sheet["wide"] + _SLACK or y1 > sheet["high"] + _SLACK:
            found.append(f"{said!r} leaves its sheet: {x0:.1f} {y0:.1f} {x1:.1f} {y1:.1f}")
        if cell and (x0 < cell[0] - _SLACK or y0 < cell[1] - 2 or x1 > cell[2] + _SLACK or y1 > cell[3] + 2):
            found.append(f"{said!r} leaves its cell")
    # A browser's line box holds room above capitals and below tails; ink is what must not meet.
    inked = [(text, x0, y0 + (y1 - y0) * 0.14, x1, y1 - (y1 - y0) * 0.14) for text, x0, y0, x1, y1, _, _ in lines]
    inked.sort(key=lambda row: row[2])
    for index, (text, x0, y0, x1, y1) in enumerate(inked):
        for other, a0, b0, a1, b1 in inked[index + 1 :]:
            if b0 > y1:
                break
            if x0 < a1 - _SLACK and a0 < x1 - _SLACK and y0 < b1 - _SLACK and b0 < y1 - _SLACK:
                found.append(f"{text[:40]!r} lies over {other[:40]!r}")
    return found


def paper_faults(sheet: dict[str, Any], row_mm: float = 6.5) -> list[str]:
    """Return the breaches of a sheet of a paper: those of `faults_of`, and rows too low to write in."""
    room = _ROOMS.get(sheet["name"].split()[1], sheet["high"])
    over = (
        [f"the sheet of {sheet['lines'][0][0]!r} is {sheet['high'] * 25.4 / 96:.1f} mm high"]
        if sheet["high"] * 25.4 / 96 > room + 12.5
        else []
    )
    low = [high for high in sheet["rows"] if high < row_mm * 96 / 25.4 - 0.5]
    return [*faults_of(sheet), *over, *(f"a row is {high:.1f} px high" for high in low[:3])]
