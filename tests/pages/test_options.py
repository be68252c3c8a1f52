"""What people may choose about papers, and what no choice takes away."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest

from patchloom.errors import PatchloomError
from patchloom.pages import Options, Page, Remark, Table, book
from patchloom.pages.options import for_paper, known
from patchloom.plugins import load, load_all
from tests.pages.world import FINDINGS, patch, rig, show

CHOICES: tuple[dict[str, Any], ...] = (
    {"language": "de"},
    {"units": "feet"},
    {"columns": ("line",)},
    {"sort": "name"},
    {"sort": "walking"},
    {"short": 3, "pitch": 20, "box_pitch": 25, "spares": 0},
)


def made(**options: Any) -> list[Page]:
    return list(book(rig(), show(), patch(), FINDINGS, load_all("papers").objects, options=options).pages)


@pytest.mark.parametrize("choice", CHOICES, ids=str)
def test_no_choice_takes_away_a_caution_or_a_finding(choice: dict[str, Any]) -> None:
    """Whatever is chosen, each page keeps the areas of its cautions, and all that is said on it, in as many words."""
    assert set(choice) <= set(known())
    before = {(page.paper, page.subject): page for page in made()}
    after = {(page.paper, page.subject): page for page in made(**choice)}
    assert set(before) - set(after) == ({("line-check", "channel")} if choice.get("sort") == "walking" else set())
    for key, chosen in after.items():
        plain = before[key]
        assert [row.area for row in plain.cautions] == [row.area for row in chosen.cautions]
        kinds = [row.kind for row in chosen.remarks]
        if choice.get("language") and len(kinds) > len(plain.remarks):
            kinds.remove("note")  # one line more says that the checks speak English
        assert [row.kind for row in plain.remarks] == kinds
        assert all(row.text for row in (*chosen.cautions, *chosen.remarks))
        assert any(row.kind == "unhonoured" and "wishes.prefer" in row.text for row in chosen.remarks)


def test_every_choice_is_asked_for_by_a_paper() -> None:
    """Each option changes at least one page, and the same option gives the same pages."""
    before = made()
    for choice in (
        {"language": "de"},
        {"units": "feet"},
        {"columns": ("line",)},
        {"sort": "name"},
        {"short": 3},
        {"pitch": 20.0},
    ):
        assert made(**choice) != before, choice
        assert made(**choice) == made(**choice)
    for choice in ({"box_pitch": 25.0}, {"spares": 0}, {"spares": 100}):
        assert made(**choice) != before, choice


def test_columns_are_chosen_and_48_volts_stay() -> None:
    """Number, name and phantom are on a list whatever columns are asked for; an unknown one is refused with those there are."""
    paper = load("papers", "input-list")
    pages = list(paper(rig(), show(), patch(), (), options={"columns": ("owner", "line")}))
    foh = next(page for page in pages if page.subject == "foh").tables[0]
    assert [column.id for column in foh.columns] == ["ch", "name", "owner", "line", "phantom"]
    with pytest.raises(PatchloomError, match="no column is called colours; there are name"):
        list(paper(rig(), show(), patch(), (), options={"columns": ("colours",)}))


def test_a_list_is_sorted_by_name_or_by_the_walk() -> None:
    """Sorted lists keep the channel of every line, leave out what is not in use, and say that they are sorted."""
    paper = load("papers", "input-list")
    pages = list(paper(rig(), show(), patch(), (), options={"sort": "name"}))
    mon = next(page for page in pages if page.subject == "mon").tables[0]
    assert [(row.cells[0].text, row.cells[1].text) for row in mon.rows] == [
        ("5", "Fiddle"),
        ("1", "Kick"),
        ("6", "Lead"),
        ("3", "Overheads L"),
        ("4", "Overheads R"),
        ("7", "Talk monitors"),
    ]
    assert mon.notes[0] == "Sorted by name, not by channel."
    pages = list(paper(rig(), show(), patch(), (), options={"sort": "walking"}))
    assert next(page for page in pages if page.subject == "foh").tables[0].rows[0].cells[1].text == "Kick"


def test_lengths_are_in_the_unit_asked_for() -> None:
    """Metres or feet, never rounded to less than a tenth of a foot; unknown stays blank."""
    assert (Options().length(6), Options().length(0.5), Options().length(None)) == ("6 m", "0.5 m", "")
    feet = Options.of({"units": "feet"})
    assert (feet.length(3.048), feet.length(6), feet.sizes((3.048, 2))) == ("10 ft", "19.7 ft", "10 \u00d7 6.6 ft")


def test_an_option_is_for_every_paper_or_for_one() -> None:
    """`PAPER.NAME` wins over `NAME`; a paper nobody has, a name nobody knows and a value that cannot be are refused."""
    given = {"short": 8, "labels.short": 4, "other.own": "x"}
    assert for_paper(given, "labels") == {"short": 4}
    assert for_paper(given, "other") == {"short": 8, "own": "x"}
    for wrong, words in (
        ({"langage": "de"}, "did you mean 'language'"),
        ({"lables.short": 4}, "did you mean 'labels'"),
        ({"units": "yards"}, "'yards' is none of metres, feet"),
        ({"short": 0}, "lies outside 1 to 40"),
        ({"pitch": "wide"}, "is no number"),
        ({"sort": "colour"}, "is none of channel, walking, name"),
    ):
        with pytest.raises(PatchloomError, match=words):
            made(**wrong)


def test_papers_of_strangers_go_on_working() -> None:
    """A paper written before there were options is called without them; one that takes them by any keyword is given its own."""
    seen: list[Any] = []

    def old(rig: Any, show: Any, patch: Any, findings: Any) -> Iterator[Page]:
        yield Page("table", "Old", tables=(Table("t"),))

    def new(rig: Any, show: Any, patch: Any, findings: Any, *, options: Any = None) -> Iterator[Page]:
        seen.append(options)
        yield Page("table", "New", tables=(Table("t"),))

    def any_(rig: Any, show: Any, patch: Any, findings: Any, **more: Any) -> Iterator[Page]:
        seen.append(more)
        yield Page("table", "Any", tables=(Table("t"),))

    papers = {"old": old, "new": new, "any": any_}
    assert len(book(rig(), show(), patch(), (), papers).pages) == 3
    assert seen == [None, {}]
    bound = book(rig(), show(), patch(), (), papers, options={"units": "feet", "new.mood": "dark"})
    assert [page.title for page in bound.pages] == ["Old", "New", "Any"]
    assert bound.faults == ()
    assert seen[2:] == [{"units": "feet", "mood": "dark"}, {"options": {"units": "feet"}}]


def test_a_wrong_value_is_no_broken_paper() -> None:
    """A choice that cannot be stops the book; it is not printed as a paper that could not be made."""
    with pytest.raises(PatchloomError):
        made(language="xx")
    assert not any(isinstance(row, Remark) and "option" in row.text for page in made() for row in page.remarks)
