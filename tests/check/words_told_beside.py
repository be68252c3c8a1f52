"""What is told beside, word for word: cables, who is heard in a mix, how rules speak, pages of checks, edits and cases.

Comes in: the right patches of `bases`.  Goes out: cases entered in `words_told.CASES`.  Next: `test_words.py`.
"""

from __future__ import annotations

import json
import sys
import tempfile
from collections.abc import Callable, Iterable
from functools import partial
from pathlib import Path
from types import FunctionType, ModuleType
from typing import Any

import attrs

from patchloom.check import cables, catalogue, judging, own, shown, speak, talk, trade
from patchloom.check import explain as explaining
from patchloom.check.edits import apply
from patchloom.check.explain import Explained, explain
from patchloom.check.look import looks
from patchloom.check.tally import Tally
from patchloom.errors import Impossible, PatchloomError
from patchloom.finding import Fact, Finding
from patchloom.model.base import build
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig, Stock
from patchloom.model.show import Show

from .bases import house
from .planting import Data, Spoil, of
from .words_told import CASES, case, error, fresh, said, told

__all__: list[str] = []

# cables, talk


def _laid(r: Data, h: Data, s: Data) -> None:
    h["stage"] = {
        "zones": {"left": {"at": [-3, 1]}, "back": {"at": [0, 4]}, "blank": {}},
        "things": [{"id": "riser", "kind": "riser", "at": [1, 3], "sources": ["oh", "kick"]}],
    }
    of(h["sources"], "kick").update(at=[2, 1])
    of(h["sources"], "vox1").update(zone="left", cable_m=7.5)
    of(h["sources"], "vox2").update(zone="left")
    of(h["sources"], "di").update(zone="blank")
    of(h["sources"], "lap").update(kind="radio", zone="back")
    r["devices"]["BOX"]["place"] = {"at": [1, 0]}
    r["devices"]["MON"]["place"] = {"zone": "back"}
    r["devices"]["FOH"]["place"] = {"zone": "nowhere"}


def _laid_elsewhere(r: Data, h: Data, s: Data) -> None:
    _laid(r, h, s)
    r["devices"]["BOX"]["place"] = {"zone": "back"}
    of(h["sources"], "lap").update(kind="talkback")
    of(h["sources"], "vox1").update(kind="mic")
    s["plugs"]["gone"] = "BOX.mic[12]"
    s["plugs"]["vox2"] = "GONE.mic[1]"


def _cables(name: str, spoil: Spoil) -> None:
    def make() -> str:
        (look,) = looks(*fresh("house", spoil))
        places = cables.Places(look)
        rows = [f"  {row.leg} {row.socket} {row.plan_m} {row.need_m} {row.zone!r}\n" for row in cables.runs(look)]
        again = [row.need_m for row in cables.runs(look, places)]
        rows += [f"  {device}: {places.device(device)}\n" for device in ("BOX", "MON", "FOH", "AMP", "NONE")]
        rows += [f"  {source.id}: {places.source(source)}\n" for source in look.show.sources]
        return "".join((*rows, f"  {again}\n"))

    CASES[name] = make


_cables("cables: from where sources are to a box in its place", _laid)
_cables("cables: from where sources are to a box in a zone", _laid_elsewhere)
_cables("cables: nobody says where anything is", lambda r, h, s: None)


@case
def _() -> Iterable[Any]:
    """cables: what the store has left, and what fits"""
    rows = [
        {"id": "m10", "kind": "mic", "length_m": 10, "count": 4, "connectors": ["XLR-3F", "XLR-3M"]},
        {"id": "m5", "kind": "mic", "length_m": 5, "count": 4, "connectors": ["XLR-3F", "XLR-3M"]},
        {"id": "a5", "kind": "mic", "length_m": 5, "count": 4, "connectors": ["XLR-3F", "XLR-3M"]},
        {"id": "reel", "kind": "cat", "length_m": 50, "count": 2, "connectors": ["cat"]},
        {"id": "half", "kind": "mic", "length_m": 3, "count": 1, "connectors": ["XLR-3", "jack"]},
        {"id": "adaptor", "kind": "adaptor", "count": 3, "connectors": ["XLR-3", "XLR-3"]},
        {"id": "bare", "kind": "mic", "length_m": 8, "count": 1},
    ]
    links = [
        {"id": "K1", "join": ["A.x", "B.x"], "cables": [{"stock": "reel", "length_m": 60}, {"stock": "reel", "length_m": 50}]},
        {"id": "K2", "join": ["A.y", "B.y"], "cables": [{"stock": "adaptor", "length_m": 9}, {"stock": "none"}, {}]},
        {"id": "K3", "join": ["A.z", "B.z"], "cables": [{"stock": "m5"}, {"stock": "m10", "length_m": 0}]},
    ]
    rig = build(Rig, {"stock": rows, "links": links, "types": {"t": {}}, "devices": {"A": {"type": "t"}, "B": {"type": "t"}}})
    yield cables.stock_left(rig)
    for connector in ("XLR-3", "cat", "jack", ""):
        yield connector, [row.id for row in cables.stock_for(rig, connector)]
    row, plain = build(Stock, {"id": "x", "length_m": 10}), build(Stock, {"id": "x"})
    yield [cables.pieces(length, row) for length in (None, 0, 1, 10, 10.1, 20, 21)], cables.pieces(30, plain)
    yield cables.SLACK, cables.UP_AND_DOWN_M


