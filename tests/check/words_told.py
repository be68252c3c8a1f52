"""What is told beside the judge's findings, word for word: what rules say, waivers, the proof with its capacities.

Comes in: the right patches of `bases`, some planted faults.  Goes out: `CASES`, each a name and a function that returns
text; `words_told_beside` and `words_told_edits` enter more.  Next: `test_words.py` holds them against `words_told.txt`;
`tests/mutation` asks them whether a changed line is noticed.
"""

from __future__ import annotations

import copy
from collections.abc import Callable, Iterable
from functools import partial
from typing import Any

import attrs

from patchloom.check import own
from patchloom.check.check import apply_waivers, check, shipped_rules
from patchloom.check.folding import folded
from patchloom.check.look import looks
from patchloom.check.proof import Proof, proof
from patchloom.check.verify import verify
from patchloom.errors import PatchloomError
from patchloom.finding import Finding
from patchloom.model.base import build
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.routing import Hop, routing_rule
from patchloom.model.show import Show

from .bases import select
from .faults import FAULTS
from .planting import Data, Spoil, drop, of, planted
from .words import line

__all__ = ["CASES"]

Case = Callable[[], str]
CASES: dict[str, Case] = {}
"""Name to the function that returns what is told."""


def case(make: Callable[[], Iterable[Any]]) -> Case:
    """Enter a function by its docstring; it yields what is told, a line each."""
    assert make.__doc__
    assert make.__doc__ not in CASES
    CASES[make.__doc__] = lambda: "".join(f"  {row}\n" for row in make())
    return CASES[make.__doc__]


def told(name: str, base: str = "house") -> Callable[[Callable[..., Iterable[Any]]], None]:
    """Enter a generator `(rig, show, patch)` over a base; a spoil of the same name may come before."""

    def enter(make: Callable[..., Iterable[Any]], spoil: Spoil = lambda r, h, s: None) -> None:
        assert name not in CASES, name
        CASES[name] = lambda: "".join(f"  {row}\n" for row in make(*fresh(base, spoil)))

    return enter


def fresh(base: str, spoil: Spoil) -> tuple[Rig, Show, Patch]:
    """Return rig, show and patch of a spoiled base; the patch is another object each time, so that nothing is remembered."""
    (rig, show, patch), _ = planted(base, spoil)
    return rig, show, attrs.evolve(patch)


def error(make: Callable[[], Any]) -> str:
    """Return what is raised, in words."""
    try:
        return f"nothing raised: {make()!r}"
    except (PatchloomError, ValueError, TypeError) as problem:
        return f"{type(problem).__name__}: {problem}"


def said(rows: Iterable[Finding]) -> list[str]:
    """Return findings in words, with their kind and who waived them."""
    return [f"{line(row).strip()} {row.kind} {row.waived}".strip() for row in rows]


# what rules say, and what is folded under a fault

_DIGESTS = ("sha256:rig", "sha256:show")
_FOLDED = (
    "a channel takes another source's slot",
    "a channel takes nothing",
    "the legs of a pair are swapped at a desk",
    "another block is chosen",
    "a source is handed on after the fader",
    "a link is over-full at this rate",
    "two domains meet inside a device that does not convert",
    "a source of another act stays plugged",
    "a wanted source is plugged nowhere",
    "a domain has no leader",
    "slots feed each other in a circle",
    "two sources share a socket",
    "a kept spare holds a source",
)


def _folded(fault: Any) -> Case:
    def make() -> str:
        made = fresh(fault.base, fault.spoil)
        _, rules = planted(fault.base, fault.spoil)
        found = check(*made, found=verify(*made, digests=_DIGESTS, rules=rules))
        return "".join(f"  {row}\n" for row in said(found) if " note " not in f" {row[:8]}")

    return make


for _fault in FAULTS:
    if _fault.kind in _FOLDED:
        CASES[f"with rules: {_fault.kind}"] = _folded(_fault)


