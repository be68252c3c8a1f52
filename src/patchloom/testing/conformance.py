"""One call for the author of a plugin: does it keep its contract?

Comes in: a paper, renderer, rule or importer (a plain function).  Goes out: nothing, or `Breach` naming everything that
is wrong at once.  Next: the plugin's own tests:

    def test_contract():
        check_paper(pages)

Each function is called on every case of `cases`, twice, the second time watched: it may not raise, must answer in its
contract's types, the same both times and under other hash seeds, about things that exist; it may read no clock, throw no
dice, write no file and alter nothing it is given.  What a rule owes beyond that is in `ruling`, what a type pack does in
`packs`.  Each check takes several at once: one process asks all of them under another hash seed.
"""

from __future__ import annotations

import csv
import hashlib
import importlib
import io
import json
import os
import re
import subprocess
import sys
from collections.abc import Callable, Iterable, Iterator
from typing import Any
from xml.etree import ElementTree

from patchloom.document import read
from patchloom.errors import DocumentError
from patchloom.finding import SEVERITIES, Finding, Imported, Remark
from patchloom.model.base import dump
from patchloom.model.routing import RoutingRule
from patchloom.pages import KINDS, Artifact, Book, Page, Stamp
from patchloom.testing.cases import books, cases, files
from patchloom.testing.known import Known
from patchloom.testing.watch import watched

__all__ = ["Breach", "check_importer", "check_paper", "check_renderer", "check_rule", "check_types", "fingerprint"]

_NAME = re.compile(r"[A-Za-z0-9_.-]+(/[A-Za-z0-9_.-]+)*\Z")
_MEDIA = re.compile(r"[a-z]+/[a-z0-9.+-]+(; ?[a-z-]+=[A-Za-z0-9-]+)*\Z")

_Judge = Callable[[Any, Any], Iterator[str]]
"""From what was tried and the answer to what is wrong with it."""


class Breach(AssertionError):
    """A contract that is not kept; `reasons` holds every way in which it is not."""

    def __init__(self, reasons: Iterable[str]) -> None:
        self.reasons = tuple(reasons)
        super().__init__("\n".join(self.reasons))


def check_rule(*rules: Callable[..., Any] | RoutingRule) -> None:
    """Return when rules keep their contract; raise Breach when one does not, saying what to mend.

    A rule `(rig, show, patch) -> findings` never raises, says the same every time, under other ids and with rows in
    another order, and names places that are there.  Of one that claims to be `monotone`, and of one that `steers` by a
    routing rule, that is held too.  A routing rule: no patch that was made under it breaks it.
    """
    _check("rule", [rule for rule in rules if not isinstance(rule, RoutingRule)])
    _raise((rule, words) for rule in rules if isinstance(rule, RoutingRule) for words in _routing(rule))


def check_paper(*papers: Callable[..., Any]) -> None:
    """Return when papers `(rig, show, patch, findings) -> pages` keep their contract; raise Breach when one does not."""
    _check("paper", papers)


def check_renderer(*renderers: Callable[..., Any]) -> None:
    """Return when renderers `(book, options) -> artifacts` keep their contract; raise Breach when one does not."""
    _check("renderer", renderers)


def check_importer(*importers: Callable[..., Any]) -> None:
    """Return when importers `bytes -> Imported` keep their contract; raise Breach when one does not."""
    _check("importer", importers)


def check_types(*packs: Any) -> None:
    """Return when type packs keep their contract; raise Breach when one does not.

    A pack is the path of a type file or a folder of them, or a function that returns it.
    """
    from patchloom.testing.packs import judged as pack_judged

    _raise((pack, words) for pack in packs for words in pack_judged(pack))


def _routing(rule: RoutingRule) -> Iterator[str]:
    from patchloom.testing.ruling import routed

    return routed(rule)


def _raise(found: Iterable[tuple[Any, str]]) -> None:
    reasons = [f"{_called(thing)}: {words}" for thing, words in found]
    if reasons:
        raise Breach(dict.fromkeys(reasons))


def _called(thing: Any) -> str:
    return str(getattr(thing, "name", "") or getattr(thing, "__name__", "") or thing)


def fingerprint(kind: str, module: str, name: str) -> str:
    """Return a digest of everything a plugin answers, for a process under another hash seed to compare."""
    function = _resolve(module, name)
    total = hashlib.sha256()
    for _, given in _trials(kind):
        total.update(_text(_answer(kind, function, given)).encode("utf-8", "surrogatepass"))
    return total.hexdigest()


# the one run all four share


def _check(kind: str, functions: Iterable[Callable[..., Any]]) -> None:
    functions = list(functions)
    reasons: list[str] = []
    for function in functions:
        said = list(_against(kind, function))
        reasons += [f"{_called(function)}: {words}" for words in said] if len(functions) > 1 else said
    if not reasons:
        reasons.extend(_other_seed(kind, functions))
    if reasons:
        raise Breach(dict.fromkeys(reasons))