@told("talk: who is heard in a mix")
def _(rig: Rig, show: Show, patch: Patch) -> Iterable[Any]:
    for of_ in (("vox1",), ("talk_mon",), ("talk_mon", "oh.L", "talk_mon"), ("gone", "wedge"), ()):

        def spoil(r: Data, h: Data, s: Data, named: tuple[str, ...] = of_) -> None:
            for key, feed in (("wedge", list(named)), ("ear", ["wedge", "kick"]), ("pa", list(named))):
                of(h["feeds"], key)["of"] = feed
            r["types"]["foh"]["banks"]["mix"]["taps"]["post"] = ["fader"]

        rigged = build(Rig, _data(spoil)[0]), build(Show, _data(spoil)[1]), build(Patch, _data(spoil)[2])
        (look,) = looks(*rigged)
        for key in ("wedge", "ear", "pa", "kick", "none"):
            yield of_, key, talk.own(look, key), talk.heard(look, key) if key in look.mixing else "no mix"


def _data(spoil: Spoil) -> tuple[Data, Data, Data]:
    rig, show, patch = house()
    spoil(rig, show, patch["settings"][0])
    return rig, show, patch


# how rules speak


@case
def _() -> Iterable[Any]:
    """how a rule speaks"""
    yield from said(
        [
            speak.found("reach", "Found.", "FOH", 3, numbers={"m": 2}.items(), period="act", severity="advice", todo="Do."),
            speak.found("reach", "Found."),
            speak.unchecked("reach", "x is unknown", "rig.x", "show.y", where=["FOH", 1], period="act"),
            speak.unchecked("reach", "x is unknown"),
            speak.nothing("reach", "there is none"),
        ]
    )
    for many in (0, 1, 2, 3, 4):
        yield speak.some(range(many), 2), speak.some(range(many * 4))


@case
def _() -> Iterable[Any]:
    """how a rule sums up"""
    for acts, scene in (((), ""), (("one",), ""), (("one", "two"), ""), (("one", "two"), "last")):
        for seen in (0, 2):
            yield acts, scene, seen
            made = _tally(acts, scene)
            made.seen = seen
            yield from said(made.told("nothing is there"))
            for act in (*acts, scene):
                made.found(act, "All.", "FOH", numbers=[("n", 1)], severity="stop", todo="Do.")
            yield error(partial(made.found, "never", "Not.", 3))
            for act, words in (("two", "Some."), ("last", "Some."), ("one", "One.")):
                if act in (*acts, scene):
                    made.found(act, words, 3)
            made.found("", "Whole.")
            made.lacks("f", "f is unknown", "FOH", "MON")
            made.lacks("f", "f is unknown here", "FOH", "BOX")
            made.lacks("g", "g is unknown")
            yield from said(made.told("nothing is there"))
            yield [
                made.when(periods) for periods in ([], ["one"], ["two", "last"], ["last"], ["one", "two", "last"], ["", "one"])
            ]


def _tally(acts: tuple[str, ...], scene: str) -> Tally:
    periods = [{"id": act} for act in acts] + ([{"id": scene, "scene_of": acts[-1]}] if scene else [])
    settings = [{"period": row["id"]} for row in periods] or [{}]
    return Tally("owner-awake", build(Show, {"periods": periods}), build(Patch, {"settings": settings}))


# pages, catalogue, entries


@case
def _() -> Iterable[Any]:
    """the catalogue and the entries as they are read"""
    text = "# A\none | stop | It says.\n    Do it.\n\ntwo | warn | Says.\n    Do.\n"
    yield from catalogue._read(text, "rule")
    yield error(partial(catalogue._read, text + "three | stop | Says.\n", "rule"))
    yield from trade._read(trade._TRADE)[:3]
    yield len(trade._read(trade._TRADE)), len(trade._read(trade._SECOND))
    yield from trade._read("# A x\nOne | stop | a, b,\n    c\n    Asks | more.\n# B\nTwo words | warn | d\n    Asks.\n")


def _stranger(rig: Any, show: Any, patch: Any) -> Any:
    """A rule of a stranger.

    Why: because.
    And more.

    What to do: this.
    """


def _plain(rig: Any, show: Any, patch: Any) -> Any:
    """A first line.

    Some words
    more.
    """


def _mute(rig: Any, show: Any, patch: Any) -> Any: ...