@told("what is folded under what")
def _(rig: Rig, show: Show, patch: Patch) -> Iterable[Any]:
    seen = looks(rig, show, patch)

    def root(severity: str, *where: str, kind: str = "found", period: str = "", rule: str = "not-delivered") -> Finding:
        return Finding(rule, severity, "Root.", where, (("n", 1),), "", period, kind=kind)

    def rows(*where: str, period: str = "", kind: str = "found") -> list[Finding]:
        names = ("block-leak", "duplicate-channel", "trim-margin", "unknown-rule")
        return [Finding(name, "warn", "Row.", where, (), "", period, kind=kind) for name in names]

    for severity in ("stop", "safety", "warn", "advice", "note"):
        yield severity, said(folded([*rows("kick"), root(severity, "kick")], seen))
    for one, other in (
        (("foh: kick",), ("kick",)),
        (("foh: kick",), ("foh: kick",)),
        (("MON",), ("MON.a.in[1]",)),
        (("MON.a.out[3]",), ("MON.ch[9]",)),
        (("foh: oh.L",), ("oh",)),
        (("oh",), ("oh.L",)),
        (("kick",), ("BOX.mic[1]",)),
        (("kick",), ("MON.ch[2]",)),
        (("kick",), ("FOH.ch[9]",)),
        (("oh",), ("MON.intake[6]",)),
        (("FOH.ch[1]",), ("BOX.mirror.out[1]",)),
        (("FOH.ch[1]",), ("BOX.mirror.out[2]",)),
        (("MON.a.out[3]",), ("MON.mix[3]", "x")),
        (("BOX.mic[1-4]",), ("BOX.mic[2]",)),
        (("K1",), ("K1", "x")),
        (("MON",), ("MON.ch[1]",)),
        (("MON.ch[1]",), ("MON.ch[1-2]",)),
        (("vox1", "foh"), ("MON.intake[2]",)),
        ((), ("kick",)),
        (("kick",), ()),
    ):
        yield one, other, said(folded([root("stop", *one), *rows(*other)], seen))
    for period, mine in (("a", "a"), ("a", "b"), ("", "b"), ("a", "")):
        yield period, mine, said(folded([root("stop", "kick", period=period), *rows("kick", period=mine)], seen))
    yield said(folded([root("stop", "kick", kind="unchecked"), *rows("kick")], seen))
    yield said(folded([root("stop", "kick"), *rows("kick", kind="unchecked")], seen))
    yield said(
        folded([root("stop", "vox1"), root("warn", "kick"), *rows("kick"), *rows("kick", "vox1"), root("stop", "kick")], seen)
    )
    yield said(folded([root("stop", "kick", rule="gain-trim"), root("stop", "kick", rule="not-so"), *rows("kick")], ()))


_SIGNED = {"who": "A. Person", "why": "agreed"}


def _waived(*rows: Data, base: str = "house", today: str = "", alone: bool = False, more: Spoil | None = None) -> Case:
    def spoil(r: Data, h: Data, s: Data) -> None:
        if more is not None:
            more(r, h, s)
        h["waivers"] = [_SIGNED | row for row in rows]

    def make() -> str:
        made = fresh(base, spoil)
        rules = {"two": _two, "three_more": _four, "silent": lambda *_: ()}
        found = None if alone else verify(*made, digests=_DIGESTS)
        rows = check(*made, rules, found=found, today=today)
        return "".join(f"  {row}\n" for row in said(rows))

    return make


def _two(rig: Rig, show: Show, patch: Patch) -> Iterable[Finding]:
    for period in [setting.period for setting in patch.settings]:
        yield Finding("two", "warn", "One.", ("FOH.ch[3]", "kick"), (), "", period)
    yield Finding("two", "note", "Not checked, because x.", ("MON",), kind="unchecked")


def _four(rig: Rig, show: Show, patch: Patch) -> Iterable[Finding]:
    for number in range(1, 5):
        yield Finding("four", "stop", f"Number {number}.", (f"FOH.ch[{number}]",), (("n", number),))
    yield Finding("four", "stop", "Number 1.", ("FOH.ch[1]",), (("n", 1),))
    yield Finding("four", "stop", "Number 1.", ("FOH.ch[1]",), (("n", 2),))


def _missed(r: Data, h: Data, s: Data) -> None:
    drop(s, "FOH.ch[1]")


