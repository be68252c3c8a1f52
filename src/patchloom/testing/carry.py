"""Every signal carried to whom it was given: which slot of which link, which block of which intake.

Comes in: a `Plan` with signals.  Goes out: the same plan with its choices (`picks`), what each way holds, and the
sizes that follow: what is used and one block to spare.  Next: `lists` lets channels choose, `parts` builds types.
"""

from __future__ import annotations

from patchloom.testing.plan import Node, Pick, Plan, Signal, Way

__all__ = ["arrives", "capacity", "carry", "landing", "primary_size", "wanted_at"]


def carry(plan: Plan) -> None:
    """Carry everything, in an order that does not depend on anything but the plan."""
    for chain in plan.chains.values():
        plan.ways[chain.home, chain.id] = Way(chain.home, chain.id, chain.home_port, "main")
    for signal in (*plan.sources.values(), *plan.feeds.values()):
        for leg in signal.legs():
            for node in signal.wanted:
                _need(plan, node, leg)
    for signal in plan.feeds.values():
        _send_home(plan, signal)
    for way in list(plan.ways.values()):
        _fill(plan, way)
    for taker in plan.nodes.values():
        _import(plan, taker)
    _size_boxes(plan)


def capacity(plan: Plan, way: Way) -> int:
    """Return how many slots a way has: whole blocks of what it holds, and one block to spare."""
    blocks = -(-len(way.content or ()) // plan.block)
    return (blocks + 1) * plan.block


def arrives(plan: Plan, node: str, leg: str) -> tuple[str, int]:
    """Return the bank and slot where a leg comes into a node."""
    direct = plan.direct(leg)
    if node in direct:
        return direct[node]
    way = plan.ways[plan.path(leg, node)[-2], node]
    _fill(plan, way)
    assert way.content is not None
    return f"{way.in_port}.in", way.content.index(leg) + 1


def landing(plan: Plan, node: Node, leg: str) -> int:
    """Return the slot of its bank where a leg lands on a node whose channels cannot be chosen one by one."""
    bank, number = arrives(plan, node.id, leg)
    if node.klass == "block":
        return node.taken.index((bank, (number - 1) // plan.block)) * plan.block + (number - 1) % plan.block + 1
    return number if bank == node.primary else primary_size(plan, node) + number


def primary_size(plan: Plan, node: Node) -> int:
    """Return how many slots the port has that a wired node's channels hang on."""
    for chain in plan.chains.values():
        if node.primary in (f"{chain.home_port}.in",) and chain.home == node.id:
            return len(chain.sockets())
        if node.primary == f"{chain.mirror_port}.in" and chain.mirror == node.id:
            return chain.mirror_carries
    return capacity(plan, plan.ways[node.parent, node.id])


def _need(plan: Plan, node: str, leg: str) -> None:
    way = plan.path(leg, node)
    if len(way) < 2:
        return
    step = plan.ways[way[-2], node]
    if leg not in step.legs:
        step.legs.append(leg)
    _passed_on(plan, way, leg)
    _need(plan, way[-2], leg)


def _passed_on(plan: Plan, way: list[str], leg: str) -> None:
    if plan.signal(leg).origin in ("chain", "mic") or len(way) > 2:
        plan.seen.add(f"pass-{plan.nodes[way[-2]].resend}")


def _send_home(plan: Plan, signal: Signal) -> None:
    node = plan.nodes[signal.owner]
    for place in signal.lines:
        if place == node.id:
            first = len(node.lines) + 1
            for step, leg in enumerate(signal.legs()):
                node.lines[leg] = first + step
                plan.picks.append(Pick(node.id, "line", first + step, "mix", node.mixes[leg], tap="post"))
            continue
        home = plan.chains[place].home
        for leg in signal.legs():
            plan.ways[home, place].legs.append(leg)
            if home != node.id:
                _need(plan, home, leg)
                plan.seen.add(f"pass-{plan.nodes[home].resend}")


# filling one way


def _fill(plan: Plan, way: Way) -> None:
    if way.content is not None:
        return
    way.content = []
    sender = plan.nodes[way.sender]
    if sender.resend == "blocks":
        _fill_blocks(plan, way, sender)
    else:
        _fill_slots(plan, way, sender)


def _fill_slots(plan: Plan, way: Way, sender: Node) -> None:
    assert way.content is not None
    signals = list(dict.fromkeys(plan.signal(leg).id for leg in way.legs))
    plan.rng.shuffle(signals)
    for key in signals:
        legs = [leg for leg in way.legs if plan.signal(leg).id == key]
        if len(legs) > 1 and len(way.content) % 2:
            way.content.append("")
        for leg in legs:
            bank, number = arrives(plan, sender.id, leg)
            way.content.append(leg)
            plan.picks.append(
                Pick(sender.id, f"{way.out_port}.out", len(way.content), bank, number, tap="post" if bank == "mix" else "")
            )


def _fill_blocks(plan: Plan, way: Way, sender: Node) -> None:
    own = [leg for leg in way.legs if plan.signal(leg).origin in ("mix", "talk") and plan.signal(leg).owner == sender.id]
    blocks: dict[tuple[str, int], list[str]] = {}
    for leg in way.legs:
        if leg not in own:
            bank, number = arrives(plan, sender.id, leg)
            blocks[bank, (number - 1) // plan.block] = []
    for key in _gather(plan, sender, own):
        blocks[key] = []
    order = list(blocks)
    plan.rng.shuffle(order)
    for bank, block in order:
        _put_block(plan, way, sender, bank, block)


def _gather(plan: Plan, sender: Node, own: list[str]) -> list[tuple[str, int]]:
    """Put a desk's own mixes and talkback into fresh blocks of its `out` bank; return those blocks."""
    if not own:
        return []
    sender.out.extend([""] * (-len(sender.out) % plan.block))
    first = len(sender.out) // plan.block
    for key in dict.fromkeys(plan.signal(leg).id for leg in own):
        legs = [leg for leg in own if plan.signal(leg).id == key]
        if len(legs) > 1 and len(sender.out) % 2:
            sender.out.append("")
        for leg in legs:
            bank, number = arrives(plan, sender.id, leg)
            sender.out.append(leg)
            plan.picks.append(Pick(sender.id, "out", len(sender.out), bank, number, tap="post" if bank == "mix" else ""))
    last = (len(sender.out) - 1) // plan.block
    return [("out", block) for block in range(first, last + 1)]


def _put_block(plan: Plan, way: Way, sender: Node, bank: str, block: int) -> None:
    assert way.content is not None
    held = held_by(plan, sender, bank)
    run = held[block * plan.block : (block + 1) * plan.block]
    run += [""] * (plan.block - len(run))
    plan.picks.append(Pick(sender.id, f"{way.out_port}.out", len(way.content) + 1, bank, block * plan.block + 1, plan.block))
    way.content.extend(run)


def held_by(plan: Plan, node: Node, bank: str) -> list[str]:
    """Return what each slot of one of a node's inlets holds, empty text where nothing is."""
    if bank == "out":
        return list(node.out)
    for chain in plan.chains.values():
        if (node.id, bank) in ((chain.home, f"{chain.home_port}.in"), (chain.mirror, f"{chain.mirror_port}.in")):
            return _placed(plan, "chain", chain.id, len(chain.sockets()))
    if bank == "mic":
        return _placed(plan, "mic", node.id, node.mic)
    way = next(row for row in plan.ways.values() if row.receiver == node.id and f"{row.in_port}.in" == bank)
    _fill(plan, way)
    assert way.content is not None
    return list(way.content)


def _placed(plan: Plan, origin: str, owner: str, size: int) -> list[str]:
    held = [""] * size
    for signal in plan.sources.values():
        if signal.origin == origin and signal.owner == owner:
            for step, leg in enumerate(signal.legs()):
                held[signal.first - 1 + step] = leg
    return held


# what a node takes in


def wanted_at(plan: Plan, node: str) -> list[Signal]:
    """Return the signals a node wants, sources first."""
    return [signal for signal in (*plan.sources.values(), *plan.feeds.values()) if node in signal.wanted]


def _import(plan: Plan, node: Node) -> None:
    """Take the blocks a node needs into its intake or its channels, in no particular order."""
    if node.klass not in ("two-step", "block"):
        return
    blocks: dict[tuple[str, int], None] = {}
    for signal in wanted_at(plan, node.id):
        for leg in signal.legs():
            bank, number = arrives(plan, node.id, leg)
            blocks[bank, (number - 1) // plan.block] = None
    node.taken = list(blocks)
    plan.rng.shuffle(node.taken)
    into = "intake" if node.klass == "two-step" else node.lands
    for place, (bank, block) in enumerate(node.taken):
        plan.picks.append(Pick(node.id, into, place * plan.block + 1, bank, block * plan.block + 1, plan.block))


def _size_boxes(plan: Plan) -> None:
    """Give the boxes the output sockets their returns need."""
    for chain in plan.chains.values():
        used = len(plan.ways[chain.home, chain.id].content or ())
        chain.boxes[-1].outputs = max(8, -(-(used - 8 * (len(chain.boxes) - 1)) // 8) * 8)
