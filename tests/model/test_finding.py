"""What the library has to say, and how it prints."""

from __future__ import annotations

from random import Random

from patchloom import finding
from patchloom.errors import AddressError, DocumentError, Impossible, PatchloomError, Undecided
from patchloom.finding import SEVERITIES, Complaint, Fact, Finding, Imported, Remark


def test_a_complaint_prints_its_place() -> None:
    """With a line it prints document, line and column; without, the document alone; the hint comes last."""
    bare = Complaint("rig.json", "$.links[4]", "no such port")
    assert str(bare) == "rig.json: $.links[4]: no such port"
    placed = Complaint("rig.json", "$.links[4]", "no such port", line=3, column=7, hint="Did you mean a?")
    assert str(placed) == "rig.json:3:7: $.links[4]: no such port Did you mean a?"


def test_a_fact_prints_its_sentence() -> None:
    """A fact is its sentence; the numbers are for programs."""
    assert str(Fact("FOH.intake", "13 asked, 8 there, 5 short", 13, 8, 5, ("kick",))) == "13 asked, 8 there, 5 short"


def test_a_finding_prints_period_and_next_step() -> None:
    """Period and next step are printed where there are any."""
    assert str(Finding("one-feeder", "stop", "Fed twice.")) == "stop one-feeder: Fed twice."
    long = Finding("one-feeder", "warn", "Fed twice.", period="first", todo="Choose.")
    assert str(long) == "warn one-feeder [first]: Fed twice. Choose."


def test_findings_sort_gravest_first() -> None:
    """Sorting is by severity, then rule, period, place and message, whatever the order they came in."""
    rows = [Finding(rule, severity, "m", (where,)) for severity in SEVERITIES for rule in ("a", "b") for where in ("x", "y")]
    mixed = list(rows)
    Random(5).shuffle(mixed)
    assert sorted(mixed, key=Finding.sort_key) == rows


def test_a_remark_prints_its_cell() -> None:
    """The cell stands before the words; without one, the words alone."""
    assert str(Remark("C7", "taken for a name", "Kick")) == "C7: taken for a name"
    assert str(Remark("", "no header")) == "no header"


def test_an_import_is_empty_until_told() -> None:
    """An import starts with a document and nothing to report."""
    row = Imported({"format": "show/1"})
    assert (row.guesses, row.skipped, row.questions, row.rows_read) == ((), (), (), 0)


def test_public_names_are_true() -> None:
    """Every public name is there."""
    assert all(hasattr(finding, name) for name in finding.__all__)


def test_exceptions_print_what_they_hold() -> None:
    """Each exception prints its rows one a line and keeps them; all share one parent."""
    complaint = Complaint("show.json", "$", "empty")
    document = DocumentError([complaint, complaint])  # type: ignore[arg-type]
    assert document.complaints == (complaint, complaint)
    assert str(document) == f"{complaint}\n{complaint}"
    assert str(Impossible((Fact("K", "one"), Fact("L", "two")))) == "one\ntwo"
    undecided = Undecided(("known",), ("missing",), "best")
    assert str(undecided) == "known\nmissing"
    assert (undecided.known, undecided.missing, undecided.best) == (("known",), ("missing",), "best")
    for kind in (AddressError, DocumentError, Impossible, Undecided):
        assert issubclass(kind, PatchloomError)
    assert issubclass(AddressError, ValueError)
