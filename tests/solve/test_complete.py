"""The exact programme: what exists is found, what does not is proven, and a proof is silent beside a rig that can be patched."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

import patchloom
from patchloom.solve.attempt import Plan
from patchloom.solve.case import Case
from patchloom.solve.place import _order, _settle
from patchloom.solve.ripup import RipUp
from patchloom.solve.whole.complete import Outcome, complete
from patchloom.solve.whole.highs import Programme
from tests.small.reading import documents

FORMATS = {name: {"channels": {"48000": size}, "pass": ["audio", "clock", "control"]} for name, size in (("two", 2), ("six", 6))}


def _desk(blocks: int) -> dict[str, Any]:
    return {
        "role": "desk",
        "banks": {"intake": {"slots": 2 * blocks}, "ch": {"slots": 8, "does": "process"}},
        "ports": {"a": {"speaks": ["six"]}},
        "select": [{"into": "intake", "from": ["a.in"], "by": 2}, {"into": "ch", "from": ["intake"]}],
    }


def _box(ports: int) -> dict[str, Any]:
    names = [f"p{number}" for number in range(1, ports + 1)]
    return {
        "role": "box",
        "banks": {"in": {"slots": 6, "socket": "in"}},
        "ports": {name: {"speaks": ["six"]} for name in names},
        "select": [{"into": f"{name}.out", "wired": "in"} for name in names],
    }


def _outcome(blocks: list[int], wants: list[list[str]], **more: Any) -> Outcome:
    """Return what the programme says of one box of six and desks that take so many runs of two."""
    desks = [f"T{number}" for number in range(1, len(blocks) + 1)]
    rig = {
        "format": "rig/1",
        "rate": 48000,
        "formats": FORMATS,
        "types": {"box": _box(len(blocks)), **{f"d{number}": _desk(number) for number in sorted(set(blocks))}},
        "devices": {"BOX": "box", **{desk: f"d{number}" for desk, number in zip(desks, blocks, strict=True)}},
        "links": [
            {"id": f"K{number}", "join": [f"BOX.p{number}", f"{desk}.a"], "format": "six"}
            for number, desk in enumerate(desks, start=1)
        ],
    }
    show = {
        "format": "show/1",
        "sources": [{"ids": sorted({name for row in wants for name in row})}],
        "plug": [{"sources": "all", "into": "BOX.in"}],
        "lists": [{"position": desk.lower(), "at": f"{desk}.ch", "wants": row} for desk, row in zip(desks, wants, strict=True)],
        **more,
    }
    read = patchloom.read_rig(rig)
    case = Case(read, patchloom.read_show(show, read), None, False)
    return complete(case.fabric, case.plan, case.ground.make_ready, _carry)


def _carry(run: RipUp, plan: Plan) -> bool:
    return _settle(run, _order(plan, [], {}, 0), 1.0)


@pytest.mark.parametrize(
    ("blocks", "wants"),
    [
        ([1, 2, 2], [["a", "c"], ["a", "b"], ["b", "c"]]),
        ([2, 2], [["a", "b", "c", "f"], ["a", "d"]]),
        ([2, 1], [["a", "b", "c"], ["c", "d"]]),
    ],
)
def test_what_exists_is_found(blocks: list[int], wants: list[list[str]]) -> None:
    """Every must is carried over the blocks the programme named."""
    found = _outcome(blocks, wants)
    assert not found.facts
    assert found.run is not None
    assert len(found.run.out.arrived) == sum(map(len, wants))


@pytest.mark.parametrize(
    ("blocks", "wants"),
    [
        ([1, 1, 1], [["a", "c"], ["a", "b"], ["b", "c"]]),
        ([1, 1, 2], [["a", "c"], ["a", "b"], ["b", "c"]]),
        ([1, 1], [["a", "b"], ["a", "c"]]),
    ],
)
def test_what_does_not_exist_is_proven(blocks: list[int], wants: list[list[str]]) -> None:
    """Each count passes, and the whole is proven impossible, with the signals it is about."""
    found = _outcome(blocks, wants)
    assert found.run is None
    assert found.facts
    assert found.facts[0].members
    assert set(found.facts[0].members) <= {name for row in wants for name in row}
    assert found.facts[0].short == 1


def test_one_block_more_silences_the_proof() -> None:
    """The neighbour of an impossible rig with one run more is solved."""
    assert _outcome([1, 1], [["a", "b"], ["a", "c"]]).facts
    assert _outcome([2, 1], [["a", "b"], ["a", "c"]]).run is not None


def test_a_fixed_socket_takes_part() -> None:
    """Two sources fixed in different blocks do not come in by one; fixed in one block they do."""
    apart = [{"sources": "a", "into": "BOX.in[1]"}, {"sources": "b", "into": "BOX.in[3]"}]
    beside = [{"sources": "a", "into": "BOX.in[1]"}, {"sources": "b", "into": "BOX.in[2]"}]
    assert _outcome([1], [["a", "b"]], plug=apart).facts
    assert _outcome([1], [["a", "b"]], plug=beside).run is not None


def test_no_time_left_is_neither_answer() -> None:
    """A limit that is reached proves nothing: an answer is open then, or it is right."""
    programme = Programme()
    columns = [programme.column(1.0) for _ in range(3)]
    programme.row([(column, 1.0) for column in columns], low=2.0, high=2.0)
    verdict = programme.solve(seconds=0.0)
    assert not verdict.proven


def test_a_programme_is_answered_in_whole_numbers() -> None:
    """Values keep every row; a row nothing can keep is a proof."""
    programme = Programme()
    first, second = programme.column(3.0), programme.column(3.0)
    programme.row([(first, 2.0), (second, 3.0)], low=7.0, high=7.0)
    assert programme.solve().values == [2, 1]
    programme.row([(second, 1.0)], high=0.0)
    assert programme.solve().proven


def test_a_row_of_nothing_that_asks_for_something_is_a_proof() -> None:
    """A demand nobody can serve is not forgotten because it has no terms."""
    programme = Programme()
    programme.row([], low=1.0)
    assert programme.solve().proven


def test_small_shows_never_load_the_engine() -> None:
    """The musts of the demo are carried without importing the library behind the programme."""
    code = (
        "import sys; from importlib.resources import files; import patchloom; at = files('patchloom') / 'demo'; "
        "rig = patchloom.read_rig((at / 'rig.json').read_bytes()); "
        "show = patchloom.read_show((at / 'show.json').read_bytes(), rig); "
        "from patchloom.solve.answer import solve; "
        "solve(rig, show, musts_only=True); "
        "assert 'highspy' not in sys.modules"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr[-500:]


def test_a_run_that_somebody_is_fixed_to_is_like_no_other() -> None:
    """Runs of a link are alike, but for the one a desk takes because the show says so: no proof may overlook it."""
    cases = Path(__file__).resolve().parents[1] / "small" / "cases"
    rig, show = documents(json.loads((cases / "130-a-fixed-block-further-on.json").read_text(encoding="utf-8")))
    read = patchloom.read_rig(rig)
    case = Case(read, patchloom.read_show(show, read), None, False)
    outcome = complete(case.fabric, case.plan, case.ground.make_ready, _carry)
    assert not outcome.facts
    assert outcome.run is not None
