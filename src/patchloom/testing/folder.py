"""Cases of rules as a folder of JSON files: read, run, told what is wrong.

Comes in: a folder with one folder a rule, one JSON file a case.  Goes out: nothing, or `CaseFailed` with every case that
came out otherwise.  Next: your tests, in one line:

    from patchloom.testing import case_test

    test_cases = case_test("tests/rules/cases")

A case says `about`, `base`, `change`, `expect`; `tests/rules/README.md` describes it.  Bases are read and solved once.
"""

from __future__ import annotations

import copy
import json
from collections.abc import Callable, Iterable, Mapping
from functools import cache
from pathlib import Path
from typing import Any

import attrs

from patchloom.errors import PatchloomError
from patchloom.finding import Finding
from patchloom.model.base import build, dump
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Show
from patchloom.testing.edits import apply

__all__ = ["CaseFailed", "RuleCase", "base_of", "built", "case_test", "cases_in", "run_case", "run_cases"]

_FIELDS = ("about", "base", "change", "patch", "solve", "expect", "only", "picture")
_OUTCOMES = ("passes", "fails", "unchecked", "nothing")


class CaseFailed(AssertionError):
    """A case came out otherwise than it says."""


@attrs.frozen
class RuleCase:
    """One case: its rule, its file, what it says."""

    rule: str
    path: Path
    text: dict[str, Any]

    @property
    def name(self) -> str:
        """Return rule and file in short."""
        return f"{self.rule}/{self.path.stem}"

    @property
    def outcome(self) -> str:
        """Return `passes`, `fails`, `unchecked` or `nothing`."""
        expect = self.text["expect"]
        return expect if isinstance(expect, str) else next(key for key in _OUTCOMES if key in expect)


def cases_in(folder: str | Path) -> tuple[RuleCase, ...]:
    """Return the cases of a folder, by rule and file name; raise CaseFailed for a file that is no case."""
    found = []
    for path in sorted(Path(folder).glob("*/*.json")):
        try:
            text = json.loads(path.read_text(encoding="utf-8"))
        except ValueError as error:
            raise CaseFailed(f"{path}: no JSON: {error}") from None
        odd = [key for key in text if key not in _FIELDS]
        lacks = [key for key in ("about", "base", "expect") if key not in text]
        if odd or lacks:
            raise CaseFailed(f"{path}: unknown {odd}, missing {lacks}; a case has {', '.join(_FIELDS)}")
        case = RuleCase(path.parent.name, path, text)
        expect = text["expect"]
        if expect not in ("passes", "nothing") and not (isinstance(expect, dict) and any(key in expect for key in _OUTCOMES)):
            raise CaseFailed(f"{path}: expect is passes, nothing, or an object with one of {', '.join(_OUTCOMES)}")
        found.append(case)
    return tuple(found)


def base_of(case: RuleCase) -> tuple[dict[str, Any], dict[str, Any], dict[str, Any]]:
    """Return rig, show and patch of a case's base as plain data, expanded; solved once, to be left as they are."""
    base = case.text["base"]
    if isinstance(base, dict):
        return _read_base(json.dumps(base, sort_keys=True), str(case.path))
    return _named_base(base, case.path.parent.parent)


@cache
def _named_base(name: str, folder: Path) -> tuple[dict[str, Any], dict[str, Any], dict[str, Any]]:
    for home in _homes(name, folder):
        if home.is_file():
            return _read_base(home.read_text(encoding="utf-8"), str(home))
        if (home / "rig.json").is_file():
            texts = {kind: json.loads((home / f"{kind}.json").read_text(encoding="utf-8")) for kind in ("rig", "show")}
            return _read_base(json.dumps(texts), str(home))
    raise CaseFailed(f"no base {name!r}: neither demo, nor a file in {folder.parent / 'bases'}, nor an example")


