"""A plain input list becomes a show document, with every guess, skipped row and question reported."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import patchloom_list_csv
import pytest
from patchloom_list_csv import headers

from patchloom import document
from patchloom.finding import Imported

FIXTURES = Path(__file__).parent / "fixtures"
EVERY = sorted(FIXTURES.iterdir())

SYNONYMS = {
    "channel": "Ch, CH, Ch#, Ch., #, No, Nr, Chan, Channel, In, Inp, Kanal, Voie, Canal, Canale",
    "name": "Name, Source, Instrument, Inst, Signal, Description, Label, What, Quelle, Instrumento, Strumento",
    "mic": "Mic, Mic/DI, Mic or DI, Mic/Line, Microphone, Micro, Capture, DI, Type, Mikrofon, Suggested mic",
    "stand": "Stand, Stands, Mic stand, Boom, Pied, Stativ, Soporte, Pie, Asta",
    "phantom": "48V, +48, +48V, 48, P48, Phantom, Ph, PP",
    "line": "Socket, Stage box, SB, Box, Snake, Sub box, Multi, Loom, Sub-snake, Way",
    "position:foh": "FOH, House, PA",
    "position:mon": "MON, Mons, Monitor",
    "position:bcast": "BC, Bcast, TX, OB, Truck",
    "position:rec": "REC, Record, Track",
    "position:stream": "Stream",
    "insert": "Insert, Ins, Dyn, Comp/Gate",
    "group": "Group, Sub grp, Ctrl group",
    "location": "Position, Location, Zone, Stage, SR/SL",
    "person": "Who, Player, Musician, Performer, Cast",
    "stereo": "St, Stereo, L/R, Link, Pair, Width",
    "notes": "Notes, Note, Comments, Remarks, Info, Bemerkung",
}
"""Header words of the trade by meaning, those with one meaning."""


def read(name: str) -> Imported:
    """Return what the importer makes of a fixture."""
    return patchloom_list_csv.read((FIXTURES / name).read_bytes())


def of(text: str) -> Imported:
    """Return what the importer makes of a text."""
    return patchloom_list_csv.read(text.encode())


def source(found: Imported, key: str) -> dict[str, Any]:
    """Return a source of an imported document."""
    return next(row for row in found.document["sources"] if row["id"] == key)


def said(found: Imported) -> str:
    """Return the whole report as one text."""
    return "\n".join(map(str, (*found.guesses, *found.skipped, *found.questions)))


@pytest.mark.parametrize("path", EVERY, ids=lambda path: path.name)
def test_result_is_a_show_that_reading_accepts(path: Path) -> None:
    """Whatever comes in, the document that comes out is accepted as it is, twice the same."""
    data = path.read_bytes()
    found = patchloom_list_csv.read(data)
    assert document.read(found.document, "show").data["sources"]
    assert patchloom_list_csv.read(data) == found


@pytest.mark.parametrize("path", EVERY, ids=lambda path: path.name)
def test_no_row_is_dropped_silently(path: Path) -> None:
    """Each row below the header is a source, a leg of one, or is named among the skipped."""
    found = read(path.name)
    skipped = {remark.cell for remark in found.skipped}
    assert len(skipped) == len(found.skipped)
    legs = sum(len(row.get("legs", ("one",))) for row in found.document["sources"])
    assert found.rows_read - len(skipped) - 1 <= legs + sum("taken as" in str(remark) for remark in found.guesses)


@pytest.mark.parametrize(("meaning", "words"), SYNONYMS.items())
def test_header_words_are_known_in_any_case_spacing_and_punctuation(meaning: str, words: str) -> None:
    """Every header word is taken for its meaning, however it is written."""
    other = "Zone" if meaning == "name" else "Name"
    for word in words.split(", "):
        for written in (word, word.upper(), f" {word.lower()} ", f"{word}:"):
            rows = [[written, other, "Mic" if meaning != "mic" else "Notes"], ["1", "2", "3"]]
            table = headers.find(rows, patchloom_list_csv.Report())[0]
            assert table.columns[0] == meaning, written


def test_plain_list() -> None:
    """Phantom marks, a pair on two rows, a pair on one row, and a blank that stays unknown."""
    found = read("plain-comma.csv")
    assert [row["id"] for row in found.document["sources"]] == ["kick", "snare", "overhead", "bass", "keys", "voice"]
    assert [source(found, key).get("phantom") for key in ("kick", "snare", "overhead", "bass", "keys", "voice")] == [
        "need",
        "no",
        "need",
        None,
        "no",
        "no",
    ]
    assert source(found, "overhead")["legs"] == source(found, "keys")["legs"] == ["L", "R"]
    assert found.document["lists"][0]["wants"] == ["kick", "snare", "overhead", "bass", "keys", "voice"]
    assert source(found, "overhead")["stand"] == "tall boom"
    assert source(found, "bass")["kind"] == "di"


def test_titles_sections_dittos_in_windows_1252() -> None:
    """Rows above the header are reported, section words become groups, a ditto mark repeats the cell above."""
    found = read("titles-semicolon-cp1252.csv")
    assert found.document["name"] == "Sommerabend am Wasser"
    assert source(found, "groe_trommel")["name"] == "Gro\u00dfe Trommel"
    assert [row["group"] for row in found.document["sources"]] == ["SCHLAGZEUG", "SCHLAGZEUG", "GESANG", "GESANG"]
    assert source(found, "sangerin")["mic"] == "dynamisch"
    assert {remark.cell for remark in found.skipped} == {"row 1", "row 2", "row 3", "row 5", "row 8"}
    assert "Windows 1252" in said(found)
    assert "ditto" in said(found)


def test_utf16_with_tabs() -> None:
    """A byte-order mark decides; a dot and a tick are phantom marks; a question mark stays a question."""
    found = read("tabs-utf16.txt")
    assert [row.get("phantom") for row in found.document["sources"]] == ["need", "need", "need", "unknown"]
    assert source(found, "violin")["person"] == "first desk"
    assert [remark.cell for remark in found.questions] == ["E5"]
    assert found.document["lists"][0]["wants"] == ["violin", "viola", "piano", "lectern"]


def test_utf16_without_mark_is_seen() -> None:
    """Every other byte zero is enough."""
    found = patchloom_list_csv.read("Ch,Name\n1,Kick\n2,Snare\n".encode("utf-16-be"))
    assert [row["id"] for row in found.document["sources"]] == ["kick", "snare"]


def test_carriage_returns_only_and_dates_where_pairs_were() -> None:
    """Old line ends are read; a date is taken back for the pair it was, and asked about."""
    found = read("bom-cr-only.csv")
    assert found.rows_read == 5
    assert source(found, "keys")["legs"] == ["L", "R"]
    assert source(found, "pads")["legs"] == ["L", "R"]
    assert found.document["lists"][0]["wants"] == ["kick", "snare", *[None] * 6, "keys", "pads"]
    assert "spreadsheet has made a date" in said(found)


def test_position_columns_make_a_list_each() -> None:
    """Each position has its own order; a blank is not wanted there; the ambiguous words are decided by contents."""
    found = read("positions.csv")
    wants = {row["position"]: row["wants"] for row in found.document["lists"]}
    assert wants == {
        "foh": ["kick", "snare", "voice"],
        "mon": ["click", "voice", "kick", "snare"],
        "rec": ["kick", "snare", "click", "voice"],
    }
    assert source(found, "kick")["zone"] == "DSR"
    assert "F1: taken as location" in said(found)


def test_ugly_list() -> None:
    """Repeated headers, counts, duplicates, gaps, totals and outputs: nothing is lost and everything is said."""
    found = read("ugly.csv")
    names = [row.get("name", row["id"]) for row in found.document["sources"]]
    assert names == [
        "Kick",
        "Snare",
        "Toms 1",
        "Toms 2",
        "Toms 3",
        "BVs 1",
        "BVs 2",
        "BVs 3",
        "Pads",
        "Voice",
        "Voice",
        "Guest",
        "Talk",
    ]
    text = said(found)
    for words in (
        "the header again",
        "a total",
        "an outputs heading",
        "below an outputs heading",
        "section heading",
        "blank row",
        "has the id voice_2",
        "is there twice",
        "does this mark mean phantom",
        "What is plugged here?",
        "'A' behind the channel",
        "taken as line",
        "unknown heading",
    ):
        assert words in text, words
    assert [source(found, key)["phantom"] for key in ("kick", "snare", "voice_2")] == ["need", "no", "never"]
    assert "Colour: red" in source(found, "kick")["notes"]
    assert "Patch: SB1/1" in source(found, "kick")["notes"]
    assert {"signal": "kick", "insert": "gate"} in found.document["lists"][0]["wants"]


def test_two_tables_side_by_side() -> None:
    """The second table is read after the first, as the next channels of the same list."""
    found = read("side-by-side.csv")
    wants = found.document["lists"][0]["wants"]
    assert wants[:2] == ["kick", "snare"]
    assert wants[24:] == ["voice_1", "voice_2"]
    assert set(wants[2:24]) == {None}
    assert [row["phantom"] for row in found.document["sources"]] == ["need", "no", "no", "no"]


def test_lists_without_a_header_or_with_names_only() -> None:
    """Numbers and texts tell the columns apart, and a question is asked."""
    assert [row["id"] for row in read("no-header.csv").document["sources"]] == ["kick", "snare", "hat"]
    assert "no header row" in said(read("no-header.csv"))
    assert [row["id"] for row in read("names-only.csv").document["sources"]] == ["kick", "snare", "voice"]


def test_hostile_cells_stay_text() -> None:
    """Formulas, links, markup, paths and odd characters are names like any other; nothing is run or followed."""
    found = read("hostile.csv")
    names = [row.get("name", row["id"]) for row in found.document["sources"]]
    assert names[0] == '=HYPERLINK("http://example.invalid","x")'
    assert names[2] == "<script>alert(1)</script>"
    assert names[5] == "../../etc/passwd"
    assert source(found, "all_2")["name"] == "all"
    assert "\u202e" not in str(found.document)
    assert "\x07" not in str(found.document)
    assert "line one line two" in str(found.document)
    assert len(names) == 9
    assert "nothing is calculated" in said(found)
    assert "nothing is followed" in said(found)
    assert "never closes" in said(found)


@pytest.mark.parametrize("mark", ["48", "48V", "+48", "+48V", "P48", "Y", "yes", "x", "\u25cf", "\u2713"])
def test_phantom_marks_that_mean_yes(mark: str) -> None:
    """A mark is a need."""
    assert source(of(f"Ch,Name,48V\n1,Kick,{mark}\n2,Snare,\n"), "kick")["phantom"] == "need"


@pytest.mark.parametrize("mark", ["N", "-", "0", "no"])
def test_phantom_marks_that_mean_no(mark: str) -> None:
    """A no is a no, and not a never."""
    assert source(of(f"Ch,Name,48V\n1,Kick,{mark}\n2,Snare,y\n"), "kick")["phantom"] == "no"


@pytest.mark.parametrize(
    ("channel", "name"),
    [
        ("9/10", "Keys"),
        ("9-10", "Keys"),
        ("9+10", "Keys"),
        ('"9,10"', "Keys"),
        ("9", "Keys (ST)"),
        ("9", "Keys L/R"),
        ("9", "Keys L+R"),
        ("9", "Keys 2ch"),
        ("9", "Keys stereo"),
        ("9", "Keys x2"),
    ],
)
def test_stereo_notations(channel: str, name: str) -> None:
    """Every way to write a pair gives one source of two legs on two channels, and is reported."""
    found = of(f"Ch,Name,Mic\n8,Bass,DI\n{channel},{name},DI\n11,Voice,mic\n")
    assert source(found, "keys")["legs"] == ["L", "R"]
    assert found.document["lists"][0]["wants"] == [*[None] * 7, "bass", "keys", "voice"]
    assert "stereo source" in said(found)


@pytest.mark.parametrize(
    ("first", "second"), [("Keys L", "Keys R"), ("Keys (L)", "Keys (R)"), ("Keys-L", "Keys-R"), ("keys left", "Keys right")]
)
def test_stereo_on_two_rows(first: str, second: str) -> None:
    """Left and right on neighbouring rows are one source."""
    found = of(f"Ch,Name,Mic\n1,{first},DI\n2,{second},DI\n3,Bass,DI\n")
    assert [row["id"] for row in found.document["sources"]] == ["keys", "bass"]


def test_left_and_right_far_apart_stay_two() -> None:
    """Left on channel 1 and right on channel 7 are no neighbours."""
    found = of("Ch,Name,Mic\n1,Keys L,DI\n7,Keys R,DI\n")
    assert [row["id"] for row in found.document["sources"]] == ["keys_l", "keys_r"]


def test_a_channel_far_away_is_asked_about() -> None:
    """A slip of the keyboard does not make thousands of empty channels."""
    found = of("Ch,Name,Mic\n1,Kick,mic\n2222,Snare,mic\n")
    assert found.document["lists"][0]["wants"] == ["kick", "snare"]
    assert "channel 2222" in said(found)


@pytest.mark.parametrize("text", ["", "\n\n", "\ufeff", ",,,\n,,,\n", "Ch,Name\n"])
def test_nothing_in_gives_an_empty_show_and_a_question(text: str) -> None:
    """A file without a source is asked about, never an error."""
    found = of(text)
    assert found.document["sources"] == []
    assert "No source was found" in said(found)
    document.read(found.document, "show")


def test_any_bytes_are_read_without_a_traceback() -> None:
    """Bytes of any kind give a document that reading accepts, and a report."""
    for seed in range(256):
        data = bytes((seed * number * 7 + number) % 256 for number in range(400))
        document.read(patchloom_list_csv.read(data).document, "show")
