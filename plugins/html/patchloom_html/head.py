"""The head of a sheet: what paper it is on the left, the stamp on the right, on every sheet alike.

Comes in: a book's stamp and a page.  Goes out: its height, and HTML for each number of sheet.
"""

from __future__ import annotations

import attrs

from patchloom.pages import Page, Stamp, say_in
from patchloom.pages.words import Say
from patchloom_html.measure import wrap
from patchloom_html.style import MARK, SMALL, STRONG
from patchloom_html.words import inert

__all__ = ["Head", "short"]

_SEP, _MOST = " \u00b7 ", 400


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
        title, revision = _cut(title), _cut(revision)
        left, right = [_cut(line) for line in left], [_cut(line) for line in right]
        left_room, right_room = wide * 0.58, wide * 0.40
        tall = len(wrap(title, left_room, MARK.points, True)) * MARK.line
        tall += sum(len(wrap(line, left_room, SMALL.points)) * SMALL.line for line in left if line)
        other = len(wrap(f"{revision}{_SEP}00 of 00", right_room, STRONG.points, True)) * STRONG.line
        other += sum(len(wrap(line, right_room, SMALL.points)) * SMALL.line for line in right if line)
        return cls(
            title,
            tuple(line for line in left if line),
            revision,
            tuple(line for line in right if line),
            max(tall, other) + 3.4,
            say,
        )

    def html(self, number: int, of: int) -> str:
        """Return the head of one sheet."""
        left = "".join(f'<p class="about">{inert(line)}</p>' for line in self.left)
        right = "".join(f"<p>{inert(line)}</p>" for line in self.right)
        numbered = _SEP.join(
            word for word in (self.revision, self.say("page {number} of {count}", number=number, count=of)) if word
        )
        return (
            f'<header><div class="what"><h1>{inert(self.title)}</h1>{left}</div>'
            f'<div class="stamp"><p class="rev">{inert(numbered)}</p>{right}</div></header>'
        )
