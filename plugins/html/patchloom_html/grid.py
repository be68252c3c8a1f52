"""A table, measured: how wide its columns are, how high its rows, and its HTML in pieces that stay whole.

Comes in: a `Table` and the width there is.  Goes out: a `Grid`.  Next: `sheets.py` deals its pieces.

What a table needs and says is found out once (`Measured`), column by column and each text once; a width then costs only the
cells that break at it.  Widths and type of a column stand in the style sheet, so that a cell is hardly more than its text.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cached_property, lru_cache, partial
from math import ceil
from operator import attrgetter

from patchloom.pages import Cell, Column, Row, Table
from patchloom_html.deal import Piece, Unit
from patchloom_html.measure import advances, width, wrap
from patchloom_html.style import BIG, BODY, HEAD, MARK, PAD_X, PAD_Y, ROW, RULE, STRONG, Shape, Type
from patchloom_html.words import CELLS, inert, plain, quoted, simple

__all__ = ["Grid", "Measured"]

_SIZES = {"body": BODY, "bold": Type(BODY.points, True), "strong": STRONG, "big": BIG}
_CAP, _LEAST, _TICK = 52.0, 7.0, 8.0
_ROOM = 2 * PAD_X + 0.4
_BREAKS = 1.06  # words do not fill a line to its end
_STEPS, _TIE, _LITTLE = (2.0, 4.0, 8.0, 14.0), 0.02, 1e-9
_WHOLE, _BROKEN = 30.0, 4.0  # mm up to which an address stays whole; what breaking a name costs
_BARE, _BLOCK = 0.6, ' class="block"'
_TEXT, _MARKS, _KIND, _CELLS = attrgetter("text"), attrgetter("marks"), attrgetter("kind"), attrgetter("cells")
_ALIGN = {"number": "right", "tick": "center"}


def _type(column: Column) -> Type:
    if column.size == "big" and column.kind == "address":
        return MARK
    return _SIZES.get(column.size, BODY)


@lru_cache(maxsize=512)
def _ask(column: Column) -> tuple[Type, float, float]:
    """Return the type of a column, the longest word of its head in mm, and its least width, whatever is in it."""
    return _type(column), _longest_word(column.title, HEAD.bold) * HEAD.points, _TICK if column.kind == "tick" else _LEAST


@lru_cache(maxsize=8192)
def _longest_word(text: str, bold: bool) -> float:
    """Return the width of the longest word of a text, in mm at one point."""
    if "-" in text or "/" in text:
        text = text.replace("-", "- ").replace("/", "/ ")
    return max(map(advances(bold).__getitem__, text.split()), default=0.0)


class _Down:
    """One column: its cells' texts, how wide each is on one line, and what it cannot do without."""

    def __init__(self, column: Column, cells: Sequence[Cell]) -> None:
        self.column = column
        self.type, self.head, self.floor = _ask(column)
        self.texts = list(map(_TEXT, cells))
        self.marked = [(place, cell) for place, cell in enumerate(cells) if cell.marks] if any(map(_MARKS, cells)) else []
        self.bold = set() if self.type.bold else {place for place, cell in self.marked if "strong" in cell.marks}
        self.big = {place for place, cell in self.marked if "big" in cell.marks}
        self._highs: dict[float, list[float]] = {}
        points = self.type.points
        if self.bold or self.big:
            self.most = max(self.needs, default=0.0)
        else:
            self.most = max(map(advances(self.type.bold).__getitem__, self.texts), default=0.0) * points
        self.whole = max(self.floor, self.most + _ROOM, min(self.head, _CAP) + _ROOM)
        """The width at which no cell breaks and no word of the head."""

    def inside(self) -> tuple[str, Sequence[str]]:
        """Return how a cell of the column stands in a row of HTML, and what is put there for each."""
        if not self.marked and simple("".join(self.texts)):
            return "<td>%s</td>", self.texts
        made = list(map(CELLS.__getitem__, self.texts))
        for place, cell in self.marked:
            made[place] = _marked(cell)
        return "%s", made

    @cached_property
    def needs(self) -> list[float]:
        """Return how wide each cell is on one line."""
        known, points = advances(self.type.bold), self.type.points
        made = [known[text] * points for text in self.texts]
        for place in self.bold:
            made[place] = width(self.texts[place], points, True)
        for place in self.big:
            made[place] = width(self.texts[place], BIG.points, True)
        return made

    def set_at(self, place: int) -> bool:
        """Return whether a cell is set bold."""
        return self.type.bold or place in self.bold

    @cached_property
    def least(self) -> float:
        """Return the least width in mm: its longest word, or its longest cell where figures line up."""
        one = max((_longest_word(text, self.type.bold) for text in dict.fromkeys(self.texts)), default=0.0)
        if self.bold:
            one = max(one, *(_longest_word(self.texts[place], True) for place in self.bold))
        one = max(self.head, one * self.type.points)
        if self.column.kind in ("number", "address"):
            one = max([one, *(min(need, _WHOLE) for need in self.needs)])
        return max(self.floor, min(one, _CAP) + _ROOM)

    def highs(self, size: float, rows: Sequence[int]) -> list[float]:
        """Return about how high some cells are at a width, a name that breaks counted dearer than it is high.

        Kept by the width: the rows asked for are always the same.
        """
        if size in self._highs:
            return self._highs[size]
        room, line, needs = size - _ROOM, self.type.line, self.needs
        dear = _BROKEN if self.column.size in ("strong", "big") else 0.0
        low = max(ROW - 2 * PAD_Y, line)
        made = self._highs[size] = [
            low
            if (need := needs[row]) * _BREAKS <= room
            else max(low, (n := ceil(need * _BREAKS / room)) * line) + (n - 1) * dear
            for row in rows
        ]
        return made

    def lines(self, size: float) -> list[int] | None:
        """Return how many lines each cell takes at a width; None where each takes one."""
        room = size - 2 * PAD_X - 0.2
        if self.most <= room:
            return None
        points = self.type.points
        return [
            1
            if need <= room
            else len(wrap(text, room, BIG.points, True) if place in self.big else wrap(text, room, points, self.set_at(place)))
            for place, (text, need) in enumerate(zip(self.texts, self.needs, strict=True))
        ]


