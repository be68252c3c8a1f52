"""What a check says about itself: one page of words from its docstring, its entry and its cases.

Comes in: the name of a check, the function of a rule where there is one.  Goes out: an `Explained`.  Next: the command
line and the reference pages print it; nothing is typed twice.

A rule of this package has its page as the docstring of its file: a first line, then paragraphs that begin with one of
`PARTS`.  A stranger's rule has it as the docstring of its function, in the same way or as it likes.
"""

from __future__ import annotations

import inspect
import re
import sys
from collections.abc import Callable
from typing import Any

import attrs

from patchloom.check.catalogue import ENTRIES, ENTRY
from patchloom.check.shown import CaseError, RuleCase, cases_in, home
from patchloom.check.trade import SECOND, SECTIONS, TRADE

__all__ = ["PARTS", "Explained", "explain"]

PARTS = ("What it says", "Why", "When it is no fault", "What data it needs", "What to do", "Source")
"""The paragraphs of a rule's page, in order."""

_OF_VERIFY = {
    "What it says": "{says} It is one of the checks of `verify`, which pushes every signal through the rig as documented and "
    "computes everything anew from plugs, mixes and selections.",
    "Why": "The patch contradicts the rig or the show here: it will not do what it says.",
    "When it is no fault": "Never, unless rig or show say something else than what is there: then correct the document.",
    "What data it needs": "Rig, show and patch; nothing beyond what reading them requires.",
    "What to do": "{todo}",
    "Source": "the rig and the show themselves",
}
_OF_CHECK = {
    **_OF_VERIFY,
    "What it says": "{says}",
    "Why": "A waiver or a rule that does not do its work hides what it is for.",
    "When it is no fault": "Never.",
    "What data it needs": "The waivers of the show, the rules that take part.",
    "Source": "this package",
}


@attrs.frozen
class Explained:
    """Everything a check says about itself."""

    name: str
    severity: str
    issuer: str
    """verify, check or rule."""
    says: str
    todo: str
    first: str
    """The first line of its docstring; what it says in one line, where there is none."""
    parts: tuple[tuple[str, str], ...]
    """Paragraphs by `PARTS`; one with an empty heading for a docstring of another form."""
    entries: tuple[str, ...] = ()
    """Entries of the sixty it is an issuer of, as `B Phantom where needed`."""
    cases: tuple[tuple[str, str], ...] = ()
    """What its cases show, as (outcome, what it is about)."""

    def text(self) -> str:
        """Return it as text for a terminal."""
        lines = [f"{self.name}  ({self.severity}, {self.issuer})", "", self.first]
        for heading, words in self.parts:
            lines += ["", f"{heading}: {words}" if heading else words]
        if self.entries:
            lines += ["", f"Part of: {'; '.join(self.entries)}."]
        for outcome in dict.fromkeys(outcome for outcome, _ in self.cases):
            lines += ["", f"{outcome.capitalize()}:"]
            lines += [f"- {about}" for which, about in self.cases if which == outcome]
        return "\n".join(lines)


def explain(name: str, rule: Callable[..., Any] | None = None) -> Explained:
    """Return what a check says about itself; `rule` is its function, for one that is not this package's.

    Raises KeyError for a name that is neither in the catalogue nor given a function.
    """
    entry = ENTRY.get(name)
    if entry is None and rule is None:
        raise KeyError(name)
    words = entry.says if entry else str(getattr(rule, "says", ""))
    todo = entry.todo if entry else str(getattr(rule, "todo", ""))
    first, parts = _page(name, rule, words, todo)
    return Explained(
        name,
        entry.severity if entry else str(getattr(rule, "severity", "") or "its own"),
        entry.issuer if entry else "rule",
        words or first,
        todo,
        first or words,
        parts,
        tuple(f"{SECTIONS[row.section]}: {row.name}" for row in (*TRADE, *SECOND) if name in row.issuers),
        _cases(name),
    )


def _page(name: str, rule: Callable[..., Any] | None, says: str, todo: str) -> tuple[str, tuple[tuple[str, str], ...]]:
    entry = ENTRY.get(name)
    if entry is not None and entry.issuer != "rule":
        made = dict(_OF_VERIFY if entry.issuer == "verify" else _OF_CHECK)
        asked = " ".join(row.asks for row in (*TRADE, *SECOND) if name in row.issuers)
        made["Why"] = f"{asked} {made['Why']}" if asked else made["Why"]
        return says, tuple((part, made[part].format(says=says, todo=todo)) for part in PARTS)
    text = _docstring(name, rule)
    first, _, rest = text.partition("\n")
    found = re.split(rf"^({'|'.join(PARTS)}):[ \n]*", rest.strip(), flags=re.MULTILINE)
    if len(found) == 1:
        rows = [("", _flat(found[0]))] if found[0].strip() else []
        return first, (*rows, *((("What to do", todo),) if todo else ()))
    return first, tuple((heading, _flat(words)) for heading, words in zip(found[1::2], found[2::2], strict=True))


def _flat(words: str) -> str:
    flat = re.sub(r"\s+", " ", words).strip()
    return flat[:1].upper() + flat[1:]


def _docstring(name: str, rule: Callable[..., Any] | None) -> str:
    if name in {entry.name for entry in ENTRIES if entry.issuer == "rule"}:
        from importlib import import_module

        return inspect.cleandoc(import_module(f"patchloom.check.rules.{name.replace('-', '_')}").__doc__ or "")
    own = inspect.getdoc(rule) or ""
    module = sys.modules.get(getattr(rule, "__module__", ""))
    whole = inspect.cleandoc(getattr(module, "__doc__", None) or "")
    return whole if not any(f"{part}:" in own for part in PARTS) and f"{PARTS[0]}:" in whole else own


def _cases(name: str) -> tuple[tuple[str, str], ...]:
    order = ("fails", "passes", "unchecked", "nothing")
    rows: list[RuleCase] = []
    try:
        folder = home()
        rows.extend(cases_in(folder, name))
    except CaseError:
        return ()
    words = {"fails": "it speaks", "passes": "it is silent", "unchecked": "it could not look", "nothing": "it does not apply"}
    return tuple((words[which], str(case.text["about"])) for which in order for case in rows if case.outcome == which)
