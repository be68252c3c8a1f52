"""Measure families of rigs, against peers on the same work in the same run, and print ratios.

    python tests/bench/bench.py                       # all of it, about half an hour
    python tests/bench/bench.py --only mesh --picture growth.svg
    python tests/bench/bench.py --only families --family campus --family theatre --peers paths

Comes in: options.  Goes out: tables on the screen, a picture.  Next: a person.  Every measurement is a process of its
own.  What each target is, and what a column means: README.md beside this file.
"""

from __future__ import annotations

import argparse
import json
import os
import subprocess
import sys
from math import exp, log
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parent))

from families import FAMILIES, MESHES, SIZES, family, hall, mesh_load
from picture import picture, slope

HERE = Path(__file__).parent
Row = dict[str, Any]
ORACLE = ("slots", "blocks-cpsat")
HUBS = ("three-desks", "orchestra", "theatre")
PARTS = ("families", "blocks", "mesh", "change")


def documents(key: str) -> tuple[Row, Row]:
    """Return the rig and show a key names: `campus`, `hall 128 6 0` (sources, desks, slack), `mesh 2500 0.85`."""
    name, *rest = key.split()
    if name == "hall":
        sources, desks, slack = map(int, rest)
        return hall(1, sources, desks, slack)
    if name == "mesh":
        return mesh_load(1, int(rest[0]), float(rest[1]))
    return family(name, 1)


def ask(python: str, task: str, key: str, limit_s: float) -> Row:
    """Return what a process of its own measured."""
    code = [python, str(HERE / "worker.py"), task, key, str(limit_s)]
    try:
        most = limit_s + (200 if task in ("mine", "change") else 15)
        done = subprocess.run(code, capture_output=True, text=True, timeout=most, check=False)
    except subprocess.TimeoutExpired:
        return {"outcome": "not finished", "seconds": limit_s, "open": True}
    if done.returncode:
        return {"outcome": f"broke: {done.stderr.strip().splitlines()[-1][:100] if done.stderr else '?'}", "seconds": None}
    found: Row = json.loads(done.stdout.splitlines()[-1])
    return found


def times(one: float | None, other: float | None) -> str:
    """Return one time over another as text."""
    if not one or not other:
        return "-"
    ratio = one / other
    return f"{ratio:.0f}x" if ratio >= 10 else f"{ratio:.2f}x"


def bound(said: Row) -> str:
    """Return a sign that a peer did not finish, so that its time is only a lower bound."""
    return ">" if said["outcome"] in ("open", "not finished") else " "


def mine_line(key: str, mine: Row) -> str:
    """Return a line about the product on one rig; parts of the whole, not seconds."""
    if mine["outcome"] != "solved":
        return f"{key:<18} {mine['outcome']}"
    whole = mine["read"] + mine["solve"] + mine["verify"]
    parts = ", ".join(f"{name} {100 * mine[name] / whole:.0f} %" for name in ("read", "solve", "verify"))
    engines = ", ".join(mine["engines"]) or "no engine"
    judged = f", judge objects {mine['objections']}x" if mine["objections"] else ""
    return f"{key:<18} {mine['wants']:>6} wants  {parts}; {mine['mib']} MiB; wishes {mine['wishes']}; {engines}{judged}"


def run_families(given: argparse.Namespace) -> None:
    """Print every family against its peers."""
    print("\n== Families (peer : product; the slot model against solve, paths against solve and verify, warm)")
    for name in given.family or FAMILIES:
        mine = ask(sys.executable, "mine", name, given.seconds)
        print(mine_line(name, mine), flush=True)
        if mine["outcome"] != "solved":
            continue
        peers = [peer for peer in ("slots", "paths", "paths-weighted") if peer in given.peers]
        peers += [peer for peer in ("blocks-cpsat", "blocks-highs") if name in HUBS and peer in given.peers]
        for peer in peers:
            said = ask(given.oracle_python if peer in ORACLE else sys.executable, peer, name, given.seconds)
            if peer.startswith("paths"):
                ratio = times(mine["solve"] + mine["verify"], said["seconds"])
                aim = "  aim at most 5x" if peer == "paths" and name in ("campus", "network") else ""
                print(f"    solve + verify : {peer:<15} {ratio:>8}{aim}", flush=True)
                continue
            ours = mine["solve_first_act"] if peer == "slots" else mine["solve"]
            aim = "  aim at least 50x" if peer == "slots" and SIZES[name] >= 32 else ""
            print(
                f"    {peer:<15}: solve          {bound(said)}{times(said['seconds'], ours):>8}  {said['outcome']}{aim}",
                flush=True,
            )


