"""Pages as plain text for a terminal: tables that line up, also with East Asian text.

Comes in: a `Book` and options.  Goes out: one `text/plain` `Artifact` per page.  Next: a terminal, a mail.

Nothing in a name reaches the terminal as a command: control characters and direction overrides are gone.
Width is counted in columns of the terminal: wide and full-width characters count two, marks that combine none.

Options: `width` (columns, default 0: as wide as the table is), `stamp` (default true).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import chain, islice, zip_longest
from operator import attrgetter
from typing import Any

from patchloom.collector import at_rest
from patchloom.pages import Artifact, Book, Cell, Page, Table, say_in
from patchloom.pages.files import clean, file_names
from patchloom_text.width import cut, isolated, padded, wide, wrapped

__all__ = ["page_text", "render"]

_GAP = "  "
_KIND = attrgetter("kind")
_NONE = "\u2013"


def render(book: Book, options: Mapping[str, Any] | None = None) -> Iterator[Artifact]:
    """Yield one text file for each page, in the order of the book."""
    for name, page in file_names(book):
        with at_rest():
            data = page_text(book, page, options).encode("utf-8")
        yield Artifact(f"{name}.txt", "text/plain; charset=utf-8", data)


def page_text(book: Book, page: Page, options: Mapping[str, Any] | None = None) -> str:
    """Return one page as text, ending in a line feed."""
    chosen = options or {}
    width = int(chosen.get("width", 0))
    lines = list(_stamp(book, page)) if chosen.get("stamp", True) else []
    say = say_in(page.language)
    lines.extend(f"{say(row.kind).upper()}: {clean(row.text)}" for row in (*page.remarks, *book.faults))
    lines.append("")
    for table in page.tables:
        lines.extend(_table(table, width))
    lines.extend(_steps(page))
    lines.extend(_drawing(page))
    lines.extend(clean(note) for note in page.notes)
    lines.extend(f"{say(row.area).upper()}: {row.text}" for row in page.cautions)
    if width:
        lines = [
            part
            for line in lines
            for part in (wrapped(line, width) if wide(line) > width and not line.startswith(_BAR) else [line])
        ]
    return "\n".join(map(str.rstrip, lines)) + "\n"


_BAR = ("\u2500", "\u2501", " ")


def _stamp(book: Book, page: Page) -> Iterator[str]:
    stamp, say = book.stamp, say_in(page.language)
    subject = page.subject_name or page.subject
    yield clean(" \u2014 ".join(word for word in (page.title, subject, page.period_name or page.period) if word))
    if page.about:
        yield clean(page.about)
    if stamp is None:
        return
    words = (
        stamp.show,
        stamp.date,
        say("REV {revision}", revision=stamp.revision or _NONE),
        say(stamp.status),
        say("replaces REV {revision}", revision=stamp.replaces) if stamp.replaces else "",
        stamp.generated,
        say("approved {who}", who=stamp.approver) if stamp.approver else say("not approved"),
        say("patch {digest}", digest=_short(stamp.patch)),
        say("this paper {digest}", digest=_short(page.digest)),
        say("changes since last issue: {count}", count=stamp.changes) if stamp.changes is not None else "",
        say("page {number} of {count}", number=1, count=1),
    )
    yield clean(" | ".join(word for word in words if word))


def _short(digest: str) -> str:
    return digest.rpartition(":")[2][:8] or _NONE


def _table(table: Table, most: int) -> Iterator[str]:
    """Yield a table: heads, a rule, rows, a rule between blocks, notes."""
    grid = [tuple([_cell(cell) if cell.marks else cell.text for cell in row.cells]) for row in table.rows]
    heads = [clean(column.title) for column in table.columns]
    every = "".join(chain.from_iterable(grid))
    plain = every.isascii() and every.isprintable()  # each letter is one column, and none must go
    if not plain:
        said = _Said()
        grid = [tuple(map(said.__getitem__, cells)) for cells in grid]
    widths, count = list(map(wide, heads)), len(heads)
    sections = "section" in map(_KIND, table.rows)
    whole = [cells for row, cells in zip(table.rows, grid, strict=True) if row.kind != "section"] if sections else grid
    for place, column in enumerate(islice(zip_longest(*whole, fillvalue=""), count)):
        widths[place] = max(widths[place], max(map(len, column)) if plain else max(map(wide, column)))
    if most:
        widths = _narrowed(widths, heads, most)
    if table.title:
        yield clean(table.title)
    if any(heads):
        yield _line(heads, widths, [False] * len(heads))
    yield "\u2501" * (sum(widths) + len(_GAP) * (len(widths) - 1))
    right = [column.kind == "number" for column in table.columns]
    rule = "\u2500" * (sum(widths) + len(_GAP) * (len(widths) - 1))
    pattern = _GAP.join([f"%{width}s" if at_right else f"%-{width}s" for width, at_right in zip(widths, right, strict=True)])
    if plain and not sections and not most and all(size == count for size in map(len, grid)):
        lines = [pattern % cells for cells in grid]
    else:
        lines = [
            " ".join(word for word in cells if word)
            if row.kind == "section"
            else pattern % cells
            if not most and len(cells) == count and "".join(cells).isascii()
            else _line([cut(cell, widths[place]) for place, cell in enumerate(cells)] if most else cells, widths, right)
            for row, cells in zip(table.rows, grid, strict=True)
        ]
    block = table.rows[0].block if table.rows else None
    for row, line in zip(table.rows, lines, strict=True):
        if row.block != block:
            block = row.block
            yield rule
        yield line
    yield from (clean(note) for note in table.notes)
    yield ""


class _Said(dict[str, str]):
    """Texts as they may be printed, found out when they are first asked for."""

    def __missing__(self, text: str) -> str:
        made = self[text] = clean(text)
        return made


def _cell(cell: Cell) -> str:
    return "[ ]" if "tick" in cell.marks and not cell.text else cell.text


def _narrowed(widths: list[int], heads: list[str], most: int) -> list[int]:
    """Return widths that fit, the widest columns giving way first, none below its head or four."""
    widths = list(widths)
    while sum(widths) + len(_GAP) * (len(widths) - 1) > most:
        place = max(range(len(widths)), key=lambda at: (widths[at] - max(4, wide(heads[at])), at))
        if widths[place] <= max(4, wide(heads[place])):
            break
        widths[place] -= 1
    return widths


def _line(cells: Sequence[str], widths: Sequence[int], right: Sequence[bool]) -> str:
    return _GAP.join(
        isolated(padded(cell, width, at_right), cell) for cell, width, at_right in zip(cells, widths, right, strict=True)
    )


def _steps(page: Page) -> Iterator[str]:
    number = 0
    for group in page.steps:
        yield f"{clean(group.title)}{f' - {clean(group.why)}' if group.why else ''}"
        for step in group.steps:
            number += 1
            if step.caution:
                yield f"        ! {clean(step.caution)}"
            yield f"[ ] {number:>2}. {clean(step.text)}"
            yield from (f"        {clean(line)}" for line in step.lines)
            if step.hears:
                heard = say_in(page.language)("heard by {positions}", positions=", ".join(step.hears))
                yield clean(f"        {heard}")
        yield ""


def _drawing(page: Page) -> Iterator[str]:
    say = say_in(page.language)
    if page.diagram is not None:
        names = {node.id: node.label or node.id for node in page.diagram.nodes}
        for edge in page.diagram.edges:
            ends = (
                f"{names.get(edge.from_, edge.from_)} {edge.from_port}".strip(),
                f"{names.get(edge.to, edge.to)} {edge.to_port}".strip(),
            )
            arrow = {"to": "->", "from": "<-", "both": "<->", "none": "--"}.get(edge.arrows, "--")
            words = "; ".join(word for word in (edge.label, *edge.lines) if word)
            yield clean(f"{ends[0]} {arrow} {ends[1]}{f': {words}' if words else ''} ({say(edge.kind)})")
        yield ""
    if page.plan is not None:
        for thing in page.plan.things:
            place = f"x {thing.at[0]:g} m, y {thing.at[1]:g} m" if thing.at else thing.zone
            yield clean("  ".join(word for word in (say(thing.kind), thing.label, "; ".join(thing.lines), place) if word))
        yield ""
