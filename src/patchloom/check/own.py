"""A rule of somebody's own: a function under `@rule`, with the name, severity and next step its findings have.

Comes in: a function `(rig, show, patch)` that yields what is wrong.  Goes out: a `Rule`, called like that function, that
gives findings.  Next: `check.check` runs it, `patchloom.testing.check_rule` tries it.

    @patchloom.rule(name="guest-stays-dry", severity="warn", says="Nothing of the panel is in the guest's desk.")
    def guest_stays_dry(rig, show, patch):
        yield "table1 is in GUEST", "GUEST", "table1"

What is yielded is a sentence, or a sentence and the places it speaks of, or a finding: `guest_stays_dry.found(...)` where
numbers or a period are to be said, `.unchecked(...)` where the documents do not say what the rule needs, `.nothing(...)`
where there is nothing to look at.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from typing import Any

import attrs

from patchloom.address import ID
from patchloom.finding import SEVERITIES, Finding
from patchloom.model.routing import RoutingRule

__all__ = ["MONOTONE", "Rule", "rule"]

MONOTONE = ("", "fewer-wants", "more-wants")
"""What a rule may claim to be monotone in: with fewer wants (with more) it never says more than before."""


@attrs.frozen(eq=False, slots=False)
class Rule:
    """A rule under one name: call it with a rig, a show and a patch; it yields findings."""

    name: str
    severity: str
    says: str
    """What it says, in one line."""
    todo: str
    """The next step."""
    look: Callable[..., Iterable[Any]]
    """The function it was made of."""
    monotone: str = ""
    """One of `MONOTONE`; empty claims nothing."""
    steers: RoutingRule | None = None
    """The routing rule that keeps the search from what this one finds; None where it is judged only."""
    version: str = ""

    def __attrs_post_init__(self) -> None:
        for word in ("__module__", "__name__", "__qualname__", "__doc__"):
            object.__setattr__(self, word, getattr(self.look, word, None) or "")

    def __call__(self, rig: Any, show: Any, patch: Any) -> Iterator[Finding]:
        """Yield the findings."""
        for said in self.look(rig, show, patch) or ():
            if isinstance(said, Finding):
                yield said
            elif isinstance(said, str):
                yield self.found(said)
            elif isinstance(said, tuple) and said and isinstance(said[0], str):
                yield self.found(*said)
            else:
                raise TypeError(
                    f"rule {self.name} yielded {said!r}; yield a sentence, (sentence, place, ...) or {self.name}'s found(...)"
                )

    def found(
        self, message: str, *where: object, numbers: Iterable[tuple[str, Any]] = (), period: str = "", severity: str = ""
    ) -> Finding:
        """Return what is wrong: `where` the addresses, links, signals or positions concerned, the chief one first."""
        places = tuple(str(place) for place in where)
        return Finding(self.name, severity or self.severity, message, places, tuple(numbers), self.todo, period)

    def unchecked(self, because: str, *fields: str, where: Iterable[object] = (), period: str = "") -> Finding:
        """Return that it could not look: `because` ends a sentence, `fields` are the ones the documents do not give."""
        numbers = tuple(("missing", field) for field in fields)
        todo = f"Give {', '.join(fields)}." if fields else ""
        places = tuple(str(place) for place in where)
        return Finding(self.name, "note", f"Not checked, because {because}.", places, numbers, todo, period, kind="unchecked")

    def nothing(self, because: str) -> Finding:
        """Return that there is nothing to look at: `because` ends a sentence."""
        return Finding(self.name, "note", f"Not applicable: {because}.", kind="nothing")


def rule(
    *,
    name: str,
    severity: str,
    says: str,
    todo: str = "",
    monotone: str = "",
    steers: RoutingRule | None = None,
    version: str = "",
) -> Callable[[Callable[..., Iterable[Any]]], Rule]:
    """Return a decorator that makes a `Rule` of a function `(rig, show, patch)` that yields what is wrong.

    `name` is an id that never changes its meaning, `severity` one of stop, safety, warn, advice, `says` the rule in one
    line, `todo` the next step.  `monotone="fewer-wants"` claims that with fewer wants it never says more, `"more-wants"`
    that with more it never does.  `steers` is the routing rule that keeps the search from what is found here: passed to
    `solve(rules=...)` the rule steers by it, and no patch made so may break the rule.  `patchloom.testing.check_rule` holds
    it to both.

    Raises ValueError for a name that is no id, a severity there is not, an empty `says`.
    """
    if not ID.match(name):
        raise ValueError(f"name={name!r} is no id; letters, digits, - and _ only, a letter first")
    if severity not in SEVERITIES[:-1]:
        raise ValueError(f"severity={severity!r}; write {', '.join(SEVERITIES[:-1])}")
    if not says.strip():
        raise ValueError(f"rule {name} has no says=...: what it says, in one line")
    if monotone not in MONOTONE:
        raise ValueError(f"monotone={monotone!r}; write {' or '.join(filter(None, MONOTONE))}, or leave it out")

    def make(look: Callable[..., Iterable[Any]]) -> Rule:
        return Rule(name, severity, says, todo, look, monotone, steers, version)

    return make
