"""Code changed in small ways, one change at a time, and the cases asked whether they notice.

Comes in: a `Group`: files of the package, and modules of cases.  Goes out: of each change `noticed`, `survived` or `never
run`.  Next: `run.py` prints a table, `survivors*.md` say of each why it is left.

mutmut (`pip install mutmut`) makes the changes; a copy of the package in a folder of its own holds them all, each a function
of its own beside the one it changes.  All is loaded once, every case says what it says of the unchanged code, and it is
noted which lines it comes by.  Then a process is split off for some changes: the function gets the code of the changed one,
the cases that come by the changed statement are asked, those that noticed the last changes of that file first, and the
function gets its own code again.  A case that says another thing, raises, or takes longer than `PATIENCE_S` has noticed.
"""

from __future__ import annotations

import ast
import gc
import importlib
import json
import mmap
import os
import resource
import shutil
import signal
import sys
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from functools import cache
from hashlib import sha256
from pathlib import Path
from types import FrameType, FunctionType
from typing import Any, NamedTuple

__all__ = ["PATIENCE_S", "Group", "ask", "change", "short", "spoil", "table"]

ROOT = Path(__file__).parents[2]
PATIENCE_S = 10.0
"""How long one case may take."""
MEMORY = 4 << 30
"""Bytes a change may ask for."""

BATCH = 20
"""Changes tried in one process split off."""

Case = Callable[[], str]
_MARK = "__mutmut_"
_DOOR = "from mutmut.mutation.trampoline import wrap_in_trampoline as _mutmut_mutated, MutantDict"
_PLAIN = "MutantDict = dict\ndef _mutmut_mutated(*_, **__): return lambda function: function"


class Group(NamedTuple):
    """Files changed together, and the modules whose `CASES` are asked."""

    files: tuple[str, ...]
    """Below the package; `*` as in a shell."""
    cases: tuple[str, ...]

    def paths(self) -> list[str]:
        """Return the files, sorted."""
        base = ROOT / "src" / "patchloom"
        found = {str(path.relative_to(base)) for file in self.files for path in base.glob(file)}
        return sorted(found)