def _homes(name: str, folder: Path) -> Iterable[Path]:
    import patchloom

    if name == "demo":
        yield Path(patchloom.__file__).parent / "demo"
    yield folder.parent / "bases" / f"{name}.json"
    yield folder / name
    for up in folder.resolve().parents:
        yield up / "docs" / "examples" / name


@cache
def _read_base(text: str, name: str) -> tuple[dict[str, Any], dict[str, Any], dict[str, Any]]:
    from patchloom import pipeline
    from patchloom.document import read

    data = json.loads(text)
    rig = read({"format": "rig/1", **data["rig"]}, "rig", name=name).data
    show = read({"format": "show/1", **data["show"]}, "show", name=name, rig=rig).data
    if "patch" in data:
        return rig, show, read({"format": "patch/1", **data["patch"]}, "patch", name=name).data
    return rig, show, dump(pipeline.solve(build(Rig, rig), build(Show, show), explain=False))


def built(case: RuleCase) -> tuple[Rig, Show, Patch]:
    """Return rig, show and patch of a case, its changes made; a changed rig or show is solved anew only when it says `solve`."""
    from patchloom import pipeline

    rig, show, patch = base_of(case)
    data = {"rig": rig, "show": show, "patch": patch}
    change = case.text.get("change", [])
    touched = {row["at"].partition(".")[0] for row in change if isinstance(row.get("at"), str)}
    for kind in touched:
        data[kind] = copy.deepcopy(data[kind])
    if "patch" in case.text:
        data["patch"] = {"format": "patch/1", **copy.deepcopy(case.text["patch"])}
    try:
        late = [row for row in change if str(row.get("at", "")).startswith("patch.")] if case.text.get("solve") else []
        apply(data, [row for row in change if row not in late])
        for kind in sorted(touched & {"rig", "show"}):
            data[kind] = _reread(kind, data)
        if case.text.get("solve"):
            data["patch"] = dump(pipeline.solve(build(Rig, data["rig"]), build(Show, data["show"]), explain=False))
            apply(data, late)
    except PatchloomError as problem:
        raise CaseFailed(f"{case.path}: {problem}") from None
    if touched & {"rig", "show"} and not case.text.get("solve"):
        data["patch"] = {key: value for key, value in data["patch"].items() if key not in ("rig", "show")}
    return build(Rig, data["rig"]), build(Show, data["show"]), build(Patch, data["patch"])


def _reread(kind: str, data: dict[str, Any]) -> dict[str, Any]:
    """Return a changed document read anew, so that a case cannot hold what no document may."""
    from patchloom.document import read

    return read(data[kind], kind, name=f"the changed {kind}", rig=data["rig"] if kind == "show" else None).data


def run_case(case: RuleCase, rules: Mapping[str, Callable[..., Any]] | None = None) -> None:
    """Run one case; raise CaseFailed where it comes out otherwise than it says."""
    found = findings_of(case, rules)
    problem = _compare(case, found)
    if not problem and case.text.get("only"):
        problem = _only(case, rules)
    if problem:
        told = "".join(f"\n  {row}" for row in found) or "\n  nothing"
        raise CaseFailed(f"{case.name} ({case.text['about']}): {problem}\nthe rule says:{told}")


def findings_of(case: RuleCase, rules: Mapping[str, Callable[..., Any]] | None = None) -> tuple[Finding, ...]:
    """Return what the rule of a case says about it."""
    rule = (_installed() if rules is None else rules).get(case.rule)
    if rule is None:
        raise CaseFailed(f"{case.path}: no rule is called {case.rule}")
    return tuple(sorted(rule(*built(case)), key=Finding.sort_key))


@cache
def _installed() -> dict[str, Callable[..., Any]]:
    from patchloom import plugins

    return dict(plugins.load_all("rules").objects)


