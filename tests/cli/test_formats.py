"""papers in formats of their own: options on the command line, and what cannot be printed on a terminal."""

from __future__ import annotations

from pathlib import Path


def test_options_reach_the_format(solved: Path, run) -> None:
    """An option goes to the format; true, numbers and lists are taken as such."""
    answer = run("-C", solved, "papers", "--format", "csv", "--option", "stamp=false", "--paper", "input-list")
    assert answer.status in (0, 1), answer.out + answer.err
    assert b"Revision" not in next((solved / "papers" / "csv").glob("*.csv")).read_bytes()


def test_an_option_for_one_format_of_several(solved: Path, run) -> None:
    """FORMAT.NAME=VALUE goes to that format only."""
    words = ("--format", "csv", "--format", "xlsx", "--option", "xlsx.files=book", "--paper", "input-list")
    answer = run("-C", solved, "papers", *words)
    assert answer.status in (0, 1), answer.out + answer.err
    assert [path.name for path in (solved / "papers").glob("*.xlsx")] == ["book.xlsx"]


def test_pdf_of_one_list(solved: Path, run) -> None:
    """PDF comes as files of its own, on the paper asked for."""
    words = ("--format", "pdf", "--option", "paper=letter", "--option", "files=book", "--paper", "input-list")
    answer = run("-C", solved, "papers", *words)
    assert answer.status in (0, 1), answer.out + answer.err
    assert (solved / "papers" / "book.pdf").read_bytes().startswith(b"%PDF-")


def test_a_wrong_option_is_bad_usage(solved: Path, run) -> None:
    """An option without a value, for a format not asked for, or unknown to the format exits 2 and says what to do."""
    for words, said in (
        (("--option", "paper"), "NAME=VALUE"),
        (("--format", "csv", "--option", "pdf.paper=a4"), "papers are made as csv"),
        (("--format", "pdf", "--option", "papre=a4"), "did you mean 'paper'"),
        (("--format", "pdf", "--option", "paper=b5"), "none of a4, letter, a3, tabloid"),
    ):
        answer = run("-C", solved, "papers", *words)
        assert answer.status == 2, answer.out + answer.err
        assert said in answer.out + answer.err


def test_what_is_no_text_is_not_printed(solved: Path, run) -> None:
    """A workbook is not poured into the terminal: the answer says where to put it."""
    answer = run("-C", solved, "papers", "-o", "-", "--format", "xlsx")
    assert answer.status == 2
    assert "is no text; name a folder with -o" in answer.out + answer.err
