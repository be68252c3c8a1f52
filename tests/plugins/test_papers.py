"""The shipped papers: what must be on them, line by line, and golden texts of all of them."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import attrs
import pytest

from patchloom.model.base import Table as Frozen
from patchloom.model.base import build
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Position
from patchloom.pages import Page, Table
from patchloom.plugins import load
from tests.pages.world import FINDINGS, PATCH, RIG, hostile_show, patch, rig, show, small_book

PAPERS = (
    *("input-list", "output-list", "desk-patch", "patch-sheet", "settings-checklist", "clock-sheet", "phantom-sheet"),
    *("gain-sheet", "line-check", "pack-sheet", "labels", "cable-list", "proof-page"),
)
TOLD = ("input-list", "output-list", "patch-sheet", "settings-checklist")
"""Papers whose goldens are kept in every plain format; the others as text."""
MOVING = ("proof-page",)
"""Papers without a golden: this one lists every rule there is."""


def made(paper: str) -> list[Page]:
    return list(load("papers", paper)(rig(), show(), patch(), FINDINGS))


def page(paper: str, subject: str) -> Page:
    return next(row for row in made(paper) if row.subject == subject)


def table(of: Page, key: str) -> Table:
    return next(row for row in of.tables if row.id == key)


def column(of: Table, key: str) -> list[str]:
    place = [row.id for row in of.columns].index(key)
    return [row.cells[place].text for row in of.rows]


@pytest.mark.parametrize("paper", PAPERS)
def test_papers_answer_in_contract(paper: str) -> None:
    """A paper gives pages with a title, a subject, the law as last caution, and as many cells as columns in every row."""
    rows = made(paper)
    assert rows
    for each in rows:
        assert each.title
        assert each.subject
        assert each.cautions[-1].area == "law"
        for grid in each.tables:
            assert all(len(row.cells) == len(grid.columns) for row in grid.rows if row.kind != "section")
            assert len({row.id for row in grid.columns}) == len(grid.columns)


@pytest.mark.parametrize("paper", PAPERS)
def test_papers_say_the_same_twice_and_alter_nothing(paper: str) -> None:
    """The same input gives equal pages, and rig, show and patch are as before."""
    inputs = (rig(), show(), patch())
    first = list(load("papers", paper)(*inputs, FINDINGS))
    assert first == list(load("papers", paper)(*inputs, FINDINGS))
    assert inputs == (rig(), show(), patch())


def test_input_list_is_in_the_positions_own_order() -> None:
    """Each list has its own order, one row a channel from 1 to the last, gaps included."""
    foh, mon = table(page("input-list", "foh"), "inputs"), table(page("input-list", "mon"), "inputs")
    assert column(foh, "ch") == ["1", "2", "3", "4", "5"]
    assert column(foh, "name") == ["Singer", "Kick", "Overheads L", "Overheads R", "Fiddle"]
    assert column(mon, "name") == ["Kick", "", "Overheads L", "Overheads R", "Fiddle", "Lead", "Talk monitors"]
    assert mon.rows[1].kind == "empty"


def test_unknown_phantom_is_never_no() -> None:
    """Needed, never, indifferent and unknown phantom are four different cells."""
    foh = table(page("input-list", "foh"), "inputs")
    assert column(foh, "phantom") == ["? off", "\u2013", "ON", "ON", "NEVER"]
    assert any("unknown" in note and "not \u201cno\u201d" in note for note in foh.notes)


def test_gain_and_trim_are_seen_from_the_position() -> None:
    """The owner reads `own`, the others read whose it is; each sees its own trim; what is not known is blank."""
    foh, mon = table(page("input-list", "foh"), "inputs"), table(page("input-list", "mon"), "inputs")
    assert column(foh, "owner")[1] == "mon"
    assert column(mon, "owner")[0] == "own"
    assert (column(foh, "trim")[1], column(mon, "trim")[0], column(foh, "trim")[0]) == ("+6", "0", "")
    assert column(foh, "gain")[1] == "20"


def test_columns_follow_the_kind_of_position() -> None:
    """A record list has track, file, tap, rate and arm; an input list has stand and owner; a volunteer's has neither."""
    record = page("input-list", "rec")
    assert record.title == "Record list"
    titles = [row.title for row in record.tables[0].columns]
    assert titles[:6] == ["Track", "Name", "File", "Line", "Tap", "Rate"]
    assert column(record.tables[0], "file")[0] == "01 Kick"
    assert set(column(record.tables[0], "tap")) == {"raw", ""}
    plain = attrs.evolve(show(), positions=Frozen({**show().positions, "foh": Position("foh", desk="FOH", plain_words=True)}))
    rows = list(load("papers", "input-list")(rig(), plain, patch(), ()))
    ids = [row.id for row in next(row for row in rows if row.subject == "foh").tables[0].columns]
    assert "stand" not in ids
    assert "owner" not in ids


