"""Cases of rules and entries as a folder of JSON files: run, told what is wrong.

Comes in: a folder with one folder a rule or an entry, one JSON file a case.  Goes out: nothing, or `CaseFailed` with
every case that came out otherwise.  Next: your tests, in one line:

    from patchloom.testing import case_test

    test_cases = case_test("tests/rules/cases")

A case says `about`, `base`, `change`, `expect`; `tests/rules/README.md` describes it, `patchloom.check.shown` reads it.
Where a folder of words is given as well, each case has to say what `<rule>.txt` there holds, word for word: what the rule
says is read once, by a person, and then held.  `pytest --update-golden` writes the words anew, where your suite offers it.
"""

from __future__ import annotations

import difflib
import json
from collections.abc import Callable, Iterable, Mapping
from functools import cache
from pathlib import Path
from typing import Any

from patchloom.check.judging import READING, SOLVE, Made, asked, is_rule, said
from patchloom.check.shown import Base, CaseError, RuleCase, base_of, cases_in
from patchloom.finding import Finding
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Show

__all__ = ["CaseFailed", "case_test", "findings_of", "run_case", "run_cases", "words_in", "words_of"]


class CaseFailed(AssertionError):
    """A case came out otherwise than it says."""


def _solve(rig: Rig, show: Show) -> Patch:
    from patchloom import pipeline

    return pipeline.solve(rig, show, explain=False)


def run_case(case: RuleCase, rules: Mapping[str, Callable[..., Any]] | None = None) -> tuple[Finding, ...]:
    """Run one case, return what the rule says of it; raise CaseFailed where it comes out otherwise than it says."""
    told = said(case, _solve, _installed() if rules is None else rules)
    problem = _compare(case, told.findings)
    if not problem and case.text.get("only") and told.made is not None:
        problem = _only(case, rules, told.made)
    if problem:
        rows = "".join(f"\n  {row}" for row in told.findings) or "\n  nothing"
        raise CaseFailed(f"{case.name} ({case.text['about']}): {problem}\nwhat is said:{rows}")
    return told.findings


def findings_of(case: RuleCase, rules: Mapping[str, Callable[..., Any]] | None = None) -> tuple[Finding, ...]:
    """Return what is said about a case: by its rule, or by the issuers of its entry."""
    return said(case, _solve, _installed() if rules is None else rules).findings


@cache
def _installed() -> dict[str, Callable[..., Any]]:
    from patchloom import plugins

    return dict(plugins.load_all("rules").objects)


def _compare(case: RuleCase, rows: tuple[Finding, ...]) -> str:
    """Return how the findings differ from what a case expects, empty where they do not."""
    expect = case.text["expect"]
    kinds = {kind: [row for row in rows if row.kind == kind] for kind in ("found", "unchecked", "nothing")}
    stray = [row for row in rows if row.rule not in asked(case)]
    if stray:
        return f"a finding is called {stray[0].rule}"
    poor = next((row for row in kinds["found"] if _is_poor(row)), None)
    if poor is not None:
        return f"a finding names no place, or no next step, or is no sentence: {poor}"
    wanted = expect.get("unchecked", []) if isinstance(expect, dict) else []
    missing = {value for row in kinds["unchecked"] for key, value in row.numbers if key == "missing"}
    lost = [field for field in wanted if field not in missing]
    if lost:
        return f"not named as missing: {', '.join(lost)}"
    if case.outcome == "nothing":
        return "" if kinds["nothing"] and len(rows) == len(kinds["nothing"]) else "it should have nothing to look at"
    if kinds["nothing"]:
        return "it has nothing to look at"
    if kinds["unchecked"] and not wanted and not (isinstance(expect, dict) and expect.get("unchecked")):
        return "it could not look, and the case does not expect that"
    own = {"rule": case.rule} if is_rule(case.rule) else {}
    return _compare_found(expect["fails"] if case.outcome == "fails" else [], kinds["found"], own)


def _is_poor(row: Finding) -> bool:
    """Return whether a finding lacks a place, a next step or a full stop; complaints and facts have a form of their own."""
    other = row.rule.startswith(READING) or row.rule == SOLVE
    return not (other or (row.where and row.todo.endswith(".") and row.message.endswith(".")))


def _compare_found(expected: list[Any], found: list[Finding], own: dict[str, str]) -> str:
    """Return how findings differ from rows; a row that names no rule is the case's own, where it is a rule's."""
    left = list(found)
    for row in expected:
        wanted = {"where": row} if isinstance(row, list) else {"where": [row]} if isinstance(row, str) else row
        hit = next((finding for finding in left if _fits(finding, own | wanted)), None)
        if hit is None:
            return f"no finding fits {json.dumps(row, ensure_ascii=False)}"
        left.remove(hit)
    return f"{len(left)} findings more than expected" if left else ""


