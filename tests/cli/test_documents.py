"""validate, expand, schema, types and import-list, and what bad input comes to."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from patchloom.cli.documents import kind_of


def test_validate_says_what_reads_well(club: Path, run) -> None:
    """Good documents are named with kind and digest; status 0."""
    answer = run("validate", club / "rig.json", club / "show.json")
    assert answer.status == 0
    assert answer.out.count("sha256:") == 2
    data = run("validate", club / "rig.json", "--json").data
    assert data["outcome"] == "fine"
    assert data["files"][0]["kind"] == "rig"


def test_validate_prints_every_complaint_at_once(tmp_path: Path, run) -> None:
    """Every complaint comes with file, line, column and path; status 2; the other files are read too."""
    (tmp_path / "rig.json").write_text('{"format": "rig/1",\n "nmae": 1,\n "devices": {"A": {}}}', encoding="utf-8")
    (tmp_path / "show.json").write_text('{"format": "show/1", "name": "Fine"}', encoding="utf-8")
    answer = run("validate", tmp_path / "rig.json", tmp_path / "show.json")
    assert answer.status == 2
    assert "rig.json:2:" in answer.err
    assert "show.json: a show that reads well" in answer.out
    data = run("validate", tmp_path / "rig.json", "--json").data
    assert data["outcome"] == "bad-input"
    assert len(data["files"][0]["complaints"]) >= 2


def test_validate_checks_a_show_against_a_rig_given_with_it(club: Path, run) -> None:
    """A show read together with a rig is checked against its addresses, whatever the order on the line."""
    show = json.loads((club / "show.json").read_text(encoding="utf-8"))
    show["lists"][0]["at"] = "FOX.ch"
    (club / "show.json").write_text(json.dumps(show), encoding="utf-8")
    assert run("validate", club / "show.json").status == 0
    answer = run("validate", club / "show.json", club / "rig.json")
    assert answer.status == 2
    assert "FOX" in answer.err


@pytest.mark.parametrize(
    ("name", "text", "kind"),
    [
        ("a.json", '{"format": "show/1"}', "show"),
        ("my-rig.json", "{", "rig"),
        ("tonight-show.json", "", "show"),
        ("x.json", "", "rig"),
        ("y.json", '{"format": "novel/1"}', "rig"),
    ],
)
def test_the_kind_is_what_the_format_says_else_the_name(name: str, text: str, kind: str) -> None:
    """A document's format says its kind; where it says none, its file name does; else it is read as a rig."""
    assert kind_of(Path(name), text.encode()) == kind


def test_a_missing_file_and_a_folder_are_bad_input(tmp_path: Path, run) -> None:
    """What cannot be opened is named, with status 2, for every command that reads."""
    for words in (
        ("validate", tmp_path / "no.json"),
        ("validate", tmp_path),
        ("-C", tmp_path, "solve"),
        ("-C", tmp_path, "trace", "foh", 1),
        ("expand", tmp_path / "no.json"),
        ("import-list", tmp_path / "no.csv"),
    ):
        answer = run(*words)
        assert answer.status == 2, words
        assert answer.err.strip()


def test_expand_prints_a_form_that_reads_as_the_same_document(club: Path, run) -> None:
    """The expanded form has the same digest as the short one."""
    out = club / "expanded.json"
    assert run("expand", club / "show.json", "-o", out).status == 0
    assert '"vox2"' in out.read_text(encoding="utf-8")
    rows = run("validate", club / "show.json", out, "--json").data["files"]
    assert rows[0]["digest"] == rows[1]["digest"]
    assert run("expand", club / "show.json").out == out.read_text(encoding="utf-8")


def test_expand_does_not_replace_another_file(club: Path, run) -> None:
    """A file that says something else is left alone unless --force is given."""
    answer = run("expand", club / "show.json", "-o", club / "rig.json")
    assert answer.status == 2
    assert "--force" in answer.err
    assert run("expand", club / "show.json", "-o", club / "rig.json", "--force").status == 0


def test_schema_lists_prints_and_draws(run) -> None:
    """schema lists the kinds, prints one as JSON or as a tree, and names what there is for an unknown one."""
    assert "rig-1" in run("schema").out
    assert run("schema", "rig").data["$schema"].endswith("2020-12/schema")
    assert run("schema", "rig-1").out == run("schema", "rig").out
    assert "devices" in run("schema", "rig", "--tree").out
    answer = run("schema", "wig")
    assert answer.status == 2
    assert "rig-1" in answer.err


def test_types_lists_the_library_and_prints_one(run) -> None:
    """types lists types and formats; with a name it prints that one; an unknown name is bad usage."""
    listed = run("types").out
    assert "stage-box-16" in listed
    assert "aes10-64" in listed
    assert run("types", "stage-box-16").data["banks"]["mic"]["slots"] == 16
    assert run("types", "aes50").status == 0
    assert set(run("types", "--json").data) == {"types", "formats"}
    assert run("types", "desk-of-dreams").status == 2


def test_import_list_makes_a_show_and_reports_its_guesses(tmp_path: Path, run) -> None:
    """A plain input list in CSV becomes a show document; guesses go to standard error."""
    (tmp_path / "list.csv").write_text("ch,source,48V\n1,Kick,\n2,Snare,no\n3,OH L,yes\n4,OH R,yes\n", encoding="utf-8")
    answer = run("import-list", tmp_path / "list.csv", "-o", tmp_path / "show.json")
    assert answer.status == 0
    assert run("validate", tmp_path / "show.json").status == 0
    assert run("import-list", tmp_path / "list.csv", "--json").data["report"]
    answer = run("import-list", tmp_path / "list.csv", "--importer", "list-cvs")
    assert answer.status == 2
    assert "list-csv" in answer.err


@pytest.mark.parametrize(
    "words", [(), ("slove",), ("solve", "--what"), ("trace",), ("trace", "foh", "one"), ("validate",), ("solve", "--limit", "-1")]
)
def test_bad_usage_is_status_2_with_a_hint(words: tuple[str, ...], run) -> None:
    """Bad usage says what is wrong on standard error and exits 2; nothing at all prints the help."""
    answer = run(*words)
    assert answer.status == 2
    assert answer.err.strip()


def test_help_and_version(run) -> None:
    """-h and -V answer on standard output with status 0."""
    assert "solve" in run("-h").out
    assert run("-V").out.startswith("patchloom ")
    assert run("solve", "-h").status == 0
