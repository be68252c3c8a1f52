"""What is told beside, word for word: edits, and cases of rules.

Comes in: the right patches of `bases`.  Goes out: `CASES`, with all that is told.  Next: `test_words.py`.
"""

from __future__ import annotations

import json
import tempfile
from collections.abc import Callable, Iterable
from functools import partial
from pathlib import Path
from typing import Any

from patchloom.check import judging, shown
from patchloom.check.edits import apply
from patchloom.errors import Impossible, PatchloomError
from patchloom.finding import Fact, Finding
from patchloom.model.base import build
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Show

from .bases import house
from .words_told import case, error, said
from .words_told_beside import CASES

__all__ = ["CASES"]


@case
def _() -> Iterable[Any]:
    """changes written for a person are made, or refused"""
    data: dict[str, Any] = {
        "rig": {"devices": {"FOH": {"type": "t"}}, "links": [{"id": "K1", "cables": [{"m": 1}, None]}, {"id": "K2"}], "rate": 1},
        "show": {
            "lists": [{"id": "foh", "wants": [{"signal": "kick"}, None, {"signal": "vox"}]}],
            "owners": [{"preamps": ["BOX.mic"], "owner": "mon"}],
            "names": ["a", "b"],
        },
        "patch": {"rig": "r", "settings": [{"period": "x", "selections": [{"into": "FOH.ch[3]", "from": "a"}], "routes": []}]},
    }
    data["patch"]["settings"][0]["routes"].append({"leg": "kick", "to": "foh", "entry": 1})
    for row in (
        {"at": "rig.devices[FOH].type", "set": "u"},
        {"at": "rig.devices[MON].place.zone", "set": "z"},
        {"at": "rig.stock[1]", "set": 3},
        {"at": "rig.stock", "add": {"id": "m5"}},
        {"at": "rig.stock", "add": [{"id": "m6"}, {"id": "m7"}]},
        {"at": "rig.more.rows", "add": 3},
        {"at": "rig.links[K1].cables[1].m", "set": 2},
        {"at": "rig.links[K1].cables[2].m", "set": 2},
        {"at": "rig.links[K1].cables[3].m", "set": 2},
        {"at": "rig.links[K1].cables[0].m", "set": 2},
        {"at": "rig.links[2]", "merge": {"format": "f"}},
        {"at": "rig.links[K1]", "drop": True},
        {"at": "rig.links[K9].id", "set": 2},
        {"at": "rig.links[K9]", "set": 2},
        {"at": "rig.nothing", "drop": True},
        {"at": "rig.devices", "merge": {"FOH": None, "AMP": {"type": "a"}}},
        {"at": "rig.merged", "merge": {"a": 1}},
        {"at": "show.lists[foh].wants[vox].fold", "set": "left"},
        {"at": "show.lists[foh].wants[2]", "set": {"signal": "di"}},
        {"at": "show.lists[foh].wants[kick]", "drop": True},
        {"at": "show.owners[BOX.mic].owner", "set": "foh"},
        {"at": "show.names[b]", "set": "c"},
        {"at": "show.names[x]", "drop": True},
        {"at": "show.names[x].y", "set": 1},
        {"at": "patch.selections[FOH.ch[3]].from", "set": "b"},
        {"at": "patch.selections", "add": {"into": "FOH.ch[4]"}},
        {"at": "patch.routes[foh: kick].entry", "set": 2},
        {"at": "patch.settings[x].plugs.kick", "set": "BOX.mic[1]"},
        {"at": "patch.plugs.vox", "set": "BOX.mic[2]"},
        {"at": "patch.rig", "set": "q"},
        {"at": "patch.spares", "set": ["BOX.mic[4]"]},
        {"at": "rig.rate.x", "set": 1},
        {"at": "rig.rate[1].x", "set": 1},
        {"at": "rig", "set": 1},
        {"at": "somewhere.else", "set": 1},
        {"at": "rig.a[b", "set": 1},
        {"at": "rig.a", "set": 1, "drop": True},
        {"at": "rig.a", "set": 1, "more": True},
        {"at": "rig.rows", "set": list(range(25))},
        {"at": "rig.rows[x]", "drop": True},
        {"at": "rig.rows[a[b]c].d", "set": 1},
        {"at": "rig.a"},
        {"at": 3, "set": 1},
        {"set": 1},
        {"at": "rig..deep.[x].y", "set": 1},
    ):
        yield row, error(lambda: apply(data, [row]))  # noqa: B023
        yield json.dumps(data)
    yield error(lambda: apply({"rig": {}, "patch": {"settings": [{}]}}, [{"at": "rig.a", "set": 1}, {"at": "patch.b", "set": 2}]))


