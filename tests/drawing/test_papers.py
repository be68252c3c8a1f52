"""The stage plot and the signal diagram as pages, from a small rig and a patch written by hand."""

from __future__ import annotations

from typing import Any

import patchloom_clock_sheet
import patchloom_signal_diagram
import patchloom_stage_plot
import patchloom_svg
import pytest

from patchloom.drawing import scenes
from patchloom.model.base import build
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Show
from patchloom.pages import Book, Page, Remark, Stamp
from tests.drawing.measure import faults

RIG = {
    "name": "hall",
    "domains": {"main": {"rate": 48000, "leader": "DESK"}},
    "formats": {
        "wide": {"channels": {"48000": 64}, "pass": ["audio", "clock", "control"]},
        "tick": {"channels": {"48000": 0}, "pass": ["clock"], "one_way": True},
    },
    "types": {
        "box": {
            "role": "box",
            "banks": {
                "mic": {"slots": 8, "socket": "in", "preamp": "pre", "mark": ["A{1-8}"]},
                "line": {"slots": 4, "socket": "out"},
            },
            "ports": {"main": {"speaks": ["wide"], "slots": {"in": 4, "out": 8}}, "word": {"speaks": ["tick"]}},
            "select": [{"into": "main.out", "wired": "mic"}, {"into": "line", "wired": "main.in"}],
            "preamps": {"pre": {}},
        },
        "desk": {
            "role": "desk",
            "banks": {"ch": {"slots": 8, "does": "process"}, "mix": {"slots": 4, "does": "sum", "of": ["ch"]}},
            "ports": {"a": {"speaks": ["wide"]}, "word": {"speaks": ["tick"]}},
            "select": [{"into": "ch", "from": ["a.in"]}, {"into": "a.out", "from": ["mix"]}],
        },
    },
    "devices": {
        "BOX": {"type": "box", "name": "Stage box", "place": {"at": [-3, 1], "zone": "SR"}},
        "DESK": {"type": "desk", "place": {"at": [0, -25], "zone": "house"}},
        "GUEST": {"type": "desk", "belongs_to": "guest", "place": {"zone": "SR"}},
    },
    "links": [
        {"id": "K1", "join": ["BOX.main", "DESK.a"], "format": "wide", "cables": [{"medium": "cat6a", "length_m": 30}]},
        {"id": "W1", "join": ["DESK.word", "BOX.word"], "format": "tick"},
    ],
}
SHOW: dict[str, Any] = {
    "name": "evening",
    "positions": {"foh": {"desk": "DESK"}},
    "sources": [
        {"id": "kick", "name": "Kick", "kind": "mic", "zone": "drums"},
        {"id": "oh", "name": "Overheads", "kind": "mic", "legs": ["L", "R"], "left_is": "player", "at": [0, 4], "zone": "drums"},
        {"id": "keys", "name": "Keys", "kind": "di", "legs": ["L", "R"]},
        {"id": "lead", "name": "Lead", "kind": "radio", "person": "singer", "at": [0, 0.5], "zone": "front"},
        {"id": "gone", "name": "Gone", "kind": "mic", "at": [1, 1]},
        {"id": "talk", "kind": "talkback"},
    ],
    "lists": [{"position": "foh", "at": "DESK.ch", "wants": [{"signal": "kick"}, {"signal": "oh"}, {"signal": "lead"}]}],
    "feeds": [
        {"id": "w1", "name": "Wedge one", "kind": "wedge", "mixed_at": "foh", "to": [{"at": ["BOX.line[1]"]}]},
        {"id": "e1", "name": "Ears", "kind": "ear", "legs": ["L", "R"], "mixed_at": "foh", "person": "singer"},
    ],
    "stage": {
        "width_m": 10,
        "depth_m": 6,
        "zones": {"drums": {"name": "Drum riser", "side": "C", "depth": "US"}},
        "things": [
            {"kind": "drums", "name": "Kit", "at": [0, 4.5], "size": [2, 2], "zone": "drums", "sources": ["kick", "oh"]},
            {"kind": "performer", "name": "Singer", "person": "singer", "at": [0, 1], "zone": "front"},
            {"kind": "amp", "name": "Old amp", "at": [3, 3], "sources": ["gone"], "own": "act"},
            {"kind": "wedge", "name": "W", "at": [0, 0.2], "turn_deg": 180, "feed": "w1"},
            {"kind": "power", "name": "P1", "at": [4, 4], "text_": "2 outlets"},
        ],
    },
    "periods": [
        {"id": "one", "uses": ["kick", "oh", "keys", "lead", "talk", "w1", "e1"]},
        {"id": "two"},
        {"id": "calm", "scene_of": "two"},
    ],
}
SETTING: dict[str, Any] = {
    "plugs": {"kick": "BOX.mic[1]", "oh.L": "BOX.mic[3]", "oh.R": "BOX.mic[4]", "lead": "BOX.mic[5]", "gone": "BOX.mic[6]"},
    "mixes": {"w1": "DESK.mix[1]", "e1.L": "DESK.mix[3]", "e1.R": "DESK.mix[4]"},
    "routes": [
        {"leg": "kick", "to": "foh", "entry": 1, "hops": ["BOX.mic[1]", "BOX.main.out[1]", "DESK.a.in[1]", "DESK.ch[1]"]},
        {"leg": "lead", "to": "foh", "entry": 3, "hops": ["BOX.mic[5]", "BOX.main.out[5]", "DESK.a.in[5]", "DESK.ch[3]"]},
        {"leg": "w1", "to": "w1", "entry": 1, "hops": ["DESK.mix[1]", "DESK.a.out[1]", "BOX.main.in[1]", "BOX.line[1]"]},
    ],
    "clock": [
        {
            "id": "main",
            "leader": "DESK",
            "fallback": ["BOX"],
            "followers": [{"device": "BOX", "port": "main", "link": "K1", "from": "DESK"}],
        }
    ],
    "owners": [{"preamps": "BOX.mic[1-8]", "owner": "foh", "door": "port", "path": ["DESK", "K1", "BOX"]}],
}


