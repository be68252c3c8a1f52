"""Small shows that change, whose least number of moves was counted by hand."""

from __future__ import annotations

from pathlib import Path

import pytest

import patchloom
from patchloom.model.diff import moves

from .reading import documents, load, mismatches

CHANGES = sorted((Path(__file__).parent / "changes").glob("*.json"))
MOVED = ("sockets moved", "channels moved", "link slots moved")


@pytest.mark.parametrize("path", CHANGES, ids=lambda path: path.stem)
def test_as_little_moves_as_was_counted_by_hand(path: Path) -> None:
    """What moves from the first show to the second is what was counted; where a least is written, it is proven."""
    case = load(path)
    rig_document, before_document = documents({**case, "show": case["before"]})
    rig = patchloom.read_rig(rig_document)
    before = patchloom.solve(rig, patchloom.read_show(before_document, rig))
    show = patchloom.read_show(documents(case)[1], rig)
    after = patchloom.solve(rig, show, previous=before)
    wanted = case["expect"]["moved"]
    found = moves(before.setting(), after.setting())
    assert all(count is None or count == got for count, got in zip(wanted, found.cost, strict=True)), found
    assert [row.value for row in after.wishes if row.wish in MOVED] == list(found.cost)
    least = case["expect"].get("least", (None, None, None))
    proven = {row.wish: row for row in after.wishes}
    assert all(
        count is None or (proven[name].bound == count and proven[name].proven) for name, count in zip(MOVED, least, strict=True)
    )
    for leg, place in case["expect"].get("plugs", {}).items():
        assert str(after.setting().plugs[leg]) == place
    assert list(mismatches(case, after.setting())) == []


def test_every_change_says_its_idea() -> None:
    """Each change has an idea of its own in its first line."""
    cases = [load(path) for path in CHANGES]
    assert len({case["idea"] for case in cases}) == len(cases)