def spoil(folder: Path, group: Group) -> dict[str, str]:
    """Copy the package and put the changes in; return the name of each change with its file.

    What was made of a file is kept beside the folder, and taken again while the file is the same.
    """
    target, kept = folder / "src" / "patchloom", folder.parent / "made"
    shutil.rmtree(folder, ignore_errors=True)
    shutil.copytree(ROOT / "src" / "patchloom", target, ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copytree(ROOT / "schemas", folder / "schemas")
    shutil.copytree(ROOT / "tests" / "rules", folder / "tests" / "rules", ignore=shutil.ignore_patterns("__pycache__"))
    kept.mkdir(parents=True, exist_ok=True)
    found = {}
    for file in group.paths():
        text, names = _made(file, (target / file).read_text(encoding="utf-8"), kept)
        (target / file).write_text(text, encoding="utf-8")
        module = "patchloom." + file.removesuffix(".py").replace("/", ".")
        found.update((f"{module}.{name}", file) for name in names)
    return found


def _made(file: str, text: str, kept: Path) -> tuple[str, list[str]]:
    """Return a file with all its changes, and their names."""
    known = kept / f"{sha256((file + text).encode()).hexdigest()}.json"
    if not known.exists():
        from mutmut.mutation.file_mutation import mutate_file_contents

        made = mutate_file_contents(file, text)
        known.write_text(json.dumps([made.code.replace(_DOOR, _PLAIN), list(made.mutant_names)]), encoding="utf-8")
    code, names = json.loads(known.read_text(encoding="utf-8"))
    return code, names


class Change(NamedTuple):
    """One change: the function it is made in, where its statement stands in the changed file, its lines."""

    function: str
    owner: str
    """The class, empty for a function of the module."""
    file: str
    lines: frozenset[int]


def short(name: str) -> str:
    """Return a change as `check/clock _leads 10`."""
    module, _, rest = name.rpartition(".")
    function, _, number = rest.rpartition(_MARK)
    plain = ".".join(function[2:].split("ǁ")) if "ǁ" in function else function[2:]
    return f"{module.removeprefix('patchloom.').replace('.', '/')} {plain} {number}"


@cache
def _functions(path: Path) -> dict[str, tuple[ast.FunctionDef, str, list[str]]]:
    """Return every function of a changed file by its name there: the tree, its class, its lines."""
    text = path.read_text(encoding="utf-8")
    rows = text.split("\n")
    found = {}
    for owner, node in _defined(ast.parse(text)):
        key = node.name if _MARK in node.name else f"{owner}.{node.name}"
        found[key] = (node, owner, rows[node.lineno - 1 : node.end_lineno])
    return found


def _defined(tree: ast.Module) -> Iterator[tuple[str, ast.FunctionDef]]:
    for node in tree.body:
        if isinstance(node, ast.FunctionDef):
            yield "", node
        elif isinstance(node, ast.ClassDef):
            yield from ((node.name, part) for part in node.body if isinstance(part, ast.FunctionDef))


def _place(folder: Path, name: str, file: str) -> Change:
    rows = _functions(folder / "src" / "patchloom" / file)
    mutant = name.rpartition(".")[2]
    _, owner, after = rows[mutant]
    function = mutant.rpartition(_MARK)[0].rpartition("ǁ")[2] if owner else mutant.rpartition(_MARK)[0][2:]
    node, _, before = rows[f"{owner}.{function}"]
    first, last, _ = _differ(before, after)
    touched = set(range(node.lineno + first, node.lineno + max(last, first + 1)))
    parts = [span for span in _statements(node) if touched & set(span)]
    lines = {line for span in parts for line in span} if parts else set(range(node.lineno, (node.end_lineno or 0) + 1))
    return Change(function, owner, file, frozenset(lines))


def _statements(node: ast.AST) -> Iterator[range]:
    """Yield the lines of every statement inside, of one with statements of its own those of its head."""
    for part in ast.walk(node):
        if isinstance(part, ast.stmt) and part is not node:
            body = getattr(part, "body", None)
            end = body[0].lineno if isinstance(body, list) and body else (part.end_lineno or part.lineno) + 1
            yield range(part.lineno, max(end, part.lineno + 1))


def change(folder: Path, name: str) -> str:
    """Return the lines a change takes away and puts in."""
    module, _, mutant = name.rpartition(".")
    rows = _functions(folder / "src" / f"{module.replace('.', '/')}.py")
    before = rows[f"{mutant.rpartition(_MARK)[0]}{_MARK}orig"][2][1:]
    after = rows[mutant][2][1:]
    first, last, other = _differ(["", *before], ["", *after])
    gone, come = before[first - 1 : last - 1], after[first - 1 : other - 1]
    return "\n".join((*(f"    - {row.strip()}" for row in gone), *(f"    + {row.strip()}" for row in come)))


def _differ(before: list[str], after: list[str]) -> tuple[int, int, int]:
    """Return the first line that differs, the heads aside, and the ends of the difference in both."""
    first = 1
    while first < min(len(before), len(after)) and before[first] == after[first]:
        first += 1
    last, other = len(before), len(after)
    while last > first and other > first and before[last - 1] == after[other - 1]:
        last, other = last - 1, other - 1
    return first, last, other


def _cases(group: Group) -> dict[str, Case]:
    sys.path.insert(0, str(ROOT))
    found: dict[str, Case] = {}
    for module in group.cases:
        found.update((f"{module}: {name}", case) for name, case in importlib.import_module(module).CASES.items())
    return found


def _visits(folder: Path, files: Iterable[str], told: dict[str, Case]) -> dict[str, dict[int, set[str]]]:
    """Return by file and line the cases that come by; kept beside the folder while code and cases are the same."""
    inside = {str(folder / "src" / "patchloom" / file): file for file in files}
    known = folder.parent / "made" / f"visits-{_hash(inside, told)}.json"
    if known.exists():
        rows = json.loads(known.read_text(encoding="utf-8"))
        return {file: {int(line): set(names) for line, names in lines.items()} for file, lines in rows.items()}
    by: dict[str, dict[int, set[str]]] = {file: {} for file in inside.values()}

    def watch(frame: FrameType, event: str, _: Any) -> Any:
        file = inside.get(frame.f_code.co_filename)
        if file is None:
            return None
        lines = by[file]

        def step(frame: FrameType, event: str, _: Any) -> Any:
            lines.setdefault(frame.f_lineno, set()).add(now)
            return step

        return step

    for now, case in told.items():  # noqa: B007  `step` reads it
        sys.settrace(watch)
        try:
            case()
        finally:
            sys.settrace(None)
    found = {file: {line: sorted(names) for line, names in lines.items()} for file, lines in by.items()}
    known.write_text(json.dumps(found), encoding="utf-8")
    return by


def _hash(inside: dict[str, str], told: dict[str, Case]) -> str:
    texts = [Path(path).read_bytes() for path in inside]
    texts += [path.read_bytes() for part in ("check", "solve") for path in sorted((ROOT / "tests" / part).glob("*.py"))]
    return sha256(b"".join((*texts, "\n".join(told).encode()))).hexdigest()


def _said(told: dict[str, Case]) -> dict[str, str]:
    """Return what each case says of the unchanged code; raise SystemExit for one that says another thing the second time."""
    said = {name: case() for name, case in told.items()}
    for name, case in told.items():
        if case() != said[name]:
            raise SystemExit(f"{name!r} says another thing the second time, without a change")
    return said


class _Try(NamedTuple):
    """A change and the cases to ask."""

    name: str
    spot: Change
    asked: list[str]


def _function(module: str, owner: str, name: str) -> FunctionType:
    home: Any = vars(sys.modules[module])
    if owner:
        home = vars(home[owner])
    found = getattr(home[name], "__func__", home[name])
    assert isinstance(found, FunctionType)
    return found


def _notices(row: _Try, told: dict[str, Case], said: dict[str, str]) -> int:
    """Return the number of the case that notices a change, -1 where none does."""
    module, _, mutant = row.name.rpartition(".")
    one, two = _function(module, row.spot.owner, row.spot.function), _function(module, row.spot.owner, mutant)
    before = one.__code__, one.__defaults__, one.__kwdefaults__
    one.__code__, one.__defaults__, one.__kwdefaults__ = two.__code__, two.__defaults__, two.__kwdefaults__
    number = 0
    try:
        for number, case in enumerate(row.asked):
            signal.setitimer(signal.ITIMER_REAL, PATIENCE_S)
            if told[case]() != said[case]:
                return number
    except BaseException:
        return number
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0)
        one.__code__, one.__defaults__, one.__kwdefaults__ = before
    return -1


