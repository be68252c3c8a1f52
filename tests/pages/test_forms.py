"""Papers that answer a change, as forms: which tables they have, and what is refused."""

from __future__ import annotations

import pytest

from patchloom.pages import Row
from patchloom.pages.forms import CHANGE, CHANGEOVER, CONTINGENCY, FORMS, VERBS, form_page


def test_each_form_says_for_whom_it_is_and_in_what_order() -> None:
    """A form has a title, a reader, an order, cautions for hearing and phantom, and tables of unlike ids with columns."""
    assert list(FORMS) == ["change-sheet", "changeover-sheet", "contingency-sheet"]
    for form in FORMS.values():
        assert form.title
        assert form.reader
        assert form.order.endswith(".")
        assert {"hearing", "phantom"} <= set(form.areas)
        assert len({table.id for table in form.tables}) == len(form.tables)
        for table in form.tables:
            assert len({column.id for column in table.columns}) == len(table.columns)


def test_a_form_is_filled_in() -> None:
    """Rows stand in their tables; a table that matters when empty says so, another is left out; cautions and order are there."""
    row = Row((VERBS[2], "Kick", "BOX-1", "BOX-2", "yes", "yes", ""))
    page = form_page(CHANGE, {"yours": [row]}, subject="foh", position="foh", areas=["earth"])
    assert [table.id for table in page.tables] == ["yours"]
    assert page.tables[0].rows == (row,)
    assert [caution.area for caution in page.cautions] == ["hearing", "phantom", "earth", "law"]
    bare = form_page(CHANGEOVER, {}, subject="act2", about="8 minutes, 4 people.")
    assert [(table.id, table.notes) for table in bare.tables] == [
        ("moves", ("No plug moves.",)),
        ("stays", ("Nothing stays plugged.",)),
    ]
    assert bare.notes[0] == CHANGEOVER.order


def test_what_does_not_fit_a_form_is_refused() -> None:
    """Rows of a table the form does not have, and a row with other cells than its columns."""
    with pytest.raises(KeyError, match="has no table nothing; it has notice, lose, do, restore, lost"):
        form_page(CONTINGENCY, {"nothing": []}, subject="MON")
    with pytest.raises(ValueError, match="a row of 1 cells for 3 columns"):
        form_page(CONTINGENCY, {"notice": [Row(("x",))]}, subject="MON")
