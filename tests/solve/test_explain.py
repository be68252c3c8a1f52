"""Why there is no patch: the conflict is irreducible, its numbers are right, and every way out works."""

from __future__ import annotations

import importlib.util
import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import attrs
import pytest

import patchloom
from patchloom import Impossible, Undecided
from patchloom.model.change import Change, Way, apply
from patchloom.model.period import in_period
from patchloom.solve.answer import solve as search
from patchloom.solve.explain.atoms import problem_of

ROOT = Path(__file__).parents[1]


def _module(path: Path) -> Any:
    spec = importlib.util.spec_from_file_location(f"{path.parent.name}_{path.stem}", path)
    assert spec is not None
    assert spec.loader is not None
    made = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(made)
    return made


SMALL = _module(ROOT / "small" / "reading.py")
IMPOSSIBLE = [path for path in SMALL.CASES if SMALL.load(path)["expect"]["verdict"] == "impossible"]


def verdict(rig: Any, show: Any) -> str:
    """Return `solved`, `impossible` or `undecided`, asked of the search itself."""
    try:
        search(rig, show, musts_only=True)
    except Impossible:
        return "impossible"
    except Undecided:
        return "undecided"
    return "solved"


def explained(rig: Any, show: Any) -> Impossible:
    """Return what the public solve raises."""
    with pytest.raises(Impossible) as caught:
        patchloom.solve(rig, show)
    return caught.value


def without(rig: Any, show: Any, proof: Impossible) -> Iterator[tuple[str, Any, Any]]:
    """Yield the conflict alone, everything else dropped, and then the same without one of its facts, each in turn."""
    here, tonight = in_period(rig, show, proof.period)
    problem = problem_of(here, tonight)
    number = {(atom.drop, atom.key): n for n, atom in enumerate(problem.atoms)}
    kept = [number[part.drop, key] for fact in proof.facts for part in fact.parts for key in part.of[: part.enough]]
    rest = set(range(len(problem.atoms))) - set(kept)
    yield "", *problem.without(rest)
    for one in kept:
        yield f"{problem.atoms[one].drop} {problem.atoms[one].key}", *problem.without(rest | {one})


def read(path: Path) -> tuple[Any, Any]:
    """Return rig and show of a small case."""
    rig_document, show_document = SMALL.documents(SMALL.load(path))
    rig = patchloom.read_rig(rig_document)
    return rig, patchloom.read_show(show_document, rig)


@pytest.mark.parametrize("path", IMPOSSIBLE, ids=lambda path: path.stem)
def test_no_fact_can_be_left_out_and_every_way_out_works(path: Path) -> None:
    """The facts alone are impossible still; without any one of them there is a patch; each way out has a verified patch."""
    rig, show = read(path)
    proof = explained(rig, show)
    assert proof.explained
    assert proof.facts
    assert len(proof.lines()) <= 7
    for what, other_rig, other_show in without(rig, show, proof):
        said = verdict(other_rig, other_show)
        assert said == ("solved" if what else "impossible") or (what and not proof.smallest), f"without {what or 'the rest'}"
    for way in proof.ways:
        changed = way.apply(rig, show)
        found = patchloom.solve(*changed)
        assert not [row for row in patchloom.verify(*changed, found) if row.severity in ("stop", "safety")], str(way)
    assert list(proof.ways) == sorted(proof.ways, key=lambda way: way.cost)


def test_nearly_every_conflict_of_the_small_rigs_is_proven_smallest() -> None:
    """On rigs as small as these no test is left open."""
    assert all(explained(*read(path)).smallest for path in IMPOSSIBLE[:20])


CLUB_RIG = {
    "format": "rig/1",
    "rate": 48000,
    "devices": {"BOX": "stage-box-16", "FOH": "desk-per-slot"},
    "links": [{"id": "K1", "join": ["BOX.main", "FOH.a"], "format": "category-32"}],
    "clock": "FOH",
}


def club(count: int, **more: Any) -> tuple[Any, Any]:
    """Return a club with so many sources that may plug only into the box of sixteen."""
    document = {
        "format": "show/1",
        "sources": [{"ids": [f"s{{1-{count}}}"], "phantom": "no"}],
        "plug": [{"sources": "all", "into": "BOX.mic"}],
        "lists": [{"position": "foh", "at": "FOH.ch", "wants": ["all"]}],
        **more,
    }
    rig = patchloom.read_rig(CLUB_RIG)
    return rig, patchloom.read_show(document, rig)


