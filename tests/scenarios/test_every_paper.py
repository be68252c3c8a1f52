"""Every paper of the demo and of every example: made, whole, said in any language, and nothing lost on the way."""

from __future__ import annotations

import re
from functools import cache

import pytest

import patchloom
from patchloom.pages import ORDER, Book, Page, Table
from patchloom.plugins import found

from .reading import solved

NAMES = ("demo", "shared-stage", "small-church", "truck", "panel", "festival")


@cache
def bound(name: str) -> Book:
    """Return the book of an example; findings are the judge's alone, to keep it quick."""
    rig, show, patch = solved(name)
    return patchloom.book(rig, show, patch, findings=patchloom.verify(rig, show, patch))


def tables(name: str, paper: str) -> list[tuple[Page, Table]]:
    """Return every table of a paper, with its page."""
    return [(page, table) for page in bound(name).pages if page.paper == paper for table in page.tables]


def column(table: Table, key: str) -> list[str]:
    """Return the texts of a column, section rows aside."""
    place = [row.id for row in table.columns].index(key)
    return [row.cells[place].text for row in table.rows if row.kind != "section"]


def test_the_order_of_a_book_names_every_paper() -> None:
    """Each shipped paper has its place in the book."""
    assert sorted(ORDER) == sorted(row.name for row in found("papers") if row.package == "patchloom")


@pytest.mark.parametrize("name", NAMES)
def test_every_paper_is_made(name: str) -> None:
    """No paper breaks, in whatever order of the book; papers about what is not there are left out, and no others."""
    made = [page.paper for page in bound(name).pages]
    assert bound(name).faults == ()
    assert made == sorted(made, key=ORDER.index)
    _, show, _ = solved(name)
    worn = any(row.kind == "radio" for row in show.sources) or any(row.kind == "ear" for row in show.feeds)
    acts = [row for row in show.periods if not row.scene_of]
    optional = {"guest-map", *([] if worn else ["pack-sheet"]), *([] if len(acts) > 1 else ["act-matrix"])}
    assert set(ORDER) - set(made) <= optional


@pytest.mark.parametrize("name", NAMES)
def test_every_page_is_whole(name: str) -> None:
    """As many cells as columns, ids of columns and tables once, the law last, what was not honoured named, a reader told."""
    _, _, patch = solved(name)
    keys = [(page.paper, page.title, page.subject, page.period) for page in bound(name).pages]
    assert len(set(keys)) == len(keys)
    for page in bound(name).pages:
        assert page.title
        assert page.cautions[-1].area == "law"
        assert any(row.kind == "unhonoured" for row in page.remarks) == bool(patch.unhonoured)
        assert len({table.id for table in page.tables}) == len(page.tables), (page.title, page.subject)
        for table in page.tables:
            assert len({row.id for row in table.columns}) == len(table.columns)
            assert all(len(row.cells) == len(table.columns) for row in table.rows if row.kind != "section"), (
                page.title,
                table.id,
            )
        texts = [cell.text for table in page.tables for row in table.rows for cell in row.cells]
        assert not [text for text in texts if re.search(r"\bNone\b|\{\w+\}|Slot\(|frozenset", text)]


@pytest.mark.parametrize("name", NAMES)
def test_labels_differ_after_they_are_cut(name: str) -> None:
    """On each strip no two short names are alike, and none is longer than was promised."""
    for page in (page for page in bound(name).pages if page.paper == "labels" and page.subject != "cable-ends"):
        found = re.search(r"at most (\d+) characters", page.about)
        assert found
        words = [cell.text for table in page.tables for cell in table.rows[1].cells if cell.text]
        banks = {table.id.rpartition("-")[0] for table in page.tables}
        assert all(len(word) <= int(found[1]) for word in words)
        for bank in banks:
            mine = [cell.text for t in page.tables if t.id.rpartition("-")[0] == bank for cell in t.rows[1].cells if cell.text]
            assert len({word.casefold() for word in mine}) == len(mine)
        assert all(table.pitch_mm and len(table.columns) * table.pitch_mm <= 259 for table in page.tables)


@pytest.mark.parametrize("name", NAMES)
def test_both_line_checks_hold_every_plugged_line_once(name: str) -> None:
    """The walk and the channel order are the same lines; each is one that is plugged."""
    _, show, patch = solved(name)
    acts = {row.id for row in show.periods if not row.scene_of} or {""}
    for setting in (row for row in patch.settings if row.period in acts):
        for order in ("channel", "walking"):
            page = next(
                page
                for page in bound(name).pages
                if page.paper == "line-check" and page.subject == order and setting.period in (page.period, *page.also)
            )
            table = next(table for table in page.tables if table.id == "lines")
            assert len(column(table, "say")) == len(setting.plugs)
            assert column(table, "order") == [str(n) for n in range(1, len(setting.plugs) + 1)]


