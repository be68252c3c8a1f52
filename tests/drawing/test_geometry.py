"""Every drawing, measured: no text over text, nothing off the sheet, nothing under 9 pt, whatever the names."""

from __future__ import annotations

import re

import attrs
import pytest

from patchloom.drawing import SHEETS, Scene, scenes
from patchloom.pages import Page
from tests.drawing.measure import faults
from tests.drawing.samples import HARD, named_diagram, named_plan, plan_page, random_diagram, random_plan

ROOMS = (None, (256.0, 165.0))


def drawn(page: Page) -> list[Scene]:
    """Return the scenes of a page, as whole sheets and inside a renderer's own page."""
    return [scene for room in ROOMS for scene in scenes(page, room=room)]


@pytest.mark.parametrize("name", HARD.values(), ids=HARD)
@pytest.mark.parametrize("placed", [True, False], ids=["to scale", "by zone"])
def test_plans_with_hard_names(name: str, placed: bool) -> None:
    """A stage full of one hard name is drawn without a collision, to scale and by zone."""
    made = drawn(named_plan(name, placed))
    assert made
    assert [fault for scene in made for fault in faults(scene)] == []


@pytest.mark.parametrize("name", HARD.values(), ids=HARD)
def test_diagrams_with_hard_names(name: str) -> None:
    """Devices and links that all carry one hard name are drawn without a collision."""
    made = drawn(named_diagram(name))
    assert made
    assert [fault for scene in made for fault in faults(scene)] == []


@pytest.mark.parametrize("seed", range(50))
def test_random_plans(seed: int) -> None:
    """Fifty random stages, on sheets and in rooms by turns, show no collision, and every thing's words on one of them."""
    page = random_plan(seed)
    assert page.plan is not None
    made = scenes(page, room=ROOMS[seed % 2])
    assert [fault for scene in made for fault in faults(scene)] == []
    words = "".join(text.text for scene in made for text in scene.texts).replace(" ", "")
    assert [thing.label for thing in page.plan.things if thing.label.replace(" ", "") not in words] == []


@pytest.mark.parametrize("seed", range(50))
def test_random_diagrams(seed: int) -> None:
    """Fifty random rigs, on sheets and in rooms by turns, show no collision, and every link on one of them."""
    page = random_diagram(seed)
    assert page.diagram is not None
    made = scenes(page, room=ROOMS[seed % 2])
    assert [fault for scene in made for fault in faults(scene)] == []
    words = {text.text for scene in made for text in scene.texts}
    assert [edge.label for edge in page.diagram.edges if edge.label not in words] == []


def test_usual_sheets_are_what_people_print_on() -> None:
    """A stage of fourteen things needs no sheet above A3 or Tabloid."""
    most = max(wide for _, wide, _ in SHEETS[:2])
    assert all(scene.wide <= most for scene in scenes(named_plan("Guitar amp")))


def test_an_empty_stage_is_still_a_plot() -> None:
    """A plan with nothing on it still says which side is which."""
    (scene,) = scenes(plan_page([], size=None))
    words = " ".join(text.text for text in scene.texts)
    for word in ("SR", "SL", "US", "DS", "AUDIENCE", "NOT TO SCALE", "CL"):
        assert word in words
    assert faults(scene) == []


@pytest.mark.parametrize("units", ["metres", "feet"])
@pytest.mark.parametrize("language", ["en", "de"])
def test_the_floor_of_a_plan_is_in_the_units_asked_for(units: str, language: str) -> None:
    """Grid, scale bar and sizes of a plan to scale are in feet where feet are asked for, and in nothing else."""
    page = named_plan("Kick")
    assert page.plan is not None
    page = attrs.evolve(page, language=language, plan=attrs.evolve(page.plan, units=units, width_m=12.192, depth_m=9.144))
    for scene in drawn(page):
        assert faults(scene) == []
        words = " ".join(text.text for text in scene.texts)
        bar = next(words[at : at + 110] for at in [words.index(" 1:")])
        said = {"metres": r" 1 m · .* 12.19 m .* 9.14 m ", "feet": r" 4 ft · .* 40 ft .* 30 ft "}
        assert re.search(said[units], bar), bar
        assert re.search(said["feet" if units == "metres" else "metres"], bar) is None