def test_like_facts_are_counted_and_the_number_short_was_tried() -> None:
    """Twenty sources for sixteen sockets: 20 asked, 16 there, 4 short; any 17 of them are enough; all are members."""
    rig, show = club(20)
    proof = explained(rig, show)
    limit = proof.facts[0]
    assert (limit.limit, limit.asked, limit.there, limit.short) == ("BOX.mic", 20, 16, 4)
    parts = {part.drop: part for fact in proof.facts for part in fact.parts}
    assert (len(parts["plug-anywhere"].of), parts["plug-anywhere"].enough) == (20, 17)
    assert {f"s{n}" for n in range(1, 21)} <= {key for fact in proof.facts for key in fact.members}
    assert verdict(*apply(rig, show, (Change("slots", ("BOX.mic",), 4),))) == "solved"
    assert verdict(*apply(rig, show, (Change("slots", ("BOX.mic",), 3),))) == "impossible"
    assert proof.smallest


def test_ways_out_are_data_a_script_can_apply() -> None:
    """A way out names its changes; applying it leaves the documents that came in as they were."""
    rig, show = club(20)
    before = attrs.asdict(show), attrs.asdict(rig)
    ways = explained(rig, show).ways
    assert ways
    first = ways[0]
    assert isinstance(first, Way)
    assert first.changes[0].do == "plug"
    assert first.changes[0].to == ("FOH.mic",)
    assert (attrs.asdict(show), attrs.asdict(rig)) == before
    made = patchloom.solve(*first.apply(rig, show))
    assert sum(place.device == "FOH" for place in made.settings[0].plugs.values()) == 4


def test_one_conflict_solved_may_uncover_another() -> None:
    """Seventeen sources too many for the sockets, and then too many for the desk: both are in the way out."""
    rig, show = club(18, lists=[{"position": "foh", "at": "FOH.ch[1-17]", "wants": ["all"]}])
    proof = explained(rig, show)
    assert proof.ways
    for way in proof.ways:
        patchloom.solve(*way.apply(rig, show))


def test_a_verdict_can_be_had_without_its_explanation() -> None:
    """With explain=False the first proof is raised as it was found."""
    rig, show = club(20)
    with pytest.raises(Impossible) as caught:
        patchloom.solve(rig, show, explain=False)
    assert not caught.value.explained
    assert not caught.value.ways
    assert caught.value.facts[0].short == 4


def test_a_spent_budget_is_said() -> None:
    """Where the tests run out the facts are a conflict still, and not called smallest."""
    from patchloom.solve.explain.why import explain

    rig, show = club(20)
    with pytest.raises(Impossible) as caught:
        patchloom.solve(rig, show, explain=False)
    proof = explain(rig, show, caught.value, lambda *_: True, most=5)
    assert not proof.smallest
    assert any("stopped after 5 tests" in note for note in proof.notes)
    what, other_rig, other_show = next(without(rig, show, proof))
    assert not what
    assert verdict(other_rig, other_show) == "impossible"


def test_no_time_left_means_the_proof_as_it_was_found() -> None:
    """Once the user's limit is over nothing more is looked for, and that is said."""
    from patchloom.solve.explain.why import explain

    rig, show = club(20)
    with pytest.raises(Impossible) as caught:
        patchloom.solve(rig, show, explain=False)
    proof = explain(rig, show, caught.value, lambda *_: True, late=lambda: True)
    assert proof.facts == caught.value.facts
    assert proof.notes
    assert not proof.smallest


def test_the_period_is_named() -> None:
    """A show of two acts says in which one there is no patch, and its ways out hold for the whole show."""
    rig, show = club(
        20,
        periods=[
            {"id": "one", "uses": ["s{1-10}"]},
            {"id": "two"},
        ],
    )
    proof = explained(rig, show)
    assert proof.period == "two"
    assert proof.facts[0].short == 4
    assert proof.ways
    for way in proof.ways:
        patchloom.solve(*way.apply(rig, show))


def test_the_same_show_is_explained_in_the_same_words() -> None:
    """Facts, ways and counts are equal, run for run."""
    rig, show = club(19)
    one, other = explained(rig, show), explained(rig, show)
    assert (one.facts, one.ways, one.tests) == (other.facts, other.ways, other.tests)


def test_facts_and_ways_go_through_json() -> None:
    """What the command line prints as data can be read back into changes."""
    from patchloom.cli.outcomes import impossible_data

    rig, show = club(20)
    data = json.loads(json.dumps(impossible_data(explained(rig, show))))
    changes = tuple(Change(row["do"], row["of"], row.get("to")) for row in data["ways"][0]["changes"])
    patchloom.solve(*apply(rig, show, changes))
    assert data["facts"][0]["parts"][0]["drop"] == "slots"
