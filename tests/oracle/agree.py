"""Holds the solver against two oracles on random small rigs, and prints how far they agree.

Comes in: how many rigs, from which seed.  Goes out: tables on the screen; a rig and a show for every disagreement; exit
code 1 where one of them is grave: something said that is not so.  Next: a case in `tests/small/cases` for each.

    python tests/oracle/agree.py --count 2000
    python tests/oracle/agree.py --count 20000 --size small --python /path/to/python-with-ortools

Tiny rigs are held against the exhaustive search and the model, small ones against the model alone.
"""

from __future__ import annotations

import argparse
import json
import subprocess
import sys
import tempfile
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any

HERE = Path(__file__).parent
sys.path.insert(0, str(HERE))

__all__ = ["compare", "main"]

GRAVE = ("false", "more wishes", "fewer wishes, called proven", "the solver breaks")
"""What is never to be said; what the search leaves open, or is not let through by the judge, is a shortcoming."""
SHARE = 200
"""Cases one process answers before the next begins, so that progress shows."""


def compare(solver: dict[str, Any], oracle: dict[str, Any]) -> str:
    """Return `agree`, `open` (one of them does not know), or in a few words what they disagree about."""
    mine, theirs = solver["verdict"], oracle["verdict"]
    if mine == "crash":
        return "the solver breaks"
    if theirs == "open":
        return "open"
    if mine == "undecided":
        return f"undecided, {theirs}"
    if mine == "objected":
        return f"the judge objects, {theirs}"
    if mine != theirs:
        return f"false {mine}"
    if mine == "impossible":
        return "agree"
    ours, best = ranks(solver["wishes"]), ranks(oracle["wishes"])
    if ours == best:
        return "agree"
    if ours > best:
        return "more wishes than there can be"
    said = solver.get("proven", {})
    wrong = next(rank for rank in best if ours.get(rank, 0) != best[rank])
    return "fewer wishes, called proven" if said.get(str(wrong)) else "fewer wishes, not called proven"


def ranks(wishes: list[list[Any]]) -> Any:
    """Return how many wishes of each priority are carried, dearest first, in a form that compares."""
    return _Ranks(Counter(row[2] for row in wishes))


class _Ranks(dict):  # type: ignore[type-arg]
    """Numbers by priority; more of a dearer one is more."""

    def __gt__(self, other: Any) -> bool:
        for rank in sorted({*self, *other}):
            if self.get(rank, 0) != other.get(rank, 0):
                return bool(self.get(rank, 0) > other.get(rank, 0))
        return False


def answers(who: str, python: str, cases: list[Any], folder: Path) -> list[dict[str, Any]]:
    """Return what one of them says of the cases, asked in processes of its own."""
    found: list[dict[str, Any]] = []
    for at in range(0, len(cases), SHARE):
        given, said = folder / f"cases-{who}.jsonl", folder / f"answers-{who}.jsonl"
        given.write_text("".join(json.dumps(case._asdict()) + "\n" for case in cases[at : at + SHARE]), encoding="utf-8")
        subprocess.run([python, str(HERE / "answers.py"), who, str(given), str(said)], check=True)
        found += [json.loads(line) for line in said.read_text(encoding="utf-8").splitlines()]
        print(f"\r{who}: {len(found)} of {len(cases)}", end="", file=sys.stderr)
    print(file=sys.stderr)
    return found


def can_model(python: str) -> bool:
    """Return whether an interpreter can ask the model."""
    return subprocess.run([python, "-c", "import ortools, patchloom"], capture_output=True).returncode == 0


def tables(cases: list[Any], said: dict[str, list[dict[str, Any]]]) -> Iterator[str]:
    """Yield the lines of the report."""
    best = [next((row["verdict"] for row in rows if row["verdict"] != "open"), "open") for rows in _oracles(said, cases)]
    yield f"{len(cases)} rigs: {', '.join(f'{count} {word}' for word, count in sorted(Counter(best).items()))} (by the oracles)"
    for who, rows in said.items():
        times = sorted(row["seconds"] for row in rows)
        verdicts = ", ".join(f"{count} {word}" for word, count in sorted(Counter(row["verdict"] for row in rows).items()))
        yield f"  {who:7} {verdicts}; median {times[len(times) // 2]:.4f} s, longest {times[-1]:.2f} s"
    for who in said:
        if who != "solver":
            counts = Counter(compare(mine, theirs) for mine, theirs in zip(said["solver"], said[who], strict=True))
            yield f"solver and {who}:"
            yield from (f"  {count:6} {word}" for word, count in counts.most_common())
    if "exact" in said and "model" in said:
        pairs = [(a, b) for a, b in zip(said["exact"], said["model"], strict=True) if "open" not in (a["verdict"], b["verdict"])]
        same = sum(a["verdict"] == b["verdict"] and ranks(a["wishes"]) == ranks(b["wishes"]) for a, b in pairs)
        yield f"exact and model: {same} agree of {len(pairs)} that both know"
    features = Counter((feature, verdict) for case, verdict in zip(cases, best, strict=True) for feature in case.features)
    yield "features                      solved  impossible"
    for feature in sorted({feature for feature, _ in features}):
        yield f"  {feature:26} {features[feature, 'solved']:7} {features[feature, 'impossible']:11}"


