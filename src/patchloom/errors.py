"""The exceptions a caller can meet.

Comes in: nothing.  Goes out: exception classes.  Everyone imports this module; it imports nobody.

Only three outcomes are exceptional for a caller: a document that cannot be read
(`DocumentError`), a show that cannot be patched (`Impossible`) and a question left open
(`Undecided`).  Everything else the library has to say is a *finding*, a return value.
"""

from __future__ import annotations

from typing import Any

__all__ = ["AddressError", "DocumentError", "Impossible", "PatchloomError", "PluginError", "Undecided"]

MOST_LINES = 7
"""Facts printed at most; people read no more than these."""


class PatchloomError(Exception):
    """The common parent; catch it to catch whatever this library raises on purpose."""


class AddressError(PatchloomError, ValueError):
    """A text that is no address, or a brace or range that cannot be expanded."""


class DocumentError(PatchloomError):
    """A document that cannot be read; `complaints` holds every reason at once, in reading order.

    Each complaint is a `patchloom.finding.Complaint`: document, JSON path, line, column, value, hint.
    """

    def __init__(self, complaints: tuple[Any, ...]) -> None:
        self.complaints = tuple(complaints)
        super().__init__("\n".join(str(complaint) for complaint in self.complaints))


class Impossible(PatchloomError):
    """No patch exists; `facts` are plain sentences that together rule it out.

    `facts` is a tuple of `patchloom.finding.Fact`.  Raised only on proof, never because a search gave up.

    The public `solve` explains it unless told not to (`explained` says whether it did).  Then none of the facts can be
    dropped without a patch becoming possible for the rest (`smallest` says whether that is proven for each), and `ways`
    are ways out (`patchloom.model.change.Way`), the cheapest first, each of which has been solved again and verified.
    `also` are facts that rule it out for other reasons, `notes` what limits the explanation, `period` the act or scene,
    `tests` how many altered shows were solved to find out.
    """

    def __init__(
        self,
        facts: tuple[Any, ...],
        ways: tuple[Any, ...] = (),
        *,
        period: str = "",
        explained: bool = False,
        smallest: bool = False,
        also: tuple[Any, ...] = (),
        notes: tuple[str, ...] = (),
        tests: int = 0,
    ) -> None:
        self.facts = tuple(facts)
        self.ways = tuple(ways)
        self.period = period
        self.explained = explained
        self.smallest = smallest
        self.also = tuple(also)
        self.notes = tuple(notes)
        self.tests = tests
        super().__init__("\n".join(self.lines()))

    def lines(self, most: int = MOST_LINES) -> list[str]:
        """Return the facts as at most so many lines, the rest counted in the last."""
        texts = [str(fact) for fact in self.facts]
        if len(texts) <= most:
            return texts
        return [*texts[: most - 1], f"and {len(texts) - most + 1} facts more, all of them in the data."]


class Undecided(PatchloomError):
    """Neither a patch nor a proof was found; `known` says what is known, `missing` what is not carried.

    `best` is the best partial patch (a `patchloom.model.patch.Patch`) or None; `kept` is where it was written, if at all;
    `period` the act or scene it is about.
    """

    def __init__(self, known: tuple[str, ...], missing: tuple[str, ...] = (), best: Any = None) -> None:
        self.known = tuple(known)
        self.missing = tuple(missing)
        self.best = best
        self.kept: Any = None
        self.period = ""
        super().__init__("\n".join((*self.known, *self.missing)))


class PluginError(PatchloomError):
    """A plugin that was asked for by name is missing, broken, or answered out of contract."""