def _fits(finding: Finding, wanted: dict[str, Any]) -> bool:
    numbers = {key: str(value) for key, value in finding.numbers}
    return (
        wanted.get("rule", finding.rule) == finding.rule
        and all(place in finding.where for place in wanted.get("where", []))
        and all(words in finding.message for words in _list(wanted.get("says", [])))
        and wanted.get("severity", finding.severity) == finding.severity
        and wanted.get("period", finding.period) == finding.period
        and all(numbers.get(key) == str(value) for key, value in wanted.get("numbers", {}).items())
    )


def _list(value: Any) -> list[Any]:
    return [value] if isinstance(value, str) else list(value)


def _only(case: RuleCase, rules: Mapping[str, Callable[..., Any]] | None, made: Made) -> str:
    """Return what else is said of a changed answer, at the root, that is not said of the right one."""
    before = _of_base(base_of(case, _solve), rules is None, tuple((rules or {}).items()))
    known = {(row.rule, row.period, row.where) for row in before}
    after = _everything(made, rules)
    names = asked(case)
    more = [row for row in after if row.rule not in names and (row.rule, row.period, row.where) not in known]
    return f"only {case.rule} should speak, and this does too: {more[0]}" if more else ""


def _everything(made: Made, rules: Mapping[str, Callable[..., Any]] | None) -> list[Finding]:
    from patchloom.check import check
    from patchloom.check.verify import verify

    patch = made[2]
    judged = verify(*made, digests=(patch.rig, patch.show))
    found = check(*made, _installed() if rules is None else rules, found=judged)
    return [row for row in found if row.severity != "note"]


@cache
def _of_base(base: Base, shipped: bool, rules: tuple[tuple[str, Any], ...]) -> list[Finding]:
    made = base.objects["rig"], base.objects["show"], base.objects["patch"]
    return _everything(made, None if shipped else dict(rules))


def run_cases(folder: str | Path, rules: Mapping[str, Callable[..., Any]] | None = None) -> int:
    """Return how many cases of a folder were run; raise CaseFailed naming every one that came out otherwise.

    `rules` are functions by name; None takes every installed rule.
    """
    rows = cases_in(folder)
    problems = []
    for case in rows:
        try:
            run_case(case, rules)
        except (CaseFailed, CaseError) as problem:
            problems.append(str(problem))
    if problems:
        raise CaseFailed("\n\n".join(problems))
    return len(rows)


def words_of(found: Iterable[Finding]) -> str:
    """Return everything findings say, as lines to be read: severity, period, sentence, places, numbers, next step."""
    lines = []
    for row in found:
        period = f" [{row.period}]" if row.period else ""
        lines.append(f"  {row.severity}{period}: {row.message}")
        lines += [f"    at: {', '.join(row.where)}"] if row.where else []
        lines += [f"    numbers: {', '.join(f'{key} = {value}' for key, value in row.numbers)}"] if row.numbers else []
        lines += [f"    next: {row.todo}"] if row.todo else []
    return "".join(f"{line}\n" for line in lines) or "  nothing\n"


def words_in(path: Path) -> dict[str, str]:
    """Return what a file of words holds, by case."""
    found: dict[str, str] = {}
    name = ""
    for line in path.read_text(encoding="utf-8").splitlines() if path.is_file() else ():
        if not line.startswith(" "):
            name = line
            found[name] = ""
        else:
            found[name] += f"{line}\n"
    return found


def _hold(case: RuleCase, found: tuple[Finding, ...], path: Path, renew: bool) -> None:
    """Hold what a rule says against the words written down, or write them down."""
    held, said, name = words_in(path), words_of(found), case.path.stem
    if renew:
        there = {row.path.stem for row in cases_in(case.path.parent.parent, case.rule)}
        held = {key: words for key, words in held.items() if key in there} | {name: said}
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text("".join(f"{key}\n{held[key]}" for key in sorted(held)), encoding="utf-8")
    elif held.get(name) != said:
        rows = difflib.unified_diff(held.get(name, "").splitlines(), said.splitlines(), "written down", "said", n=0, lineterm="")
        raise CaseFailed(
            f"{case.name} says other words than {path.name} holds; if they are right: pytest --update-golden\n" + "\n".join(rows)
        )


def case_test(
    folder: str | Path, rules: Mapping[str, Callable[..., Any]] | None = None, words: str | Path | None = None
) -> Callable[..., None]:
    """Return a test function for pytest that runs every case of a folder, one test a case.

    `words` is a folder with what each case says, one file a rule; rules without a file there say what they like.
    """
    import pytest

    @pytest.mark.parametrize("case", cases_in(folder), ids=lambda case: case.name)
    def test_case(case: RuleCase, request: pytest.FixtureRequest) -> None:
        """The rule says of this case what the case expects, and in the words written down."""
        found = run_case(case, rules)
        path = Path(words or "") / f"{case.rule}.txt"
        if words is not None and path.is_file():
            _hold(case, found, path, bool(request.config.getoption("--update-golden", default=False)))

    return test_case
