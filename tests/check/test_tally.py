"""What a rule has to say in the end: once for all periods, once for each absent field, or that there was nothing."""

from __future__ import annotations

from patchloom.check.tally import Tally
from patchloom.model.base import build
from patchloom.model.patch import Patch
from patchloom.model.show import Show


def tally(*acts: str, scene: str = "") -> Tally:
    """Return a tally over acts, the last of which has a scene where one is named."""
    periods = [{"id": act} for act in acts] + ([{"id": scene, "scene_of": acts[-1]}] if scene else [])
    settings = [{"period": row["id"]} for row in periods] or [{}]
    return Tally("owner-awake", build(Show, {"periods": periods}), build(Patch, {"settings": settings}))


def test_nothing_looked_at_is_said() -> None:
    """A rule that looked at nothing says why; one that looked and found nothing is silent."""
    (row,) = tally().told("no box is there")
    assert (row.kind, row.severity, row.message) == ("nothing", "note", "Not applicable: no box is there.")
    looked = tally()
    looked.seen += 1
    assert list(looked.told("no box is there")) == []


def test_what_holds_in_every_period_is_said_of_the_show() -> None:
    """The same in all acts is one finding without a period; in some acts it is one finding an act."""
    found = tally("one", "two", "three")
    for act in ("one", "two", "three"):
        found.found(act, "Always.", "MON")
    for act in ("three", "one"):
        found.found(act, "At times.", "MON")
    assert [(row.message, row.period) for row in found.told("")] == [
        ("Always.", ""),
        ("At times.", "three"),
        ("At times.", "one"),
    ]


def test_a_scene_is_left_out_beside_its_act() -> None:
    """What a scene has in common with its act is said of the act; what only the scene has, of the scene."""
    found = tally("one", "two", scene="last")
    found.found("two", "Both.")
    found.found("last", "Both.")
    found.found("last", "The scene.")
    assert [(row.message, row.period) for row in found.told("")] == [("Both.", "two"), ("The scene.", "last")]
    assert found.when(["two", "last"]) == " in two"
    assert found.when(["one", "two", "last"]) == ""


def test_an_absent_field_is_named_once_with_its_places() -> None:
    """However many places lack a field, it is one finding that lists them in the order met."""
    lacking = tally("one", "two")
    for key in ("vox", "kick", "vox"):
        lacking.lacks("sources.peak_dbu", "the level is not given", key)
    (row,) = lacking.told("nothing is there")
    assert (row.kind, row.where, row.numbers[0]) == ("unchecked", ("vox", "kick"), ("missing", "sources.peak_dbu"))
    assert row.message == "Not checked, because the level is not given."
    assert row.todo == "Give sources.peak_dbu."
