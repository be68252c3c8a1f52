"""The pieces a drawing is made of: free room, labels, layers, legend, sheets, SVG."""

from __future__ import annotations

import os
import subprocess
import sys
from xml.etree import ElementTree

import pytest

from patchloom.drawing import scenes, svg, svgs
from patchloom.drawing.band import Band, Sign
from patchloom.drawing.ground import Ground
from patchloom.drawing.labels import Label, crosses, place
from patchloom.drawing.layers import Item, arrange, spread
from patchloom.drawing.plan import MOST, objects, parts_of
from patchloom.drawing.scene import Box, Canvas
from patchloom.drawing.sheet import stamp_lines
from patchloom.drawing.symbols import SYMBOLS, draw
from patchloom.pages import Edge, Node, Page, PlanZone, Stamp, Thing
from tests.drawing.measure import faults
from tests.drawing.samples import HARD, diagram_page, named_diagram, named_plan, plan_page


def test_free_room_is_found_and_taken() -> None:
    """A box that fits is found next to what is taken, and not where it would touch it."""
    ground = Ground(Box(0, 0, 40, 20))
    ground.take(Box(0, 0, 20, 20))
    found = list(ground.fits(10, 6, (0, 10), 100))
    assert found[0][1] == 20
    assert all(x >= 20 for _, x, _ in found)
    ground.take_line((20, 0), (40, 20))
    assert not any(crosses(((20, 0), (40, 20)), Box(x, y, x + 10, y + 6)) for _, x, y in ground.fits(10, 6, (0, 10), 100))
    assert list(Ground(Box(0, 0, 4, 4)).fits(10, 10, (0, 0), 100)) == []


def test_a_segment_enters_a_box_or_does_not() -> None:
    """Touching a side is not entering."""
    box = Box(0, 0, 10, 10)
    assert crosses(((-5, 5), (15, 5)), box)
    assert crosses(((-1, -1), (11, 11)), box)
    assert not crosses(((-5, 0), (15, 0)), box)
    assert not crosses(((-5, 12), (12, -5 + 30)), box)