@case
def _() -> Iterable[Any]:
    """a check explains itself"""
    names = ("route-missing", "waiver-unused", "reading:dangling", "solve", "reach", "no-such-check", "rule-broken", "mix-shared")
    for name in (*names, "reach", "one-feeder-per-point", "one-plug-per-socket"):
        yield from _tried(name)
    for rule in (_stranger, _plain, _mute, own.rule(name="mine", severity="warn", says="Says.", todo="Do.")(_stranger)):
        yield from _tried(getattr(rule, "name", "strange"), rule)
        yield from explain(getattr(rule, "name", "strange"), rule).text().split("\n")
    parts = (("Why", "Because."), ("", "No heading."))
    cases = (("it speaks", "one"), ("it is silent", "two"), ("it speaks", "three"))
    whole = Explained(
        "n", "warn", "rule", "Says.", "Do.", "First.", parts, ("A One", "B Two"), cases, "page", (("x", "stop", "rule", "X."),)
    )
    yield from whole.text().split("\n")
    yield from Explained("n", "warn", "rule", "Says.", "Do.", "First.", ()).text().split("\n")


@case
def _() -> Iterable[Any]:
    """what is said of what has no page of its own"""
    for issuer in ("verify", "check", "reading", "solve", "rule"):
        yield explaining._generic(issuer, "Says.", "Do it.")
        yield explaining._generic(issuer, "Says.", "Do it.", "Is it so?")
    for issuers in (("one-feeder", "solve"), ("reading:dangling", "one-feeder", "reach"), ()):
        entry = trade.TradeEntry("A", "Nobody's word", "stop", issuers, "Is it asked?")
        made = explaining._entry(entry, False)
        cut = tuple((heading, words if not issuers or issuers[-1] != "reach" else words[:40]) for heading, words in made.parts)
        yield attrs.astuple(attrs.evolve(made, parts=cut, first=made.first[:40]))
    yield explaining._line("reading:byte-order-mark", None)[:2], explaining._line("reading:dangling", None)[:2]
    for key in ("reading:none", "dangling", "byte-order-mark"):
        yield from _tried(key)
    for key in ("solve", "one-feeder", "reading:dangling", "no-such-check", "rule-not-given", "digest-absent", "wish-unsaid"):
        page, parts = explaining._borrowed(key, "verify", "Says.", "Do it.")
        yield key, page, [(heading, words if not page else words[:20]) for heading, words in parts]
    for key in ("reach", "one-feeder", "waiver-unused", "one-plug-per-socket"):
        for cases in (False, True):
            made = explain(key, cases=cases)
            spoken = [outcome for outcome, about in made.cases[:1] if len(about) > 9]
            yield key, spoken, [len(made.cases) > many for many in (0, 2)], len(made.issuers)
    for key in ("reach", "block-leak"):
        rows = explaining._cases(key)
        yield [*dict.fromkeys(outcome for outcome, _ in rows)], all(len(about) > 9 for _, about in rows)
    yield [(name, len(explain(name, cases=False).issuers)) for name in ("duplicate-channel", "di-powered", "reach", "one-feeder")]


@case
def _() -> Iterable[Any]:
    """the docstring of a stranger's module is the page of a rule that has none"""
    module = ModuleType("a_stranger", "The module.\n\nWhat it says: that.\nWhy: for this.\n")
    sys.modules["a_stranger"] = module
    try:
        for page in (module.__doc__, "The module.\n\nWhy: for this.\n", None):
            module.__doc__ = page
            for words in ("Own words.", "Own words.\n\nWhy: mine.", None):
                rule = FunctionType(_mute.__code__, globals(), "rule")
                rule.__doc__, rule.__module__ = words, "a_stranger"
                yield page, words, explaining._docstring("rule", rule)
                yield explain("rule", rule).parts
                yield explain("rule", own.rule(name="rule", severity="warn", says="Says.", todo="Do.")(rule)).parts
    finally:
        del sys.modules["a_stranger"]
    yield explaining._docstring("rule", None), explaining._docstring("rule", 3)[:20]
    for text in ("First.", "First.\n", "First.\n\n  rest  of\n it\n", "First.\n\nWhy: because.\n\nMore.\nSource:\n  here.", ""):
        yield explaining._parted(text, ""), explaining._parted(text, "Do.")


def _tried(name: str, rule: Any = None) -> Iterable[str]:
    """Yield what is said of a check, long words cut: they are other people's pages."""
    try:
        made = explain(name, rule)
    except (PatchloomError, KeyError, ValueError) as problem:
        yield f"{name}: {type(problem).__name__}: {problem}"
        return
    yield f"{made.name} {made.severity} {made.issuer} {made.entries[:1]} {made.page}"
    yield f"  {made.says[:30]} {made.todo[:30]} {made.first[:30]}"
    yield from (f"  {heading}: {words[:30]}" for heading, words in made.parts)
    yield f"  {list(dict.fromkeys(outcome for outcome, _ in made.cases))}"
    yield from (f"  by {[part[:20] for part in row]}" for row in made.issuers[:2])


# edits and cases


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