class Measured:
    """What a table needs and says, whatever its width."""

    def __init__(self, table: Table) -> None:
        self.table = table
        again = table.repeat_first and bool(table.columns)
        self.columns = (*table.columns, table.columns[0]) if again else table.columns
        self.panel = not any(column.title for column in table.columns)
        self.rows: Sequence[Row] = table.rows
        if "section" in map(_KIND, table.rows):
            self.rows = [row for row in table.rows if row.kind != "section"]
        count = len(table.columns)
        cells: list[tuple[Cell, ...]] = list(map(_CELLS, self.rows))
        if any(size != count for size in map(len, cells)):
            cells = [(*row, *[Cell()] * count)[:count] for row in cells]
        down = list(zip(*cells, strict=True)) if cells else [()] * count
        self.down = [_Down(column, column_cells) for column, column_cells in zip(table.columns, down, strict=True)]
        self.all_down = [*self.down, self.down[0]] if again else self.down
        self.whole = sum([down.whole for down in self.all_down])
        if table.pitch_mm is not None:  # a strip, to be cut out and laid beside what it names
            self.whole = table.pitch_mm * len(self.all_down)

    @cached_property
    def html(self) -> list[str]:
        """Return each row of the table as HTML, sections included."""
        hows, columns = zip(*[down.inside() for down in self.down], strict=True) if self.down else ((), ())
        if len(self.columns) > len(self.table.columns):
            again = f'<td class="again">{hows[0][4:]}' if hows[0] != "%s" else "%s"
            first = columns[0] if hows[0] != "%s" else [f'<td class="again"{cell[3:]}' for cell in columns[0]]
            hows, columns = (*hows, again), (*columns, first)
        row = f"<tr>{''.join(hows)}</tr>"
        made = [row % cells for cells in zip(*columns, strict=True)]
        if len(made) == len(self.table.rows):
            return made
        each, span = iter(made), len(self.columns)
        return [
            f'<tr><td class="section" colspan="{span}">{inert(_joined(row))}</td></tr>' if row.kind == "section" else next(each)
            for row in self.table.rows
        ]

    def readable(self, shape: Shape) -> bool:
        """Return whether no word must break for the table to stand on a sheet of this shape."""
        return self.fits(shape.wide) or (self.table.pitch_mm is None and sum(down.least for down in self.all_down) <= shape.wide)

    def fits(self, wide: float) -> bool:
        """Return whether the table stands in a width without a cell that breaks."""
        return self.whole <= wide

    def widths(self, wide: float) -> tuple[float, ...]:
        """Return widths that fill `wide`: words whole first, what is left by need, then by share; a panel evenly.

        A strip has its pitch, whatever the width.
        """
        every = self.all_down
        if not every:
            return ()
        if self.table.pitch_mm is not None:
            return (self.table.pitch_mm,) * len(every)
        if self.panel:  # its sockets are evenly spaced
            return (wide / len(every),) * len(every)
        if self.fits(wide):
            widths = [down.whole for down in every]
        else:
            least = [down.least for down in every]
            if sum(least) >= wide:
                return tuple(value * wide / sum(least) for value in least)
            widths = self._eased(least, wide)
        rest = wide - sum(widths)
        shares = [column.width if column.kind == "text" else 0.0 for column in self.columns]
        total = sum(shares)
        if not total:
            return tuple(value * wide / sum(widths) for value in widths)
        return tuple([value + rest * share / total for value, share in zip(widths, shares, strict=True)])

    def _eased(self, widths: list[float], wide: float) -> list[float]:
        """Return widths widened where that lowers the rows most, a step at a time spent on the dearest column.

        Lines are reckoned from the width of the text, not broken word by word; columns in which nothing breaks take no part.
        """
        every = self.all_down
        active = [place for place, down in enumerate(every) if down.most * _BREAKS > widths[place] - _ROOM]
        base = max((max(ROW - 2 * PAD_Y, down.type.line) for down in every), default=0.0)
        breaking: set[int] = set()  # in no other row anything changes
        for place in active:
            room = widths[place] - _ROOM
            breaking.update([row for row, need in enumerate(every[place].needs) if need * _BREAKS > room])
        rows = sorted(breaking)
        highs = {place: every[place].highs(widths[place], rows) for place in active}
        while active and rows:
            tops = [sorted((base, *row))[-2:] for row in zip(*highs.values(), strict=True)]
            whole = sum([top[1] for top in tops])
            best: tuple[float, int, float, list[float]] | None = None
            left = wide - sum(widths)
            for place in active:
                high = highs[place]
                now = whole + sum(high) * _TIE
                others = [top[0] if mine == top[1] else top[1] for mine, top in zip(high, tops, strict=True)]
                for more in _STEPS:
                    if more > left:
                        break
                    trial = every[place].highs(widths[place] + more, rows)
                    gain = (now - sum(map(max, trial, others)) - sum(trial) * _TIE) / more
                    if gain > _LITTLE and (best is None or gain > best[0] + _LITTLE):
                        best = (gain, place, more, trial)
            if best is None:
                break
            widths[best[1]] += best[2]
            highs[best[1]] = best[3]
            active = [place for place in active if every[place].most * _BREAKS > widths[place] - _ROOM]
            highs = {place: highs[place] for place in active}
        return widths


