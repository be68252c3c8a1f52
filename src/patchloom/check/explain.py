"""What a check or an entry says about itself: one page of words from its docstring, its line in the catalogue and its cases.

Comes in: a name, the function of a rule where there is one.  Goes out: an `Explained`.  Next: the command line and the
reference pages print it; nothing is typed twice.

A name is a check's (verify's, a rule's), a complaint's (`reading:dangling`), `solve`, or the key of an entry of `trade`.
A rule of this package has its page as the docstring of its file: a first line, then paragraphs that begin with one of
`PARTS`; an entry that no rule covers has it in `pages/`, loaded when asked for, and whatever verify or reading says in its
name is explained by it.  A stranger's rule has it as the docstring of its function, in the same way or as it likes.
"""

from __future__ import annotations

import inspect
import re
import sys
from collections.abc import Callable
from importlib import import_module
from importlib.util import find_spec
from typing import Any

import attrs

from patchloom.check.catalogue import ENTRY
from patchloom.check.judging import READING, SOLVE, cases_of, entries_of
from patchloom.check.trade import BY_KEY, SECTIONS, TradeEntry
from patchloom.document import COMPLAINTS, REMEDIES

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
_OF_READING = {
    **_OF_VERIFY,
    "What it says": "{says} Reading complains of it, with file, line and column, together with everything else that is wrong.",
    "Why": "A document that can be read in two ways would be read in the wrong one.",
    "When it is no fault": "Never: nothing is solved or judged until the document can be read.",
    "What data it needs": "The document.",
    "Source": "the schemas of the documents",
}
_OF_SOLVE = {
    **_OF_VERIFY,
    "What it says": "{says} The facts are named, none of which can be left out, and ways out that were solved and judged.",
    "Why": "A show that cannot be patched is better known today than at the load-in.",
    "When it is no fault": "Never, unless rig or show say something else than what is there: then correct the document.",
    "What data it needs": "Rig and show.",
}
_SOLVE_SAYS = "No patch of this rig carries all that the show asks for."
_SOLVE_TODO = "Take one of the ways out, or ask for less."


@attrs.frozen
class Explained:
    """Everything a check says about itself."""

    name: str
    severity: str
    issuer: str
    """verify, check, rule, reading, solve; `entry` for one of the sixty."""
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
    page: str = ""
    """The entry or rule whose page the paragraphs are, where it is not its own."""
    issuers: tuple[tuple[str, str, str, str], ...] = ()
    """Of an entry: who speaks for it, as (name, severity, issuer, what it says)."""

    def text(self) -> str:
        """Return it as text for a terminal."""
        lines = [f"{self.name}  ({self.severity}, {self.issuer})", "", self.first]
        if self.page:
            lines += ["", f"{self.todo} It is part of {self.page}:"]
        for heading, words in self.parts:
            lines += ["", f"{heading}: {words}" if heading else words]
        if self.issuers:
            lines += ["", "Who says it:", *(f"- {name} ({how}, {who}): {says}" for name, how, who, says in self.issuers)]
        if self.entries:
            lines += ["", f"Part of: {'; '.join(self.entries)}."]
        for outcome in dict.fromkeys(outcome for outcome, _ in self.cases):
            lines += ["", f"{outcome.capitalize()}:"]
            lines += [f"- {about}" for which, about in self.cases if which == outcome]
        return "\n".join(lines)


def explain(name: str, rule: Callable[..., Any] | None = None, *, cases: bool = True) -> Explained:
    """Return what a check, a complaint or an entry says about itself; `rule` is its function, for one that is not this package's.

    Without `cases` none is read, which is quicker.  Raises KeyError for a name that is nobody's and given no function.
    """
    if name not in ENTRY and rule is None and name in BY_KEY:
        return _entry(BY_KEY[name], cases)
    severity, issuer, says, todo = _line(name, rule)
    if issuer == "rule":
        first, parts = _parted(_docstring(name, rule), todo)
        page = ""
    else:
        first, page, parts = says, *_borrowed(name, issuer, says, todo)
    own = BY_KEY.get(name)
    return Explained(
        name,
        severity,
        issuer,
        says or first,
        todo,
        first or says,
        parts,
        tuple(f"{SECTIONS[row.section]}: {row.name}" for row in entries_of(name)),
        _cases(name) if cases else (),
        page,
        _issuers(own) if own is not None and len(own.issuers) > 1 else (),
    )