def test_labels_beside_one_another_do_not_collide() -> None:
    """Twenty labels round one spot find twenty places, or are given back."""
    spots = [(60 + n % 5, 60 + n // 5) for n in range(20)]
    labels = [Label(f"l{n}", ((f"Label number {n}", True),), Box(x, y, x + 2, y + 2)) for n, (x, y) in enumerate(spots)]
    placed, left = place(labels, Box(0, 0, 150, 120), [], None, 20)
    assert len(placed) + len(left) == 20
    boxes = [put.box for put in placed]
    assert not any(one.meets(two) for index, one in enumerate(boxes) for two in boxes[index + 1 :])


def test_a_try_that_was_given_up_goes_on_to_the_same_end() -> None:
    """Labels placed in two goes, the second bearing more of them left, stand where one go puts them."""
    symbols = [Box(20 + n % 4, 20 + n // 4, 21 + n % 4, 21 + n // 4) for n in range(16)]
    labels = [Label(f"l{n}", ((f"Label number {n}", True),), symbol) for n, symbol in enumerate(symbols)]
    area = Box(0, 0, 90, 60)
    _, left = place(labels, area, [], None, 0)
    assert len(left) == 1
    in_two = place(labels, area, [], None, 12)
    place(labels[:1], area, [], None, 0)
    place(labels[1:], area, [], None, 0)  # whatever was begun is forgotten
    assert place(labels, area, [], None, 12) == in_two


def test_spread_keeps_order_and_moves_least() -> None:
    """Tops stay in order and inside; where nothing is in the way they stay where they were wanted."""
    assert spread([0, 20], [5, 5], [0, 2], 0, 100) == [0, 20]
    assert spread([10, 10], [4, 4], [0, 2], 0, 100) == [7, 13]
    assert spread([-5, 98], [4, 4], [0, 2], 0, 100) == [0, 96]


def test_a_diagram_that_does_not_fit_says_so() -> None:
    """Too little height or width is no layout."""
    items = [Item(f"n{n}", 30, 20, 0) for n in range(5)]
    assert arrange(items, [], Box(0, 0, 100, 50)) is None
    assert arrange(items, [], Box(0, 0, 20, 500)) is None
    assert arrange([], [], Box(0, 0, 1, 1)) is not None


def test_layers_are_worked_out_where_none_are_given() -> None:
    """Signal runs to the right: each node stands a column after the one that feeds it, loops included."""
    edges = [("a", "b", Item("edge 1", 10, 5)), ("b", "c", Item("edge 2", 10, 5)), ("c", "a", Item("edge 3", 10, 5))]
    layout = arrange([Item(key, 10, 10) for key in "abc"], edges, Box(0, 0, 200, 100))
    assert layout is not None
    assert layout.boxes["a"].x0 < layout.boxes["b"].x0 < layout.boxes["c"].x0


def test_more_than_forty_objects_are_cut_by_zone() -> None:
    """No part has more objects than are readable, zones stay whole where they can, floor is on every part."""
    zones = [PlanZone(id=key, side="C", depth="MS") for key in ("one", "two", "three")]
    things = [Thing(id=f"t{n}", kind="mic", label=f"mic {n}", zone=zones[n % 3].id) for n in range(60)]
    page = plan_page([*things, Thing(id="riser", kind="riser", label="Riser")], zones, size=None)
    assert page.plan is not None
    parts = parts_of(page.plan)
    assert [objects(part) for part in parts] == [40, 20]
    assert MOST == 40
    assert all(any(thing.id == "riser" for thing in part.things) for part in parts)
    assert {thing.zone for thing in parts[1].things if thing.kind == "mic"} == {"three"}


@pytest.mark.parametrize("kind", [*SYMBOLS, "no such kind"])
@pytest.mark.parametrize("turn", [0, 45, 180])
def test_every_symbol_stays_in_its_box(kind: str, turn: float) -> None:
    """A symbol draws something, and tells the box it needs; the act's own gear is dashed."""
    canvas = Canvas(50, 50)
    box = draw(canvas, kind, (25, 25), turn=turn, own="act")
    assert canvas.shapes
    assert box.holds((25, 25))
    assert all(shape.box().inside(box.grown(0.01)) for shape in canvas.shapes)


def test_a_wedge_points_the_way_it_plays() -> None:
    """Turned by 180 degrees its point is upstage, at the top of the page."""
    canvas = Canvas(50, 50)
    draw(canvas, "wedge", (25, 25), turn=180)
    (triangle,) = canvas.shapes
    assert triangle.points[2][1] < 25 < triangle.points[0][1]


def test_the_band_puts_the_legend_at_the_bottom_right() -> None:
    """Notes stand on the left of it and never under it."""
    canvas = Canvas(260, 100)
    band = Band(
        250,
        [("A note that is long enough to be broken over several lines of the sheet. " * 4, False)],
        [Sign(lambda canvas, at: canvas.circle(at, 1), f"sign {n}") for n in range(9)],
    )
    box = band.draw(canvas, 0, 0)
    frame = next(shape for shape in canvas.shapes if shape.kind == "rect")
    assert frame.points[1] == (250, pytest.approx(box.y1))
    assert faults(canvas.scene("band")) == []


def test_stamp_says_what_it_was_told_and_no_more() -> None:
    """Unknown parts of a stamp are left out; a missing revision is said."""
    assert stamp_lines(None, "page 1 of 2") == ["page 1 of 2"]
    lines = stamp_lines(
        Stamp(
            show="S",
            date="1 May",
            revision="C",
            replaces="B",
            status="ISSUED",
            approver="who",
            changes=0,
            generated="2030-05-01",
            patch="sha256:0123456789abcdef",
        ),
        "page 1 of 2",
        "A4 or Letter",
    )
    assert lines == [
        "S · 1 May",
        "ISSUED · REV C · replaces REV B · changes since last issue: 0 · approved: who",
        "made 2030-05-01 · patch 01234567",
        "page 1 of 2 · print on A4 or Letter, full size",
    ]
    assert "REV none given" in stamp_lines(Stamp(show="S"))[1]


def test_remarks_are_printed_whatever_their_number() -> None:
    """Remarks that do not fit under a drawing stand on a sheet of their own."""
    page = plan_page([Thing(id="a", kind="mic", label="A", at=(0, 1))], remarks=60)
    words = " ".join(text.text for scene in scenes(page) for text in scene.texts)
    assert all(f"remark {number}:" in words for number in range(60))


def test_a_page_that_is_no_drawing_gives_nothing() -> None:
    """Tables are the business of other renderers."""
    assert svgs(Page(kind="table", title="x")) == ()
    assert svg(Page(kind="table", title="x")) == ""


def test_svg_is_escaped_and_holds_no_id_script_or_reference() -> None:
    """A hostile name is text in the SVG, and many drawings can stand in one HTML page."""
    text = svg(named_plan(HARD["markup"]))
    root = ElementTree.fromstring(f"<div>{text}</div>")
    assert "<script" not in text
    assert not any("id" in node.attrib or any("href" in key for key in node.attrib) for node in root.iter())
    assert "alert(1)" in "".join(root.itertext())
    assert not text.startswith("<?xml")
    assert svgs(named_plan("x"))[0].startswith("<?xml")


def test_right_to_left_text_hangs_on_its_middle() -> None:
    """Every renderer then puts it in the room that was measured."""
    root = ElementTree.fromstring(svgs(named_diagram(HARD["arabic"]))[0])
    rows = [node for node in root.iter() if node.get("direction") == "rtl"]
    assert rows
    assert all(node.get("text-anchor") == "middle" for node in rows)


def test_an_edge_to_nowhere_is_left_out() -> None:
    """A diagram whose edge names an unknown node is still drawn."""
    (scene, *_) = scenes(diagram_page([Node(id="a")], [Edge(id="e", from_="a", to="nobody"), Edge(id="f", from_="a", to="a")]))
    assert faults(scene) == []


def test_the_same_page_gives_the_same_bytes_under_any_hash_seed() -> None:
    """Nothing in a drawing depends on the order of a set."""
    code = (
        "import hashlib; from patchloom.drawing import svgs; from tests.drawing.samples import random_plan, random_diagram; "
        "print(hashlib.sha256(''.join(svgs(random_plan(3)) + svgs(random_diagram(3))).encode()).hexdigest())"
    )
    root = os.path.dirname(os.path.dirname(os.path.dirname(os.path.abspath(__file__))))
    seen = {
        subprocess.run(
            [sys.executable, "-c", code],
            cwd=root,
            env={**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": root},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for seed in ("0", "1", "2")
    }
    assert len(seen) == 1