_CASE: dict[str, Any] = {"about": "It speaks.", "base": "house", "expect": {"fails": []}}


@case
def _() -> Iterable[Any]:
    """cases are read, and their documents made"""
    rig, show, patch = house()
    with tempfile.TemporaryDirectory() as name:
        root = Path(name)
        (root / "bases").mkdir()
        (root / "bases" / "house.json").write_text(json.dumps({"rig": rig, "show": show, "patch": patch}), encoding="utf-8")
        bare = {"rig": rig, "show": show}
        (root / "bases" / "bare.json").write_text(json.dumps(bare), encoding="utf-8")
        folder = root / "cases"
        (folder / "twin").mkdir(parents=True)
        (folder / "twin" / "rig.json").write_text(json.dumps(rig), encoding="utf-8")
        (folder / "twin" / "show.json").write_text(json.dumps(show), encoding="utf-8")
        solved: list[str] = []

        def solve(rig: Rig, show: Show) -> Patch:
            solved.append(f"{rig.name}/{show.name}")
            return build(Patch, patch)

        def read(more: dict[str, Any], rule: str = "reach") -> Any:
            (folder / rule).mkdir(exist_ok=True)
            path = folder / rule / "one.json"
            path.write_text(json.dumps(_CASE | more), encoding="utf-8")
            (made,) = shown.cases_in(folder, rule)
            return made

        def words(make: Callable[[], Any]) -> str:
            return error(make).replace(name, "<root>")

        for more in (
            {},
            {"expect": "passes"},
            {"expect": "nothing"},
            {"expect": {"unchecked": []}},
            {"expect": {"passes": True, "unchecked": []}},
            {"expect": "fails"},
            {"expect": {}},
            {"expect": []},
            {"about": None, "odd": 1},
        ):
            yield more, words(lambda: (read(more).name, read(more).outcome, read(more).rule))  # noqa: B023
        read({})
        (folder / "reach" / "two.json").write_text("{", encoding="utf-8")
        yield words(lambda: shown.cases_in(folder, "reach"))
        (folder / "reach" / "two.json").write_text(json.dumps({"about": "x"}), encoding="utf-8")
        yield words(lambda: shown.cases_in(folder))
        (folder / "reach" / "two.json").unlink()
        for more in (
            {},
            {"base": "bare"},
            {"base": "twin"},
            {"base": "none"},
            {"base": bare | {"patch": {"settings": [{"unmet": ["own"]}]}}},
            {"patch": {"settings": [{"unmet": ["given"]}]}},
            {"change": [{"at": "rig.name", "set": "changed"}]},
            {"change": [{"at": "show.name", "set": "changed"}, {"at": "patch.unmet", "set": ["changed"]}]},
            {"change": [{"at": "patch.unmet", "add": "more"}]},
            {"change": [{"at": "rig.name", "set": "changed"}], "solve": True},
            {"change": [{"at": "rig.name", "set": "changed"}, {"at": "patch.unmet", "set": []}], "solve": True},
            {"change": [{"at": "rig.devices[FOH].type", "set": "none"}]},
            {"change": [{"at": "show.lists[foh].at", "set": "FOH.none"}]},
            {"change": [{"at": "rig.devices[GONE].type", "drop": True}]},
            {"text": {"of": "show", "replace": '"house"', "by": '"the other house"'}},
            {"text": {"of": "rig", "replace": '"house"', "by": '"another"'}, "solve": True},
            {"text": {"of": "patch", "replace": '"mon: lap"', "by": '"mon: lap", "x"'}},
            {"text": {"of": "rig", "replace": "no such words", "by": ""}},
            {"text": {"of": "show", "replace": '"lists": [', "by": '"lists": [,'}},
            {"text": {"of": "rig", "replace": '"id"', "by": '"\\udc80"'}},
            {"text": {"of": "show", "replace": '"FOH.ch"', "by": '"FOH.nix"'}},
            {"text": {"of": "rig", "replace": '"K2"', "by": '"K1"'}},
            {"change": [{"at": "nothing.at.all", "drop": True}]},
            {"change": [{"set": 1}]},
        ):
            solved.clear()

            def make(more: dict[str, Any] = more) -> Any:
                rig, show, patch = shown.built(read(more), solve)
                return rig.name, show.name, patch.rig, patch.show, [row.unmet for row in patch.settings]

            yield {key: more[key] for key in more if key != "base" or isinstance(more[key], str)}, words(make), solved
        base = shown.base_of(read({}), solve)
        yield sorted(base.plain("rig")), base.plain("rig") is base.plain("rig"), sorted(base.objects)
        yield shown.home().name


