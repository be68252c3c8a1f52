"""Whether signals can enter where the rules between them want it: on one box, on two, in order.

Comes in: a `Ruled`, a plan, which segments each leg may enter by.  Goes out: a fact where they cannot; none otherwise.
Next: `overruled.py` is asked when a try has failed.

Every leg a rule speaks of chooses a box, or a socket where order matters; one after another, going back where nothing
is left.  Sockets somebody is fixed to are taken.
"""

from __future__ import annotations

from collections.abc import Callable

from patchloom.address import Slot
from patchloom.finding import Fact, Part
from patchloom.model.routing import Declared
from patchloom.solve.attempt import Plan
from patchloom.solve.ruled.rules import Ruled
from patchloom.solve.unit import Unit

__all__ = ["parts", "seats"]

STEPS = 20_000
"""Steps above which nothing is proven about a choice."""

Choices = dict[str, list[Slot]]


def seats(ruled: Ruled, plan: Plan, plugs: Callable[[Unit, str], set[int]]) -> list[Fact]:
    """Return the fact that no choice of boxes and sockets suits the rules about where signals enter; none where one does."""
    rules = [
        rule
        for rule in ruled.rules.declared
        if rule.kind in ("one-box", "in-order") or (rule.kind == "apart" and rule.places is None)
    ]
    choices = _choices(ruled, plan, plugs, rules) if rules else {}
    if not rules or _settles(rules, choices) is not False:
        return []
    for rule in list(rules):
        rest = [other for other in rules if other is not rule]
        if _settles(rest, choices) is False:
            rules = rest
    legs = [leg for leg in choices if any(rule.side(leg) >= 0 for rule in rules)]
    told = "; ".join(f"{leg} may enter at {_words(choices[leg])}" for leg in legs[:4]) + (" ..." if len(legs) > 4 else "")
    does = " and ".join(rule.words() for rule in rules)
    text = f"No choice of places suits {does}: {told}."
    return [Fact("rule", text, None, None, None, (*legs, *(rule.name for rule in rules)), "", parts(rules))]


def parts(rules: list[Declared]) -> tuple[Part, ...]:
    """Return the rows of the show that rules are, as parts of a fact."""
    return tuple(Part("release", (rule.row,), 1) for rule in rules if not rule.row.startswith(("lists", "feeds")))


def _words(places: list[Slot]) -> str:
    names = list(dict.fromkeys(place.device if not place.bank else str(place) for place in places))
    return " or ".join(names[:3]) + (f" or {len(names) - 3} more places" if len(names) > 3 else "") if names else "no place"


def _choices(ruled: Ruled, plan: Plan, plugs: Callable[[Unit, str], set[int]], rules: list[Declared]) -> Choices:
    fabric = ruled.fabric
    fixed = {place: unit.name for unit in plan.units if unit.fixed for allowed in unit.allowed for place in allowed}
    found: Choices = {}
    for unit in plan.units:
        if unit.optional:
            continue  # it can stay out, and then no rule speaks of it
        for leg, allowed in zip(unit.legs, unit.allowed, strict=True):
            mine = [rule.kind for rule in rules if rule.side(leg) >= 0]
            if not mine:
                continue
            segments = plugs(unit, leg)
            open_ = [place for place in sorted(allowed) if place[0] in segments and fixed.get(place, unit.name) == unit.name]
            slots = [fabric.place(*place) for place in open_]
            if "in-order" not in mine:
                slots = [Slot(device, "", 0) for device in sorted({slot.device for slot in slots})]
            found[leg] = slots
    return found


def _settles(rules: list[Declared], choices: Choices) -> bool | None:
    """Return whether each leg can have a place so that the rules hold; None when that takes too long to find out."""
    legs = sorted(choices, key=lambda leg: (len(choices[leg]), leg))
    against = {leg: [(rule, other) for rule in rules for other in rule.partners(leg) if other in choices] for leg in legs}
    chosen: dict[str, Slot] = {}
    left = STEPS

    def fits(leg: str, place: Slot) -> bool:
        if place.bank and place in chosen.values():
            return False
        return not any(rule.misplaced(leg, place, other, chosen[other]) for rule, other in against[leg] if other in chosen)

    def settle(number: int) -> bool:
        nonlocal left
        if number == len(legs):
            return True
        leg = legs[number]
        for place in choices[leg]:
            left -= 1
            if left < 0:
                return True
            if fits(leg, place):
                chosen[leg] = place
                if settle(number + 1):
                    return True
                del chosen[leg]
        return False

    found = settle(0)
    return None if left < 0 else found
