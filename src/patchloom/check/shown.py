"""The cases of a rule: small shows that pass and small shows that fail, as JSON files a person can read.

Comes in: a folder with one folder a rule, one JSON file a case, beside a folder of bases.  Goes out: `RuleCase`s, and the rig,
show and patch each of them means.  Next: `patchloom.testing.folder` runs them, the command line draws them, the
reference pages name them.

A case says `about`, `base`, `change`, `expect`; `tests/rules/README.md` describes it.  Bases are read and solved once,
by whoever solves: this package does not.
"""

from __future__ import annotations

import copy
import json
from collections.abc import Callable, Iterable
from functools import cache
from pathlib import Path
from typing import Any

import attrs

from patchloom.check.edits import apply
from patchloom.errors import PatchloomError
from patchloom.model.base import build, dump
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Show

__all__ = ["CaseError", "RuleCase", "Solve", "base_of", "built", "cases_in", "home"]

_FIELDS = ("about", "base", "change", "patch", "solve", "expect", "only", "picture")
_OUTCOMES = ("passes", "fails", "unchecked", "nothing")

Solve = Callable[[Rig, Show], Patch]
"""What makes a patch of a rig and a show."""


class CaseError(PatchloomError):
    """A file that is no case, or a case that speaks of what is not there."""


def home() -> Path:
    """Return the folder of the cases of this package's own rules: installed with it, or in the checkout."""
    package = Path(__file__).parent
    for folder in (package / "cases", package.parents[2] / "tests" / "rules" / "cases"):
        if folder.is_dir():
            return folder
    raise CaseError("the cases of the rules are not installed")


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


def cases_in(folder: str | Path, rule: str = "*") -> tuple[RuleCase, ...]:
    """Return the cases of a folder (of one rule), by rule and file name; raise CaseError for a file that is no case."""
    found = []
    for path in sorted(Path(folder).glob(f"{rule}/*.json")):
        try:
            text = json.loads(path.read_text(encoding="utf-8"))
        except ValueError as error:
            raise CaseError(f"{path}: no JSON: {error}") from None
        odd = [key for key in text if key not in _FIELDS]
        lacks = [key for key in ("about", "base", "expect") if key not in text]
        if odd or lacks:
            raise CaseError(f"{path}: unknown {odd}, missing {lacks}; a case has {', '.join(_FIELDS)}")
        case = RuleCase(path.parent.name, path, text)
        expect = text["expect"]
        if expect not in ("passes", "nothing") and not (isinstance(expect, dict) and any(key in expect for key in _OUTCOMES)):
            raise CaseError(f"{path}: expect is passes, nothing, or an object with one of {', '.join(_OUTCOMES)}")
        found.append(case)
    return tuple(found)


def base_of(case: RuleCase, solve: Solve) -> tuple[dict[str, Any], dict[str, Any], dict[str, Any]]:
    """Return rig, show and patch of a case's base as plain data, expanded; solved once, to be left as they are."""
    base = case.text["base"]
    if isinstance(base, dict):
        return _read_base(json.dumps(base, sort_keys=True), str(case.path), solve)
    return _named_base(base, case.path.parent.parent, solve)


@cache
def _named_base(name: str, folder: Path, solve: Solve) -> tuple[dict[str, Any], dict[str, Any], dict[str, Any]]:
    for place in _homes(name, folder):
        if place.is_file():
            return _read_base(place.read_text(encoding="utf-8"), str(place), solve)
        if (place / "rig.json").is_file():
            texts = {kind: json.loads((place / f"{kind}.json").read_text(encoding="utf-8")) for kind in ("rig", "show")}
            return _read_base(json.dumps(texts), str(place), solve)
    raise CaseError(f"no base {name!r}: neither demo, nor a file in {folder.parent / 'bases'}, nor an example")


def _homes(name: str, folder: Path) -> Iterable[Path]:
    if name == "demo":
        yield Path(__file__).parents[1] / "demo"
    yield folder.parent / "bases" / f"{name}.json"
    yield folder / name
    for up in folder.resolve().parents:
        yield up / "docs" / "examples" / name


@cache
def _read_base(text: str, name: str, solve: Solve) -> tuple[dict[str, Any], dict[str, Any], dict[str, Any]]:
    from patchloom.document import read

    data = json.loads(text)
    rig = read({"format": "rig/1", **data["rig"]}, "rig", name=name).data
    show = read({"format": "show/1", **data["show"]}, "show", name=name, rig=rig).data
    if "patch" in data:
        return rig, show, read({"format": "patch/1", **data["patch"]}, "patch", name=name).data
    return rig, show, dump(solve(build(Rig, rig), build(Show, show)))


def built(case: RuleCase, solve: Solve) -> tuple[Rig, Show, Patch]:
    """Return rig, show and patch of a case, its changes made; a changed rig or show is solved anew only when it says `solve`."""

    rig, show, patch = base_of(case, solve)
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
            data["patch"] = dump(solve(build(Rig, data["rig"]), build(Show, data["show"])))
            apply(data, late)
    except PatchloomError as problem:
        raise CaseError(f"{case.path}: {problem}") from None
    if touched & {"rig", "show"} and not case.text.get("solve"):
        data["patch"] = {key: value for key, value in data["patch"].items() if key not in ("rig", "show")}
    return build(Rig, data["rig"]), build(Show, data["show"]), build(Patch, data["patch"])


def _reread(kind: str, data: dict[str, Any]) -> dict[str, Any]:
    """Return a changed document read anew, so that a case cannot hold what no document may."""
    from patchloom.document import read

    return read(data[kind], kind, name=f"the changed {kind}", rig=data["rig"] if kind == "show" else None).data
