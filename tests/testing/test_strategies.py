"""What the strategies draw can be patched, cannot be, or is wrong, as they say; and it shrinks to what a person can read."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import Phase, find, given, settings
from hypothesis import strategies as st

import patchloom
from patchloom import pipeline
from patchloom.check.verify import verify
from patchloom.errors import PatchloomError
from patchloom.model.rig import Rig, Type
from patchloom.model.show import Show
from patchloom.testing import health
from patchloom.testing.asking import AskedFeed, AskedSource, ask
from patchloom.testing.faults import BROKEN
from patchloom.testing.generate import generate
from patchloom.testing.joining import joined
from patchloom.testing.kit import format_of
from patchloom.testing.last import Broken, Infeasible, Solved
from patchloom.testing.short import SHORT
from patchloom.testing.strategies import broken, infeasible, pairs, rigs, shows, solved, types

USUAL = settings(max_examples=25, deadline=None, derandomize=True, database=None)
FEW = settings(max_examples=8, deadline=None, derandomize=True, database=None)
SEARCH = settings(max_examples=600, deadline=None, derandomize=True, database=None, phases=[Phase.generate, Phase.shrink])


@USUAL
@given(pairs())
def test_what_is_drawn_reads_and_writes(pair: tuple[Rig, Show]) -> None:
    """Written and read again, cross checks included, a drawn rig and show are the same objects."""
    rig, show = pair
    again = patchloom.read_rig(patchloom.write(rig).encode())
    assert again == rig
    assert patchloom.read_show(patchloom.write(show).encode(), again) == show


@USUAL
@given(solved())
def test_what_is_drawn_is_solved(row: Solved) -> None:
    """The judge has nothing against the answer, and nothing was left out that was asked for."""
    assert [str(found) for found in verify(row.rig, row.show, row.patch) if found.severity in ("stop", "safety")] == []
    assert len(row.patch.settings) == max(1, len(row.show.periods))


@FEW
@given(infeasible())
def test_what_is_called_impossible_is(row: Infeasible) -> None:
    """The solver proves it, whatever is short."""
    with pytest.raises(patchloom.Impossible):
        patchloom.solve(row.rig, row.show, explain=False)


@pytest.mark.parametrize("kind", SHORT)
def test_each_kind_of_shortage_is_drawn(kind: str) -> None:
    """A rig with something of everything has room for every kind, and the solver proves it impossible."""
    row = find(infeasible(kind), lambda drawn: drawn.kind == kind, settings=settings(SEARCH, phases=[Phase.generate]))
    patchloom.read_show(patchloom.write(row.show).encode(), patchloom.read_rig(patchloom.write(row.rig).encode()))
    with pytest.raises(patchloom.Impossible):
        patchloom.solve(row.rig, row.show, explain=False)


def house() -> Solved:
    """Return an answer with something of everything: blocks, single channels, pairs, phantom, feeds, two acts."""
    spoken = {"category-32": format_of("category-32")}
    shapes = [("two-step", 0, "category-32"), ("slots", 0, "category-32")]
    rig = joined(shapes, [(16, 0, 1, 8, "category-32")], 8, 32, spoken, 48000)
    kinds = (1, 0, 5, 0, 2, 4)
    asked = [AskedSource(0, kind, 3, False, 0) for kind in kinds]
    show = ask(rig, asked, [AskedFeed(0, 0, False, 0), AskedFeed(1, 1, True, 0)], 2)
    return Solved(rig, show, patchloom.solve(rig, show))


HOUSE = house()


@pytest.mark.parametrize("kind", BROKEN)
def test_each_kind_of_fault_is_found_as_what_it_is_called(kind: str) -> None:
    """Wherever a fault is planted, the check it is named for speaks, and no other of that weight."""

    @FEW
    @given(broken(HOUSE, kind))
    def planted(row: Broken) -> None:
        assert row.kind == kind
        found = verify(HOUSE.rig, HOUSE.show, row.patch)
        assert {one.rule for one in found if one.severity in ("stop", "safety", "warn")} == {kind}

    planted()


def test_a_kind_nobody_knows_and_a_patch_without_room() -> None:
    """A kind there is not is named with those there are; one a patch has no room for, with what it needs."""
    empty = patchloom.Patch()
    for kind, words in (
        ("nonsense", "there is no kind of fault 'nonsense'"),
        ("mix-missing", "no room for 'mix-missing': a feed"),
    ):
        with pytest.raises(ValueError, match=words):
            broken(empty, kind)


@FEW
@given(types())
def test_types_stand_in_a_rig(kind: Type) -> None:
    """A drawn type reads as part of a rig."""
    rig = Rig(
        domains={"main": {"rate": 48000}},  # type: ignore[arg-type]
        formats={"category-32": format_of("category-32")},  # type: ignore[arg-type]
        types={kind.id: kind},  # type: ignore[arg-type]
        devices={"D": {"type": kind.id}},  # type: ignore[arg-type]
    )
    assert patchloom.read_rig(patchloom.write(rig).encode()) == rig


@FEW
@given(st.data())
def test_a_show_is_drawn_over_any_rig(data: st.DataObject) -> None:
    """Over a rig that was not drawn here, what is asked can be carried too."""
    rig = generate(data.draw(st.integers(0, 40)), desks=2, sources=8).rig
    show = data.draw(shows(rig, sources=8))
    assert patchloom.solve(rig, show, explain=False).settings


SAID: dict[str, Callable[[Show], Any]] = {
    "gains": lambda show: [row.want_db for row in show.sources if row.want_db],
    "owners": lambda show: show.owners,
    "groups": lambda show: show.groups,
    "talk": lambda show: show.talk,
    "stage": lambda show: show.stage,
}


@pytest.mark.parametrize("word", SAID)
def test_what_else_is_said_is_drawn_and_switched_off(word: str) -> None:
    """A show that says it reads and is solved; switched off, nobody says it."""
    pair = find(pairs(), lambda row: bool(SAID[word](row.show)), settings=settings(SEARCH, phases=[Phase.generate]))
    assert patchloom.read_show(patchloom.write(pair.show).encode(), pair.rig) == pair.show
    assert patchloom.solve(pair.rig, pair.show, explain=False).settings

    @FEW
    @given(pairs(**{word: False}))
    def silent(row: Any) -> None:
        assert not SAID[word](row.show)

    silent()


def test_what_else_is_said_shrinks() -> None:
    """A show with a relation shrinks to the two sources it is between."""
    pair = find(pairs(), lambda row: bool(row.show.groups), settings=settings(SEARCH, max_examples=100))
    assert len(pair.show.sources) == 2


def test_a_relation_is_one_the_sockets_have() -> None:
    """Whatever is drawn beside sources, the show is solved and the judge agrees: relations, owners and gains all at once."""
    spoken = {"category-32": format_of("category-32")}
    shapes = [("two-step", 0, "category-32"), ("slots", 0, "category-32")]
    rig = joined(shapes, [(16, 0, 1, 8, "category-32"), (8, 0, 0, 1, "category-32")], 8, 32, spoken, 48000)
    met = set()
    for value in range(8):
        asked = [AskedSource(number % 2, 0, 3, False, 0, "groups", value) for number in range(6)]
        asked += [AskedSource(number % 2, 0, 3, number > 1, 0, word, value) for number, word in enumerate(SAID)]
        show = ask(rig, asked, [], 1)
        met |= {row.relation for row in show.groups}
        found = verify(rig, show, patchloom.solve(rig, show, explain=False))
        assert [str(row) for row in found if row.severity in ("stop", "safety", "warn")] == []
    assert met == {"never-open-together", "apart", "one-box", "in-order"}
    assert show.owners
    assert show.talk
    assert show.stage is not None


EXAMPLES = sorted((Path(__file__).parents[2] / "docs" / "examples").glob("*/rig.json"))


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.parent.name)
def test_a_show_is_drawn_over_rigs_people_wrote(path: Path) -> None:
    """Splits, tie lines, networks, several rates: what is asked of them can be carried."""
    rig = patchloom.read_rig(path)

    @settings(max_examples=4, deadline=None, derandomize=True, database=None, phases=[Phase.generate])
    @given(shows(rig, sources=12))
    def carried(show: Show) -> None:
        assert patchloom.solve(rig, show, explain=False).settings

    carried()


def test_a_rig_without_sockets_has_nothing_to_ask_for() -> None:
    """A show over it is empty, and nothing can be asked of it in vain."""
    rig = Rig(domains={"main": {"rate": 48000}})  # type: ignore[arg-type]
    assert find(shows(rig), lambda show: True).sources == ()
    with pytest.raises(ValueError, match="nothing can be asked of it in vain"):
        find(infeasible(rig=rig), lambda row: True)


def test_sizes_are_kept() -> None:
    """Limits given to a strategy are kept."""

    @USUAL
    @given(pairs(desks=2, boxes=1, kinds=("slots",), blocks=(8,), formats=("aes50",), sources=3, feeds=0, acts=1, stereo=False))
    def small(pair: tuple[Rig, Show]) -> None:
        rig, show = pair
        assert len(rig.devices) <= 3
        assert {rig.type_of(key).id.partition("-")[0] for key in rig.devices} <= {"desk", "box"}
        assert not any(word in kind for kind in rig.types for word in ("block", "two-step", "wired"))
        assert {link.format for link in rig.links} <= {"aes50"}
        assert len(show.sources) <= 3
        assert not show.feeds
        assert not show.periods
        assert not any(row.legs for row in show.sources)

    small()


def test_a_draw_costs_one_solve_or_none(monkeypatch: pytest.MonkeyPatch) -> None:
    """An answer is solved once, twice where a rule leaves none; what is impossible is known without."""
    real, calls = pipeline.solve, [0]

    def counted(*given: Any, **more: Any) -> Any:
        calls[0] += 1
        return real(*given, **more)

    @patchloom.routing_rule(name="never", version="1", on="placement")
    def never(placement: Any) -> str:
        return "nothing goes anywhere"

    monkeypatch.setattr(pipeline, "solve", counted)
    small: dict[str, Any] = {"desks": 1, "boxes": 0, "sources": 2, "feeds": 0}
    for strategy, most, kept in (
        (solved(**small), 1, True),
        (solved(rules=[never], **small), 2, False),
        (infeasible(**small), 0, True),
    ):
        drawn: list[tuple[int, Any]] = []

        def take(row: Any, drawn: list[tuple[int, Any]] = drawn) -> bool:
            drawn.append((calls[0], row))
            calls[0] = 0
            return True

        find(strategy, take, settings=settings(SEARCH, max_examples=1, phases=[Phase.generate]))
        assert all(count <= most and getattr(row, "kept", kept) is kept for count, row in drawn)


def test_formats_that_cannot_join_are_refused() -> None:
    """A format of one direction, and one that is not there, are named."""
    for name, words in (("aes3", "does not carry audio both ways"), ("string", "no format 'string'")):
        with pytest.raises(PatchloomError, match=words):
            find(rigs(formats=(name,)), lambda rig: True)


SHRINKS: list[tuple[str, Callable[[Rig, Show], object], int, int]] = [
    ("a pair", lambda rig, show: any(row.legs for row in show.sources), 1, 1),
    ("a second listener", lambda rig, show: len(show.lists) > 1, 2, 2),
    ("a box", lambda rig, show: any(key.startswith("BOX") for key in rig.devices), 2, 1),
    ("need of phantom, and a feed", lambda rig, show: show.feeds and any(row.phantom == "need" for row in show.sources), 1, 1),
    ("acts that differ", lambda rig, show: len({period.uses for period in show.periods}) > 1, 1, 2),
    ("a feed to a box", lambda rig, show: any("BOX" in row.to[0].at[0] for row in show.feeds), 2, 1),
]


@pytest.mark.parametrize(("wrong", "devices", "sources"), [row[1:] for row in SHRINKS], ids=[row[0] for row in SHRINKS])
def test_a_false_property_shrinks_to_what_a_person_can_read(
    wrong: Callable[[Rig, Show], object], devices: int, sources: int
) -> None:
    """The smallest rig and show that have something have hardly anything else."""
    rig, show = find(pairs(), lambda pair: bool(wrong(*pair)), settings=SEARCH)
    assert len(rig.devices) <= devices
    assert len(show.sources) <= sources
    assert len(rig.links) < max(2, devices)


def test_nothing_is_filtered_and_no_health_check_is_switched_off() -> None:
    """The kit draws only what it uses: no `assume`, no `.filter`, no check of Hypothesis suppressed."""
    home = Path(patchloom.__file__).parent / "testing"
    words = re.compile(r"\bassume\(|\.filter\(|suppress_health_check|HealthCheck\.")
    assert [path.name for path in sorted(home.glob("*.py")) if words.search(path.read_text(encoding="utf-8"))] == []


def test_words_nobody_knows_are_refused() -> None:
    """A size that is misspelled, a kind of shortage there is not."""
    with pytest.raises(TypeError, match="desk"):
        rigs(desk=3)
    with pytest.raises(TypeError, match="source"):
        pairs(source=3)
    with pytest.raises(ValueError, match="there is no kind of shortage 'luck'"):
        infeasible("luck")


def test_the_figures_of_health_are_printed(capsys: pytest.CaptureFixture[str]) -> None:
    """The command says what a draw costs beside a solve; how much is for a quiet machine to say."""
    assert health.main(["--count", "5"]) in (0, 1)
    assert "rigs and shows of default size" in capsys.readouterr().out