@pytest.mark.parametrize("name", NAMES)
def test_pull_list_adds_up(name: str) -> None:
    """Total is needed and spare; short is what is missing of the total; every link with two ends is a run."""
    rig, _, _ = solved(name)
    [(_, totals), *runs] = tables(name, "cable-list")
    for needed, spare, total, there, short in zip(
        *(column(totals, key) for key in ("needed", "spare", "total", "stock", "short")), strict=True
    ):
        assert int(needed) + int(spare) == int(total)
        if there:
            assert short == (str(int(total) - int(there)) if int(total) > int(there) else "\u2013")
    labels = [label for _, table in runs if table.id == "links" for label in column(table, "from")]
    assert len(labels) == sum(max(1, len(link.cables)) for link in rig.links if len(link.join) == 2)


@pytest.mark.parametrize("name", NAMES)
def test_unknown_phantom_stands_on_top_and_never_is_never(name: str) -> None:
    """The first table of the phantom sheet is what nobody stated; a line that must never get 48 V is called so."""
    _, show, _ = solved(name)
    unknown = {row.id for row in show.sources if row.phantom == "unknown"}
    never = {row.name or row.id for row in show.sources if row.phantom == "never"}
    for page in (page for page in bound(name).pages if page.paper == "phantom-sheet"):
        assert page.tables[0].id == "unknown"
        assert bool(page.tables[0].rows) == bool(unknown)
        for table in page.tables[1:]:
            for source, asked in zip(column(table, "source"), column(table, "need"), strict=True):
                assert source not in never or asked == "NEVER"


@pytest.mark.parametrize("name", NAMES)
def test_guest_map_reads_the_same_both_ways(name: str) -> None:
    """Each channel of the guest and its socket stand in both tables."""
    for page in (page for page in bound(name).pages if page.paper == "guest-map"):
        theirs, ours = page.tables
        there = sorted(zip(column(theirs, "ch"), column(theirs, "socket"), strict=True))
        assert there == sorted(zip(column(ours, "ch"), column(ours, "socket"), strict=True))


@pytest.mark.parametrize("name", NAMES)
def test_proof_counts_what_is_asked(name: str) -> None:
    """Delivered of asked is the same in the line everybody reads and in the table, and nothing more is claimed."""
    page = next(page for page in bound(name).pages if page.paper == "proof-page")
    demands = page.tables[0]
    asked, there = (sum(map(int, column(demands, key))) for key in ("asked", "delivered"))
    assert page.about.startswith(f"{there} of {asked} delivered.")
    assert page.about.endswith("Checked against the rules listed, with the data given.")
    listed = [table for table in page.tables if table.id in ("rules", "quiet")]
    assert listed


@pytest.mark.parametrize("name", NAMES)
def test_a_position_has_a_diagram_of_its_own_ways(name: str) -> None:
    """The diagram of a position is a part of the whole one, and uses no more of any link than the whole."""
    diagrams = [page for page in bound(name).pages if page.paper == "signal-diagram" and page.diagram]
    whole = {edge.id for page in diagrams if page.subject == "whole" and page.diagram for edge in page.diagram.edges}
    for page in diagrams:
        assert page.diagram
        nodes = {node.id for node in page.diagram.nodes}
        assert {edge.id for edge in page.diagram.edges} <= whole
        assert all(edge.from_ in nodes and edge.to in nodes for edge in page.diagram.edges)


@pytest.mark.parametrize("name", ["demo", "truck"])
def test_another_language_has_the_same_rows(name: str) -> None:
    """In German every page is there, with as many rows and cells, and numbers and addresses are as they were."""
    rig, show, patch = solved(name)
    german = patchloom.book(rig, show, patch, findings=(), options={"language": "de"})
    plain = patchloom.book(rig, show, patch, findings=())
    for one, two in zip(plain.pages, german.pages, strict=True):
        assert (one.paper, one.subject, one.period, two.language) == (two.paper, two.subject, two.period, "de")
        assert one.title != two.title
        for first, second in zip(one.tables, two.tables, strict=True):
            for row, other in zip(first.rows, second.rows, strict=True):
                assert [cell.text.isdigit() and cell.text for cell in row.cells] == [
                    cell.text.isdigit() and cell.text for cell in other.cells
                ]


