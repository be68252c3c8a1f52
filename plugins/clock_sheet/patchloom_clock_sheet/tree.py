"""One period's clock tree as a page: who leads, who follows from which port.

Comes in: a `View`.  Goes out: a diagram `Page`, or None where nothing in the patch has a clock.
Next: `patchloom.drawing`.
"""

from __future__ import annotations

from collections.abc import Iterator

from patchloom.model.base import rate_of
from patchloom.model.patch import ClockDomain
from patchloom.pages import Diagram, Edge, Node, Page, View, cautions

__all__ = ["domain_words", "hertz", "tree_page"]


def tree_page(view: View) -> Page | None:
    """Return the clock tree of one period."""
    if not view.setting.clock:
        return None
    several = len(view.setting.clock) > 1
    nodes = tuple(node for domain in view.setting.clock for node in _nodes(view, domain, several))
    edges = tuple(edge for domain in view.setting.clock for edge in _edges(domain))
    return Page(
        kind="diagram",
        title="Clock tree",
        subject="clock-tree",
        subject_name=view.say("who follows whom"),
        period=view.period,
        period_name=view.period_name,
        about="Leader on the left; every other device takes its clock from the line that arrives at it.",
        diagram=Diagram(nodes=nodes, edges=edges),
        notes=tuple(_notes(view)),
        cautions=cautions(["hearing"]),
        touches=(*view.rig.devices, *(link.id for link in view.rig.links)),
    )


def _notes(view: View) -> Iterator[str]:
    for domain in view.setting.clock:
        yield domain_words(view, domain)
    if len(view.setting.clock) > 1:
        yield "A device that stands in two domains converts between them."
    yield "Read \u201clocked\u201d on every device before touching audio."


def domain_words(view: View, domain: ClockDomain) -> str:
    """Return rate, leader and fallback of a domain in words."""
    row = view.rig.domains.get(domain.id)
    locked = row.locked_to if row is not None else ""
    leader = view.say("{device}, itself locked to {what}", device=domain.leader, what=locked) if locked else domain.leader
    after = (
        view.say("if it is lost, in this order: {devices}", devices=", ".join(domain.fallback))
        if domain.fallback
        else view.say("no fallback named")
    )
    words = "Domain {domain}: {rate}, leader {leader}; {after}."
    return view.say(words, domain=domain.id, rate=hertz(view, domain.rate), leader=leader or "\u2013", after=after)


def hertz(view: View, rate: int | str) -> str:
    """Return a rate exactly, a fraction with its value to a hundredth beside it."""
    if not isinstance(rate, str):
        return f"{rate} Hz"
    return view.say("{rate} Hz (about {value})", rate=rate, value=f"{float(rate_of(rate)):.2f}")


def _key(domain: ClockDomain, device: str, section: str = "") -> str:
    return " ".join(word for word in (domain.id, device, section) if word)


def _nodes(view: View, domain: ClockDomain, several: bool) -> Iterator[Node]:
    """Yield the leader, then the followers, nearest first; a device with several clock sections once for each."""
    lead = view.say("LEADER of {domain}", domain=domain.id) if several else view.say("LEADER")
    yield Node(
        id=_key(domain, domain.leader),
        label=view.device_name(domain.leader),
        lines=(lead, hertz(view, domain.rate)),
        layer=0,
        marks=("leader",),
        kind=_role(view, domain.leader),
    )
    for row in domain.followers:
        section = row.section if len(view.rig.sections(row.device)) > 1 else ""
        lines = [
            view.say("source: port {port}", port=row.port),
            *([view.say("clock section {section}", section=section)] if section else []),
        ]
        yield Node(
            id=_key(domain, row.device, row.section),
            label=view.device_name(row.device),
            lines=tuple(lines),
            layer=row.depth,
            kind=_role(view, row.device),
        )


def _role(view: View, device: str) -> str:
    return view.type_of(device).role if device in view.rig.devices else ""


def _edges(domain: ClockDomain) -> Iterator[Edge]:
    """Yield one line for each follower, from the device it follows."""
    at = {domain.leader: _key(domain, domain.leader)}
    at |= {row.device: _key(domain, row.device, row.section) for row in reversed(domain.followers)}
    for row in domain.followers:
        if row.from_ in at:
            yield Edge(
                id=f"{domain.id} {row.device} {row.section}",
                from_=at[row.from_],
                to=_key(domain, row.device, row.section),
                label=row.link,
                kind="clock",
                arrows="to",
            )
