"""Documents changed at random: complaints or a clean read, never anything else."""

from __future__ import annotations

import copy
import json
import pathlib
import random

import pytest

from patchloom import document
from patchloom.errors import DocumentError
from patchloom.model.base import build, dump
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Show

TOP = pathlib.Path(__file__).resolve().parents[2]
CLASSES = {"rig": Rig, "show": Show, "patch": Patch}
JUNK = [
    None,
    0,
    -1,
    3.5,
    True,
    "",
    "all",
    "kick",
    "BOX.mic",
    "BOX[1]",
    "FOH.ch[1-8]",
    "a{1-3}",
    "{1-}",
    "tag:x",
    "foh.list",
    [],
    {},
    ["x"],
    [None],
    {"x": 1},
    [["x"]],
    "main",
    {"like": "mic"},
    {"of": ["x"], "not": "x"},
    10**9,
    "48000",
    "A.b.c.d",
]
KEYS = ["id", "ids", "like", "not", "each", "set", "type", "at", "signals", "of", "x"]


def cases():
    for path in sorted((TOP / "schemas" / "suite").glob("*.json")):
        for case in json.loads(path.read_text(encoding="utf-8"))["cases"]:
            if isinstance(case.get("document"), dict):
                yield case["kind"], case["document"], case.get("rig")
    for folder in sorted((TOP / "docs" / "examples").iterdir()):
        rig = json.loads((folder / "rig.json").read_text(encoding="utf-8"))
        yield "rig", rig, None
        yield "show", json.loads((folder / "show.json").read_text(encoding="utf-8")), rig


CASES = [case for case in cases() if case[0] != "page"]


def spots(value):
    for key, item in value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ():
        yield value, key
        yield from spots(item)


def spoil(value, pick):
    found = list(spots(value))
    if not found:
        return
    holder, key = pick.choice(found)
    way = pick.random()
    if way < 0.5:
        holder[key] = copy.deepcopy(pick.choice(JUNK))
    elif way < 0.65:
        other, place = pick.choice(found)
        holder[key] = copy.deepcopy(other[place]) if place in other or (isinstance(other, list) and place < len(other)) else None
    elif way < 0.8:
        del holder[key]
    elif isinstance(holder, dict):
        holder[pick.choice(KEYS)] = copy.deepcopy(pick.choice(JUNK))
    else:
        holder.append(copy.deepcopy(holder[key]))


def read_or_complaints(value, kind, rig):
    try:
        return document.read(value, kind, rig=rig and document.read(rig, "rig").data).data, ()
    except DocumentError as error:
        return None, error.complaints


@pytest.mark.parametrize("seed", range(4))
def test_any_change_gives_complaints_or_a_clean_read(seed):
    """Whatever is changed: either complaints with kind and path, or data that builds, dumps, writes and reads back."""
    pick = random.Random(seed)
    for _ in range(150):
        kind, good, rig = pick.choice(CASES)
        value = copy.deepcopy(good)
        for _ in range(pick.choice([1, 1, 2, 3])):
            spoil(value, pick)
        before = copy.deepcopy(value)
        data, complaints = read_or_complaints(value, kind, rig if kind == "show" else None)
        assert value == before
        assert data is not None or complaints
        assert all(row.kind and row.path.startswith("$") and row.message and str(row) for row in complaints)
        if data is not None and kind in CLASSES:
            assert dump(build(CLASSES[kind], data)) == data
            assert document.read(document.write_text(data, kind).encode(), kind).data == data
            assert document.read(document.write_text(value, kind).encode(), kind).data == data


def test_reading_is_quick():
    """A show of 60 sources and four lists is read in well under 60 ms of processor time, and without jsonschema."""
    import subprocess
    import sys

    code = """
import sys, time
from patchloom import document
show = {"format": "show/1", "sources": [{"ids": ["in{1-60}"], "phantom": "no"}], "plug": [{"sources": "all", "into": "BOX.mic"}],
        "lists": [{"position": name, "at": f"{name}.ch", "wants": "all"} for name in ("foh", "mon", "rec", "air")],
        "feeds": [{"ids": ["ear{1-12}"], "legs": ["L", "R"], "mixed_at": "mon", "of": ["mon.list"], "to": "BOX.line"}]}
times = []
for _ in range(7):
    begun = time.process_time()
    document.read(show, "show")
    times.append(time.process_time() - begun)
print(min(times), "jsonschema" in sys.modules)
"""
    answer = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, timeout=60)
    seconds, loaded = answer.stdout.split()
    assert float(seconds) < 0.060
    assert loaded == "False"
