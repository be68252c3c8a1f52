"""What others lose when a desk that is not theirs goes down.

What it says: for each desk, how many wants of other positions, and of feeds to their destinations, pass through it and die
with it, list by list; the worst period of each.  Where a list or feed declares that it must outlive that loss, `verify`
holds it to that (`loss-not-survived`), and nothing is said here.
Why: everyone downstream of a desk that restarts goes silent and cannot see why (common practice, no source).
When it is no fault: what is mixed at that desk, and the talkback of whoever works there, die with it by nature and are
not counted; nor does a position's own desk count.  Otherwise both positions know: sign it off with a waiver.
What data it needs: the patch alone; `positions.desk` where a position works at another desk than its list's.
What to do: tell both positions, or give the wants a path of their own.
Source: common practice, no source
"""

from __future__ import annotations

from collections.abc import Iterator

from patchloom.check.look import Delivery, Look, looks
from patchloom.check.speak import found, nothing
from patchloom.finding import Finding
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Show

__all__ = ["pass_through_dependence"]

_NAME = "pass-through-dependence"
_Loss = tuple[int, int, str, tuple[str, ...]]
"""Lost, of how many, in which period, which legs."""


def pass_through_dependence(rig: Rig, show: Show, patch: Patch) -> Iterator[Finding]:
    """Yield a finding for each desk that others lean on."""
    worst: dict[str, dict[str, _Loss]] = {}
    whose: dict[str, dict[str, None]] = {}
    for look in looks(rig, show, patch):
        outlives = {row.id: {loss.loss_of for loss in row.survives} for row in look.show.lists}
        outlives |= {row.id: {loss.loss_of for loss in row.survives} for row in look.show.feeds}
        for desk, positions in look.at_desk.items():
            whose.setdefault(desk, {}).update(dict.fromkeys(positions))
        for to, rows in look.by_to.items():
            _note(worst, look, to, [row for row in rows if not row.alternate], outlives.get(to, set()))
    if len(whose) < 2:
        yield nothing(_NAME, "there is one desk")
    for desk, losses in sorted(worst.items()):
        if losses:
            yield _say(desk, tuple(whose[desk]), losses, len(patch.settings) > 1)


def _note(worst: dict[str, dict[str, _Loss]], look: Look, to: str, rows: list[Delivery], outlives: set[str]) -> None:
    """Keep what a list or feed loses with each desk, where it is more than in the periods before."""
    lost: dict[str, dict[str, None]] = {}
    others: dict[tuple[str, tuple[str, ...]], list[str]] = {}
    for row in rows:
        key = (row.position, row.devices)
        desks = others.get(key)
        if desks is None:
            desks = others[key] = [desk for desk in row.devices if _strange(look, desk, row.position) and desk not in outlives]
        for desk in desks:
            if not _born(look, row, desk):
                lost.setdefault(desk, {}).setdefault(row.leg)
    for desk, legs in lost.items():
        losses = worst.setdefault(desk, {})
        if len(legs) > losses.get(to, (0, 0, "", ()))[0]:
            losses[to] = (len(legs), len({row.leg for row in rows}), look.period, tuple(legs))


def _strange(look: Look, desk: str, position: str) -> bool:
    """Return whether others sit at a device, and a position does not."""
    return position not in look.at_desk.get(desk, (position,))


def _born(look: Look, row: Delivery, desk: str) -> bool:
    """Return whether what is delivered begins at a desk by nature: a mix made there, its own talkback."""
    first = row.hops[0]
    if first.device != desk:
        return False
    bank = look.ground.bank(first.device, first.bank)
    source = look.sources.get(row.leg)
    talks = source is not None and source.kind == "talkback"
    return talks or row.leg in look.feeds or (bank is not None and bool(bank.only_for))


def _say(desk: str, positions: tuple[str, ...], losses: dict[str, _Loss], several: bool) -> Finding:
    told = []
    for to, (lost, of, period, legs) in losses.items():
        names = f" ({', '.join(legs)})" if len(legs) <= 4 else ""
        told.append(f"{to} {lost} of {of}{names}{f' in {period}' if several and period else ''}")
    message = f"With {desk} ({', '.join(positions)}) down, others lose: {'; '.join(told)}."
    where = (desk, *losses, *dict.fromkeys(leg for _, _, _, legs in losses.values() for leg in legs))
    numbers = (("lists and feeds", len(losses)), ("lost", sum(lost for lost, _, _, _ in losses.values())))
    return found(_NAME, message, *where, numbers=numbers)
