"""The head of a sheet: what paper it is, the stamp, and the stamp once more as a code to read with a camera.

Comes in: a page and its book's stamp.  Goes out: typst source, the same on every sheet but for its number, and its height.
Next: `sheets.py`.
"""

from __future__ import annotations

from functools import lru_cache
from math import ceil

import attrs

from patchloom.drawing.code import CODE_MM, code_path, code_side, code_text
from patchloom.drawing.fonts import width
from patchloom.drawing.metrics import MM
from patchloom.pages import Page, Stamp, say_in
from patchloom_pdf.columns import LEAD
from patchloom_pdf.words import Words, mm

__all__ = ["PREAMBLE", "Head", "short"]

_SEP = " \u00b7 "
_CODE, _GAP, _LEFT = CODE_MM, 3.0, 0.56
_MOST = 400  # letters of a title that are printed in the head

PREAMBLE = """
#let head(left, title, lines, first, more, code, id, paged) = context {
  let p = here().page()
  let a = locate(label("s" + id)).page()
  let e = locate(label("e" + id)).page()
  let of = paged.at(0) + str(p - a + 1) + paged.at(1) + str(e - a + 1) + paged.at(2)
  set par(leading: 0.2em)
  grid(columns: (left, 1fr, auto), column-gutter: 3mm,
    [#text(size: 16pt, weight: "bold", title)#for l in lines [\\ #text(size: 9pt, l)]],
    align(right)[#text(size: 12pt, weight: "bold", if first == "" { of } else { first + " \u00b7 " + of })
      #for l in more [\\ #text(size: 9pt, l)]],
    code)
  v(1mm, weak: true)
  line(length: 100%, stroke: 0.7mm)
}
"""
"""What the source of a head calls."""


def short(digest: str) -> str:
    """Return the first eight figures of a digest, a dash for none."""
    return digest.rpartition(":")[2][:8] or "\u2013"


@lru_cache(maxsize=1024)
def _code(text: str) -> str:
    """Return a code as SVG, black on white, its quiet zone included."""
    size = code_side(text)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {size} {size}" width="{size}" height="{size}">'
        f'<rect width="{size}" height="{size}" fill="#fff"/><path fill="none" stroke="#000" d="{code_path(text)}"/></svg>'
    )


@attrs.frozen
class Head:
    """The source of a head, and its height in mm."""

    source: str
    high: float

    @classmethod
    def of(cls, page: Page, stamp: Stamp | None, wide: float, key: str, words: Words) -> Head:
        """Return the head of a page, at a width in mm; `key` names its first and last sheet."""
        left_wide = wide * _LEFT
        right_wide = wide - left_wide - 2 * _GAP - (_CODE if stamp is not None else 0.0)
        title = _cut(_SEP.join(word for word in (page.title, page.subject_name or page.subject) if word))
        first, right = _right(page, stamp)
        left = [line for line in (_left(page, stamp), page.about) if line]
        high_left = _high(title, 16, True, left_wide) + sum(_high(line, 9, False, left_wide) for line in left)
        high_right = _high(f"{first}{_SEP}page 00 of 00", 12, True, right_wide) + sum(
            _high(line, 9, False, right_wide) for line in right
        )
        code = "[]"
        if stamp is not None:
            said = code_text(page, stamp)
            picture = Words.raw(_code(said))
            code = f'image(bytes({picture}), format: "svg", width: {mm(_CODE)}, alt: {Words.raw(said)})'
        source = (
            f"head({mm(left_wide)}, {words.fitted(title, left_wide, 16, True)}, {_row(words, left, left_wide)}, "
            f"{words.fitted(first, right_wide, 12, True)}, {_row(words, right, right_wide)}, {code}, {Words.raw(key)}, "
            f"({', '.join(words.quoted(part) for part in _paged(page))}))"
        )
        return cls(source, max(high_left, high_right, _CODE if stamp is not None else 0.0) + 4.5)


def _paged(page: Page) -> list[str]:
    """Return the words before, between and after the number of a sheet and how many there are."""
    return say_in(page.language)("page {number} of {count}", number="\0", count="\0").split("\0")


def _left(page: Page, stamp: Stamp | None) -> str:
    act = page.period_name or page.period
    given = (stamp.show, stamp.date, act) if stamp is not None else (act,)
    return _cut(_SEP.join(word for word in given if word))


def _right(page: Page, stamp: Stamp | None) -> tuple[str, list[str]]:
    """Return the first line of the stamp, but for the number of the sheet, and the others."""
    if stamp is None:
        return "", []
    say = say_in(page.language)
    rows = (
        (
            say("replaces REV {revision}", revision=stamp.replaces) if stamp.replaces else say("replaces nothing"),
            say("changes since last issue: {count}", count=stamp.changes) if stamp.changes is not None else "",
        ),
        (say("made {when}", when=stamp.generated) if stamp.generated else "",),
        (say("approved {who}", who=stamp.approver) if stamp.approver else say("not approved"),),
        (say("patch {digest}", digest=short(stamp.patch)), say("this paper {digest}", digest=short(page.digest))),
    )
    lines = [_cut(line) for row in rows if (line := _SEP.join(word for word in row if word))]
    revision = say("REV {revision}", revision=stamp.revision or say("none given"))
    return _cut(f"{revision}{_SEP}{say(stamp.status)}"), lines


def _cut(text: str) -> str:
    return text if len(text) <= _MOST else text[: _MOST - 1] + "\u2026"


def _row(words: Words, lines: list[str], wide: float) -> str:
    return "(" + "".join(f"{words.fitted(line, wide, 9, False)}, " for line in lines) + ")"


def _high(text: str, points: float, bold: bool, wide: float) -> float:
    """Return about how high a text is: its lines, one more where words leave much of them empty."""
    lines = ceil(width(text, points, bold) * 1.06 / wide) if text else 0
    longest = max((width(word, points, bold) for word in text.split()), default=0.0)
    return (lines + (1 if lines > 1 and longest > wide / 3 else 0)) * points * MM * LEAD
