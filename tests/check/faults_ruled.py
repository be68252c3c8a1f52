"""Kinds of faults against routing rules, relations of groups, and losses that must be outlived."""

from __future__ import annotations

from typing import Any

from patchloom.model.routing import Hop, Placement, routing_rule

from .bases import select
from .planting import Data, fault, of


def rule(h: Data, kind: str, *signals: str, **more: Any) -> None:
    """Put a routing rule into the show."""
    h.setdefault("routing", []).append({"id": "mine", "rule": kind, "signals": list(signals), **more})


def group(h: Data, relation: str, *signals: str) -> None:
    """Put a relation into the show."""
    h.setdefault("groups", []).append({"id": "ours", "of": list(signals), "relation": relation})


def insert(h: Data, send: str, return_: str) -> None:
    """Declare an insert on the monitor desk's first channel."""
    h["inserts"] = [{"position": "mon", "channel": "MON.ch[1]", "send": send, "return": return_}]


fault("a block drags a signal to where a rule forbids it", "house", "passes-forbidden")(
    lambda r, h, s: rule(h, "forbid", "di", at=["MON.intake"])
)
fault("a link brings a signal a rule keeps from it", "house", "passes-forbidden")(
    lambda r, h, s: rule(h, "forbid", "kick", at=["K2"])
)
fault("a device hands on what a rule keeps out of it", "house", "passes-forbidden")(
    lambda r, h, s: rule(h, "forbid", "pa", at=["MON"])
)
fault("a way to one position passes where a rule forbids it", "house", "passes-forbidden")(
    lambda r, h, s: rule(h, "forbid", "talk_mon", "vox1", at=["K3", "MON.b"], positions=["foh"])
)
fault("a way does not pass what a rule requires", "house", "misses-required")(
    lambda r, h, s: rule(h, "require", "vox1", at=["K3", "K1"], positions=["foh"])
)
fault("a list loses what it must outlive with a link", "house", "loss-not-survived")(
    lambda r, h, s: of(h["lists"], "foh").update(survives=[{"loss_of": "K2"}])
)
fault("a list loses what it must outlive with a device", "house", "loss-not-survived")(
    lambda r, h, s: of(h["lists"], "foh").update(survives=[{"loss_of": "MON"}])
)
fault("a feed loses what it must outlive", "house", "loss-not-survived")(
    lambda r, h, s: of(h["feeds"], "wedge").update(survives=[{"loss_of": "K1"}])
)
fault("an insert's send does not come from its channel", "house", "insert-send-wrong")(
    lambda r, h, s: insert(h, "MON.out[8]", "BOX.mic[16]")
)
fault("an insert's send is taken behind the insert point", "house", "insert-send-wrong")(
    lambda r, h, s: insert(h, "MON.out[8]", "BOX.mic[16]") or s["selections"].append(select("MON.out[8]", "MON.ch[1]", "post"))
)
fault("a source is plugged where an insert returns", "house", "insert-return-taken")(
    lambda r, h, s: insert(h, "MON.out[8]", "BOX.mic[1]") or s["selections"].append(select("MON.out[8]", "MON.ch[1]", "in"))
)
fault("signals that go together part", "house", "not-together")(lambda r, h, s: group(h, "same-path", "vox1", "talk_mon"))
fault("signals that go together in one place part there", "house", "not-together")(
    lambda r, h, s: rule(h, "together", "vox1", "talk_mon", at=["K3"])
)
fault("two ways that share nothing share a box and a link", "house", "not-disjoint")(
    lambda r, h, s: rule(h, "disjoint", "kick", "vox1", positions=["foh"])
)
fault("two ways that share nothing hang on one supply", "house", "not-disjoint")(
    lambda r, h, s: (
        group(h, "disjoint", "vox1", "talk_mon") or [r["devices"][key].update(power="stage left") for key in ("BOX", "MON")]
    )
)
fault("two ways that share nothing run in one duct", "house", "not-disjoint")(
    lambda r, h, s: (
        group(h, "disjoint", "vox1", "talk_mon")
        or [of(r["links"], key).update(cables=[{"route": "pit"}]) for key in ("K2", "K3")]
    )
)
fault("main and alternate that share nothing share a box", "house", "not-disjoint")(
    lambda r, h, s: rule(h, "disjoint", "vox1", "vox2", positions=["mon"])
)
fault("signals that keep apart are on one box", "house", "not-apart")(lambda r, h, s: group(h, "apart", "kick", "vox1"))
fault("signals that keep apart meet in one place", "house", "not-apart")(
    lambda r, h, s: rule(h, "apart", "kick", "di", at=["MON.intake", "FOH.line"])
)
fault("signals of one box are on two", "house", "not-one-box")(lambda r, h, s: group(h, "one-box", "vox1", "talk_mon"))
fault("signals are not in order", "house", "not-in-order")(lambda r, h, s: group(h, "in-order", "vox1", "kick", "vox2"))


@fault("signals that are summed come differently late", "house", "summed-unlike")
def _summed(r: Data, h: Data, s: Data) -> None:
    group(h, "summed", "vox1", "talk_mon")
    r["types"]["box"]["banks"]["mic"]["latency_ms"] = 0.6
    r["types"]["mon"]["banks"]["talk"].update(latency_ms=0.5)
    r["types"]["foh"]["banks"]["ch"]["latency_ms"] = 0.4
    r["formats"]["cat"]["latency_ms"] = 0.1
    r["formats"]["eight"]["latency_ms"] = 0.1


@fault("a hop is one a written rule forbids", "house", "rule-vetoes")
def _hop(r: Data, h: Data, s: Data) -> None:
    def no_return(hop: Hop) -> str | None:
        return "nothing comes back over K3" if hop.link == "K3" and hop.to == "foh" else None

    s["rules"].append(routing_rule(name="no-return", version="1")(no_return))


@fault("a plug is one a written rule forbids", "house", "rule-vetoes")
def _plug(r: Data, h: Data, s: Data) -> None:
    def low_sockets(placed: Placement) -> str | None:
        return "voices stand on sockets from 5" if placed.at.number < 3 else None

    s["rules"].append(routing_rule(name="low", version="2", on="placement", signals=["vox1", "vox2"])(low_sockets))