class Grid:
    """A table set to a width."""

    def __init__(self, table: Measured, wide: float) -> None:
        self.measured, self.table, self.wide = table, table.table, wide
        self.widths = table.widths(wide)
        lines = {place: down.lines(self.widths[place]) for place, down in enumerate(table.all_down)}
        self._broken = {place: counts for place, counts in lines.items() if counts is not None}
        self.highs = self._highs()

    @classmethod
    def of(cls, table: Table, wide: float) -> Grid:
        """Return the grid of a table."""
        return cls(Measured(table), wide)

    def _highs(self) -> list[float]:
        """Return the height of each row, sections included."""
        every = self.measured.all_down
        one = max((down.type.line for down in every), default=0.0)
        plain_row = max(ROW, one + 2 * PAD_Y + RULE)
        if not self._broken:
            inner = [plain_row] * len(self.measured.rows)
        else:
            columns = [[count * every[place].type.line for count in counts] for place, counts in self._broken.items()]
            inner = [max(ROW, max(one, *row) + 2 * PAD_Y + RULE) for row in zip(*columns, strict=True)]
        for place, down in enumerate(every):
            for row in down.big:
                high = BIG.line * (self._broken[place][row] if place in self._broken else 1)
                inner[row] = max(inner[row], high + 2 * PAD_Y + RULE)
        if len(inner) == len(self.table.rows):
            return inner
        each = iter(inner)
        return [self._section(row) if row.kind == "section" else next(each) for row in self.table.rows]

    def _section(self, row: Row) -> float:
        lines = len(wrap(_joined(row), self.wide - 2 * PAD_X, STRONG.points, True))
        return max(ROW, lines * STRONG.line + 2 * PAD_Y + RULE)

    def squeezed(self) -> float:
        """Return the share of rows in which a name breaks or a cell runs to three lines."""
        if not self._broken or not self.table.rows:
            return 0.0
        columns = self.measured.columns
        most = [(1 if columns[place].size in ("strong", "big") else 2, counts) for place, counts in self._broken.items()]
        broken = sum(any(counts[row] > least for least, counts in most) for row in range(len(self.measured.rows)))
        return broken / len(self.table.rows)

    def css(self, name: str) -> tuple[str, str]:
        """Return the rules of the columns of tables of a class: for paper and wide screens, and for a phone."""
        types, phone = _looks(self.measured.columns)
        total = sum(self.widths)
        element = "col" if self.measured.panel else "th"
        wide = [
            f".{name} {element}:nth-child({place}){{width:{value * 100 / total:.3f}%}}"
            for place, value in enumerate(self.widths, 1)
        ]
        if self.table.pitch_mm is not None:
            wide.append(f"table.{name}{{width:{total:.2f}mm}}")
        return "".join(wide) + types.replace("\0", f".{name}"), phone.replace("\0", f".{name}")

    def head(self, name: str) -> Piece:
        """Return the opening of the table, its heads included."""
        columns = self.measured.columns
        if self.measured.panel:
            return Piece(_BARE, f'<table class="{name} bare"><colgroup>{"<col>" * len(columns)}</colgroup>')
        cells, wide = _titles(columns, len(self.table.columns))
        rooms = [width - 2 * PAD_X for width in self.widths]
        lines = 1
        if any(need > room for need, room in zip(wide, rooms, strict=True)):
            lines = max(len(wrap(column.title, room, HEAD.points, True)) for column, room in zip(columns, rooms, strict=True))
        return Piece(lines * HEAD.line + 2 * PAD_Y + 1.2, f'<table class="{name}"><thead><tr>{cells}</tr></thead>')

    def units(self) -> list[Unit]:
        """Return the blocks of the table, each to stay on one sheet where that can hold it."""
        # Not kept: a block knows its grid, and the two would hold each other until the collector comes by.
        return list(self._blocks())

    def _blocks(self) -> Iterator[Unit]:
        rows, first = self.table.rows, 0
        for place in range(1, len(rows) + 1):
            if place < len(rows):
                before, row = rows[place - 1], rows[place]
                if row.block == before.block if row.block is not None else before.block is None and _together(before, row):
                    continue
            yield Unit(self._piece(first, place, rows[first].block is not None), partial(self._pairs, first, place))
            first = place

    def _piece(self, first: int, end: int, heavy: bool) -> Piece:
        """Return rows as one piece, a heavy rule above them where they begin a block."""
        rule = heavy and first > 0
        high = sum(self.highs[first:end]) + (0.7 if rule else 0.0)
        return Piece(high, f"<tbody{_BLOCK if rule else ''}>{''.join(self.measured.html[first:end])}</tbody>")

    def _pairs(self, first: int, end: int, most: float) -> list[Piece]:
        """Return rows as pieces that must not be cut: single rows, or rows kept together as far as `most` mm hold them."""
        rows, pieces, start = self.table.rows, [], first
        for place in range(first + 1, end + 1):
            if (
                place == end
                or not _together(rows[place - 1], rows[place])
                or sum(self.highs[start : place + 1]) + RULE + _BARE > most
            ):
                pieces.append(self._piece(start, place, start == first and rows[first].block is not None))
                start = place
        return pieces


