"""Pages as Markdown: one file per page, tables as pipe tables, checklists as task lists.

Comes in: a `Book` and options.  Goes out: one `Artifact` of `text/markdown` per page.  Next: a wiki, a repository, a chat.

CommonMark with the tables and task lists most readers know.  A sign that could be markup where it stands is escaped and
`<`, `>` and `&` are entities, so that a name is a name also where HTML is let through.  Control characters and direction
overrides are gone; a name that runs right to left is isolated.  Drawings are listed as words.

Options: `stamp` (default true; false leaves out the stamp and nothing else).
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from patchloom.collector import at_rest
from patchloom.pages import Artifact, Book, Cell, Page, Table, say_in
from patchloom.pages.extra import chosen
from patchloom.pages.files import clean, file_names

__all__ = ["inert", "render"]

_SIGNS = {ord(sign): f"\\{sign}" for sign in "\\`*_[]|~$@"} | {ord("<"): "&lt;", ord(">"): "&gt;", ord("&"): "&amp;"}
_LINK = re.compile(r"(?i)(://|www\.)")
_START = re.compile(r"([#+=\-]|[0-9]+(?=[.)]))")
_NONE = "\u2013"


def inert(text: str) -> str:
    """Return a text in which nothing is markup, on one line."""
    words = " ".join(clean(text).split())
    done = _LINK.sub(_apart, words.translate(_SIGNS))
    if _START.match(words):
        done = f"\\{done}" if not words[0].isdigit() else re.sub(r"([.)])", r"\\\1", done, count=1)
    if words.isascii():
        return done
    if any(unicodedata.bidirectional(sign) in ("R", "AL", "AN") for sign in words) and not words.startswith("\u2068"):
        return f"\u2068{done}\u2069"
    return done


class _Said(dict[str, str]):
    """Texts in which nothing is markup, each made when it is first asked for; a good many kept."""

    def __missing__(self, text: str) -> str:
        if len(self) > _MOST_KEPT:
            self.clear()
        made = self[text] = inert(text)
        return made


_SAID, _MOST_KEPT = _Said(), 65_536


def _marked(cell: Cell) -> str:
    return "\u2610" if "tick" in cell.marks and not cell.text else _SAID[cell.text]


def _apart(found: re.Match[str]) -> str:
    """Return the start of an address so that no reader makes a link of it."""
    return "\\://" if found[0] == "://" else f"{found[0][:3]}\\."


def render(book: Book, options: Mapping[str, Any] | None = None) -> Iterator[Artifact]:
    """Yield one Markdown file for each page, in the order of the book.  Raises PluginError for an unknown option."""
    stamp = bool(chosen(options, {"stamp": True}, "markdown")["stamp"])
    for name, page in file_names(book):
        with at_rest():
            text = "\n".join(_page(book, page, stamp))
        yield Artifact(f"{name}.md", "text/markdown; charset=utf-8", f"{text}\n".encode())


def _page(book: Book, page: Page, stamp: bool) -> Iterator[str]:
    yield f"# {_joined((page.title, page.subject_name or page.subject, page.period_name or page.period))}"
    yield ""
    if page.about:
        yield from (inert(page.about), "")
    if stamp:
        yield from _stamp(book, page)
    say = say_in(page.language)
    yield from _list(f"**{inert(say(row.kind).upper())}:** {inert(row.text)}" for row in (*page.remarks, *book.faults))
    for table in page.tables:
        yield from _table(table)
    yield from _steps(page)
    yield from _drawing(page)
    yield from _list(inert(note) for note in page.notes)
    yield from _list(f"**{inert(say(row.area).upper())}:** {inert(row.text)}" for row in page.cautions)


def _joined(words: Iterable[str], between: str = " \u2014 ") -> str:
    return between.join(inert(word) for word in words if word)


def _list(lines: Iterable[str]) -> Iterator[str]:
    rows = [f"- {line}" for line in lines]
    if rows:
        yield from (*rows, "")


def _stamp(book: Book, page: Page) -> Iterator[str]:
    stamp, say = book.stamp, say_in(page.language)
    if stamp is None:
        return
    words = (
        stamp.show,
        stamp.date,
        say("REV {revision}", revision=stamp.revision or _NONE),
        say(stamp.status),
        say("replaces REV {revision}", revision=stamp.replaces) if stamp.replaces else "",
        say("made {when}", when=stamp.generated) if stamp.generated else "",
        say("approved {who}", who=stamp.approver) if stamp.approver else say("not approved"),
        say("patch {digest}", digest=_short(stamp.patch)),
        say("this paper {digest}", digest=_short(page.digest)),
        say("changes since last issue: {count}", count=stamp.changes) if stamp.changes is not None else "",
    )
    yield from (_joined(words, " \u00b7 "), "")


def _short(digest: str) -> str:
    return digest.rpartition(":")[2][:8] or _NONE


def _line(cells: Iterable[str]) -> str:
    return f"| {' | '.join(cells)} |"


def _table(table: Table) -> Iterator[str]:
    if table.title:
        yield from (f"## {inert(table.title)}", "")
    if table.columns:
        yield _line(inert(column.title) for column in table.columns)
        yield _line("--:" if column.kind == "number" else ":-:" if column.kind == "tick" else "---" for column in table.columns)
        for row in table.rows:
            cells = [_marked(cell) if cell.marks else _SAID[cell.text] for cell in row.cells]
            if row.kind == "section":
                cells = [f"**{' '.join(word for word in cells if word)}**"]
            yield _line([*cells, *[""] * (len(table.columns) - len(cells))])
        yield ""
    yield from _list(inert(note) for note in table.notes)


def _steps(page: Page) -> Iterator[str]:
    number = 0
    for group in page.steps:
        yield from (f"## {inert(group.title)}", "")
        if group.why:
            yield from (inert(group.why), "")
        for step in group.steps:
            number += 1
            caution = f"**! {inert(step.caution)}** " if step.caution else ""
            heard = say_in(page.language)("heard by {positions}", positions=", ".join(step.hears))
            heard = f" ({inert(heard)})" if step.hears else ""
            yield f"- [ ] {number}\\. {caution}{inert(step.text)}{heard}"
            yield from (f"  - {inert(line)}" for line in step.lines)
        yield ""


def _drawing(page: Page) -> Iterator[str]:
    say = say_in(page.language)
    if page.diagram is not None:
        names = {node.id: node.label or node.id for node in page.diagram.nodes}
        yield from (_line(map(say, ("From", "Port", "To", "Port", "Kind", "What"))), _line(["---"] * 6))
        for edge in page.diagram.edges:
            words = "; ".join(word for word in (edge.label, *edge.lines) if word)
            ends = (names.get(edge.from_, edge.from_), edge.from_port, names.get(edge.to, edge.to), edge.to_port)
            yield _line(inert(word) for word in (*ends, say(edge.kind), words))
        yield ""
    if page.plan is not None:
        yield from (_line(map(say, ("Kind", "What", "Words", "Zone", "x m", "y m"))), _line([*["---"] * 4, "--:", "--:"]))
        for thing in page.plan.things:
            x, y = (f"{value:g}" for value in thing.at) if thing.at else ("", "")
            yield _line(inert(word) for word in (say(thing.kind), thing.label, "; ".join(thing.lines), thing.zone, x, y))
        yield ""