def test_pairs_and_blocks_stay_together() -> None:
    """Legs of a pair are kept together, and rows carry the number of their block of eight."""
    mon = table(page("input-list", "mon"), "inputs")
    assert [row.keep for row in mon.rows[2:4]] == ["oh", "oh"]
    assert {row.block for row in mon.rows} == {0}


def test_unused_blocks_are_one_row() -> None:
    """Two whole blocks or more with nothing in them are one row; a single one is printed, to be written in."""
    rows = list(load("papers", "input-list")(rig(), show(), patch(), ()))
    assert all(row.kind != "section" for page in rows for table in page.tables for row in table.rows)
    far = {**RIG, "types": {**RIG["types"], "desk": far_desk()}}  # type: ignore[dict-item]
    moved = [
        {**row, "hops": [*row["hops"][:-1], "MON.ch[40]"]} if row["leg"] == "talk" else row
        for row in PATCH["settings"][0]["routes"]
    ]  # type: ignore[index]
    answer = build(Patch, {**PATCH, "settings": [{**PATCH["settings"][0], "routes": moved}]})  # type: ignore[index,dict-item]
    rows = list(load("papers", "input-list")(build(Rig, far), show(), answer, ()))
    grid = next(row for row in rows if row.subject == "mon").tables[0]
    assert [row.cells[0].text for row in grid.rows][6:] == ["7", "8", "9 to 32 not in use", *(str(n) for n in range(33, 41))]


def far_desk() -> dict[str, Any]:
    """Return the desk with forty-eight channels."""
    desk: dict[str, Any] = RIG["types"]["desk"]  # type: ignore[index,assignment]
    return {**desk, "banks": {**desk["banks"], "ch": {**desk["banks"]["ch"], "slots": 48}}}


def test_output_list_follows_each_mix_home() -> None:
    """A mix is listed with where it is made, the way, where it arrives and who hears it."""
    out = table(page("output-list", "mon"), "outputs")
    assert column(out, "mix") == ["MON mix-1"]
    assert column(out, "socket") == ["W1-1"]
    assert column(out, "person") == ["drummer"]
    assert column(out, "via") == ["MON a-1 > BOX line-A"]


def test_patch_sheet_has_every_socket() -> None:
    """Every socket of a box has a row, empty ones too, with its printed mark on the left and who hears it on the right."""
    sheet = page("patch-sheet", "BOX")
    mic, line = table(sheet, "mic"), table(sheet, "line")
    assert column(mic, "socket") == [str(n) for n in range(1, 17)]
    assert column(line, "socket") == ["A", "B", "C", "D"]
    assert column(mic, "source")[:5] == ["Kick", "", "Overheads L", "Overheads R", "Fiddle"]
    assert column(mic, "source")[7] == "SPARE"
    assert (column(mic, "list-foh")[0], column(mic, "list-mon")[0], column(mic, "list-rec")[0]) == ("2", "1", "1")
    assert [row.block for row in mic.rows] == [0] * 8 + [1] * 8
    assert column(line, "source")[0] == "Drum wedge"


def test_patch_sheet_shows_the_panel() -> None:
    """A box comes a second time as its panel, eight sockets a row."""
    panel = table(page("patch-sheet", "BOX"), "mic-panel")
    assert len(panel.columns) == 8
    assert [row.cells[0].text for row in panel.rows] == ["1 Kick", "9 Singer"]


def test_a_desk_shows_blocks_then_channels_then_outputs() -> None:
    """A desk's blocks come first with what is wanted of them, then its channels, then what leaves; its sockets are elsewhere."""
    sheet = page("desk-patch", "MON")
    assert [row.id for row in sheet.tables] == ["imports", "channels-mon", "outputs"]
    blocks, channels = table(sheet, "imports"), table(sheet, "channels-mon")
    assert column(blocks, "into")[:2] == ["intake 1-8", "intake 9-16"]
    assert "1 Kick, 3 Overheads L" in column(blocks, "contains")[0]
    assert ("6", "intake 9", "BOX-9") in list(
        zip(column(channels, "ch"), column(channels, "main"), column(channels, "line"), strict=True)
    )
    assert column(table(sheet, "outputs"), "out")[:2] == ["mix 1", "a.out 1"]
    assert not any(row.subject == "MON" and row.tables[0].id == "blocks" for row in made("patch-sheet"))


