"""One period's clock tree as a page: who leads, who follows from which port.

Comes in: a `View`.  Goes out: a diagram `Page`, or None where nothing in the patch has a clock.
Next: `patchloom.drawing`.
"""

from __future__ import annotations

from collections.abc import Iterator

from patchloom.model.base import rate_of
from patchloom.model.patch import ClockDomain
from patchloom.pages import Diagram, Edge, Node, Page, View, cautions

__all__ = ["clock_page"]


def clock_page(view: View) -> Page | None:
    """Return the clock tree of one period."""
    if not view.setting.clock:
        return None
    several = len(view.setting.clock) > 1
    nodes = tuple(node for domain in view.setting.clock for node in _nodes(view, domain, several))
    edges = tuple(edge for domain in view.setting.clock for edge in _edges(domain))
    return Page(
        kind="diagram",
        title="Clock",
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
        after = f"; if it is lost, in this order: {', '.join(domain.fallback)}" if domain.fallback else "; no fallback named"
        row = view.rig.domains.get(domain.id)
        locked = f", itself locked to {row.locked_to}" if row is not None and row.locked_to else ""
        yield f"Domain {domain.id}: {_hertz(domain.rate)}, leader {domain.leader}{locked}{after}."
    if len(view.setting.clock) > 1:
        yield "A device that stands in two domains converts between them."
    yield "Read `locked` on every device before touching audio."


def _hertz(rate: int | str) -> str:
    """Return a rate exactly, a fraction with its value to a hundredth beside it."""
    return f"{rate} Hz (about {float(rate_of(rate)):.2f})" if isinstance(rate, str) else f"{rate} Hz"


def _key(domain: ClockDomain, device: str, section: str = "") -> str:
    return " ".join(word for word in (domain.id, device, section) if word)


def _nodes(view: View, domain: ClockDomain, several: bool) -> Iterator[Node]:
    """Yield the leader, then the followers, nearest first; a device with several clock sections once for each."""
    lead = f"LEADER of {domain.id}" if several else "LEADER"
    yield Node(id=_key(domain, domain.leader), label=view.device_name(domain.leader), lines=(lead, _hertz(domain.rate)),
               layer=0, marks=("leader",), kind=_role(view, domain.leader))
    for row in domain.followers:
        section = row.section if len(view.rig.sections(row.device)) > 1 else ""
        lines = [f"source: port {row.port}", *([f"clock section {section}"] if section else [])]
        yield Node(id=_key(domain, row.device, row.section), label=view.device_name(row.device), lines=tuple(lines),
                   layer=row.depth, kind=_role(view, row.device))


def _role(view: View, device: str) -> str:
    return view.type_of(device).role if device in view.rig.devices else ""


def _edges(domain: ClockDomain) -> Iterator[Edge]:
    """Yield one line for each follower, from the device it follows."""
    at = {domain.leader: _key(domain, domain.leader)}
    at |= {row.device: _key(domain, row.device, row.section) for row in reversed(domain.followers)}
    for row in domain.followers:
        if row.from_ in at:
            yield Edge(id=f"{domain.id} {row.device} {row.section}", from_=at[row.from_],
                       to=_key(domain, row.device, row.section), label=row.link, kind="clock", arrows="to")