@lru_cache(maxsize=256)
def _titles(columns: tuple[Column, ...], last: int) -> tuple[str, tuple[float, ...]]:
    """Return the heads of columns as HTML, those after the last set apart, and how wide each is on one line."""
    cells = [
        f'<th scope="col"{" class=again" if place >= last else ""}>{plain(column.title)}</th>'
        for place, column in enumerate(columns)
    ]
    return "".join(cells), tuple(width(column.title, HEAD.points, True) for column in columns)


@lru_cache(maxsize=256)
def _looks(columns: tuple[Column, ...]) -> tuple[str, str]:
    """Return the rules of columns but for their widths, the table's selector left as a zero sign: for paper, for a phone."""
    wide, phone = [], []
    for place, column in enumerate(columns, 1):
        cell, kind = f"\0 td:nth-child({place})", _type(column)
        rules = [f"font-size:{kind.points}pt"] if kind.points != BODY.points else []
        rules += ["font-weight:bold"] if kind.bold else []
        if column.kind in _ALIGN:
            wide.append(f"\0 th:nth-child({place}){{text-align:{_ALIGN[column.kind]}}}")
            rules.append(f"text-align:{_ALIGN[column.kind]}")
        if rules:
            wide.append(f"{cell}{{{';'.join(rules)}}}")
        if place > 1 and column.title and not (column.size in ("strong", "big") and column.kind == "text"):
            phone.append(f"{cell}::before{{content:{quoted(column.title + ' ')}}}")
        if place == 1 or kind.points > BODY.points:
            phone.append(f"{cell}{{font-size:20px{';font-weight:bold' if kind.bold else ''}}}")
    return "".join(wide), "".join(phone)


def _together(before: Row, row: Row) -> bool:
    return bool(row.keep) and row.keep == before.keep


def _joined(row: Row) -> str:
    return " ".join(cell.text for cell in row.cells if cell.text)


def _marked(cell: Cell) -> str:
    if "tick" in cell.marks and not cell.text:
        return '<td><span class="box"></span></td>'
    name = "loud" if "strong" in cell.marks else "big" if "big" in cell.marks else ""
    return f'<td class="{name}"{CELLS[cell.text][3:]}' if name else CELLS[cell.text]
