"""The whole job in a row: read, solve, verify and check, book, render.

Comes in: documents (paths, bytes or plain dicts) or model objects.  Goes out: a `Patch`, findings, a
`Book`, artifacts.  Next: `cli`, and anybody who embeds the library: these are its public functions.

Nothing here reads a clock or a locale, and nothing is kept between calls.  Each step is loaded when it
is first asked for.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from patchloom.errors import Impossible, PluginError, Undecided

if TYPE_CHECKING:
    from patchloom.finding import Finding, Imported
    from patchloom.model.patch import Patch
    from patchloom.model.rig import Rig
    from patchloom.model.show import Show
    from patchloom.pages import Artifact, Book, Paths
    from patchloom.show_day.trace import Trace

__all__ = [
    "book",
    "check",
    "digest",
    "import_list",
    "installed_rules",
    "judge",
    "read_patch",
    "read_rig",
    "read_show",
    "render",
    "solve",
    "trace",
    "verify",
    "write",
]

_OBJECTIONS = ("stop", "safety")


def read_rig(source: str | bytes | Path | Mapping[str, Any], *, name: str | None = None) -> Rig:
    """Return the Rig a document describes: a path, the bytes of one, or an already parsed dict.

    Raises DocumentError with every complaint at once; the source is never altered.
    """
    from patchloom.document import read
    from patchloom.model.base import build
    from patchloom.model.rig import Rig

    return build(Rig, read(source, "rig", name=name).data)


def read_show(source: str | bytes | Path | Mapping[str, Any], rig: Rig | None = None, *, name: str | None = None) -> Show:
    """Return the Show a document describes; with a `rig`, its addresses are checked against it as well.

    Raises DocumentError with every complaint at once; the source is never altered.
    """
    from patchloom.document import read
    from patchloom.model.base import build, dump
    from patchloom.model.show import Show

    return build(Show, read(source, "show", name=name, rig=dump(rig) if rig is not None else None).data)


def read_patch(source: str | bytes | Path | Mapping[str, Any], *, name: str | None = None) -> Patch:
    """Return the Patch a document describes.

    Raises DocumentError with every complaint at once; the source is never altered.
    """
    from patchloom.document import read
    from patchloom.model.base import build
    from patchloom.model.patch import Patch

    return build(Patch, read(source, "patch", name=name).data)


def write(item: Rig | Show | Patch, path: str | Path | None = None) -> str:
    """Return the document of a rig, show or patch as text, and put it at `path` when one is given.

    The same object gives the same bytes.  The file appears whole or not at all.
    """
    from patchloom.document import write_file, write_text
    from patchloom.model.base import dump

    text = write_text(dump(item), item.format.partition("/")[0])
    if path is not None:
        write_file(Path(path), text.encode("utf-8"))
    return text


def digest(item: Rig | Show | Patch) -> str:
    """Return `sha256:...` of the expanded document (RFC 8785 form): two spellings of one rig agree."""
    from patchloom.document import digest as of_data
    from patchloom.model.base import dump

    return of_data(dump(item))


def solve(
    rig: Rig,
    show: Show,
    *,
    previous: Patch | None = None,
    limit_s: float | None = None,
    rules: Sequence[Any] = (),
    progress: Callable[[str], None] | None = None,
    explain: bool = True,
) -> Patch:
    """Return a patch that carries every must of the show over the rig, verified from scratch.

    `previous` is the patch it replaces: as little as possible changes.  `limit_s` is in seconds; without
    one the search runs until it has an answer.  `rules` are routing rules written in Python (see
    `routing_rule`), which the search keeps and the judge holds the answer against; those of the show take part anyway.
    `progress` is called with a short line now and then.

    Raises Impossible with the facts in conflict, none of which can be left out, and with ways out, each of which was
    solved and judged (with `explain=False` with the first proof found, at once); and Undecided where neither a patch
    nor a proof was found.  An answer the judge objects to is never returned, it is Undecided with the objections.
    """
    from time import monotonic

    from patchloom.solve import solve as search

    began = monotonic() if limit_s is not None else 0.0
    try:
        found = search(rig, show, previous, limit_s, rules, progress)
    except Impossible as proof:
        if not explain:
            raise

        def late() -> bool:
            return limit_s is not None and monotonic() - began > limit_s

        raise _explained(rig, show, proof, rules, late, progress) from None
    except Undecided as question:
        if question.best is not None:
            question.best = _signed(question.best, _digests(rig, show), previous)
        raise
    digests = _digests(rig, show)
    answer = _signed(found, digests, previous)
    objections = _objections(rig, show, answer, rules, digests)
    if objections:
        known = ("an answer was found, and the judge objects to it; it is not returned:", *map(str, objections))
        raise Undecided(known, (), answer)
    return answer


def _objections(rig: Rig, show: Show, answer: Patch, rules: Sequence[Any], digests: tuple[str, str]) -> list[Finding]:
    from patchloom.check.verify import verify as judge

    found = _with_waivers(judge(rig, show, answer, digests=digests, rules=rules), show)
    return [row for row in found if row.severity in _OBJECTIONS and not row.waived]


def _explained(
    rig: Rig,
    show: Show,
    proof: Impossible,
    rules: Sequence[Any],
    late: Callable[[], bool],
    progress: Callable[[str], None] | None,
) -> Impossible:
    """Return a proof in its fewest facts and with ways out that the judge has nothing against."""
    from patchloom.solve.explain.why import explain

    def right(other: Rig, changed: Show, patch: Patch) -> bool:
        digests = _digests(other, changed)
        return not _objections(other, changed, _signed(patch, digests, None), rules, digests)

    return explain(rig, show, proof, right, rules=rules, late=late, progress=progress)


def _digests(rig: Rig, show: Show) -> tuple[str, str]:
    return digest(rig), digest(show)


def _signed(answer: Patch, digests: tuple[str, str], previous: Patch | None) -> Patch:
    import attrs

    from patchloom import __version__

    return attrs.evolve(
        answer,
        rig=digests[0],
        show=digests[1],
        previous=digest(previous) if previous is not None else "",
        made_by=f"patchloom {__version__}",
    )


def _with_waivers(found: tuple[Finding, ...], show: Show) -> tuple[Finding, ...]:
    if not found or not show.waivers:
        return found
    from patchloom.check.check import apply_waivers

    return apply_waivers(found, show)


def verify(rig: Rig, show: Show, patch: Patch, rules: Sequence[Any] = ()) -> tuple[Finding, ...]:
    """Return what contradicts the rig or the show in a patch, gravest first; empty when nothing does.

    Signals are pushed through the rig as documented; nothing is shared with the solver.  `rules` are routing rules
    written in Python; those of the show are held against the patch anyway.
    """
    from patchloom.check.verify import verify as judge

    return judge(rig, show, patch, rules=rules)


def check(rig: Rig, show: Show, patch: Patch, rules: Iterable[Any] | None = None, *, today: str = "") -> tuple[Finding, ...]:
    """Return what the rules have to say about a patch, gravest first, waivers of the show applied.

    `rules` are functions `(rig, show, patch) -> findings`, (name, function) pairs, or routing rules written
    in Python; None takes every installed rule.  A rule that breaks is a finding of its own, the others still speak.  `today`
    (YYYY-MM-DD) ends waivers that carry a date.
    """
    from patchloom.check import check as ask

    return ask(rig, show, patch, installed_rules() if rules is None else tuple(rules), today=today)


def judge(rig: Rig, show: Show, patch: Patch, *, today: str = "") -> tuple[Finding, ...]:
    """Return the findings of verify and of every installed rule, gravest first, waivers of the show applied to all."""
    from patchloom.check import check as ask

    return ask(rig, show, patch, installed_rules(), found=verify(rig, show, patch), today=today)


def installed_rules() -> tuple[tuple[str, Any], ...]:
    """Return every installed rule as (name, rule), ours and strangers'; one that cannot be loaded says so when it is asked."""
    from patchloom import plugins

    loaded = plugins.load_all("rules")
    return (*loaded.objects.items(), *((row.plugin.name, _unloadable(row)) for row in loaded.broken))