_UNREADABLE = [{"at": "rig.devices[FOH].type", "set": "none"}]
_TWICE = [{"at": "show.lists", "add": [{"id": "foh", "position": "foh", "at": "FOH.ch", "wants": []}]}]


@case
def _() -> Iterable[Any]:
    """cases are judged by whom they ask"""
    rig, show, patch = house()

    def reach(rig: Rig, show: Show, patch: Patch) -> Iterable[Finding]:
        yield Finding("reach", "stop", "Too far.", ("kick",))
        yield Finding("reach", "note", "Not checked, because x.", kind="unchecked")

    def fails(rig: Rig, show: Show) -> Patch:
        raise Impossible(
            (Fact("FOH.ch", "No room.", 17, 16, 1, ("foh", "foh: kick")), Fact("foh", "None.", 1, 0, 1)), period="act"
        )

    def solve(rig: Rig, show: Show) -> Patch:
        return build(Patch, patch)

    with tempfile.TemporaryDirectory() as name:
        (Path(name) / "bases").mkdir()
        (Path(name) / "bases" / "house.json").write_text(json.dumps({"rig": rig, "show": show, "patch": patch}), encoding="utf-8")
        for rule, more in (
            ("reach", {}),
            ("mine", {}),
            ("reach", {"expect": {"fails": [{"rule": "block-leak"}, {"rule": "reach"}, {}, "words"]}}),
            ("reach", {"expect": {"fails": [{"rule": "no-such-rule"}]}}),
            ("reach", {"change": _UNREADABLE}),
            ("not-delivered", {"change": [{"at": "patch.selections[FOH.ch[1]]", "drop": True}]}),
            ("one-feeder-per-point", {"expect": {"fails": [{}, {"rule": "one-feeder"}]}}),
            ("every-must-delivered", {"change": [{"at": "patch.selections[FOH.ch[1]]", "drop": True}]}),
            ("every-must-delivered", {"change": [{"at": "rig.name", "set": "x"}], "solve": True}),
            ("duplicate-channel-number", {"change": _TWICE}),
            ("duplicate-channel-number", {"change": [*_TWICE, {"at": "show.lists[foh].wants[kick].signal", "set": "kik"}]}),
            ("duplicate-channel-number", {"change": _UNREADABLE, "expect": {"fails": [{}]}}),
            ("duplicate-channel-number", {"base": {"rig": {"devices": {"X": {"type": "none"}}}, "show": {}}}),
            ("duplicate-channel-number", {"change": [{"at": "nothing.at.all", "drop": True}]}),
        ):
            folder = Path(name) / "cases" / rule
            folder.mkdir(parents=True, exist_ok=True)
            (folder / "one.json").write_text(json.dumps(_CASE | more), encoding="utf-8")
            (made,) = shown.cases_in(Path(name) / "cases", rule)
            yield rule, more, judging.is_rule(rule)
            yield error(partial(judging.speaks, made)).replace(name, "<root>"), error(partial(judging.asked, made)).count(",")
            for who in (solve, fails):
                for rules in ({"reach": reach}, {}):
                    yield from _judged(lambda: judging.said(made, who, rules), name)  # noqa: B023
                drawn = error(lambda: _drawn(judging.drawable(made, who)))  # noqa: B023
                yield drawn.replace(name, "<root>")
    for key in ("reach", "one-feeder", "reading:dangling", "solve", "every-must-delivered", "no-such-rule"):
        rows = judging.cases_of(key)
        yield key, [row.key for row in judging.entries_of(key)], sorted({row.outcome for row in rows}), bool(rows)


def _judged(make: Callable[[], Any], name: str) -> Iterable[str]:
    try:
        found = make()
    except (PatchloomError, KeyError) as problem:
        yield f"{type(problem).__name__}: {problem}".replace(name, "<root>")
        return
    yield f"made {found.made is not None}"
    yield from said(found.findings)


def _drawn(made: Any) -> Any:
    rig, show, patch = made
    return rig.name, show.name, [row.period for row in patch.settings], len(patch.settings[0].plugs)
