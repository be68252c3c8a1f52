"""papers, plugins and demo: what is written, what is left alone, what is said."""

from __future__ import annotations

import hashlib
import json
from pathlib import Path

import pytest

import patchloom
from patchloom import pipeline
from patchloom.cli.demo import shipped


def _files(folder: Path) -> dict[str, str]:
    return {
        str(path.relative_to(folder)): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def test_papers_writes_them_beside_the_documents(solved: Path, run) -> None:
    """papers writes HTML into papers/ by default, with a manifest; a second run with the same date gives the same bytes."""
    answer = run("-C", solved, "papers", "--date", "2026-06-01 10:00 +0000")
    assert answer.status == 0
    before = _files(solved / "papers")
    assert "manifest.json" in before
    assert any(name.endswith(".html") for name in before)
    assert run("-C", solved, "papers", "--date", "2026-06-01 10:00 +0000").status == 0
    assert _files(solved / "papers") == before


def test_papers_can_be_narrowed(solved: Path, run) -> None:
    """--paper and --format narrow what is written; -o says where; --json lists the files."""
    data = run(
        "-C", solved, "papers", "-o", solved / "out", "--paper", "input-list", "--position", "rec", "--format", "csv", "--json"
    ).data
    assert data["files"]
    assert all(name.endswith(".csv") for name in data["files"])
    assert {name for name in _files(solved / "out") if name != "manifest.json"} == set(data["files"])


def test_papers_to_the_terminal(solved: Path, run) -> None:
    """-o - prints the text of the papers and writes nothing."""
    answer = run("-C", solved, "papers", "-o", "-", "--paper", "input-list")
    assert answer.status == 0
    assert "kick" in answer.out
    assert not (solved / "papers").exists()


def test_options_are_for_papers_or_for_formats(solved: Path, run) -> None:
    """A name papers know goes to the papers, others to the format; PAPER.NAME, FORMAT.NAME say which; --replaces is printed."""
    words = ("-C", solved, "papers", "-o", "-", "--format", "text", "--paper", "input-list")
    plain = run(*words, "--revision", "B", "--replaces", "A").out
    assert "REV B" in plain
    assert "replaces REV A" in plain
    german = run(*words, "--option", "language=de", "--option", "width=60").out
    assert german.startswith("Eingangsliste")
    assert "HEARING" not in german
    assert "GEH\u00d6R" in german
    assert "RECHT: " in run(*words, "--option", "input-list.language=de").out
    assert run(*words, "--option", "labels.short=4").status == 2  # that paper is not made
    for wrong, said in (
        ("language=fr", "'fr' is none of en, de"),
        ("lables.short=4", "is for 'lables', which is no paper"),
        ("columns=nothing", "no column is called nothing"),
    ):
        answer = run(*words, "--option", wrong)
        assert (answer.status, said in answer.err) == (2, True), answer.err


def test_papers_leaves_strange_files_alone(solved: Path, run) -> None:
    """A paper somebody changed is not replaced unless told."""
    run("-C", solved, "papers")
    changed = next(path for path in (solved / "papers").rglob("*.html"))
    changed.write_text("notes of mine", encoding="utf-8")
    answer = run("-C", solved, "papers")
    assert answer.status == 2
    assert changed.read_text(encoding="utf-8") == "notes of mine"
    assert run("-C", solved, "papers", "--force").status == 0


@pytest.mark.parametrize(
    ("words", "near"), [(("--paper", "input-lst"), "input-list"), (("--format", "htm"), "html"), (("--position", "fho"), "foh")]
)
def test_unknown_names_get_the_nearest(solved: Path, run, words: tuple[str, str], near: str) -> None:
    """An unknown paper, format or position is bad usage, and the message names the nearest."""
    answer = run("-C", solved, "papers", *words)
    assert answer.status == 2
    assert near in answer.err
    assert not (solved / "papers").exists()


def test_plugins_are_listed_with_where_they_come_from(run) -> None:
    """plugins lists every entry point with its package and version, and whether it loads."""
    answer = run("plugins")
    assert answer.status == 0
    for name in ("input-list", "patch-sheet", "html", "csv", "list-csv"):
        assert name in answer.out
    assert patchloom.__version__ in answer.out
    assert all("broken" not in line for line in answer.out.splitlines())
    assert run("plugins", "--json").data["plugins"]


@pytest.fixture(scope="module")
def pack(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a folder for the demo."""
    return tmp_path_factory.mktemp("demo") / "show-pack"


def test_demo_writes_everything_and_says_what_it_found(pack: Path, run) -> None:
    """demo writes documents, patch and papers, and about fifteen lines that end with the next command."""
    answer = run("demo", pack, "--date", "2026-06-01 10:00 +0000")
    assert answer.status == 0
    assert answer.err == ""
    lines = answer.out.splitlines()
    assert 12 <= len(lines) <= 18
    assert any(" trace " in line for line in lines)
    assert {"rig.json", "show.json", "patch.json"} <= set(_files(pack))
    assert any(name.endswith(".html") for name in _files(pack / "papers"))
    assert any(name.endswith(".svg") for name in _files(pack / "papers"))


def test_the_demos_next_command_works(pack: Path, run) -> None:
    """The command the demo ends with prints hops; verify and check of the demo are fine."""
    said = run("demo", pack, "--date", "2026-06-01 10:00 +0000").out
    line = next(line for line in said.splitlines() if " trace " in line)
    words = line.split("patchloom ", 1)[1].split()
    assert "look at:" in run(*words).out
    assert run("-C", pack, "verify").status == 0
    assert run("-C", pack, "check").status == 0


def test_demo_again_gives_the_same_bytes(pack: Path, run) -> None:
    """With the date given, the demo is the same byte for byte."""
    run("demo", pack, "--date", "2026-06-01 10:00 +0000")
    before = _files(pack)
    data = run("demo", pack, "--date", "2026-06-01 10:00 +0000", "--json").data
    assert data["outcome"] == "fine"
    assert _files(pack) == before


def test_demo_replaces_nothing_it_did_not_make(tmp_path: Path, run) -> None:
    """A rig.json that is not the demo's stops it before anything is written."""
    (tmp_path / "rig.json").write_text("{}", encoding="utf-8")
    answer = run("demo", tmp_path)
    assert answer.status == 2
    assert sorted(path.name for path in tmp_path.iterdir()) == ["rig.json"]


def test_the_demo_is_what_it_claims() -> None:
    """Four or more positions, forty or more sources with pairs and wireless, shared preamps with trims, three link formats."""
    texts = shipped()
    rig = patchloom.read_rig(texts["rig.json"])
    show = patchloom.read_show(texts["show.json"], rig)
    assert len({row.position for row in show.lists}) >= 4
    assert len(show.sources) >= 40
    assert sum(len(source.legs) == 2 for source in show.sources) >= 2
    assert any(source.kind == "radio" for source in show.sources)
    assert len({link.format for link in rig.links if link.format}) >= 3
    roles = [rig.type_of(key).role for key in rig.devices]
    assert roles.count("box") >= 2
    assert {"split", "rate-converter"} <= set(roles)
    assert len(rig.domains) >= 2
    patch = pipeline.solve(rig, show)
    assert any(gain.trims_db for gain in patch.settings[0].gains)
    assert json.loads(pipeline.write(patch))["format"] == "patch/1"