def _against(kind: str, function: Callable[..., Any]) -> Iterator[str]:
    """Yield what is wrong with one function in this process; what it owes beyond its types only where these are right."""
    wrong = False
    for about, given in _trials(kind):
        for words in _try(kind, function, given):
            wrong = True
            yield f"{about}: {words}"
    if kind == "rule" and not wrong:
        from patchloom.testing.ruling import judged, steered

        yield from judged(function)
        if getattr(function, "steers", None) is not None:
            yield from steered(function)


def _trials(kind: str) -> Iterator[tuple[str, Any]]:
    if kind == "importer":
        yield from files()
    elif kind == "renderer":
        yield from ((f"book {number}", book) for number, book in enumerate(books(), 1))
    else:
        yield from ((case.about, case) for case in cases())


def _answer(kind: str, function: Callable[..., Any], given: Any) -> Any:
    if kind == "importer":
        return function(given)
    if kind == "renderer":
        return list(function(given, {}))
    if kind == "paper":
        return list(function(given.rig, given.show, given.patch, given.findings))
    return list(function(given.rig, given.show, given.patch))


def _try(kind: str, function: Callable[..., Any], given: Any) -> Iterator[str]:
    before = _given(given)
    try:
        first = _answer(kind, function, given)
        second, did = watched(lambda: _answer(kind, function, given))
    except Exception as wrong:  # whatever a stranger's function raises is a breach
        yield f"it raised {type(wrong).__name__}: {wrong}; what is drawn or read may be absent, empty or odd: answer all the same"
        return
    yield from (f"it {words}; leave that to whoever calls it" for words in did)
    if _text(first) != _text(second):
        yield "it answered differently the second time; keep nothing between calls, and sort what comes out of a set"
    if _given(given) != before:
        yield "it altered what it was given; build a new one (attrs.evolve)"
    yield from _JUDGES[kind](given, first)


def _given(given: Any) -> str:
    if isinstance(given, Book):
        return repr(dump(given))
    if isinstance(given, bytes):
        return ""
    return repr([dump(given.rig), dump(given.show), dump(given.patch), given.findings])


def _text(answer: Any) -> str:
    rows = answer if isinstance(answer, list) else [answer]
    return "\n".join(repr(dump(row)) if isinstance(row, Page) else repr(row) for row in rows)


def _resolve(module: str, name: str) -> Any:
    found: Any = importlib.import_module(module)
    for part in name.split("."):
        found = getattr(found, part)
    return found


