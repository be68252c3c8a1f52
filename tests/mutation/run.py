"""Change the code in small ways, one at a time, and see whether a test notices: `python tests/mutation/run.py [text ...]`.

Comes in: the files of `FILES`, the cases of `tests/check/words.py` and `tests/solve/words.py`.  Goes out: a table of what
was noticed by file, and what was not.  Next: `survivors.md` says of each why it is left.

mutmut (`pip install mutmut`) makes the changes; a copy of the package in a folder of its own holds them all at once, and
the changed function is chosen as the program runs.  Each change is tried in a process of its own, split off when everything
is loaded and the judge's other checks are done, and asked only the cases that come by the function.  A case that says
another thing, raises, or takes longer than ten seconds has noticed.  With words given only changes whose names contain one
of them are tried.
"""

from __future__ import annotations

import argparse
import difflib
import json
import os
import shutil
import signal
import subprocess
import sys
import tempfile
from collections import Counter
from collections.abc import Callable
from functools import cache, partial
from pathlib import Path
from types import FrameType
from typing import Any

ROOT = Path(__file__).parents[2]
FILES = {
    "check": ("check/clock.py", "check/control.py", "check/gain.py", "check/phantom.py"),
    "solve": ("solve/clock.py", "solve/gain.py", "solve/owner.py", "solve/phantom.py"),
}
"""Which files are changed, by the folder of tests that is asked."""
PATIENCE_S = 10
ACTIVE = "MUTANT_UNDER_TEST"
"""The variable mutmut chooses the changed function by."""


