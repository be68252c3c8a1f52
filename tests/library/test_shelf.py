"""The shipped library: its names, its numbers, and that nobody can alter the shelf."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from patchloom import document, library
from patchloom.errors import DocumentError
from patchloom.model.base import build, dump
from patchloom.model.rig import Format, Type

HERE = Path(library.__file__).parent
PROMISED_TYPES = {
    "desk-fixed",
    "desk-block",
    "desk-two-step",
    "desk-per-slot",
    "desk-pass-through",
    "desk-broadcast-core",
    "stage-box-8",
    "stage-box-16",
    "stage-box-32",
    "stage-box-48",
    "stage-box-48-mirror",
    "stage-box-16-cascade",
    "split-passive",
    "split-transformer",
    "split-active",
    "multicore-24",
    "multicore-tails",
    "format-converter",
    "rate-converter",
    "recorder-64",
    "personal-mixer-16",
    "network-node",
    "amplifier-4",
    "ear-transmitter",
    "loudspeaker-line",
}
PROMISED_FORMATS = {
    "aes3",
    "aes10-56",
    "aes10-64",
    "aes50",
    "aes67-a",
    "aes67-b",
    "aes67-c",
    "aes67-ax",
    "aes67-bx",
    "aes67-cx",
    "category-32",
    "category-48",
    "category-64",
    "category-128",
    "optical-8",
    "analogue",
    "word-clock",
}


def test_every_promised_name_is_there() -> None:
    """Rigs are written against these names; none may go."""
    assert set(library.type_names()) >= PROMISED_TYPES
    assert set(library.format_names()) >= PROMISED_FORMATS
    assert list(library.types()) == list(library.type_names()) == sorted(library.type_names())
    assert list(library.formats()) == list(library.format_names())


def test_a_look_up_gives_a_fresh_copy() -> None:
    """Altering what the shelf gave alters nothing on the shelf."""
    shelf = library.types()
    shelf["desk-block"]["banks"].clear()
    assert shelf["desk-block"]["banks"]
    assert "desk-block" in shelf
    assert "desk-blok" not in shelf
    assert 3 not in shelf
    assert len(shelf) == len(library.type_names())
    with pytest.raises(KeyError):
        shelf["desk-blok"]


@pytest.mark.parametrize("path", sorted(HERE.glob("*/*.json")), ids=lambda path: path.stem)
def test_each_file_reads_as_strictly_as_a_users(path: Path) -> None:
    """Each file holds one row named like the file, and passes strict reading and its schema."""
    kind = path.parent.name[:-1]
    data = document.read(path, kind).data
    assert list(data[path.parent.name]) == [path.stem]


@pytest.mark.parametrize("name", library.type_names())
def test_a_type_is_in_expanded_form_and_leaves_defaults_unsaid(name: str) -> None:
    """A type builds as it stands and dumps to the same data."""
    row = library.types()[name]
    assert dump(build(Type, row, id=name), without=("id",)) == row
    assert row["about"].endswith(".")


@pytest.mark.parametrize("name", library.format_names())
def test_a_format_is_in_expanded_form_and_says_its_standing(name: str) -> None:
    """A format builds as it stands, dumps to the same data, and names a source unless its numbers are typical."""
    row = library.formats()[name]
    made = build(Format, row, id=name)
    assert dump(made, without=("id",)) == row
    assert bool(made.source) == (made.standing != "typical")


def sizes(size: Any, rate: str) -> int:
    """Return a size at a rate as the file writes it."""
    found = size[rate] if isinstance(size, dict) else size
    assert isinstance(found, int)
    return found


@pytest.mark.parametrize("name", [name for name in library.type_names() if library.types()[name].get("role") == "desk"])
def test_a_desk_has_the_banks_and_ports_every_rig_may_count_on(name: str) -> None:
    """Desks have mic, line, talk, ch, mix and the ports from a; channels hand on a raw copy."""
    desk = library.types()[name]
    assert {"mic", "line", "talk", "ch", "mix"} <= set(desk["banks"])
    assert desk["banks"]["talk"]["only_for"] == "talkback"
    assert desk["banks"]["ch"]["does"] == "process"
    assert [] in desk["banks"]["ch"]["taps"].values()
    assert desk["banks"]["mix"]["does"] == "sum"
    assert desk["banks"]["mix"]["of"] == ["ch"]
    assert {"a", "b"} <= set(desk["ports"])
    assert all("control" in desk["ports"][port]["pass"]["out"] for port in "ab")


@pytest.mark.parametrize("name", [name for name in library.type_names() if library.types()[name].get("role") == "box"])
def test_a_box_takes_control_and_returns_at_its_main_port(name: str) -> None:
    """The main port sends every input, takes control in and clock both ways, and feeds the line sockets."""
    box = library.types()[name]
    main = box["ports"]["main"]
    assert main["pass"] == {"in": ["audio", "clock", "control"], "out": ["audio", "clock"]}
    assert main["slots"]["out"] >= sizes(box["banks"]["mic"]["slots"], "48000")
    assert main["slots"]["in"] >= sizes(box["banks"]["line"]["slots"], "48000")
    assert {row["into"].partition("[")[0] for row in box["select"]} >= {"main.out", "line"}


def test_phantom_a_socket_and_in_groups() -> None:
    """Some boxes switch phantom a socket, some in groups of 4 and 8."""
    groups = {
        name: library.types()[name]["preamps"]["pre"]["phantom_by"]
        for name in library.type_names()
        if name.startswith("stage-box")
    }
    assert {groups["stage-box-8"], groups["stage-box-16"], groups["stage-box-32"]} == {4, 8, 1}


def test_the_mirror_gives_audio_and_clock_and_takes_nothing() -> None:
    """A mirror port sends every input again; nothing comes in, no control passes."""
    mirror = library.types()["stage-box-48-mirror"]["ports"]["mirror"]
    assert mirror["slots"] == {"in": 0, "out": 48}
    assert mirror["pass"] == {"in": [], "out": ["audio", "clock"]}


def test_a_chain_of_boxes_fills_the_link_once() -> None:
    """A cascaded box takes the first slots for itself and wires the rest to its thru port, each slot once."""
    rows = library.types()["stage-box-16-cascade"]["select"]
    taken: list[int] = []
    for row in rows:
        if row["into"].startswith("main.out"):
            first, last = (int(end) for end in row["into"].partition("[")[2].rstrip("]").split("-"))
            taken.extend(range(first, last + 1))
    assert taken == list(range(1, 49))


def test_desks_are_of_six_classes() -> None:
    """Fixed is wired, block goes by 8 into channels, two-step by 8 into an intake, the free ones slot by slot."""

    def into(name: str, bank: str) -> list[dict[str, Any]]:
        return [
            row for row in library.types()[name]["select"] if row["into"].partition("[")[0] == bank and not row.get("alternate")
        ]

    assert all("wired" in row for row in into("desk-fixed", "ch"))
    assert {row["by"] for row in into("desk-block", "ch")} == {8}
    assert {row["by"] for row in into("desk-two-step", "intake")} == {8}
    assert {row.get("by", 1) for row in into("desk-two-step", "ch")} == {1}
    for free in ("desk-per-slot", "desk-pass-through", "desk-broadcast-core"):
        assert {row.get("by", 1) for row in into(free, "ch")} == {1}
        assert "b.in" in into(free, "a.out")[0]["from"]
    assert library.types()["desk-broadcast-core"]["banks"]["ch"]["slots"]["48000"] >= 256


def test_a_rate_converter_crosses_both_ways() -> None:
    """Two clock sections, and rows that convert from A to B and from B to A."""
    for name in ("rate-converter", "rate-converter-64"):
        kind = library.types()[name]
        assert kind["clocks"] == ["A", "B"]
        ways = {
            (kind["ports"][row["wired"].partition(".")[0]]["clock"], kind["ports"][row["into"].partition(".")[0]]["clock"])
            for row in kind["select"]
            if row["converts"]
        }
        assert ways == {("A", "B"), ("B", "A")}


def test_splits_know_and_do_not_know_direct_current() -> None:
    """Among the splits direct current passes, does not pass, and is unknown."""
    splits = [library.types()[name] for name in library.type_names() if name.startswith("split-")]
    said = {row.get("dc", "unknown") for split in splits for row in split["select"]}
    assert said == {"yes", "no", "unknown"}


def test_no_format_needs_a_name_for_analogue_runs() -> None:
    """The format implied for runs of sockets is there, carries no clock and is no sampled audio."""
    analogue = library.formats()["analogue"]
    assert analogue["digital"] is False
    assert analogue["pass"] == ["audio"]


def pack_file(folder: Path, name: str, data: Any) -> Path:
    """Write one file of a pack and return its path."""
    path = folder / name
    path.write_text(data if isinstance(data, str) else json.dumps(data), encoding="utf-8")
    return path


def test_a_users_pack_loads_the_same_way(tmp_path: Path) -> None:
    """A folder of type and format files gives both; a single file gives its own."""
    one = pack_file(tmp_path, "box.json", {"format": "type/1", "types": {"own-box": {"banks": {"mic": {"slots": 4}}}}})
    pack_file(tmp_path, "form.json", {"format": "format/1", "formats": {"own-form": {"channels": {"48000": 4}}}})
    pack = library.load_pack(tmp_path)
    assert list(pack.types) == ["own-box"]
    assert list(pack.formats) == ["own-form"]
    assert library.load_pack(str(one)).types == pack.types


def test_everything_wrong_with_a_pack_is_said_at_once(tmp_path: Path) -> None:
    """Broken JSON, another kind of file, missing rows and a name given twice are four complaints of one error."""
    pack_file(tmp_path, "a.json", {"format": "type/1", "types": {"own": {}}})
    pack_file(tmp_path, "b.json", {"format": "type/1", "types": {"own": {}}})
    pack_file(tmp_path, "c.json", "{")
    pack_file(tmp_path, "d.json", {"format": "show/1"})
    pack_file(tmp_path, "e.json", {"format": "format/1"})
    pack_file(tmp_path, "f.json", "[]")
    with pytest.raises(DocumentError) as caught:
        library.load_pack(tmp_path)
    assert [(item.document, item.kind) for item in caught.value.complaints] == [
        ("b.json", "duplicate-id"),
        ("c.json", "syntax"),
        ("d.json", "format"),
        ("e.json", "missing"),
        ("f.json", "format"),
    ]


def test_a_pack_that_is_not_there(tmp_path: Path) -> None:
    """A missing file and an empty folder are complaints, not tracebacks."""
    for path, kind in ((tmp_path / "none.json", "unreadable"), (tmp_path, "missing")):
        with pytest.raises(DocumentError) as caught:
            library.load_pack(path)
        assert [item.kind for item in caught.value.complaints] == [kind]