def _other_seed(kind: str, functions: list[Callable[..., Any]]) -> Iterator[str]:
    """Yield a breach when a process of another hash seed answers differently; nothing for what cannot be imported by name."""
    named = [(function, getattr(function, "__module__", ""), getattr(function, "__qualname__", "")) for function in functions]
    named = [row for row in named if _leads_to(*row)]
    if not named:
        return
    program = (
        "import json, sys; from patchloom.testing.conformance import fingerprint\n"
        "for kind, module, name in json.loads(sys.argv[1]): print(fingerprint(kind, module, name), flush=True)"
    )
    asked = json.dumps([(kind, module, name) for _, module, name in named])
    seed = "1" if os.environ.get("PYTHONHASHSEED") != "1" else "2"
    surroundings = {**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": os.pathsep.join(filter(None, sys.path))}
    done = subprocess.run([sys.executable, "-c", program, asked], env=surroundings, capture_output=True, text=True, check=False)
    answers = done.stdout.split()
    for (function, module, name), answer in zip(named, answers, strict=False):
        if answer != fingerprint(kind, module, name):
            yield f"{_called(function)}: its answer depends on the hash seed; sort before you say something of a set"
    if done.returncode:
        function = named[min(len(answers), len(named) - 1)][0]
        yield f"{_called(function)}: under hash seed {seed} it raised {done.stderr.strip().splitlines()[-1]}"


def _leads_to(function: Any, module: str, name: str) -> bool:
    """Return whether a name leads to a function, so that another process can find it."""
    try:
        return _resolve(module, name) is function
    except (AttributeError, ImportError, ValueError):
        return False


# one judge for each contract


def _judge_rule(case: Any, rows: list[Any]) -> Iterator[str]:
    known = Known(case.rig, case.show)
    for row in rows:
        if not isinstance(row, Finding):
            yield f"it gave a {type(row).__name__} where a Finding is due; yield one, or put @patchloom.rule over it"
            continue
        if row.severity not in SEVERITIES:
            yield f"severity {row.severity!r} is none of {', '.join(SEVERITIES)}; take one of them"
        if not row.rule or not row.message.strip():
            yield "a finding has no rule or no message; give its name and a sentence"
        if row.period and row.period not in known.periods:
            yield f"{row.rule}: there is no period {row.period!r}"
        if row.kind == "found" and not row.where:
            yield f"{row.rule}: it names no place; put the address, link, signal or position it speaks of into `where`"
        yield from (
            f"{row.rule}: `where` names {text}, which is not there; name what the documents have, as they spell it"
            for text in row.where
            if not known.has(text)
        )


def _judge_paper(case: Any, rows: list[Any]) -> Iterator[str]:
    known = Known(case.rig, case.show)
    pages = [row for row in rows if isinstance(row, Page)]
    if len(pages) != len(rows):
        yield "it gave something that is no Page; yield patchloom.pages.Page(...)"
    for page in pages:
        if page.kind not in KINDS or not page.title:
            yield f"a page of kind {page.kind!r} titled {page.title!r}; it needs a title and a kind out of {', '.join(KINDS)}"
        if page.position and page.position not in known.positions:
            yield f"{page.title}: there is no position {page.position!r}"
        if page.period and page.period not in known.periods:
            yield f"{page.title}: there is no period {page.period!r}"
        yield from (f"{page.title}: `touches` names {text}, which is not there" for text in page.touches if not known.has(text))
        yield from (f"{page.title}: it prints {text}, which is not there" for text in known.strays(repr(dump(page))))
    keys = [(page.title, page.subject, page.position, page.period) for page in pages]
    if len(set(keys)) != len(keys):
        yield "two pages have the same title, subject, position and period; give each a subject of its own"
    yield from _readable(dump(Book(stamp=Stamp(show="trial"), pages=tuple(pages))), "page")


def _readable(data: dict[str, Any], kind: str) -> Iterator[str]:
    try:
        read(data, kind)
    except DocumentError as wrong:
        yield from (f"no {kind} document: {complaint.path}: {complaint.message}" for complaint in wrong.complaints[:5])


def _judge_renderer(book: Any, rows: list[Any]) -> Iterator[str]:
    names = []
    for row in rows:
        if not isinstance(row, Artifact):
            yield f"it gave a {type(row).__name__} where an Artifact is due; yield Artifact(name, media_type, bytes)"
            continue
        names.append(row.name.lower())
        if not _NAME.match(row.name) or ".." in row.name:
            yield f"file name {row.name!r}: letters, digits, - _ . and / only, and no way up"
        if not isinstance(row.bytes, bytes) or not _MEDIA.match(row.media_type):
            yield f"{row.name}: it needs bytes and a media type, and has {type(row.bytes).__name__} and {row.media_type!r}"
        else:
            yield from _content(row)
    if len(set(names)) != len(names):
        yield "two files have the same name (case aside); number them"
    if {page.kind for page in book.pages} == set(KINDS) and not rows:
        yield "it gave nothing for a book with pages of every kind; give a file that says what it cannot show"


def _content(row: Artifact) -> Iterator[str]:
    media = row.media_type.partition(";")[0]
    if not (media.startswith("text/") or media.endswith("xml")):
        return
    try:
        text = row.bytes.decode("utf-8-sig")
    except UnicodeDecodeError:
        yield f"{row.name}: text that is not UTF-8; encode it so, or call it application/octet-stream"
        return
    if media in ("text/html", "image/svg+xml") and ("<script>alert" in text or "<b>loud" in text):
        yield f"{row.name}: a name is taken for markup; escape every text"
    if media.endswith("xml"):
        try:
            ElementTree.fromstring(row.bytes)
        except ElementTree.ParseError as wrong:
            yield f"{row.name}: it is not well formed ({wrong})"
    if media == "text/csv":
        yield from (f"{row.name}: a spreadsheet would run the cell {cell!r}; put an apostrophe before it" for cell in _live(text))


def _live(text: str) -> Iterator[str]:
    for line in csv.reader(io.StringIO(text)):
        yield from (cell for cell in line if cell[:1] in "=+-@\t\r" and cell and not re.fullmatch(r"-[0-9.]+", cell))


def _judge_importer(given: Any, row: Any) -> Iterator[str]:
    if isinstance(row, list) or not isinstance(row, Imported):
        yield f"it gave a {type(row).__name__} where an Imported is due; return Imported(document, guesses, ...)"
        return
    yield from _readable(row.document, str(row.document.get("format", "show")).partition("/")[0])
    for word in ("guesses", "skipped", "questions"):
        if not all(isinstance(item, Remark) and item.message for item in getattr(row, word)):
            yield f"`{word}` holds something that is no Remark with a message; say the cell and what was taken for what"
    if row.rows_read < 0:
        yield f"it says it read {row.rows_read} rows; count them from 0"


_JUDGES: dict[str, _Judge] = {
    "rule": _judge_rule,
    "paper": _judge_paper,
    "renderer": _judge_renderer,
    "importer": _judge_importer,
}