def spoil(folder: Path) -> dict[str, list[str]]:
    """Copy the package and change the files; return the names of the changes by side."""
    from mutmut.mutation.file_mutation import mutate_file_contents

    target = folder / "src" / "patchloom"
    shutil.rmtree(folder, ignore_errors=True)
    shutil.copytree(ROOT / "src" / "patchloom", target, ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copytree(ROOT / "schemas", folder / "schemas")
    names: dict[str, list[str]] = {}
    for side, files in FILES.items():
        for file in files:
            made = mutate_file_contents(file, (target / file).read_text(encoding="utf-8"))
            text, found = made.code, made.mutant_names
            (target / file).write_text(text, encoding="utf-8")
            module = "patchloom." + file.removesuffix(".py").replace("/", ".")
            names.setdefault(side, []).extend(f"{module}.{name}" for name in found)
    return names


def cases(side: str) -> tuple[dict[str, Callable[[], str]], dict[str, str]]:
    """Return the cases of a side, and what each has to say."""
    sys.path.insert(0, str(ROOT))
    if side == "check":
        from tests.check.test_words import CASES
    else:
        from tests.solve.test_words import CASES
    wanted, name = {}, ""
    for line in (ROOT / "tests" / side / "words.txt").read_text(encoding="utf-8").split("\n"):
        if line[:1] not in ("", " "):
            name = line
            wanted[name] = ""
        elif line.strip():
            wanted[name] += line + "\n"
    return dict(CASES), {name: "" if text == "  nothing\n" else text for name, text in wanted.items()}


def scenes(told: dict[str, Callable[[], str]]) -> dict[str, Callable[[], str]]:
    """Return cases that only ask the four changed files: the scene each case of the judge makes, ready up to there.

    A case is good for one answer in each process.
    """
    from patchloom.check import verify
    from patchloom.check.feeders import Feeders

    checks = [getattr(verify, name) for name in ("check_clock", "check_owners", "check_gain", "check_phantom")]
    made: list[Any] = []
    kept = {
        name: getattr(verify, name) for name in ("check_clock", "check_owners", "check_gain", "check_phantom", "check_spares")
    }
    forget = Feeders.forget
    found: dict[str, Callable[[], str]] = {}
    try:
        Feeders.forget = lambda _: None  # type: ignore[method-assign]
        for name in kept:
            setattr(verify, name, made.append if name == "check_clock" else lambda _: None)
        for name, case in told.items():
            made.clear()
            case()
            found[name] = partial(_asked, tuple(made), checks)
    finally:
        Feeders.forget = forget  # type: ignore[method-assign]
        for name, check in kept.items():
            setattr(verify, name, check)
    return found


def _asked(made: tuple[Any, ...], checks: list[Callable[[Any], None]]) -> str:
    lines = []
    for scene in made:
        for check in checks:
            check(scene)
        rows = [(row.rule, row.severity, row.period, row.message, row.where, row.numbers) for row in scene.report.findings()]
        lines += sorted(repr(row) for row in rows)
    return "\n".join(lines)


def passes(case: Callable[[], str], wanted: str) -> bool:
    """Return whether a case says what it has to."""
    return "\n".join(line for line in case().split("\n") if line.strip()) == wanted.rstrip("\n")


def visits(side: str, folder: Path, told: dict[str, Callable[[], str]], wanted: dict[str, str]) -> dict[str, list[str]]:
    """Return which cases come by each function; raises SystemExit where one does not say what it has to."""
    inside = {str(folder / "src" / "patchloom" / file): f"patchloom.{file[:-3].replace('/', '.')}." for file in FILES[side]}
    found: dict[str, dict[str, None]] = {}
    now = ""

    def watch(frame: FrameType, event: str, _: Any) -> None:
        if event == "call" and frame.f_code.co_filename in inside:
            name = frame.f_code.co_name.removesuffix("_orig")
            found.setdefault(inside[frame.f_code.co_filename] + name, {}).setdefault(now)

    os.environ[ACTIVE] = ""
    for now, case in told.items():
        sys.setprofile(watch)
        try:
            good = passes(case, wanted[now])
        finally:
            sys.setprofile(None)
        if not good:
            raise SystemExit(f"{side}: {now!r} does not say what words.txt holds even without a change")
    return {name: list(names) for name, names in found.items()}


def survives(name: str, told: dict[str, Callable[[], str]], wanted: dict[str, str], asked: list[str]) -> bool:
    """Return whether no case notices a change; in a process of its own, and ended when it takes too long."""
    child = os.fork()
    if child == 0:
        code = 0
        try:
            signal.alarm(PATIENCE_S)
            os.environ[ACTIVE] = name
            code = 0 if all(passes(told[case], wanted[case]) for case in asked) else 1
        except BaseException:
            code = 1
        os._exit(code)
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == 0


def ask(side: str, folder: Path, names: list[str]) -> dict[str, str]:
    """Return what became of each change of a side: noticed, survived, or never run."""
    sys.path.insert(0, str(folder / "src"))
    import patchloom

    assert Path(patchloom.__file__).is_relative_to(folder), "the unchanged package was loaded"
    told, wanted = cases(side)
    by = visits(side, folder, told, wanted)
    if side == "check":
        print(f"{side}: {len(told)} cases say what words.txt holds; the changed files are asked alone", file=sys.stderr)
        wanted = {name: case() for name, case in scenes(told).items()}
        told = scenes(told)
    found: dict[str, str] = {}
    for number, name in enumerate(names):
        if number % 50 == 0:
            print(f"{side}: {number} of {len(names)}", file=sys.stderr, flush=True)
        asked = by.get(name.rpartition("_")[0], [])
        found[name] = "never run" if not asked else "survived" if survives(name, told, wanted, asked) else "noticed"
    return found


@cache
def _functions(path: Path) -> dict[str, list[str]]:
    """Return the lines of each function of a changed file, without the first."""
    found: dict[str, list[str]] = {}
    rows: list[str] = []
    for line in path.read_text(encoding="utf-8").split("\n"):
        if line.startswith("def "):
            rows = found[line[4:].partition("(")[0]] = []
        elif line[:1] not in ("", " ", ")"):
            rows = []
        else:
            rows.append(line)
    return found


def change(folder: Path, name: str) -> str:
    """Return the lines a change takes away and puts in."""
    module, _, function = name.rpartition(".")
    bodies = _functions(folder / "src" / f"{module.replace('.', '/')}.py")
    rows = difflib.unified_diff(bodies[f"{function.rpartition('_')[0]}_orig"], bodies[function], n=0, lineterm="")
    return "\n".join(f"    {row[0]} {row[1:].strip()}" for row in rows if row[:2] not in ("--", "++", "@@"))


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
            f"{key:<28}{count.total():>6} changes {count['noticed']:>6} noticed {count['survived']:>5} survived "
            f"{count['never run']:>5} never run {100 * count['noticed'] / count.total():7.1f} %"
        )
    return "\n".join(lines)


def main() -> int:
    """Run and print; 0 where at least nine changes in ten are noticed."""
    told = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    told.add_argument("words", nargs="*")
    told.add_argument("--folder", type=Path, default=Path(tempfile.gettempdir()) / "patchloom-changed")
    told.add_argument("--side", choices=sorted(FILES), help=argparse.SUPPRESS)
    given = told.parse_args()
    if given.side:
        names = json.loads((given.folder / f"{given.side}.json").read_text(encoding="utf-8"))
        (given.folder / f"{given.side}.json").write_text(json.dumps(ask(given.side, given.folder, names)), encoding="utf-8")
        return 0
    found: dict[str, str] = {}
    for side, names in spoil(given.folder).items():
        wanted = [name for name in names if not given.words or any(word in name for word in given.words)]
        if not wanted:
            continue
        (given.folder / f"{side}.json").write_text(json.dumps(wanted), encoding="utf-8")
        again = [sys.executable, __file__, "--side", side, "--folder", str(given.folder)]
        subprocess.run(again, check=True)
        found |= json.loads((given.folder / f"{side}.json").read_text(encoding="utf-8"))
    for name, what in found.items():
        if what != "noticed":
            print(what, name)
            print(change(given.folder, name))
    print(table(found))
    return 0 if 10 * Counter(found.values())["noticed"] >= 9 * len(found) else 1


if __name__ == "__main__":
    sys.exit(main())