CASES |= {
    "waivers: of a rule, at a place": _waived({"rule": "two", "where": ["kick"]}, {"rule": "two", "where": ["FOH.ch[3]"]}),
    "waivers: runs and devices hold": _waived(
        {"rule": "four", "where": ["FOH.ch[1-2]"]}, {"rule": "four", "where": ["FOH.ch[3-3]"]}, {"rule": "two", "where": ["FOH"]}
    ),
    "waivers: other runs, banks and devices do not": _waived(
        {"rule": "four", "where": ["FOH.mix[1-2]"]},
        {"rule": "four", "where": ["MON.ch", "FOH.ch[5-6]"]},
        {"rule": "two", "where": ["FOH.ch[4]", "no place [at] all"]},
    ),
    "waivers: a bank holds, and the last slot": _waived({"rule": "four", "where": ["FOH.ch"]}),
    "waivers: everywhere, four at once": _waived({"rule": "four"}),
    "waivers: everywhere, one at once": _waived({"rule": "two"}),
    "waivers: nothing is signed twice": _waived({"rule": "two"}, {"rule": "two"}),
    "waivers: of no check": _waived({"rule": "not-deliverd"}, {"rule": "zzz"}, {"rule": "four"}),
    "waivers: of a check that finds nothing": _waived(
        {"rule": "not-delivered"}, {"rule": "reach"}, {"rule": "rule-broken"}, {"rule": "silent"}
    ),
    "waivers: of verify's checks, not asked": _waived({"rule": "not-delivered"}, {"rule": "four"}, alone=True),
    "waivers: of verify's checks, found": _waived({"rule": "not-delivered", "where": ["foh"]}, more=_missed),
    "waivers: until a date": _waived(
        {"rule": "two", "until": "2030-05-02"},
        {"rule": "four", "where": ["FOH.ch[1]"], "until": "2030-05-03"},
        {"rule": "four", "where": ["FOH.ch[2]"], "until": "2030-05-04"},
        {"rule": "four", "where": ["FOH.ch[3]"], "until": "spring"},
        {"rule": "four", "where": ["FOH.ch[4]"], "until": "2030-05-0x"},
        today="2030-05-03",
    ),
    "waivers: until a date, today unknown": _waived({"rule": "two", "until": "2000-01-01"}),
    "waivers: until a date, the show says when": _waived(
        {"rule": "two", "until": "2000-01-01"},
        {"rule": "four", "until": "2031-01-01"},
        more=lambda r, h, s: h.update(date="2030-05-03"),
    ),
    "waivers: until a date, the show says no date": _waived(
        {"rule": "two", "until": "2000-01-01"}, more=lambda r, h, s: h.update(date="in May")
    ),
    "waivers: until an act": _waived({"rule": "two", "until": "first"}, base="acts"),
    "waivers: until a scene": _waived({"rule": "two", "until": "solo"}, base="acts"),
    "waivers: until the last act": _waived({"rule": "two", "until": "second"}, base="acts"),
}


@told("waivers: applied to findings alone")
def _(rig: Rig, show: Show, patch: Patch) -> Iterable[Any]:
    rows = [Finding("mine", "warn", "Found.", ("FOH",)), Finding("mine", "stop", "Found, too.", ())]
    waivers = [{"rule": "mine", "where": ["FOH"]}, {"rule": "reach"}, {"rule": "mine"}, {"rule": "yours"}]
    signed = build(Show, {"waivers": [_SIGNED | row for row in waivers]})
    yield from said(apply_waivers(rows, signed))
    yield from said(apply_waivers(rows, signed, known={"mine", "reach"}, asked={"mine"}))
    for count in (3, 4, 5):
        many = [Finding("mine", "warn", f"Found {number}.") for number in range(count)]
        yield from said(apply_waivers(many, signed, known={"mine"}))


@told("rules of every form")
def _(rig: Rig, show: Show, patch: Patch) -> Iterable[Any]:
    def raises(rig: Rig, show: Show, patch: Patch) -> Any:
        raise KeyError("x")

    def odd_thing(rig: Rig, show: Show, patch: Patch) -> Any:
        return [Finding("odd", "warn", "Fine."), "no finding"]

    def odd_severity(rig: Rig, show: Show, patch: Patch) -> Any:
        return [Finding("odd", "grave", "Fine.")]

    class Nameless:
        def __call__(self, rig: Rig, show: Show, patch: Patch) -> Any:
            raise ValueError("nameless")

    @own.rule(name="my-own", severity="warn", says="It speaks.", todo="Do it.")
    def mine(rig: Rig, show: Show, patch: Patch) -> Any:
        yield "A sentence."
        yield "A sentence", "FOH", 3
        yield mine.found("Found.", "FOH.ch[1]", numbers={"n": 1}.items(), period="act", severity="stop")
        yield mine.unchecked("it is not said", "rig.x", "show.y", where=["FOH"], period="act")
        yield mine.unchecked("it is not said")
        yield mine.nothing("there is none")

    @routing_rule(name="no-link-k1", version="2")
    def veto(hop: Hop) -> str:
        return "K1 is frayed." if hop.link == "K1" else ""

    @routing_rule(name="breaks", version="1")
    def breaks(hop: Hop) -> str:
        raise RuntimeError("broken")

    @own.rule(name="raises-too", severity="warn", says="It breaks.")
    def broken(rig: Rig, show: Show, patch: Patch) -> Any:
        raise ValueError("too")

    yield from said(check(rig, show, patch, [raises, odd_thing, odd_severity, Nameless(), mine, broken]))
    yield from said(check(rig, show, patch, {"by-name": _two, "broken": raises}))
    yield from said(check(rig, show, patch, [("pair", raises), ("silent", lambda *_: [])]))
    yield from said(check(rig, show, patch, [veto, breaks], found=()))
    yield [name for name, _ in shipped_rules() if name in _SHOWN]
    yield mine.__name__, mine.__doc__, mine.__module__, mine.__qualname__, mine.version, mine.steers, mine.monotone, mine.says


