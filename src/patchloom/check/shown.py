"""The cases of a rule or an entry: small shows that pass and small shows that fail, as JSON files a person can read.

Comes in: a folder with one folder a rule or an entry of `trade`, one JSON file a case, beside a folder of bases.  Goes out:
`RuleCase`s, and the rig, show and patch each of them means.  Next: `judging` says what is found in them,
`patchloom.testing.folder` runs them, the command line draws them, the reference pages name them.

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

__all__ = ["Base", "CaseError", "RuleCase", "Solve", "base_of", "built", "cases_in", "home", "made_of"]

_FIELDS = ("about", "base", "change", "text", "patch", "solve", "expect", "only", "picture")
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
    """One case: its rule or entry (the folder's name), its file, what it says."""

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


class Base:
    """Rig, show and patch a case starts from, as objects and, once somebody changes them, as plain data."""

    def __init__(self, rig: Rig, show: Show, patch: Patch) -> None:
        self.objects: dict[str, Any] = {"rig": rig, "show": show, "patch": patch}
        self._plain: dict[str, dict[str, Any]] = {}

    def plain(self, kind: str) -> dict[str, Any]:
        """Return one of them as plain data, to be left as it is."""
        if kind not in self._plain:
            self._plain[kind] = dump(self.objects[kind])
        return self._plain[kind]


def base_of(case: RuleCase, solve: Solve) -> Base:
    """Return the base of a case: read and solved once."""
    base = case.text["base"]
    if isinstance(base, dict):
        return _read_base(json.dumps(base, sort_keys=True), str(case.path), solve)
    return _named_base(base, case.path.parent.parent, solve)


@cache
def _named_base(name: str, folder: Path, solve: Solve) -> Base:
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
def _read_base(text: str, name: str, solve: Solve) -> Base:
    from patchloom.document import read

    data = json.loads(text)
    plain = read({"format": "rig/1", **data["rig"]}, "rig", name=name).data
    rig = build(Rig, plain)
    show = build(Show, read({"format": "show/1", **data["show"]}, "show", name=name, rig=plain).data)
    if "patch" in data:
        return Base(rig, show, build(Patch, read({"format": "patch/1", **data["patch"]}, "patch", name=name).data))
    return Base(rig, show, solve(rig, show))


def built(case: RuleCase, solve: Solve) -> tuple[Rig, Show, Patch]:
    """Return rig, show and patch of a case, its changes made; a changed rig or show is solved anew only when it says `solve`.

    Raises CaseError for a case that cannot be built.
    """
    try:
        return made_of(case, solve)
    except PatchloomError as problem:
        raise problem if isinstance(problem, CaseError) else CaseError(f"{case.path}: {problem}") from None


def made_of(case: RuleCase, solve: Solve) -> tuple[Rig, Show, Patch]:
    """Return the same, and raise what reading or solving raises: a case may be about that."""
    base, change = base_of(case, solve), case.text.get("change", [])
    made = dict(base.objects)
    if "text" in case.text:
        _reworded(case, made, base)
    if "patch" in case.text:
        made["patch"] = build(Patch, {"format": "patch/1", **case.text["patch"]})
    touched = _change(made, base, change, ("rig", "show"))
    if case.text.get("solve"):
        made["patch"] = solve(made["rig"], made["show"])
    elif touched:
        made["patch"] = attrs.evolve(made["patch"], rig="", show="")
    _change(made, base, change, ("patch",))
    return made["rig"], made["show"], made["patch"]


def _reworded(case: RuleCase, made: dict[str, Any], base: Base) -> None:
    """Read a document of the base again from its text, a few signs of which are replaced by others."""
    from patchloom.document import read, write_text

    row = case.text["text"]
    kind, known = row["of"], write_text(base.plain(row["of"]), row["of"])
    if row["replace"] not in known:
        raise CaseError(f"{case.path}: {row['replace']!r} is not in the text of the {kind}")
    text = known.replace(row["replace"], row["by"], 1).encode("utf-8", "surrogateescape")
    data = read(text, kind, name=f"the reworded {kind}", rig=base.plain("rig") if kind == "show" else None).data
    made[kind] = build({"rig": Rig, "show": Show, "patch": Patch}[kind], data)


def _change(made: dict[str, Any], base: Base, change: list[dict[str, Any]], kinds: tuple[str, ...]) -> bool:
    """Make the changes that speak of some of the three; return whether there were any."""
    rows = [row for row in change if (str(row.get("at", "")).partition(".")[0] == "patch") == ("patch" in kinds)]
    touched = [kind for kind in kinds if any(str(row.get("at", "")).startswith(f"{kind}.") for row in rows)]
    same = {kind: made[kind] is base.objects[kind] for kind in kinds}
    data = {kind: copy.deepcopy(base.plain(kind) if same[kind] else dump(made[kind])) for kind in touched}
    apply(data, rows)
    for kind in touched:
        if kind != "patch":
            data[kind] = _reread(kind, data, data.get("rig") or base.plain("rig"))
        made[kind] = build({"rig": Rig, "show": Show, "patch": Patch}[kind], data[kind])
    return bool(touched)


def _reread(kind: str, data: dict[str, Any], rig: dict[str, Any]) -> dict[str, Any]:
    """Return a changed document read anew, so that a case cannot hold what no document may."""
    from patchloom.document import read

    return read(data[kind], kind, name=f"the changed {kind}", rig=rig if kind == "show" else None).data