def documents(**stage: Any) -> tuple[Rig, Show, Patch]:
    """Return the rig, the show and the patch, the stage changed as asked."""
    show = {**SHOW, "stage": None if stage.get("stage", 1) is None else {**SHOW["stage"], **stage}}
    settings = [{**SETTING, "period": period} for period in ("one", "two", "calm")]
    return build(Rig, RIG), build(Show, show), build(Patch, {"settings": settings})


def plots(**stage: Any) -> list[Page]:
    """Return the stage plots."""
    return list(patchloom_stage_plot.pages(*documents(**stage), ()))


def words_of(page: Page) -> str:
    """Return every word on the sheets of a page."""
    return " ".join(text.text for scene in scenes(page) for text in scene.texts)


def test_one_plot_for_each_act_and_none_for_a_scene() -> None:
    """Scenes move no plugs and no things."""
    assert [page.period for page in plots()] == ["one", "two"]


def test_a_thing_whose_sources_are_not_in_use_is_not_drawn() -> None:
    """The amp belongs to a source that only the second act uses."""
    one, two = plots()
    assert "Old amp" not in words_of(one)
    assert "Old amp" in words_of(two)


def test_sources_stand_under_their_thing_with_their_line() -> None:
    """The line is what is printed at the socket; a source with a place gets a symbol with its line as well."""
    plan = plots()[0].plan
    assert plan is not None
    things = {thing.id: thing for thing in plan.things}
    assert things["thing 1"].lines == ("BOX-A1 Kick", "BOX-A3+A4 Overheads")
    assert things["source oh"].label == "BOX-A3+A4"
    assert things["source lead"].label == "BOX-A5 Lead"
    assert things["source lead"].kind == "radio"
    assert things["source keys"].label == "(no line) Keys"
    assert "source kick" not in things
    assert not any("talk" in key for key in things)


def test_wedges_and_ears_say_their_mix_and_where_it_comes_out() -> None:
    """A performer's ears are found by the person."""
    words = words_of(plots()[0])
    assert "mix DESK 1 → BOX line-1" in words
    assert "ears: mix DESK 3+4" in words


def test_boxes_at_the_stage_are_drawn_and_the_house_desk_is_not() -> None:
    """A device far from the stage, or in a zone that is not on it, is left out."""
    plan = plots()[0].plan
    assert plan is not None
    devices = [thing.id for thing in plan.things if thing.id.startswith("device")]
    assert devices == ["device BOX"]
    assert "BOX · 8-way" in words_of(plots()[0])


def test_every_plot_says_which_side_is_which() -> None:
    """SR, SL, US, DS, AUDIENCE and CL stand on it to scale, by zone and without anything known."""
    for page in (plots()[0], plots(width_m=None)[0], plots(stage=None)[0]):
        words = words_of(page).split()
        for word in ("SR", "SL", "US", "DS", "CL", "AUDIENCE"):
            assert word in words
        assert "Stage right (SR) is on the LEFT" in words_of(page)
        assert [fault for scene in scenes(page) for fault in faults(scene)] == []


def test_scale_is_said_or_refused() -> None:
    """With the stage's size and places there is a scale, a grid and a bar; without them NOT TO SCALE."""
    assert "grid 1 m" in words_of(plots()[0])
    assert "NOT TO SCALE" not in words_of(plots()[0])
    assert "NOT TO SCALE" in words_of(plots(width_m=None)[0])
    assert "grid" not in words_of(plots(width_m=None)[0])


def test_stage_right_is_drawn_on_the_left() -> None:
    """The box at x = -3 stands left of the amp at x = 3, and downstage is lower on the page."""
    texts = {text.text: text for scene in scenes(plots()[1]) for text in scene.texts}
    assert texts["Stage box"].box().x0 < texts["Old amp"].box().x0
    assert texts["DRUMS Kit"].y < texts["Singer"].y
    assert texts["SR"].x < texts["SL"].x