def _tried(rows: list[_Try], told: dict[str, Case], said: dict[str, str], seen: mmap.mmap) -> list[int]:
    """Return what `_notices` says of some changes, in processes of their own; one that never ends is noticed.

    Where the unchanged code says another thing after them, each is tried again by itself.
    """
    found: list[int] = []
    while len(found) < len(rows):
        left = rows[len(found) :]
        seen[:] = bytes(len(seen))
        child = os.fork()
        if child == 0:
            code = 1
            try:
                resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
                for place, row in enumerate(left):
                    seen[0:4] = place.to_bytes(4, "little")
                    seen[4 + 4 * place : 8 + 4 * place] = (_notices(row, told, said) + 2).to_bytes(4, "little")
                case = left[0].asked[0]
                code = 0 if len(left) == 1 or told[case]() == said[case] else 3
            finally:
                os._exit(code)
        _, status = os.waitpid(child, 0)
        end = os.waitstatus_to_exitcode(status)
        if end == 3:
            return [*found, *(number for row in left for number in _tried([row], told, said, seen))]
        got = [int.from_bytes(seen[4 + 4 * place : 8 + 4 * place], "little") - 2 for place in range(len(left))]
        place = int.from_bytes(seen[0:4], "little")
        found += got if end == 0 else [*got[:place], 0]  # else it never ended, or ended the process
    return found


