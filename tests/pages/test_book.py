"""A book: stamps, who gets which remark, periods that share a page, and papers that break."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import attrs
import pytest

from patchloom.errors import PatchloomError, PluginError
from patchloom.finding import Finding
from patchloom.pages import AREAS, Page, Row, Table, book, cautions, merged
from patchloom.pages.cells import labels, runs
from tests.pages.world import FINDINGS, patch, rig, show, small_book


def one(*_: Any) -> Iterator[Page]:
    yield Page("table", "One", subject="foh", position="foh", touches=("foh", "kick"))
    yield Page("table", "Two", subject="BOX", touches=("BOX", "ribbon"))
    yield Page("table", "Three", subject="mon", position="mon", touches=("mon", "kick", "w1"))


def broken(*_: Any) -> Iterator[Page]:
    raise RuntimeError("no ink")
    yield


def kinds(page: Page) -> list[str]:
    return [row.kind for row in page.remarks]


def test_stamp_holds_what_it_was_given_and_no_clock() -> None:
    """Date, revision, status and approver are arguments; show and rig name themselves; nothing else appears."""
    made = book(
        rig(),
        show(),
        patch(),
        (),
        {"one": one},
        date="then",
        revision="D",
        replaces="C",
        status="AS-BUILT",
        approver="me",
        changes=3,
    )
    stamp = made.stamp
    assert stamp is not None
    assert (stamp.generated, stamp.revision, stamp.replaces, stamp.status, stamp.approver, stamp.changes) == (
        "then",
        "D",
        "C",
        "AS-BUILT",
        "me",
        3,
    )
    assert (stamp.show, stamp.rig, stamp.date) == ("Hand-made show", "Hand-made rig", "2030-06-01")
    assert stamp.patch.startswith("sha256:")


def test_unknown_status_is_an_error() -> None:
    """A status outside the three is refused by name."""
    with pytest.raises(PatchloomError, match="'FINAL' is none of DRAFT"):
        book(rig(), show(), patch(), (), {}, status="FINAL")


@pytest.mark.parametrize("status", ["ISSUED", "AS-BUILT"])
def test_no_status_but_draft_over_an_open_stop(status: str) -> None:
    """A stop nobody has signed leaves DRAFT as the only status; signed off, or graver words for lesser things, any may be."""
    stop = Finding("shield", "stop", "BOX.mic[5] has no shield.", ("BOX.mic[5]",))
    late = Finding("late", "warn", "Kick is late at foh.", ("foh", "kick"))
    with pytest.raises(PatchloomError, match=f"1 stop nobody has signed: papers cannot be {status}. First: .*BOX.mic") as told:
        book(rig(), show(), patch(), (late, stop), {"one": one}, status=status)
    assert str(told.value).endswith("Mend it, sign it off in the show's waivers, or keep DRAFT.")
    with pytest.raises(PatchloomError, match="2 stops nobody has signed"):
        book(rig(), show(), patch(), (stop, stop), {"one": one}, status=status)
    assert book(rig(), show(), patch(), (late, stop), {"one": one}).stamp.status == "DRAFT"  # type: ignore[union-attr]
    signed = attrs.evolve(stop, waived="A. Person: checked by ear")
    made = book(rig(), show(), patch(), (late, signed), {"one": one}, status=status)
    assert made.stamp is not None
    assert made.stamp.status == status


def test_remarks_go_where_they_belong() -> None:
    """A warning about a list is for that list's pages, safety where it touches, what is not honoured for all, advice for none."""
    foh, box, mon = book(rig(), show(), patch(), FINDINGS, {"one": one}).pages
    assert kinds(foh) == ["warn", "unhonoured"]
    assert kinds(box) == ["waived", "unhonoured"]
    assert kinds(mon) == ["safety", "unhonoured"]


def test_a_remark_about_nothing_known_is_for_everybody() -> None:
    """A finding that points at no position, device or signal is printed on every page."""
    made = book(rig(), show(), patch(), [Finding("odd", "stop", "Papers do not match.", ("rig",))], {"one": one})
    assert all("stop" in kinds(page) for page in made.pages)


def test_a_remark_about_an_act_is_for_that_act() -> None:
    """A finding about one act is printed on that act's pages, on pages it shares, and on those of the whole show."""
    finding = Finding("late", "warn", "Late.", ("kick",), period="two")
    pages = [
        Page("table", act or "whole", subject="foh", period=act, also=also, touches=("kick",))
        for act, also in (("one", ()), ("two", ()), ("three", ("two",)), ("", ()))
    ]
    made = book(rig(), show(), patch(), [finding], {"acts": lambda *_: pages})
    assert ["warn" in kinds(page) for page in made.pages] == [False, True, True, True]