def _own(rows: list[Any], **more: Any) -> own.Rule:
    def look(*_: Any) -> list[Any]:
        return rows

    return own.rule(**more)(look)


def _all_of(rule: own.Rule) -> list[Finding]:
    return list(rule(1, 2, 3))


@case
def _() -> Iterable[Any]:
    """rules of somebody's own that are none"""
    good = {"name": "mine", "severity": "warn", "says": "It speaks."}
    for more in (
        {"name": "no id"},
        {"severity": "note"},
        {"severity": "grave"},
        {"says": " "},
        {"monotone": "both"},
        {"monotone": "fewer-wants"},
        {"monotone": "more-wants", "version": "3", "todo": "Do it."},
    ):
        made = partial(_own, [3], **(good | more))
        yield error(made).partition(" look=")[0]
        if "monotone" in more and more["monotone"] != "both":
            rule = made()
            yield rule.name, rule.severity, rule.says, rule.todo, rule.monotone, rule.version, rule.steers, rule.__name__
            yield error(partial(_all_of, rule))
            yield said([rule.found("x"), rule.unchecked("y", "f"), rule.nothing("z")])
    for yielded in ((), (3,), None, [()]):
        yield error(partial(_all_of, _own([yielded], **good)))
    yield list(own.rule(**good)(lambda *_: None)(1, 2, 3))


# the proof


_SHOWN = (
    (
        "one-feeder",
        "not-delivered",
        "rule-broken",
        "reach",
        "block-leak",
        "leader-stays",
        "labels-collide",
        "talk-reaches",
        "mine",
    )
    + ("One feeder per point", "One plug per socket", "Duplicate channel number", "Reach", "Block leak", "Every must delivered")
    + ("Leader always on, backup named", "Talkback reachable", "Labels agree", "No clock loop")
)
"""Checks and entries that are shown whatever became of them."""


def _page(made: Proof) -> Iterable[Any]:
    yield f"{made.words}: clean {made.clean}, {made.delivered} of {made.musts}; {dict(made.counts)}"
    yield f"unhonoured {made.unhonoured}, digests {made.digests}"
    yield from (f"demand {attrs.astuple(row)}" for row in made.demands)
    loud = [row for row in made.states if row.state not in ("checked", "not asked", "not applicable") or row.name in _SHOWN]
    yield from (f"state {attrs.astuple(row)}" for row in loud)
    shown = [row for row in made.asked if row.state not in ("checked", "not asked", "not applicable") or row.name in _SHOWN]
    yield from (f"asked {row.section} {row.name} {row.severity} {row.state} {row.found} {row.missing}" for row in shown)
    yield [row.name for row in made.of_state("checked", "in part") if row.name in _SHOWN]
    yield from (f"signed {attrs.astuple(row)}" for row in made.waivers)
    yield from (f"use {attrs.astuple(row)} free {row.free}" for row in made.capacities)
    yield from made.assumptions


def _proven(base: str, spoil: Spoil = lambda r, h, s: None, rules: tuple[str, ...] | None = None) -> Case:
    def make() -> str:
        made = fresh(base, spoil)
        found = check(*made, {"two": _two} if rules is None else {}, found=verify(*made, digests=_DIGESTS))
        return "".join(f"  {row}\n" for row in _page(proof(*made, found, digest="sha256:patch", rules=rules)))

    return make