def _oracles(said: dict[str, list[dict[str, Any]]], cases: list[Any]) -> list[list[dict[str, Any]]]:
    return [[rows[number] for who, rows in said.items() if who != "solver"] for number in range(len(cases))]


def disagreements(cases: list[Any], said: dict[str, list[dict[str, Any]]]) -> Iterator[tuple[Any, str, dict[str, Any]]]:
    """Yield every case on which two of them differ, the words for it, and what each said."""
    for number, case in enumerate(cases):
        rows = {who: answers_[number] for who, answers_ in said.items()}
        for who in rows:
            word = "agree" if who == "solver" else compare(rows["solver"], rows[who])
            if word not in ("agree", "open"):
                yield case, word, rows
                break
        else:
            known = [row for who, row in rows.items() if who != "solver" and row["verdict"] != "open"]
            if len({(row["verdict"], str(sorted(ranks(row["wishes"]).items()))) for row in known}) > 1:
                yield case, "the oracles differ", rows


def write(folder: Path, case: Any, word: str, rows: dict[str, Any]) -> None:
    """Write a case's documents, and what was said of it."""
    home = folder / case.name
    home.mkdir(parents=True, exist_ok=True)
    for name in ("rig", "show"):
        (home / f"{name}.json").write_text(json.dumps(getattr(case, name), indent=1) + "\n", encoding="utf-8")
    (home / "said.json").write_text(json.dumps({"disagreement": word, **rows}, indent=1) + "\n", encoding="utf-8")


def main(argv: list[str] | None = None) -> int:
    """Run the whole comparison; return the exit code."""
    parser = argparse.ArgumentParser(description="Holds the solver against two oracles on random small rigs.")
    parser.add_argument("--count", type=int, default=300, help="how many rigs of each size")
    parser.add_argument("--seed", type=int, default=0, help="the first seed")
    parser.add_argument("--size", choices=("tiny", "small", "both"), default="both")
    parser.add_argument("--against", choices=("exact", "model", "both"), default="both", help="which oracle")
    parser.add_argument("--python", default=sys.executable, help="an interpreter that has ortools, for the model")
    parser.add_argument("--folder", type=Path, default=Path("disagreements"), help="where disagreements are written")
    given = parser.parse_args(argv)
    model = given.against != "exact" and can_model(given.python)
    if given.against != "exact" and not model:
        print(f"the model is left out: {given.python} cannot import ortools (pip install 'patchloom[oracle]', or --python)")
    wrong = 0
    for size in ("tiny", "small") if given.size == "both" else (given.size,):
        asked = ["solver"]
        asked += ["exact"] if size == "tiny" and given.against != "model" else []
        asked += ["model"] if model else []
        if len(asked) == 1:
            print(f"{size} rigs are left out: nobody to hold the solver against")
            continue
        wrong += _run(given, size, asked)
    return 1 if wrong else 0


def _run(given: argparse.Namespace, size: str, asked: list[str]) -> int:
    from oracle_rigs import make

    cases = [make(seed, size) for seed in range(given.seed, given.seed + given.count)]
    with tempfile.TemporaryDirectory() as folder:
        said = {who: answers(who, given.python if who == "model" else sys.executable, cases, Path(folder)) for who in asked}
    print(f"== {size}, seeds {given.seed} to {given.seed + given.count - 1}")
    print("\n".join(tables(cases, said)))
    found = list(disagreements(cases, said))
    for case, word, rows in found:
        write(given.folder, case, word, rows)
    if found:
        print(f"{len(found)} disagreements, in {given.folder}:")
        print("\n".join(f"  {case.name}: {word}" for case, word, _ in found))
    return sum(word.startswith(GRAVE) for _, word, _ in found)


if __name__ == "__main__":
    sys.exit(main())