def test_whose_left_is_said_of_every_pair() -> None:
    """A pair nobody stated is said to be unstated."""
    notes = " ".join(plots()[0].notes)
    assert "L is the player's left, right of this page: Overheads." in notes
    assert "nobody stated whose left L is: Keys" in notes


def test_power_drops_carry_the_usual_caution() -> None:
    """Requested only; supply, earthing and testing are for competent people; local law first."""
    words = words_of(plots()[0])
    for part in ("Do not daisy-chain", "Power positions requested only", "protective earth", "Local law"):
        assert part in words
    assert "Power positions" not in words_of(plots(things=[])[0])


def test_zones_are_read_from_the_words_of_the_trade() -> None:
    """`USL` is upstage left where the show says nothing else; any other word is no side."""
    rig, show, patch = documents(zones={}, width_m=None)
    plan = next(iter(patchloom_stage_plot.pages(rig, show, patch, ()))).plan
    assert plan is not None
    assert {zone.id: (zone.side, zone.depth) for zone in plan.zones}["drums"] == ("", "")
    from patchloom_stage_plot.plot import _spoken

    assert _spoken("USL") == ("SL", "US")
    assert _spoken("DSC") == ("C", "DS")
    assert _spoken("SR") == ("SR", "")
    assert _spoken("C") == ("C", "")
    assert _spoken("front") == ("", "")


def diagrams() -> list[Page]:
    """Return the diagrams."""
    links = [page for page in patchloom_signal_diagram.pages(*documents(), ()) if not page.position]
    return [*links, *(page for page in patchloom_clock_sheet.pages(*documents(), ()) if page.kind == "diagram")]


def test_links_say_what_they_carry_of_what_they_could() -> None:
    """Used and there in each direction, control and clock at the end where they arrive."""
    page = diagrams()[0]
    assert page.diagram is not None
    link, word = page.diagram.edges
    assert "BOX → DESK: 2 of 8" in link.lines
    assert "DESK → BOX: 1 of 4" in link.lines
    assert "control DESK → BOX" in link.lines
    assert "cat6a 30 m" in link.lines
    assert link.carries == ("control-from", "clock-from")
    assert (word.kind, word.arrows) == ("clock", "none")
    assert "no audio" in word.lines


def test_the_clock_leader_is_marked_and_followers_name_their_source() -> None:
    """In the diagram of links and in the clock tree."""
    links, clock = diagrams()
    assert links.diagram is not None
    assert clock.diagram is not None
    nodes = {node.id: node for node in links.diagram.nodes}
    assert "leader" in nodes["DESK"].marks
    assert "clock: from DESK by K1" in nodes["BOX"].lines
    assert [node.layer for node in clock.diagram.nodes] == [0, 1]
    assert clock.diagram.nodes[1].lines == ("source: port main",)
    assert "BOX" in clock.notes[0]


def test_devices_that_nothing_joins_are_named_and_not_drawn() -> None:
    """Nobody looks for a box that is in the truck."""
    page = diagrams()[0]
    assert any("GUEST" in note for note in page.notes)
    assert page.diagram is not None
    assert "GUEST" not in {node.id for node in page.diagram.nodes}


def test_no_clock_no_clock_page() -> None:
    """A patch without a clock has no clock tree."""
    rig, show, _ = documents()
    patch = build(Patch, {"settings": [{"period": "one"}]})
    assert [page.title for page in patchloom_signal_diagram.pages(rig, show, patch, ())] == ["Signal diagram"]
    assert list(patchloom_clock_sheet.pages(rig, show, patch, ())) == []


@pytest.mark.parametrize("page", [*plots(), *diagrams()], ids=lambda page: f"{page.title} {page.period}")
def test_papers_are_drawn_without_a_collision(page: Page) -> None:
    """On whole sheets and in a page of another renderer."""
    for room in (None, (256.0, 165.0)):
        assert [fault for scene in scenes(page, room=room) for fault in faults(scene)] == []


def test_svg_files_are_one_a_sheet_with_faults_printed() -> None:
    """Drawn pages only; names are plain; what could not be made is said on every sheet."""
    pages = (*plots(), *diagrams(), Page(kind="table", title="x"))
    book = Book(stamp=Stamp(show="evening"), pages=pages, faults=[Remark("stop", "Paper other could not be made")])
    made = list(patchloom_svg.render(book, {}))
    assert len(made) == len({artifact.name for artifact in made}) == len(pages) - 1
    assert all(artifact.name.endswith(".svg") and artifact.media_type.startswith("image/svg+xml") for artifact in made)
    assert all(b"could not be made" in artifact.bytes for artifact in made)
    assert made == list(patchloom_svg.render(book))