def _many_things(r: Data, h: Data, s: Data) -> None:
    drop(s, "FOH.ch[1]")
    drop(s, "FOH.ch[3-4]")
    of(h["lists"], "mon", "id")["wants"][2]["fold"] = "right"
    of(h["lists"], "mon", "id")["wants"].append({"signal": "oh", "leg": "L", "fold": "left"})
    of(h["lists"], "mon", "id")["wants"].append({"signal": "gone"})
    of(h["feeds"], "wedge")["to"].append({"at": ["BOX.line[2]"], "priority": 2})
    of(h["feeds"], "ear").pop("of", None)
    for key in ("kick", "di"):
        of(h["sources"], key).update(phantom="unknown", want_db={"mon": 20})
    h["waivers"] = [_SIGNED | {"rule": "not-delivered", "where": ["foh"]}, _SIGNED | {"rule": "two", "until": "2000-01-01"}]
    r["types"]["box"]["source"] = "a sheet"
    r["formats"]["cat"]["standing"] = "standard"
    s["patch"]["unhonoured"] = ["one thing"]


def _wide(r: Data, h: Data, s: Data) -> None:
    h["sources"] += [{"id": f"extra{number}"} for number in range(13)]
    r["types"]["mon"]["limits"].append({"of": ["intake", "b.out[1-8]"], "most": {"48000": 3}, "count": "blocks", "by": 8})
    r["types"]["foh"]["limits"] = [
        {"of": ["ch"], "most": {"96000": 4}},
        {"of": ["ch[1-4]"], "most": 4, "count": "blocks", "by": 2},
    ]


def _two_acts(r: Data, h: Data, s: Data) -> None:
    """Two acts of the house: in the second a block is dragged along that nobody takes, and the first channels are free."""
    r["links"].insert(0, r["links"].pop())
    r["devices"]["HUB"] = {"type": "mon"}
    r["links"].append({"id": "K9", "join": ["HUB.a", "FOH.wc"], "format": "wc"})
    r["links"].append({"id": "K8", "join": ["HUB.b", "FOH.c"], "format": "eight"})
    r["types"]["foh"]["ports"]["c"] = {"speaks": ["eight"]}
    r["types"]["foh"]["banks"]["pairs"] = {"slots": 5}
    r["types"]["foh"]["select"].append({"into": "pairs", "by": 2, "from": ["a.in"]})
    r["types"]["mon"]["limits"] += [{"of": ["intake[9-16]", "a.in"], "most": 9, "about": "the far pool"}]
    h["periods"] = [{"id": "one"}, {"id": "two"}]
    s["period"] = "one"
    s["selections"].append(select("FOH.pairs[1-2]", "FOH.a.in[1-2]"))
    second = copy.deepcopy(s)
    second["period"] = "two"
    for key in ("all", "patch", "rules"):
        second.pop(key, None)
    for into in ("FOH.ch[1]", "MON.intake[9-16]"):
        drop(second, into)
    second["selections"] += [select("MON.intake[9-16]", "MON.a.in[9-16]"), select("FOH.pairs[5]", "FOH.a.in[5]")]
    s["all"].append(second)


CASES |= {f"proof: {_base}": _proven(_base) for _base in ("house", "acts", "border", "copper")}
CASES |= {
    "proof: many things": _proven("house", _many_things),
    "proof: two acts": _proven("house", _two_acts),
    "proof: thirteen unknown, pools of blocks": _proven("house", _wide),
    "proof: some rules asked": _proven("house", _many_things, rules=("reach", "block-leak", "mine")),
}


@told("proof: states as rules say them", "acts")
def _(rig: Rig, show: Show, patch: Patch) -> Iterable[Any]:
    def lack(rule: str, *numbers: tuple[str, Any]) -> Finding:
        return Finding(rule, "note", "Not checked, because x.", (), (("missing", "f"), *numbers), kind="unchecked")

    rows = (
        lack("reach"),
        lack("block-leak", ("not checked", 2), ("things seen", 3)),
        lack("labels-agree", ("not checked", 3), ("things seen", 3)),
        lack("owner-awake"),
        Finding("owner-awake", "warn", "Found."),
        lack("talk-reaches"),
        Finding("talk-reaches", "note", "Not applicable: x.", kind="nothing"),
        Finding("leader-stays", "note", "Not applicable: x.", kind="nothing"),
        Finding("mine", "stop", "Found.", waived="A: b"),
        Finding("theirs", "safety", "Found."),
    )
    yield from _page(proof(rig, show, patch, rows))
    yield from _page(proof(rig, show, patch, rows[:3], rules=["reach"]))
