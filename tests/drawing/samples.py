"""Plans and diagrams to draw: by hand, with hard names, and at random from a seed."""

from __future__ import annotations

import random

from patchloom.pages import Caution, Diagram, Edge, Node, Page, Plan, PlanZone, Remark, Thing

LONG = "The second guitarist's very old amplifier behind the curtain"
HARD = {
    "long": LONG,
    "one word": "Donaudampfschifffahrtselektrizitätenhauptbetriebswerkbauamt",
    "arabic": "ميكروفون المغنية الرئيسية على يمين المسرح 3",
    "japanese": "第二ギター奏者の古いアンプ（舞台下手・客席から見て左側）",
    "polish": "Zażółć gęślą jaźń: mikrofon pojemnościowy źródłowy",
    "markup": '<b>Snare & "top"</b> ]]> &amp; <script>alert(1)</script>',
    "control": "bad\x00byte\x1b and \ud800 lone",
}
KINDS = (
    "performer",
    "drums",
    "keys",
    "amp",
    "riser",
    "wedge",
    "ear",
    "power",
    "mic",
    "radio",
    "di",
    "playback",
    "sub-box",
    "box",
    "desk",
    "obstacle",
    "stairs",
    "walkway",
    "table",
    "instrument",
    "no such kind",
)
CAUTION = Caution("law", "Local law, venue rules and licensed, competent people take precedence over this paper.")


def plan_page(
    things: list[Thing], zones: list[PlanZone] | None = None, size: tuple[float, float] | None = (12.0, 8.0), remarks: int = 0
) -> Page:
    """Return a page with a plan of these things."""
    wide, deep = size or (None, None)
    return Page(
        kind="plan",
        title="Stage plot",
        notes=("Stage right (SR) is on the LEFT of this page.",),
        cautions=(CAUTION,),
        remarks=[Remark("warn", f"remark {number}: {LONG}") for number in range(remarks)],
        plan=Plan(width_m=wide, depth_m=deep, to_scale=size is not None, things=things, zones=zones or []),
    )


def diagram_page(nodes: list[Node], edges: list[Edge]) -> Page:
    """Return a page with a diagram of these nodes and edges."""
    return Page(kind="diagram", title="Signal diagram", cautions=(CAUTION,), diagram=Diagram(nodes=nodes, edges=edges))


def named_plan(name: str, placed: bool = True) -> Page:
    """Return a stage of fourteen things that all carry one name."""
    things = [
        Thing(
            id=f"t{index}",
            kind=kind,
            label=name,
            lines=(f"BOX1-{index}", name),
            at=(-5.0 + index % 5 * 2.4, 1.0 + index // 5 * 2.3) if placed else None,
            zone="mid",
        )
        for index, kind in enumerate(KINDS[:14])
    ]
    return plan_page(things, [PlanZone(id="mid", label=name, side="C", depth="MS")])


def named_diagram(name: str) -> Page:
    """Return six devices in a row of links, all of one name."""
    nodes = [Node(id=f"n{index}", label=name, lines=(name, "clock: from n0"), layer=index % 4, kind="desk") for index in range(6)]
    edges = [
        Edge(
            id=f"K{index}",
            from_=f"n{index}",
            to=f"n{(index + 1) % 6}",
            label=f"K{index} · {name}",
            arrows="both",
            lines=(name, "n0 → n1: 32 of 64"),
            carries=("control-from", "clock-to"),
        )
        for index in range(6)
    ]
    return diagram_page(nodes, edges)


def random_plan(seed: int) -> Page:
    """Return a random stage: up to 70 things, some without a place, some on top of each other."""
    dice = random.Random(seed)
    size = (dice.uniform(5, 22), dice.uniform(4, 14)) if dice.random() < 0.8 else None
    zones = [
        PlanZone(
            id=f"z{index}",
            label=dice.choice(list(HARD.values())[:5]),
            side=dice.choice(("SR", "C", "SL", "")),
            depth=dice.choice(("US", "MS", "DS", "OFF", "")),
        )
        for index in range(dice.randint(0, 6))
    ]
    things = []
    for index in range(dice.randint(1, 70)):
        at = (dice.uniform(-8, 8), dice.uniform(-1, 9)) if dice.random() < 0.8 else None
        if at and things and dice.random() < 0.2:
            at = things[-1].at
        words = ("Kick", "guitar", "left", "voce", "第一", "صوت", "źródło")
        name = " ".join(dice.choice(words) for _ in range(dice.randint(1, 5)))
        things.append(
            Thing(
                id=f"t{index}",
                kind=dice.choice(KINDS),
                label=name,
                at=at,
                turn_deg=dice.choice((0, 45, 90, 180)),
                lines=[f"BOX1-{index}"] * dice.randint(0, 3),
                zone=dice.choice([zone.id for zone in zones] or [""]),
                size=(dice.uniform(0.4, 3), dice.uniform(0.4, 2)) if dice.random() < 0.4 else None,
                marks=("act",) if dice.random() < 0.3 else (),
            )
        )
    return plan_page(things, zones, size, remarks=dice.choice((0, 0, 3, 40)))


def random_diagram(seed: int) -> Page:
    """Return a random rig of up to 16 devices and 28 links, loops and parallel links included."""
    dice = random.Random(seed)
    count = dice.randint(1, 16)
    marks = ((), ("leader",), ("guest",))
    carried = ((), ("control-to",), ("clock-from", "control-to"))
    nodes = [
        Node(
            id=f"D{index}",
            label=" ".join(["Device"] * dice.randint(1, 5)),
            layer=dice.choice((0, 1, 2, 3, None)),
            lines=["clock: from D0 by K0"] * dice.randint(0, 3),
            kind=dice.choice(("desk", "box")),
            marks=dice.choice(marks),
        )
        for index in range(count)
    ]
    edges = [
        Edge(
            id=f"K{index}",
            from_=f"D{dice.randrange(count)}",
            to=f"D{dice.randrange(count)}",
            label=f"K{index} · aes50",
            lines=["D0 → D1: 48 of 48"] * dice.randint(0, 4),
            kind=dice.choice(("audio", "analogue", "clock", "control")),
            arrows=dice.choice(("to", "from", "both", "none")),
            carries=dice.choice(carried),
            marks=dice.choice(((), ("backup",))),
        )
        for index in range(dice.randint(0, 28))
    ]
    return diagram_page(nodes, edges)