def _line(name: str, rule: Callable[..., Any] | None) -> tuple[str, str, str, str]:
    """Return severity, issuer, what it says, what to do."""
    entry, kind = ENTRY.get(name), name.removeprefix(READING)
    if entry is not None:
        return entry.severity, entry.issuer, entry.says, entry.todo
    if rule is not None:
        words = (str(getattr(rule, key, "") or absent) for key, absent in (("severity", "its own"), ("says", ""), ("todo", "")))
        severity, says, todo = words
        return severity, "rule", says, todo
    if name == SOLVE:
        return "stop", SOLVE, _SOLVE_SAYS, _SOLVE_TODO
    if kind != name and kind in COMPLAINTS:
        return "note" if kind == "byte-order-mark" else "stop", "reading", COMPLAINTS[kind], REMEDIES[kind]
    raise KeyError(name)


def _entry(entry: TradeEntry, cases: bool) -> Explained:
    todo, text = "", _page(entry.key)
    if not text:
        rule = next((name for name in entry.issuers if name in ENTRY and ENTRY[name].issuer == "rule"), "")
        todo, text = (ENTRY[rule].todo, _docstring(rule, None)) if rule else ("", "")
    first, parts = _parted(text, todo) if text else (entry.asks, _generic("verify", entry.asks, "See who says it."))
    todo = todo or dict(parts).get("What to do", "")
    section = (f"{SECTIONS[entry.section]}: {entry.name}",)
    return Explained(
        entry.key,
        entry.severity,
        "entry",
        entry.asks,
        todo,
        first,
        parts,
        section,
        _cases(entry.key) if cases else (),
        "",
        _issuers(entry),
    )


def _issuers(entry: TradeEntry) -> tuple[tuple[str, str, str, str], ...]:
    rows = []
    for name in entry.issuers:
        severity, issuer, says, _ = _line(name, None)
        rows.append((name, severity, issuer, says))
    return tuple(rows)


def _borrowed(name: str, issuer: str, says: str, todo: str) -> tuple[str, tuple[tuple[str, str], ...]]:
    """Return the name and the paragraphs of the page a check of verify, a complaint or `solve` is explained by."""
    for row in entries_of(name) if name != SOLVE else ():
        text = _page(row.key) or (_docstring(row.key, None) if row.key in ENTRY else "")
        if text:
            return row.key, _parted(text, todo)[1]
    asked = " ".join(row.asks for row in entries_of(name)) if name != SOLVE else ""
    return "", _generic(issuer, says, todo, asked)


def _generic(issuer: str, says: str, todo: str, asked: str = "") -> tuple[tuple[str, str], ...]:
    made = dict({"check": _OF_CHECK, "reading": _OF_READING, SOLVE: _OF_SOLVE}.get(issuer, _OF_VERIFY))
    made["Why"] = f"{asked} {made['Why']}" if asked else made["Why"]
    return tuple((part, made[part].format(says=says, todo=todo)) for part in PARTS)


def _parted(text: str, todo: str) -> tuple[str, tuple[tuple[str, str], ...]]:
    """Return the first line and the paragraphs of a docstring."""
    first, _, rest = text.partition("\n")
    found = re.split(rf"^({'|'.join(PARTS)}):[ \n]*", rest.strip(), flags=re.MULTILINE)
    if len(found) == 1:
        rows = [("", _flat(found[0]))] if found[0].strip() else []
        return first, (*rows, *((("What to do", todo),) if todo else ()))
    return first, tuple((heading, _flat(words)) for heading, words in zip(found[1::2], found[2::2], strict=True))


def _flat(words: str) -> str:
    flat = re.sub(r"\s+", " ", words).strip()
    return flat[:1].upper() + flat[1:]


def _page(key: str) -> str:
    """Return the page of an entry that no rule covers, empty where there is none."""
    word = f"patchloom.check.pages.{key.replace('-', '_')}"
    return inspect.cleandoc(import_module(word).__doc__ or "") if find_spec(word) is not None else ""


def _docstring(name: str, rule: Callable[..., Any] | None) -> str:
    if name in ENTRY and ENTRY[name].issuer == "rule":
        return inspect.cleandoc(import_module(f"patchloom.check.rules.{name.replace('-', '_')}").__doc__ or "")
    own = inspect.getdoc(rule) or ""
    module = sys.modules.get(getattr(rule, "__module__", ""))
    whole = inspect.cleandoc(getattr(module, "__doc__", None) or "")
    return whole if not any(f"{part}:" in own for part in PARTS) and f"{PARTS[0]}:" in whole else own


def _cases(name: str) -> tuple[tuple[str, str], ...]:
    order = ("fails", "passes", "unchecked", "nothing")
    words = {"fails": "it speaks", "passes": "it is silent", "unchecked": "it could not look", "nothing": "it does not apply"}
    rows = cases_of(name)
    return tuple((words[which], str(case.text["about"])) for which in order for case in rows if case.outcome == which)
