"""The smallest rig and show on which a rule or a property fails, and how it is left on disk.

Comes in: a rule, a routing rule, or a property of an answer.  Goes out: a `Counterexample`, or None where none was met; a
folder of three documents, a drawn diagram and the command that runs it again.  Next: whoever mends the rule.
"""

from __future__ import annotations

import shlex
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any, NamedTuple

from patchloom.errors import Impossible, PatchloomError, Undecided
from patchloom.finding import Finding
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.routing import RoutingRule
from patchloom.model.show import Show

__all__ = ["Counterexample", "find_counterexample", "leave", "read_left"]

_DIAGRAM = "signal-diagram"


class Counterexample(NamedTuple):
    """The smallest case that was found, and what is wrong with it."""

    rig: Rig
    show: Show
    patch: Patch | None
    """None where there is no patch to speak of: the solver gave one up."""
    said: tuple[str, ...]
    """What the rule says, or how the property fails."""
    folder: Path | None = None
    """Where it was left."""

    def __str__(self) -> str:
        where = (f"left in {self.folder}: rig.json, show.json, patch.json",) if self.folder else ()
        return "\n".join((*self.said, *where))

    def __repr__(self) -> str:
        return f"Counterexample({self.said[0] if self.said else ''!r})"


def find_counterexample(
    what: Callable[..., Any] | RoutingRule,
    *,
    folder: str | Path | None = None,
    max_examples: int = 100,
    rig: Rig | None = None,
    **sizes: Any,
) -> Counterexample | None:
    """Return the smallest case that speaks against a rule or a property; None where none was met in so many.

    - a rule `(rig, show, patch) -> findings`: a patch it finds something wrong with, made without knowing of it;
    - a routing rule: a patch solved under it that breaks it, or a rig on which asking it fails;
    - a property `(rig, show, patch) -> bool`: a patch for which it is False, or raises an AssertionError.

    `rig` is yours instead of a drawn one; `sizes` are those of `rigs` and `shows`.  With a `folder` the case is left there
    (`leave`).  The same call gives the same answer.
    """
    from hypothesis import Phase, find, settings
    from hypothesis.errors import NoSuchExample

    from patchloom.testing.last import LAST
    from patchloom.testing.strategies import pairs

    tried: dict[int, tuple[Any, tuple[Patch | None, tuple[str, ...]]]] = {}

    def fails(pair: Any) -> bool:
        tried[0] = (pair, _try(what, pair.rig, pair.show))
        return bool(tried[0][1][1])

    how = settings(
        max_examples=max_examples, deadline=None, database=None, derandomize=True, phases=[Phase.generate, Phase.shrink]
    )
    try:
        pair = find(pairs(rig=rig, **sizes), fails, settings=how)
    except NoSuchExample:
        return None
    patch, said = tried[0][1] if tried[0][0] is pair else _try(what, pair.rig, pair.show)
    LAST.note(rig=pair.rig, show=pair.show)
    LAST.note(patch=patch)
    left = None
    if folder is not None:
        left = Path(folder)
        leave(left, pair.rig, pair.show, patch, _command(what, left), said)
    return Counterexample(pair.rig, pair.show, patch, said, left)


def _try(what: Any, rig: Rig, show: Show) -> tuple[Patch | None, tuple[str, ...]]:
    """Return the patch of a drawn show, and what is wrong with it."""
    from patchloom.pipeline import solve, verify

    if isinstance(what, RoutingRule):
        try:
            patch = solve(rig, show, rules=[what], explain=False)
        except Impossible:
            return None, ()  # a rule may rule everything out
        except Undecided as question:
            return question.best, tuple(map(str, question.known))
        except PatchloomError as error:
            return None, (str(error),)
        found = verify(rig, show, patch, rules=[what])
        return patch, tuple(str(row) for row in found if row.rule in ("rule-vetoes", "rule-broken"))
    patch = solve(rig, show, explain=False)
    return patch, tuple(_said(what, rig, show, patch))


def _said(what: Callable[..., Any], rig: Rig, show: Show, patch: Patch) -> Iterator[str]:
    try:
        answer = what(rig, show, patch)
        if answer is None or isinstance(answer, bool):
            if answer is False:
                yield "the property is False"
            return
        for row in answer:
            if not isinstance(row, Finding):
                yield f"it gave {row!r}, which is no finding"
            elif row.kind == "found":
                yield str(row)
    except AssertionError as wrong:
        yield str(wrong).partition("\n")[0] or "the property fails"
    except Exception as wrong:  # whatever it raises is what is wrong
        yield f"it raised {type(wrong).__name__}: {wrong}"


def _command(what: Any, folder: Path) -> str:
    """Return the command that runs a rule over what was left: of a file, where it lives in one."""
    function = getattr(what, "look", None) or getattr(what, "ask", None) or what
    code = getattr(function, "__code__", None)
    file = code.co_filename if code is not None else ""
    if Path(file).is_file() and function is not what:
        return f"patchloom -C {shlex.quote(str(folder))} check --rules {shlex.quote(file)}"
    return f"patchloom -C {shlex.quote(str(folder))} verify"


# left on disk


def leave(folder: Path, rig: Rig, show: Show, patch: Patch | None, command: str, said: tuple[str, ...] = ()) -> tuple[str, ...]:
    """Return the names of the files left in a folder: rig, show, patch, a drawn signal diagram, the command that runs it.

    A folder that is not there is made; files of the same names are replaced.  Without a patch one is sought for at most
    ten seconds; where there is none, two documents are left and `replay.txt` says so.
    """
    from patchloom.pipeline import solve, write

    folder.mkdir(parents=True, exist_ok=True)
    notes = list(said)
    if patch is None:
        try:
            patch = solve(rig, show, limit_s=10, explain=False)
        except PatchloomError as wrong:
            notes.append(f"There is no patch: {str(wrong).partition(chr(10))[0]}")
    names = []
    for name, item in (("rig.json", rig), ("show.json", show), ("patch.json", patch)):
        path = folder / name
        if item is None:
            path.unlink(missing_ok=True)
            continue
        write(item, path)
        names.append(name)
    if patch is not None:
        names += _drawn(folder, rig, show, patch, notes)
    lines = [f"$ {command}", *notes]
    (folder / "replay.txt").write_text("\n".join(lines) + "\n", encoding="utf-8")
    return (*names, "replay.txt")


def _drawn(folder: Path, rig: Rig, show: Show, patch: Patch, notes: list[str]) -> list[str]:
    from patchloom.pipeline import book, render

    try:
        made = render(book(rig, show, patch, findings=(), papers=[_DIAGRAM]), "svg")
    except Exception as wrong:  # the three documents matter more than the picture
        notes.append(f"Nothing is drawn: {type(wrong).__name__}: {wrong}")
        return []
    names = []
    for number, row in enumerate(made, 1):
        name = "diagram.svg" if number == 1 else f"diagram-{number}.svg"
        (folder / name).write_bytes(row.bytes)
        names.append(name)
    return names


def read_left(folder: str | Path) -> tuple[Rig, Show, Patch | None]:
    """Return rig, show and patch (None where there is none) out of a folder; raise DocumentError for what cannot be read."""
    from patchloom.pipeline import read_patch, read_rig, read_show

    home = Path(folder)
    rig = read_rig(home / "rig.json")
    show = read_show(home / "show.json", rig)
    patch = read_patch(home / "patch.json") if (home / "patch.json").exists() else None
    return rig, show, patch
