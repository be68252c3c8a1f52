"""Change the rules and what they read in small ways, and see whether a case notices: `python tests/mutation/run_rules.py`.

Comes in: `check/rules/*.py`, `check/look/*.py`; the cases of `tests/rules/cases` with the words written down for them, and
`tests/check/test_look*.py`.  Goes out: a table of what was noticed by file, and what was not.  Next: `survivors_rules.md`
says of each why it is left.

mutmut makes the changes, as in `run.py`; properties that are worked out once are made plain functions first, since mutmut
leaves alone what is decorated.  A changed rule is asked only its own cases, on looks that are there already; a change of what
rules look at is asked every case that comes by the function, the quick ones first, on looks made anew.  Each change is tried
in a process of its own, which ends at the first answer that differs, at an exception, or when it takes too long.
"""

from __future__ import annotations

import argparse
import difflib
import gc
import inspect
import json
import os
import re
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable
from functools import cache, partial
from pathlib import Path
from types import FrameType
from typing import Any

ROOT = Path(__file__).parents[2]
ACTIVE = "MUTANT_UNDER_TEST"
"""The variable mutmut chooses the changed function by."""
PATIENCE_S = 5
LOOK = "check/look/"
_LAZY = re.compile(r"    @cached_property\n    def (\w+)\((.*?)\n(?=\n    (?:#|@|def )|\n\n|\Z)", re.DOTALL)

Case = Callable[[], str]


def files() -> list[str]:
    """Return the files that are changed, inside the package."""
    package = ROOT / "src" / "patchloom"
    return [
        str(path.relative_to(package)) for part in ("rules", "look") for path in sorted((package / "check" / part).glob("*.py"))
    ]


def plain(text: str) -> str:
    """Return a module with its cached properties made of plain functions, which can be changed."""
    return _LAZY.sub(r"    def _lazy_\1(\2\n\n    \1 = cached_property(_lazy_\1)\n", text)


