"""What is told beside, word for word: cables, who is heard in a mix, how rules speak, pages of checks.

Comes in: the right patches of `bases`.  Goes out: cases entered in `words_told.CASES`.  Next: `test_words.py`.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable
from functools import partial
from types import FunctionType, ModuleType
from typing import Any

import attrs

from patchloom.check import cables, catalogue, own, speak, talk, trade
from patchloom.check import explain as explaining
from patchloom.check.explain import Explained, explain
from patchloom.check.look import looks
from patchloom.check.tally import Tally
from patchloom.errors import PatchloomError
from patchloom.model.base import build
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig, Stock
from patchloom.model.show import Show

from .bases import house
from .planting import Data, Spoil, of
from .words_told import CASES, case, error, fresh, said, told

__all__ = ["CASES"]

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