def _order(lines: dict[int, set[str]], told: dict[str, Case]) -> dict[str, int]:
    """Return the place of each case for one file: one of each kind of way through it first, the last entered of each."""
    ways: dict[str, set[int]] = {name: set() for name in told}
    for line, names in lines.items():
        for name in names:
            ways[name].add(line)
    alike: dict[frozenset[int], list[str]] = {}
    for name in told:
        alike.setdefault(frozenset(ways[name]), []).append(name)
    found: list[str] = []
    while any(alike.values()):
        found += [names.pop() for names in alike.values() if names]
    return {name: place for place, name in enumerate(found)}


def ask(folder: Path, group: Group, names: dict[str, str], most: int = 0) -> Iterator[tuple[str, str]]:
    """Yield what became of each change: noticed, survived, or never run; with `most` no more cases than that are asked."""
    sys.path.insert(0, str(folder / "src"))
    import patchloom

    assert Path(patchloom.__file__).is_relative_to(folder), "the unchanged package was loaded"
    told = _cases(group)
    for name in names:
        importlib.import_module(name.rpartition(".")[0])
    said = _said(told)
    by = _visits(folder, dict.fromkeys(names.values()), told)
    print(f"{len(told)} cases", file=sys.stderr, flush=True)
    orders = {file: _order(lines, told) for file, lines in by.items()}
    first: dict[str, list[str]] = {}
    count: Counter[str] = Counter()
    gc.collect()
    gc.freeze()
    with mmap.mmap(-1, 4 * (BATCH + 1)) as seen:
        rows: list[_Try] = []
        for number, (name, file) in enumerate(names.items()):
            spot = _place(folder, name, file)
            here = {case for line in spot.lines for case in by[file].get(line, ())}
            sharp, order = first.setdefault(file, []), orders[file]
            asked = [case for case in sharp if case in here]
            asked += [case for case in sorted(here, key=order.__getitem__) if case not in sharp]
            if most and len(asked) > most:
                asked = asked[: most // 2] + sorted(asked[most // 2 :], key=order.__getitem__)[: most // 2]
            rows.append(_Try(name, spot, asked))
            if len(rows) < BATCH and number + 1 < len(names):
                continue
            numbers = iter(_tried([row for row in rows if row.asked], told, said, seen))
            for row in rows:
                which = next(numbers) if row.asked else None
                what = "never run" if which is None else "survived" if which < 0 else "noticed"
                if which is not None and which >= 0:
                    kept = first[names[row.name]]
                    kept[:] = [row.asked[which], *(case for case in kept if case != row.asked[which])]
                count[what] += 1
                yield row.name, what
            rows = []
            print(f"{number + 1} of {len(names)}: {dict(count)}", file=sys.stderr, flush=True)


def table(found: dict[str, str]) -> str:
    """Return how many were noticed, by file."""
    lines = []
    files: dict[str, Counter[str]] = {}
    for name, what in found.items():
        for key in (name.rpartition(".")[0], "all"):
            files.setdefault(key, Counter())[what] += 1
    for key in sorted(files, key=lambda key: (key == "all", key)):
        count = files[key]
        lines.append(
            f"{key:<40}{count.total():>6} changes {count['noticed']:>6} noticed {count['survived']:>5} survived "
            f"{count['never run']:>5} never run {100 * count['noticed'] / count.total():7.1f} %"
        )
    return "\n".join(lines)