def _compare(case: RuleCase, rows: tuple[Finding, ...]) -> str:
    """Return how the findings differ from what a case expects, empty where they do not."""
    expect = case.text["expect"]
    kinds = {kind: [row for row in rows if row.kind == kind] for kind in ("found", "unchecked", "nothing")}
    stray = [row for row in rows if row.rule != case.rule]
    if stray:
        return f"a finding is called {stray[0].rule}"
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
    return _compare_found(expect["fails"] if case.outcome == "fails" else [], kinds["found"])


def _compare_found(expected: list[Any], found: list[Finding]) -> str:
    left = list(found)
    for row in expected:
        wanted = {"where": row} if isinstance(row, list) else {"where": [row]} if isinstance(row, str) else row
        hit = next((finding for finding in left if _fits(finding, wanted)), None)
        if hit is None:
            return f"no finding fits {json.dumps(row, ensure_ascii=False)}"
        left.remove(hit)
    return f"{len(left)} findings more than expected" if left else ""


def _fits(finding: Finding, wanted: dict[str, Any]) -> bool:
    numbers = {key: str(value) for key, value in finding.numbers}
    return (
        all(place in finding.where for place in wanted.get("where", []))
        and all(words in finding.message for words in _list(wanted.get("says", [])))
        and wanted.get("severity", finding.severity) == finding.severity
        and wanted.get("period", finding.period) == finding.period
        and all(numbers.get(key) == str(value) for key, value in wanted.get("numbers", {}).items())
    )


def _list(value: Any) -> list[Any]:
    return [value] if isinstance(value, str) else list(value)


def _only(case: RuleCase, rules: Mapping[str, Callable[..., Any]] | None) -> str:
    """Return what else is said of a changed answer, at the root, that is not said of the right one."""
    before = _everything(_plain_case(case), rules)
    after = _everything(case, rules)
    known = {(row.rule, row.period, row.where) for row in before}
    more = [row for row in after if row.rule != case.rule and (row.rule, row.period, row.where) not in known]
    return f"only {case.rule} should speak, and this does too: {more[0]}" if more else ""


def _plain_case(case: RuleCase) -> RuleCase:
    return attrs.evolve(case, text={"about": "", "base": case.text["base"], "expect": "passes"})


def _everything(case: RuleCase, rules: Mapping[str, Callable[..., Any]] | None) -> list[Finding]:
    from patchloom.check import check
    from patchloom.check.verify import verify

    if "change" not in case.text:
        base = json.dumps(case.text["base"], sort_keys=True)
        return _of_base(base, case.path.parent.parent, rules is None, tuple((rules or {}).items()))
    rig, show, patch = built(case)
    found = check(
        rig,
        show,
        patch,
        _installed() if rules is None else rules,
        found=verify(rig, show, patch, digests=(patch.rig, patch.show)),
    )
    return [row for row in found if row.severity != "note"]


@cache
def _of_base(base: str, folder: Path, shipped: bool, rules: tuple[tuple[str, Any], ...]) -> list[Finding]:
    case = RuleCase("", folder / "base" / "base.json", {"about": "", "base": json.loads(base), "expect": "passes", "change": []})
    return _everything(case, None if shipped else dict(rules))


def run_cases(folder: str | Path, rules: Mapping[str, Callable[..., Any]] | None = None) -> int:
    """Return how many cases of a folder were run; raise CaseFailed naming every one that came out otherwise.

    `rules` are functions by name; None takes every installed rule.
    """
    rows = cases_in(folder)
    problems = []
    for case in rows:
        try:
            run_case(case, rules)
        except CaseFailed as problem:
            problems.append(str(problem))
    if problems:
        raise CaseFailed("\n\n".join(problems))
    return len(rows)


def case_test(folder: str | Path, rules: Mapping[str, Callable[..., Any]] | None = None) -> Callable[..., None]:
    """Return a test function for pytest that runs every case of a folder, one test a case."""
    import pytest

    @pytest.mark.parametrize("case", cases_in(folder), ids=lambda case: case.name)
    def test_case(case: RuleCase) -> None:
        """The rule says of this case what the case expects."""
        run_case(case, rules)

    return test_case