def test_wishes_not_carried_are_named() -> None:
    """An unmet wish of a list is printed on that list's page."""
    made = small_book()
    record = next(page for page in made.pages if page.title == "Record list")
    assert any(row.kind == "unmet" and "talk" in row.text for row in record.remarks)


def test_positions_narrow_the_book() -> None:
    """Pages of other positions are left out; everybody's stay."""
    made = book(rig(), show(), patch(), (), {"one": one}, positions=["mon"])
    assert [page.title for page in made.pages] == ["Two", "Three"]


def test_a_broken_paper_is_named_and_the_rest_is_made() -> None:
    """One paper raises: the others are made, and the book says which one is missing and why."""
    made = book(rig(), show(), patch(), (), {"broken": broken, "one": one})
    assert len(made.pages) == 3
    assert [row.text for row in made.faults] == ["Paper broken could not be made: RuntimeError: no ink"]


def test_a_broken_paper_asked_for_by_name_is_an_error() -> None:
    """The same paper, asked for by name, raises."""
    with pytest.raises(PluginError, match="paper broken could not be made: RuntimeError: no ink"):
        book(rig(), show(), patch(), (), {"broken": broken}, strict=True)


@pytest.mark.parametrize("wrong", ["text", Page("poster", "x")])
def test_a_paper_out_of_contract_is_named(wrong: object) -> None:
    """What is no page, or a page of an unknown kind, is a fault of its paper."""
    made = book(rig(), show(), patch(), (), {"odd": lambda *_: [wrong]})
    assert made.pages == ()
    assert "odd" in made.faults[0].text


def test_digest_of_a_page_is_its_content_alone() -> None:
    """The digest stays when stamp and remarks change, and changes with a row."""
    first = book(rig(), show(), patch(), (), {"one": one}).pages[0]
    again = book(rig(), show(), patch(), FINDINGS, {"one": one}, revision="Z").pages[0]
    assert first.digest == again.digest
    other = book(rig(), show(), patch(), (), {"one": lambda *_: [attrs.evolve(first, digest="", about="changed")]}).pages[0]
    assert other.digest != first.digest


def test_equal_periods_share_a_page() -> None:
    """Pages that differ in nothing but their act become one, named for all its acts."""
    pages = [
        Page("table", "x", subject="foh", period=act, period_name=act.title(), tables=(Table("t", rows=(Row((word,)),)),))
        for act, word in (("one", "a"), ("two", "b"), ("three", "a"))
    ]
    assert [(page.period, page.period_name, page.also) for page in merged(pages)] == [
        ("one", "One, Three", ("three",)),
        ("two", "Two", ()),
    ]


def test_cautions_end_with_the_law() -> None:
    """Cautions come in one order, the deferral to local law last; an unknown area is an error."""
    assert [row.area for row in cautions(["phantom", "hearing"])] == ["hearing", "phantom", "law"]
    assert "take precedence" in AREAS["law"]
    with pytest.raises(KeyError, match="weather"):
        cautions(["weather"])


def test_no_paper_says_safe_or_certified() -> None:
    """Nothing printed calls anything safe or certified."""
    words = " ".join(
        text.lower()
        for page in small_book().pages
        for text in [
            *page.notes,
            *(row.text for row in page.cautions),
            *(step.text for group in page.steps for step in group.steps),
            *(note for table in page.tables for note in table.notes),
        ]
    )
    assert "certified" not in words
    assert " safe" not in words


@pytest.mark.parametrize(
    ("names", "length"),
    [
        (["Backing voice 1", "Backing voice 2", "Backing voice 3"], 8),
        (["Keys L", "Keys R"], 4),
        (["Choir"] * 12, 5),
        (["", ""], 3),
    ],
)
def test_labels_are_short_and_never_alike(names: list[str], length: int) -> None:
    """No label is longer than the desk takes, and no two are equal."""
    made = labels([(str(place), name) for place, name in enumerate(names)], length)
    assert all(len(label) <= length for label in made.values())
    assert len({label.lower() for label in made.values()}) == len(names)


def test_labels_keep_what_tells_them_apart() -> None:
    """A leg or number at the end stays."""
    assert labels([("a", "Walk-in music L"), ("b", "Acoustic guitar")], 12) == {"a": "Walk-in mu L", "b": "Acoustic gui"}
    assert labels([("a", "Backing voice 1"), ("b", "Overheads L")], 8) == {"a": "Backin 1", "b": "Overhe L"}


def test_runs_of_numbers() -> None:
    """Numbers are printed as runs."""
    assert runs([1, 2, 3, 5, 8, 9]) == "1-3, 5, 8-9"
    assert runs([]) == ""
