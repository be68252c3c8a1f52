"""Papers that answer a change, as forms: which tables they have, in which columns, for whom, in what order.

Comes in: rows somebody worked out.  Goes out: a `Page`.  Next: whoever compares two patches, two acts, or a patch with and
without a device; the pages are bound and printed like any other.

A form says what must be on such a paper before anybody can fill it in: a table without rows is left out but for those that
matter when empty, which say so.  Order of rows is the one the work is done in, and belongs to whoever fills them in.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import attrs

from patchloom.pages.caution import cautions
from patchloom.pages.page import Column, Page, Row, Table

__all__ = ["CHANGE", "CHANGEOVER", "CONTINGENCY", "FORMS", "VERBS", "Form", "FormTable", "form_page"]

VERBS = ("ADD", "REMOVE", "MOVE", "RENAME", "OWNER", "PHANTOM", "TAP", "CLOCK")
"""What a line of a change sheet may tell people to do."""


@attrs.frozen
class FormTable:
    """One table of a form."""

    id: str
    title: str
    columns: tuple[Column, ...]
    empty: str = ""
    """What is printed where it has no row; empty: the table is left out."""


@attrs.frozen
class Form:
    """What a paper of one kind consists of."""

    id: str
    title: str
    reader: str
    """Who works from it."""
    order: str
    """The order of its rows, in words; printed."""
    tables: tuple[FormTable, ...]
    areas: tuple[str, ...]
    """Areas of caution it always carries."""


_DONE = Column("done", "\u2713", 0.5, "tick")
_CHECK = Column("check", "Line check", 0.7, "tick")

_CHANGES = (
    Column("verb", "Do", 1.2, size="strong"),
    Column("what", "What", 2.6, size="strong"),
    Column("old", "Old", 2),
    Column("new", "New", 2, size="bold"),
    Column("hands", "Hands needed", 1),
    Column("mute", "Mute first", 1, size="bold"),
    _CHECK,
)

CHANGE = Form(
    "change-sheet",
    "Change sheet",
    "one position",
    "In the order of the settings checklist: mute, clock, links, owners, blocks, labels, phantom, gains, taps, outputs.",
    (
        FormTable("yours", "Your desk", _CHANGES, "Nothing changes at your desk."),
        FormTable("others", "Others, for information", _CHANGES),
    ),
    ("hearing", "phantom"),
)
"""From one revision to the next, for one position."""

CHANGEOVER = Form(
    "changeover-sheet",
    "Changeover sheet",
    "the patch lead and one pair of hands a zone",
    "Remove, move, add, phantom, check; zone by zone.",
    (
        FormTable(
            "people",
            "Time, people, risers",
            (
                Column("what", "What", 2, size="strong"),
                Column("amount", "How much", 2),
                Column("who", "Who", 2),
            ),
        ),
        FormTable(
            "moves",
            "Moves",
            (
                Column("zone", "Zone", 1.4),
                Column("do", "Do", 1.2, size="strong"),
                Column("socket", "Socket", 1.2, "address", "big"),
                Column("out", "OUT", 2.2),
                Column("in", "IN", 2.2, size="strong"),
                Column("mic", "Mic, stand", 1.8),
                Column("phantom", "48V change", 1.2, size="bold"),
                Column("mute", "Mute first", 1, size="bold"),
                _CHECK,
            ),
            "No plug moves.",
        ),
        FormTable(
            "stays",
            "Leave plugged",
            (Column("socket", "Sockets", 2, "address", "strong"), Column("what", "What", 4)),
            "Nothing stays plugged.",
        ),
        FormTable(
            "totals",
            "Totals",
            (
                Column("zone", "Zone", 2, size="strong"),
                Column("moves", "Plug moves", 1, "number"),
                Column("people", "People", 1, "number"),
                Column("each", "Moves each", 1, "number", "strong"),
            ),
        ),
    ),
    ("hearing", "phantom", "trip"),
)
"""From one act to the next."""

CONTINGENCY = Form(
    "contingency-sheet",
    "Contingency sheet",
    "the system engineer",
    "One page for each thing that may fail; restore in the order given.",
    (
        FormTable(
            "notice",
            "If this dies",
            (Column("what", "What", 2, size="strong"), Column("sign", "You will notice", 4), Column("who", "Who decides", 1.6)),
        ),
        FormTable(
            "lose",
            "You lose, you keep",
            (
                Column("position", "Position", 1.6, size="strong"),
                Column("lose", "You lose", 3.4, size="bold"),
                Column("keep", "You keep", 3),
            ),
            "Nobody loses anything.",
        ),
        FormTable(
            "do",
            "Do now, in order",
            (
                Column("step", "No.", 0.6, "number", "strong"),
                Column("do", "Do", 4, size="strong"),
                Column("at", "Where", 1.6),
                Column("mute", "Mute first", 1, size="bold"),
                _DONE,
            ),
        ),
        FormTable(
            "restore",
            "Restore in this order",
            (
                Column("step", "No.", 0.6, "number", "strong"),
                Column("source", "Source", 2.6, size="strong"),
                Column("from", "From", 1.8, "address"),
                Column("to", "To", 1.8, "address", "strong"),
                _DONE,
            ),
        ),
        FormTable("lost", "Cannot be restored", (Column("what", "What", 3, size="strong"), Column("why", "Why", 4))),
    ),
    ("hearing", "phantom", "emergency"),
)
"""One failure, and what to do."""

FORMS = {form.id: form for form in (CHANGE, CHANGEOVER, CONTINGENCY)}
"""Every form by id."""


def form_page(
    form: Form,
    rows: Mapping[str, Sequence[Row]],
    *,
    subject: str,
    subject_name: str = "",
    position: str = "",
    period: str = "",
    period_name: str = "",
    about: str = "",
    areas: Sequence[str] = (),
    notes: Sequence[str] = (),
    touches: Sequence[str] = (),
) -> Page:
    """Return a form filled in: `rows` by table; `areas` are cautions beside those the form always carries.

    Raises KeyError for rows of a table the form does not have, ValueError for a row with other cells than its columns.
    """
    unknown = sorted(set(rows) - {table.id for table in form.tables})
    if unknown:
        raise KeyError(f"{form.id} has no table {', '.join(unknown)}; it has {', '.join(table.id for table in form.tables)}")
    made = [_table(form, table, tuple(rows.get(table.id, ()))) for table in form.tables]
    return Page(
        "table",
        form.title,
        subject=subject,
        subject_name=subject_name,
        position=position,
        period=period,
        period_name=period_name,
        about=about or form.order,
        tables=tuple(table for table in made if table is not None),
        notes=tuple(notes) if not about else (form.order, *notes),
        cautions=cautions((*form.areas, *areas)),
        touches=tuple(touches),
    )


def _table(form: Form, table: FormTable, rows: tuple[Row, ...]) -> Table | None:
    for row in rows:
        if row.kind != "section" and len(row.cells) != len(table.columns):
            raise ValueError(f"{form.id} {table.id}: a row of {len(row.cells)} cells for {len(table.columns)} columns")
    if not rows and not table.empty:
        return None
    return Table(table.id, table.title, table.columns, rows, () if rows else (table.empty,))