def _unloadable(row: Any) -> Callable[..., Any]:
    def rule(*_: Any) -> Any:
        raise PluginError(str(row))

    return rule


def trace(rig: Rig, show: Show, patch: Patch, list_id: str, channel: int, *, period: str = "") -> Trace:
    """Return the hops of what lands on a channel of a list, with what to look at on each.

    `list_id` is a list, a position with one list, or a feed.  Raises PatchloomError for a place that is
    not there, naming the nearest.
    """
    from patchloom.show_day.trace import trace as follow

    return follow(rig, show, patch, list_id, channel, period=period)


def book(
    rig: Rig,
    show: Show,
    patch: Patch,
    *,
    findings: Iterable[Finding] | None = None,
    papers: Sequence[str] | None = None,
    positions: Sequence[str] | None = None,
    date: str = "",
    revision: str = "",
    replaces: str = "",
    status: str = "DRAFT",
    approver: str = "",
    options: Mapping[str, Any] | None = None,
    previous: Patch | None = None,
) -> Book:
    """Return the book of a solved show: every page in order, stamped, in no file format yet.

    `findings` None asks verify and every installed rule.  `papers` and `positions` narrow what is made;
    pages that are everybody's stay.  `date` is printed as it is given: no clock is read.  `options` are those of the
    papers, such as `language`, `units`, `columns`; `PAPER.NAME` is for one paper.  `previous` is the patch these papers
    replace: the book's paths say what is different, and the stamp how much.

    Raises PatchloomError for an option no paper has; PluginError for a paper asked for by name that is missing or breaks;
    papers that were not asked for by name and break are named in the book's `faults`, and all others are made.
    """
    import attrs

    from patchloom import pages, plugins

    faults: tuple[Any, ...] = ()
    if papers is not None:
        made = {name: plugins.load("papers", name) for name in papers}
    else:
        loaded = plugins.load_all("papers")
        order = {name: place for place, name in enumerate(pages.ORDER)}
        made = {
            name: loaded.objects[name] for name in sorted(loaded.objects, key=lambda name: (order.get(name, len(order)), name))
        }
        faults = tuple(pages.Remark("stop", f"Paper {row}", (row.plugin.name,)) for row in loaded.broken)
    told = None
    try:
        told = _paths(rig, show, patch, previous, (options or {}).get("language", "en"))
    except Exception as problem:
        words = f"Paths could not be followed: {type(problem).__name__}: {problem}"
        faults = (*faults, pages.Remark("warn", words, ("paths",)))
    bound = pages.book(
        rig,
        show,
        patch,
        judge(rig, show, patch) if findings is None else findings,
        made,
        positions=positions or (),
        changes=told.changed if told is not None and previous is not None else None,
        date=date,
        revision=revision,
        replaces=replaces,
        status=status,
        approver=approver,
        digest=digest(patch),
        faults=faults,
        strict=papers is not None,
        options=options,
    )
    return attrs.evolve(bound, paths=told)


def _paths(rig: Rig, show: Show, patch: Patch, previous: Patch | None, language: str) -> Paths:
    from patchloom.show_day.paths import paths

    was = digest(previous) if previous is not None else ""
    return paths(rig, show, patch, previous=previous, digest=was, language=language)


def render(book: Book, format: str, **options: Any) -> tuple[Artifact, ...]:
    """Return the files of a book in a format, each with name, media type and bytes; none is written.

    Raises PluginError for a format that is not installed, naming the nearest, or one that answers out of
    contract.
    """
    from patchloom import pages, plugins

    renderer = plugins.load("renderers", format)
    made = tuple(renderer(book, options))
    for row in made:
        if not isinstance(row, pages.Artifact):
            raise PluginError(f"renderer {format} gave a {type(row).__name__} where an Artifact is due")
    return made


def import_list(data: bytes, importer: str = "list-csv", **options: Any) -> Imported:
    """Return what an importer makes of a foreign list: a show document, and a report of every guess.

    Raises PluginError for an importer that is not installed, naming the nearest.
    """
    from patchloom import plugins

    read: Callable[..., Imported] = plugins.load("importers", importer)
    return read(data, **options)