def spoil(folder: Path, chosen: list[str]) -> dict[str, list[str]]:
    """Copy the package and change the files; return the names of the changes by file."""
    from mutmut.mutation.file_mutation import mutate_file_contents

    target = folder / "src" / "patchloom"
    shutil.rmtree(folder, ignore_errors=True)
    shutil.copytree(ROOT / "src" / "patchloom", target, ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copytree(ROOT / "schemas", folder / "schemas")
    names: dict[str, list[str]] = {}
    for file in chosen:
        made = mutate_file_contents(file, plain((target / file).read_text(encoding="utf-8")))
        (target / file).write_text(made.code, encoding="utf-8")
        module = "patchloom." + file.removesuffix(".py").replace("/", ".").removesuffix(".__init__")
        names[file] = [f"{module}.{name}" for name in made.mutant_names]
    return names


class Asker:
    """The cases, built once, and who comes by which function."""

    def __init__(self, folder: Path) -> None:
        sys.path[:0] = [str(folder / "src"), str(ROOT)]
        os.environ[ACTIVE] = ""
        import patchloom
        from patchloom.check import look
        from patchloom.check.rules import RULES
        from patchloom.check.shown import cases_in

        assert Path(patchloom.__file__).is_relative_to(folder), "the unchanged package was loaded"
        self.folder = folder
        self.rules = dict(RULES)
        self.looks = look
        self.listed = [case for case in cases_in(ROOT / "tests" / "rules" / "cases") if case.rule in self.rules]
        self.kept: list[Any] = []
        self.cost: dict[str, float] = {}

    def of_rules(self, *names: str, fresh: bool) -> dict[str, Case]:
        """Return the cases of rules, of all where none is named; on looks made anew every time, or made once."""
        from patchloom.check.shown import made_of
        from patchloom.errors import PatchloomError
        from patchloom.testing.folder import _solve

        found: dict[str, Case] = {}
        self.kept.clear()
        for case in self.listed:
            if not names or case.rule in names:
                try:
                    made = made_of(case, _solve)
                except PatchloomError:
                    continue  # reading or solving says what the case is about, and no rule is asked
                rule = self.rules[case.rule]
                known = None if fresh else self._looked(made)
                self.kept.append(made)
                found[case.name] = partial(self._said, rule, made, known)
        return found

    def _looked(self, made: tuple[Any, ...]) -> Any:
        self.looks.looks(*made)
        return self.looks._known[0]

    def _said(self, rule: Callable[..., Any], made: tuple[Any, ...], known: Any) -> str:
        from patchloom.finding import Finding
        from patchloom.testing.folder import words_of

        self.looks._known[:] = [known] if known is not None else []
        return words_of(sorted(rule(*made), key=Finding.sort_key))

    def of_names(self) -> dict[str, Case]:
        """Return the one thing `rules/__init__.py` does: it finds the function of each rule."""
        from patchloom.check import rules

        return {"names": lambda: repr([(name, rules._function(name)) for name in self.rules])}

    def of_looks(self) -> dict[str, Case]:
        """Return all facts of the small bases, and the tests that look for themselves: they say nothing, or raise."""
        from tests.check import test_look, test_look_ways, test_look_words

        tests = {name: test for module in (test_look, test_look_ways) for name, test in vars(module).items()}
        bare = {name: test for name, test in tests.items() if name.startswith("test_") and not inspect.signature(test).parameters}
        return {**test_look_words.CASES, **{name: partial(_passes, test) for name, test in bare.items()}}

    def listen(self, told: dict[str, Case], inside: list[str]) -> tuple[dict[str, str], dict[str, list[str]]]:
        """Return what each case says unchanged, and which cases come by each function of some files."""
        places = {str(self.folder / "src" / "patchloom" / file): _module(file) for file in inside}
        visits: dict[str, dict[str, None]] = {}
        now = ""

        def watch(frame: FrameType, event: str, _: Any) -> None:
            if event == "call" and frame.f_code.co_filename in places:
                name = frame.f_code.co_name.removesuffix("_orig")
                visits.setdefault(f"{places[frame.f_code.co_filename]}.{name}", {}).setdefault(now)

        for now in told:
            sys.setprofile(watch)
            try:
                told[now]()
            finally:
                sys.setprofile(None)
        said: dict[str, str] = {}
        for name, case in told.items():
            start = time.process_time()
            said[name] = case()
            self.cost[name] = time.process_time() - start
        return said, {name: sorted(names, key=lambda case: self.cost[case]) for name, names in visits.items()}


def _passes(test: Callable[[], None]) -> str:
    test()
    return "passes"


def _module(file: str) -> str:
    return "patchloom." + file.removesuffix(".py").replace("/", ".").removesuffix(".__init__")


def held(said: dict[str, str]) -> None:
    """Hold what the unchanged program says against the words written down, and name where it is otherwise.

    A case that asks others beside its rule says more than the rule does: that is left aside here.
    """
    from patchloom.testing.folder import words_in

    for name, words in said.items():
        rule, _, case = name.partition("/")
        if case and words_in(ROOT / "tests" / "rules" / "words" / f"{rule}.txt").get(case) != words:
            print(f"{name} holds other words than the rule alone says", file=sys.stderr)


def survives(name: str, told: dict[str, Case], said: dict[str, str], asked: list[str], patience_s: int) -> bool:
    """Return whether no case notices a change; in a process of its own, and ended when it takes too long."""
    child = os.fork()
    if child == 0:
        code = 1
        try:
            signal.setitimer(signal.ITIMER_PROF, patience_s)  # of the processor, however busy it is
            os.environ[ACTIVE] = name
            code = 0 if all(told[case]() == said[case] for case in asked) else 1
        except BaseException:
            code = 1
        os._exit(code)
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == 0


def ask(folder: Path, names: dict[str, list[str]]) -> dict[str, str]:
    """Return what became of each change: noticed, survived, or never run."""
    asker = Asker(folder)
    found: dict[str, str] = {}
    inner = [file for file in names if file.startswith(LOOK)]
    for file in names:
        if file not in inner:
            rule = Path(file).stem.replace("_", "-")
            told = asker.of_rules(rule, fresh=False) if rule in asker.rules else asker.of_names()
            found |= _tried(asker, told, {file: names[file]})
    if inner:
        told = asker.of_looks() | asker.of_rules(fresh=True)
        found |= _tried(asker, told, {file: names[file] for file in inner})
    return found


def _tried(asker: Asker, told: dict[str, Case], names: dict[str, list[str]]) -> dict[str, str]:
    started = time.monotonic()
    said, visits = asker.listen(told, list(names))
    held(said)
    gc.collect()
    gc.freeze()
    found: dict[str, str] = {}
    for file, rows in names.items():
        for name in rows:
            asked = visits.get(name.rpartition("_")[0], [])
            patience = PATIENCE_S + int(3 * sum(asker.cost[case] for case in asked))
            left = bool(asked) and survives(name, told, said, asked, patience)
            found[name] = "survived" if left else "noticed" if asked else "never run"
        count = Counter(found[name] for name in rows)
        print(f"{file}: {dict(count)}, {time.monotonic() - started:.0f} s", file=sys.stderr, flush=True)
    return found


@cache
def bodies(path: Path) -> dict[str, list[str]]:
    """Return the lines of each function of a changed file, methods too, without the first."""
    found: dict[str, list[str]] = {}
    rows: list[str] = []
    depth = 0
    for line in path.read_text(encoding="utf-8").split("\n"):
        words = line.lstrip()
        indent = len(line) - len(words)
        if words.startswith("def ") and "__mutmut_" in words:
            rows, depth = found.setdefault(words[4:].partition("(")[0], []), indent
        elif words and indent <= depth and not words.startswith(")"):
            rows = []
        else:
            rows.append(line)
    return found


def change(folder: Path, file: str, name: str) -> str:
    """Return the lines a change takes away and puts in."""
    known = bodies(folder / "src" / "patchloom" / file)
    function = name.rpartition(".")[2]
    rows = difflib.unified_diff(known[f"{function.rpartition('_')[0]}_orig"], known[function], n=0, lineterm="")
    return "\n".join(f"    {row[0]} {row[1:].strip()}" for row in rows if row[:2] not in ("--", "++", "@@"))


def texts_of(folder: Path, names: dict[str, list[str]]) -> dict[str, str]:
    """Return what tells each change from all others while its number moves: function, lines, and which of several alike it is."""
    found: dict[str, str] = {}
    seen: Counter[str] = Counter()
    for file, rows in names.items():
        for name in rows:
            text = f"{name.rpartition('_')[0]}\n{change(folder, file, name)}"
            seen[text] += 1
            found[name] = f"{text}\n{seen[text]}"
    return found


def table(names: dict[str, list[str]], found: dict[str, str]) -> str:
    """Return how many were noticed, by file."""
    lines = []
    every = [name for rows in names.values() for name in rows]
    for file, rows in (*names.items(), ("all", every)):
        count = Counter(found[name] for name in rows)
        share = 100 * count["noticed"] / count.total() if rows else 100.0
        lines.append(
            f"{file:<42}{count.total():>6} changes {count['noticed']:>6} noticed {count['survived']:>5} survived "
            f"{count['never run']:>5} never run {share:7.1f} %"
        )
    return "\n".join(lines)


def main() -> int:
    """Run and print; 0 where at least nine changes in ten are noticed."""
    told = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    told.add_argument("words", nargs="*", help="parts of names of files; none: all")
    told.add_argument("--folder", type=Path, default=Path(tempfile.gettempdir()) / "patchloom-changed-rules")
    told.add_argument("--again", action="store_true", help="try only what was not noticed the last time")
    told.add_argument("--inner", action="store_true", help=argparse.SUPPRESS)
    given = told.parse_args()
    listed = given.folder / "changes.json"
    if given.inner:
        names = json.loads(listed.read_text(encoding="utf-8"))
        (given.folder / "found.json").write_text(json.dumps(ask(given.folder, names)), encoding="utf-8")
        return 0
    kept = given.folder.with_name(f"{given.folder.name}-noticed.json")
    before = set(json.loads(kept.read_text(encoding="utf-8"))) if kept.exists() else set()
    names = spoil(given.folder, [file for file in files() if not given.words or any(word in file for word in given.words)])
    texts = texts_of(given.folder, names)
    found = {name: "noticed" for name, text in texts.items() if given.again and text in before}
    asked = {file: [name for name in rows if name not in found] for file, rows in names.items()}
    listed.write_text(json.dumps({file: rows for file, rows in asked.items() if rows}), encoding="utf-8")
    subprocess.run([sys.executable, __file__, "--inner", "--folder", str(given.folder)], check=True)
    found |= json.loads((given.folder / "found.json").read_text(encoding="utf-8"))
    now = {text for name, text in texts.items() if found[name] == "noticed"}
    kept.write_text(json.dumps(sorted(now | (before - set(texts.values())))), encoding="utf-8")
    for file, rows in names.items():
        for name in rows:
            if found[name] != "noticed":
                print(found[name], name)
                print(change(given.folder, file, name))
    print(table(names, found))
    return 0 if 10 * Counter(found.values())["noticed"] >= 9 * len(found) else 1


if __name__ == "__main__":
    sys.exit(main())