def test_the_matrix_has_every_plug_of_every_act() -> None:
    """Each act has a column; what it plugs stands in it, with an arrow where the act before had something else there."""
    _, show, patch = solved("festival")
    sheets = tables("festival", "act-matrix")
    assert sheets
    acts = [row for row in show.periods if not row.scene_of]
    for number, act in enumerate(acts, 1):
        said = [text for _, table in sheets for text in column(table, f"act-{number}") if text not in ("", "\u2013")]
        banks = {tuple(table.id.split("-")[:2]) for _, table in sheets}
        plugs = [at for at in patch.setting(act.id).plugs.values() if (at.device, at.bank) in banks]
        assert len(said) == len(plugs)
    first = [text for _, table in sheets for text in column(table, "act-1")]
    assert not [text for text in first if text.startswith("\u2192")]


def test_packs_are_followed_from_scene_to_scene() -> None:
    """A pack that changes hands has a row for each stretch, the channels it has there, and an arrow where it changes."""
    sheet = {table.id: table for _, table in tables("festival", "pack-sheet")}
    packs = sheet["packs"]
    stretches = list(zip(column(packs, "pack"), column(packs, "person"), column(packs, "scenes"), strict=True))
    assert ("radio1", "singer", "Night Ferry \u2013 Night Ferry with brass") in stretches
    assert ("radio2", "second singer", "Night Ferry \u2013 Night Ferry, main part") in stretches
    assert any(column(packs, "list-foh"))
    scenes = sheet["scenes-1"]
    assert [cell.text for cell in scenes.rows[0].cells][-3:] == ["\u2192 singer", "singer", "singer"]


def sheet(paper: str, subject: str, name: str = "demo") -> dict[str, Table]:
    """Return the tables of one page of an example, by id."""
    page = next(page for page in bound(name).pages if (page.paper, page.subject) == (paper, subject))
    return {table.id: table for table in page.tables}


def test_clock_sheet_names_leader_sources_and_crossings() -> None:
    """The leader stands first, each follower has its port and link, and a converter stands in both domains and between them."""
    made = sheet("clock-sheet", "clock")
    main, guest, bridges = made["domain-main"], made["domain-guest"], made["bridges"]
    assert column(main, "source")[0] == "LEADS, own clock"
    assert (column(guest, "source")[0], column(guest, "from")[0]) == ("LEADS, follows outside", "picture")
    assert all(source.startswith("port ") for source in column(main, "source")[1:])
    assert column(main, "hops") == sorted(column(main, "hops"))
    assert [text.split(",")[0] for text in column(bridges, "from")] == ["main", "guest"]


def test_gain_sheet_has_every_preamp_a_line_reaches() -> None:
    """A split line stands at both of its preamps, each with its own owner; a gain and its trims stand in one row."""
    gains = sheet("gain-sheet", "gain")["gains"]
    lead = [row for row in gains.rows if row.cells[1].text == "Lead voice"]
    assert [row.cells[0].text for row in lead] == ["STAGE-42", "TRUCK-2"]
    assert [row.cells[2].text for row in lead] == ["Monitors", "Truck"]
    assert all(row.cells[3].text for row in lead)


def test_phantom_sheet_follows_the_copper() -> None:
    """A switch that serves several sockets names them; behind a split the switch is named where it is."""
    deck, split = sheet("phantom-sheet", "phantom")["box-DECK"], sheet("phantom-sheet", "phantom")["box-SPLIT"]
    assert set(column(deck, "with")) == {"DECK-1 to 8", "DECK-9 to 16"}
    states = dict(zip(column(split, "source"), column(split, "set"), strict=True))
    assert states["Reading desk main"] == "ON at STAGE-43"
    assert states["Lead voice"] == "off at STAGE-42"


def test_output_list_has_a_row_for_every_arrival() -> None:
    """Each leg of a feed has one row for every place it arrives at, numbered through."""
    _, show, patch = solved("demo")
    for position in ("foh", "mon", "bcast", "stream"):
        feeds = {leg for feed in show.feeds if feed.mixed_at == position for leg in feed.leg_ids()}
        arrivals = [route for route in patch.setting().routes if route.leg in feeds and not route.alternate]
        table = sheet("output-list", position)["outputs"]
        assert len(table.rows) == len(arrivals)
        assert column(table, "out") == [str(n) for n in range(1, len(arrivals) + 1)]


def test_desk_patch_is_in_the_order_of_setting_it() -> None:
    """Blocks come before channels, channels before outputs; an alternate input and an insert say where they come from."""
    made = sheet("desk-patch", "FOH")
    assert list(made) == ["imports", "channels-foh", "outputs"]
    channels = made["channels-foh"]
    spare = dict(zip(column(channels, "name"), column(channels, "alternate"), strict=True))["Lead voice"]
    assert spare.endswith("Spare hand-held")
    assert any(text.startswith("insert, comes back on FOH.mic[31]") for text in column(made["outputs"], "way"))