def run_blocks(given: argparse.Namespace) -> None:
    """Print the compact block model against the product on halls."""
    print("\n== Halls: compact block model : solve, one process each, imports left out (aim: geometric mean 1.5; 8 desks 1)")
    ratios: list[float] = []
    for sources, desks in ((128, 4), (128, 5), (128, 6), (256, 4), (256, 5), (256, 6), (128, 8)):
        for slack in (0, 1):
            key = f"hall {sources} {desks} {slack}"
            mine = ask(sys.executable, "mine", key, given.seconds)
            line = [f"{key:<16} {mine['outcome']:<10}"]
            for peer in ("blocks-cpsat", "blocks-highs"):
                if peer not in given.peers:
                    continue
                said = ask(given.oracle_python if peer in ORACLE else sys.executable, peer, key, given.seconds)
                ours = mine.get("solve")
                line.append(f"{peer} {said['outcome']} {times(said['seconds'], ours)}")
                if peer == "blocks-cpsat" and said["seconds"] and ours and desks < 8:
                    ratios.append(said["seconds"] / ours)
            print("  ".join(line), flush=True)
    if ratios:
        print(f"geometric mean over {len(ratios)} halls of 4 to 6 desks: {exp(sum(map(log, ratios)) / len(ratios)):.2f}")


def run_mesh(given: argparse.Namespace) -> None:
    """Print growth over five sizes, and what loads of 95 and 100 % come to."""
    print("\n== Mesh: growth of solve + verify with the number of wants")
    lines: dict[str, list[tuple[float, float]]] = {}
    base: dict[float, float] = {}
    for load in (0.85, 0.95, 1.0):
        for wants in [size for size in MESHES if size <= given.wants]:
            mine = ask(sys.executable, "mine", f"mesh {wants} {load}", given.seconds)
            if mine["outcome"] != "solved":
                print(f"load {load:.0%}, {wants} wants: {mine['outcome']}", flush=True)
                continue
            spent = mine["solve"] + mine["verify"]
            base.setdefault(load, spent)
            lines.setdefault(f"solve + verify, {load:.0%} load", []).append((mine["wants"], spent / base[load]))
            print(
                f"load {load:.0%}, {mine['wants']} wants: {times(spent, base[load])} of the smallest; {mine['mib']} MiB",
                flush=True,
            )
    for name, points in lines.items():
        if len(points) > 1:
            aim = "  aim at most 1.1" if "85" in name else ""
            print(f"growth exponent, {name}: {slope(points):.2f} over {len(points)} sizes{aim}")
    if given.picture and lines:
        Path(given.picture).write_text(picture(lines), encoding="utf-8")


def run_change(given: argparse.Namespace) -> None:
    """Print what one added source takes, against a solve from nothing; whole calls, signed and judged."""
    print("\n== One added source: whole call : full solve")
    for key, aim in (("campus", "1/3"), ("hall 64 4 2", "1/50"), ("hall 128 4 2", "1/50")):
        mine = ask(sys.executable, "change", key, given.seconds)
        if mine["outcome"] != "solved":
            print(f"{key:<18} {mine['outcome']}")
            continue
        print(f"{key:<18} 1/{mine['full'] / mine['added']:.1f}  aim at most {aim}; moved {mine['moved']} other plugs", flush=True)


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description="Families of rigs, measured; ratios to peers.")
    parser.add_argument("--only", action="append", choices=PARTS, help="only these parts")
    parser.add_argument("--family", action="append", choices=list(FAMILIES), help="only these families")
    parser.add_argument("--peers", default="slots,blocks-cpsat,blocks-highs,paths,paths-weighted", help="which peers to ask")
    parser.add_argument("--seconds", type=float, default=60.0, help="limit of one solve (60)")
    parser.add_argument("--wants", type=int, default=40000, help="largest mesh (40000)")
    parser.add_argument("--picture", help="where to put a picture (SVG) of growth")
    parser.add_argument(
        "--oracle-python",
        default=os.environ.get("PATCHLOOM_ORACLE_PYTHON", sys.executable),
        help="interpreter with OR-Tools (or PATCHLOOM_ORACLE_PYTHON)",
    )
    given = parser.parse_args()
    given.peers = given.peers.split(",")
    todo = given.only or PARTS
    for name, run in zip(PARTS, (run_families, run_blocks, run_mesh, run_change), strict=True):
        if name in todo:
            run(given)


if __name__ == "__main__":
    main()
