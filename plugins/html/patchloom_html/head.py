"""The head of a sheet: what paper it is on the left, the stamp and its code on the right, on every sheet alike.

Comes in: a book's stamp and a page.  Goes out: its height, and HTML for each number of sheet.
"""

from __future__ import annotations

import attrs

from patchloom.drawing.code import CODE_MM, code_path, code_side, code_text
from patchloom.pages import Page, Stamp, say_in
from patchloom.pages.words import Say
from patchloom_html.measure import width, wrap
from patchloom_html.style import LEFT, MARK, SMALL, STRONG
from patchloom_html.words import inert

__all__ = ["Head", "short"]

_SEP, _MOST = " \u00b7 ", 400
_GAPS = 2 * 4.0 + 1.0


def short(digest: str) -> str:
    """Return the first eight figures of a digest, a dash for none."""
    return digest.rpartition(":")[2][:8] or "\u2013"


def _cut(text: str) -> str:
    """Return a text no longer than a head can hold; in full it stands on the page, or in the data of the show."""
    return text if len(text) <= _MOST else f"{text[: _MOST - 1]}\u2026"


@attrs.frozen
class Head:
    """Words of a head, and its height in mm at a width."""

    title: str
    left: tuple[str, ...]
    revision: str
    right: tuple[str, ...]
    high: float
    say: Say
    code: str
    """What the code on it says; empty where there is no stamp."""

    @classmethod
    def of(cls, page: Page, stamp: Stamp | None, wide: float) -> Head:
        """Return the head of a page."""
        title = _SEP.join(word for word in (page.title, page.subject_name or page.subject) if word)
        act, say = page.period_name or page.period, say_in(page.language)
        left = [page.about]
        revision, right = "", []
        if stamp is not None:
            left.insert(0, _SEP.join(word for word in (stamp.show, stamp.date, act) if word))
            revision = f"{say('REV {revision}', revision=stamp.revision or say('none given'))}{_SEP}{say(stamp.status)}"
            right = [
                _SEP.join(
                    word
                    for word in (
                        say("replaces REV {revision}", revision=stamp.replaces) if stamp.replaces else say("replaces nothing"),
                        say("changes since last issue: {count}", count=stamp.changes) if stamp.changes is not None else "",
                    )
                    if word
                ),
                _SEP.join(
                    word
                    for word in (
                        say("made {when}", when=stamp.generated) if stamp.generated else "",
                        say("approved {who}", who=stamp.approver) if stamp.approver else say("not approved"),
                    )
                    if word
                ),
                _SEP.join(
                    (
                        say("patch {digest}", digest=short(stamp.patch)),
                        say("this paper {digest}", digest=short(page.digest)),
                    )
                ),
            ]
            room = wide - wide * LEFT - _GAPS - CODE_MM
            if width(right[1], SMALL.points) > room:  # when it was made, and who approved it, each on a line
                right[1:2] = right[1].split(_SEP, 1)
        title, revision = _cut(title), _cut(revision)
        left, right = [_cut(line) for line in left], [_cut(line) for line in right]
        code = code_text(page, stamp) if stamp is not None else ""
        left_room = wide * LEFT
        right_room = wide - left_room - _GAPS - CODE_MM
        tall = len(wrap(title, left_room, MARK.points, True)) * MARK.line
        tall += sum(len(wrap(line, left_room, SMALL.points)) * SMALL.line for line in left if line)
        other = len(wrap(f"{revision}{_SEP}00 of 00", right_room, STRONG.points, True)) * STRONG.line
        other += sum(len(wrap(line, right_room, SMALL.points)) * SMALL.line for line in right if line)
        return cls(
            title,
            tuple(line for line in left if line),
            revision,
            tuple(line for line in right if line),
            max(tall, other, CODE_MM) + 3.4,
            say,
            code,
        )

    def html(self, number: int, of: int, anchor: str = "") -> str:
        """Return the head of one sheet; the code is drawn on the first sheet of an anchor, and shown again on the others."""
        left = "".join(f'<p class="about">{inert(line)}</p>' for line in self.left)
        right = "".join(f"<p>{inert(line)}</p>" for line in self.right)
        numbered = _SEP.join(
            word for word in (self.revision, self.say("page {number} of {count}", number=number, count=of)) if word
        )
        return (
            f'<header><div class="what"><h1>{inert(self.title)}</h1>{left}</div>'
            f'<div class="stamp"><p class="rev">{inert(numbered)}</p>{right}</div>{self._code(number, anchor)}</header>'
        )

    def _code(self, number: int, anchor: str) -> str:
        if not self.code:
            return ""
        side, name = code_side(self.code), f"{anchor}c"
        drawn = f'<use href="#{name}"/>'
        if number == 1:
            drawn = f'<path id="{name}" fill="none" stroke="#000" d="{code_path(self.code)}"/>'
        return f'<svg class="code" role="img" aria-label="{self.code}" viewBox="0 0 {side} {side}">{drawn}</svg>'
