"""Makes a disagreement small: leaves out whatever can go while the solver still disagrees in the same way.

Comes in: folders `agree.py` wrote.  Goes out: `small.json` beside each, in the form of `tests/small/cases`, and on the screen.
Next: an idea in words, and a place among those cases.

    python tests/oracle/shrink.py disagreements/tiny-12 disagreements/tiny-40
"""

from __future__ import annotations

import copy
import json
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parent))

__all__ = ["shrink"]

STEPS = 3_000


def shrink(rig: dict[str, Any], show: dict[str, Any]) -> tuple[str, str, dict[str, Any], dict[str, Any]]:
    """Return the disagreement in words, the right verdict, and the smallest rig and show found that still show it."""
    word, verdict = _differ(rig, show)
    smaller = word != "agree"
    while smaller:
        smaller = False
        for other_rig, other_show in _less(rig, show):
            if _differ(other_rig, other_show) == (word, verdict):
                rig, show, smaller = other_rig, other_show, True
                break
    return word, verdict, rig, show


def _differ(rig: dict[str, Any], show: dict[str, Any]) -> tuple[str, str]:
    import agree
    import answers

    import patchloom

    try:
        read = patchloom.read_rig(rig)
        asked = patchloom.read_show(show, read)
    except patchloom.DocumentError:
        return "unreadable", ""
    best = answers.exact(read, asked)
    if best["verdict"] == "open":
        return "open", ""
    return agree.compare(answers.solver(read, asked), best), best["verdict"]


def _less(rig: dict[str, Any], show: dict[str, Any]) -> Iterator[tuple[dict[str, Any], dict[str, Any]]]:
    """Yield rig and show with one thing less, the largest things first."""
    for name in rig["devices"]:
        yield _without_device(rig, show, name)
    for key in ("sources", "feeds", "lists", "fixed", "groups", "plug"):
        for number in range(len(show.get(key, []))):
            other = copy.deepcopy(show)
            gone = other[key].pop(number)
            if key in ("sources", "feeds"):
                _forget(other, gone["id"])
            yield rig, other
    for number in range(len(rig["links"])):
        yield _without_link(rig, number), show
    for item, row in enumerate(show["lists"]):
        for number, want in enumerate(row["wants"]):
            other = copy.deepcopy(show)
            del other["lists"][item]["wants"][number]
            yield rig, other
            for key in sorted(set(want or ()) - {"signal"}):
                other = copy.deepcopy(show)
                del other["lists"][item]["wants"][number][key]
                yield rig, other
    for number, row in enumerate(show["sources"]):
        for key in ("phantom", "powered_by"):
            if key in row:
                other = copy.deepcopy(show)
                del other["sources"][number][key]
                yield rig, other
    for name, kind in rig["types"].items():
        for number in range(len(kind["select"])):
            less = copy.deepcopy(rig)
            del less["types"][name]["select"][number]
            yield less, show
        for bank in kind["banks"]:
            if kind["banks"][bank]["slots"] > 1:
                less = copy.deepcopy(rig)
                less["types"][name]["banks"][bank]["slots"] -= 1
                yield less, show
        for key in ("limits", "preamps"):
            if key in kind and key == "limits":
                less = copy.deepcopy(rig)
                del less["types"][name][key]
                yield less, show


def _forget(show: dict[str, Any], signal: str) -> None:
    show["plug"] = [row for row in show["plug"] if row["source"].partition(".")[0] != signal]
    for item in show["lists"]:
        item["wants"] = [want for want in item["wants"] if want is None or signal not in (want["signal"], want.get("alternate"))]
    for group in show.get("groups", []):
        group["of"] = [name for name in group["of"] if name != signal]
    show["groups"] = [group for group in show.get("groups", []) if len(group["of"]) > 1]


def _without_device(rig: dict[str, Any], show: dict[str, Any], name: str) -> tuple[dict[str, Any], dict[str, Any]]:
    rig, show = copy.deepcopy(rig), copy.deepcopy(show)
    del rig["devices"][name], rig["types"][f"t_{name}"]
    for number in reversed(range(len(rig["links"]))):
        if any(end.split(".")[0] == name for end in rig["links"][number]["join"]):
            rig = _without_link(rig, number)
    show["lists"] = [item for item in show["lists"] if not item["at"].startswith(f"{name}.")]
    show["fixed"] = [row for row in show.get("fixed", []) if not row["into"].startswith(f"{name}.")]
    for row in show["plug"]:
        row["into"] = [text for text in row["into"] if text.split(".")[0] != name] or row["into"]
    show["positions"].pop(f"pos{name}", None)
    return rig, show


def _without_link(rig: dict[str, Any], number: int) -> dict[str, Any]:
    """Return a rig without a link, its two ports, and what its rows say of them."""
    rig = copy.deepcopy(rig)
    for end in rig["links"].pop(number)["join"]:
        device, port = end.split(".")
        kind = rig["types"].get(f"t_{device}")
        if kind is None:
            continue
        kind["ports"].pop(port, None)
        rows = []
        for row in kind["select"]:
            if row["into"].split(".")[0] == port or row.get("wired", "").split(".")[0] == port:
                continue
            if "from" in row:
                row["from"] = [text for text in row["from"] if text.split(".")[0] != port]
                if not row["from"]:
                    continue
            rows.append(row)
        kind["select"] = rows
    used = {link["format"] for link in rig["links"]}
    rig["formats"] = {name: row for name, row in rig["formats"].items() if name in used}
    return rig


def main(folders: list[str]) -> None:
    """Shrink every folder's case."""
    import answers

    answers.STEPS = STEPS
    for folder in map(Path, folders):
        rig, show = (json.loads((folder / f"{name}.json").read_text(encoding="utf-8")) for name in ("rig", "show"))
        word, verdict, rig, show = shrink(rig, show)
        case = {
            "idea": word,
            "rig": {key: value for key, value in rig.items() if key != "format"},
            "show": {key: value for key, value in show.items() if key != "format" and value},
            "expect": {"verdict": verdict},
        }
        (folder / "small.json").write_text(json.dumps(case, indent=1) + "\n", encoding="utf-8")
        print(f"{folder}: {word}; {len(rig['devices'])} devices, {len(show['sources'])} sources")


if __name__ == "__main__":
    main(sys.argv[1:])