def test_checklist_is_in_the_order_that_does_least_harm() -> None:
    """Ends, power, rate, clock, links, addresses, claims, blocks, slots, labels, phantom, gains, ...: only those that exist."""
    mon = [group.id for group in page("settings-checklist", "MON").steps]
    assert mon == [
        "ends",
        "power",
        "rate",
        "clock",
        "links",
        "addresses",
        "claims",
        "blocks",
        "slots",
        "labels",
        "phantom",
        "gains",
        "outputs",
        "talk",
        "recall",
        "save",
        "proof",
    ]
    foh = [group.id for group in page("settings-checklist", "FOH").steps]
    assert "claims" not in foh
    assert "phantom" not in foh
    assert "inserts" in foh
    assert foh.index("trims") < foh.index("inserts")


def test_checklist_has_the_numbers() -> None:
    """Rate, clock source, framing, claims, blocks, gains and trims are printed with their numbers."""
    mon = {group.id: group for group in page("settings-checklist", "MON").steps}
    assert mon["rate"].steps[0].text == "Sample rate: 48000 Hz (domain main)."
    assert mon["clock"].steps[0].text == "MON LEADS domain main: internal clock."
    assert "framing long" in mon["links"].steps[0].text
    assert "cable blue 1" in mon["links"].steps[0].text
    claim = mon["claims"].steps[0]
    assert claim.text == "Claim BOX mic 1-16 for mon (port, by way of MON > K1 > BOX)."
    assert "tens of dB" in claim.caution
    assert claim.hears == ("foh", "rec")
    assert mon["blocks"].steps[0].text == "intake 1-8 takes a.in 1-8 (link K1 from BOX.main)."
    assert mon["gains"].steps[0].lines[0].startswith("BOX-1  Kick  +20 dB")
    foh = {group.id: group for group in page("settings-checklist", "FOH").steps}
    assert foh["clock"].steps[0].text.startswith("FOH FOLLOWS: clock from port a (link K2, from BOX)")
    assert foh["trims"].steps[0].lines == ("2 Kick  +6 dB",)


def test_checklist_keeps_unknown_phantom_apart() -> None:
    """Phantom comes with its caution: all off, on by list, never, unknown, wait."""
    steps = {group.id: group for group in page("settings-checklist", "MON").steps}["phantom"].steps
    assert [step.text for step in steps] == [
        "Mute, then 48 V OFF on every socket.",
        "48 V ON:",
        "Stays OFF, must never get 48 V:",
        "UNKNOWN, ask before switching anything:",
        "Wait 5-10 s, then look at every line that needs it.",
    ]
    assert steps[0].caution
    assert steps[3].lines == ("Singer at BOX-9, set off",)


def test_labels_of_the_checklist_fit_the_desk() -> None:
    """Labels are no longer than the position says, and no two alike."""
    step = {group.id: group for group in page("settings-checklist", "MON").steps}["labels"].steps[0]
    words = [line.split(" ", 1)[1] for line in step.lines]
    assert all(len(word) <= 6 for word in words)
    assert len(set(words)) == len(words)


def test_devices_nobody_sits_at_have_a_checklist() -> None:
    """Clock, links and addresses of boxes are on a page of their own."""
    rest = page("settings-checklist", "devices")
    assert any("BOX FOLLOWS" in step.text for group in rest.steps for step in group.steps)


def test_a_mark_unlike_its_number_is_what_people_read() -> None:
    """A socket printed C is called C in lists and sheets."""
    data = {**RIG, "types": {**RIG["types"]}}  # type: ignore[dict-item]
    box = data["types"]["box"]  # type: ignore[index]
    data["types"]["box"] = {**box, "banks": {**box["banks"], "mic": {**box["banks"]["mic"], "mark": ["S{01-16}"]}}}  # type: ignore[index]
    rows = list(load("papers", "input-list")(build(Rig, data), show(), patch(), ()))
    foh = next(row for row in rows if row.subject == "foh")
    assert column(foh.tables[0], "line")[1] == "BOX-S01"


@pytest.mark.parametrize("name", ["plain", "hostile"])
def test_golden_texts(name: str, golden: Callable[..., None]) -> None:
    """Every paper of the hand-made show reads as it did when somebody last looked at it."""
    book = small_book(hostile_show() if name == "hostile" else None)
    kept = attrs.evolve(book, pages=tuple(row for row in book.pages if row.paper in PAPERS and row.paper not in MOVING))
    for artifact in load("renderers", "text")(kept, {}):
        golden(f"papers/{name}/{artifact.name}", artifact.bytes)
    told = attrs.evolve(book, pages=tuple(row for row in book.pages if row.paper in TOLD))
    for format in ("csv", "markdown"):
        for artifact in load("renderers", format)(told, {}):
            golden(f"papers/{name}/{artifact.name}", artifact.bytes)
