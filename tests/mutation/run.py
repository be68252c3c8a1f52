"""Change the code in small ways, one at a time, and see whether a test notices: `python tests/mutation/run.py [text ...]`.

Comes in: `GROUPS`.  Goes out: what was not noticed, change by change, and a table by file; exit code 0 where at least nine
changes in ten are noticed.  Next: `survivors*.md` say of each why it is left.

With words given only changes whose names contain one of them are tried; `--group` takes one group.
"""

from __future__ import annotations

import argparse
import json
import subprocess
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))

from engine import Group, ask, change, short, spoil, table

GROUPS = {
    "judge": Group(
        (
            "check/clock.py",
            "check/control.py",
            "check/deliver.py",
            "check/destinations.py",
            "check/feeders.py",
            "check/fitting.py",
            "check/gain.py",
            "check/ground.py",
            "check/inserts.py",
            "check/musts.py",
            "check/phantom.py",
            "check/places.py",
            "check/report.py",
            "check/routes.py",
            "check/routing.py",
            "check/scene.py",
            "check/side.py",
            "check/signals.py",
            "check/spares.py",
            "check/static.py",
            "check/verify.py",
            "check/wants.py",
        ),
        ("tests.check.test_words",),
    ),
    "told": Group(
        (
            "check/cables.py",
            "check/capacity.py",
            "check/catalogue.py",
            "check/check.py",
            "check/edits.py",
            "check/explain.py",
            "check/folding.py",
            "check/judging.py",
            "check/own.py",
            "check/proof.py",
            "check/shown.py",
            "check/speak.py",
            "check/talk.py",
            "check/tally.py",
            "check/trade.py",
        ),
        ("tests.check.words_told_edits",),
    ),
    "solve": Group(("solve/clock.py", "solve/gain.py", "solve/owner.py", "solve/phantom.py"), ("tests.solve.test_words",)),
}
"""Which files are changed, and whose cases are asked."""


def main() -> int:
    """Run and print; 0 where at least nine changes in ten are noticed."""
    told = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    told.add_argument("words", nargs="*")
    told.add_argument("--folder", type=Path, default=Path(tempfile.gettempdir()) / "patchloom-changed")
    told.add_argument("--group", choices=sorted(GROUPS), action="append")
    told.add_argument("--quick", type=int, default=0, help="ask no more cases than this of one change")
    told.add_argument("--every", type=int, default=1, help="try only every so many-th change: an estimate")
    told.add_argument("--again", action="store_true", help="try only what was not noticed the last time")
    told.add_argument("--alone", action="store_true", help=argparse.SUPPRESS)
    given = told.parse_args()
    found: dict[str, str] = {}
    for name in given.group or GROUPS:
        if given.alone:
            row = given.folder / f"{name}.asked.json"
            names = json.loads(row.read_text(encoding="utf-8"))
            became = {}
            for number, (key, what) in enumerate(ask(given.folder / name, GROUPS[name], names, given.quick)):
                became[key] = what
                if number % 100 == 99:  # whoever waits may look
                    row.with_suffix(".far.json").write_text(json.dumps(became), encoding="utf-8")
            row.write_text(json.dumps(became), encoding="utf-8")
            return 0
        since = time.time()
        became = one(name, given)
        for key, what in became.items():
            if what != "noticed":
                print(f"{what}: {short(key)}\n{change(given.folder / name, key)}")
        print(f"{name}: {time.time() - since:.0f} s", file=sys.stderr)
        found |= became
    print(table(found))
    return 0 if 10 * Counter(found.values())["noticed"] >= 9 * len(found) else 1


def one(name: str, given: argparse.Namespace) -> dict[str, str]:
    """Return what became of the changes of a group, and keep it for the next time."""
    folder, kept = given.folder / name, given.folder / f"{name}.json"
    before: dict[str, list[str]] = json.loads(kept.read_text(encoding="utf-8")) if kept.exists() else {}
    names = spoil(folder, GROUPS[name])
    wanted = {key: file for key, file in names.items() if not given.words or any(word in key for word in given.words)}
    wanted = dict(list(wanted.items())[:: given.every])
    texts = {key: f"{key.rpartition('_')[0]}\n{change(folder, key)}" for key in wanted}
    known = {text for what, text in before.values() if what == "noticed"} if given.again else set()
    asked = {key: file for key, file in wanted.items() if texts[key] not in known}
    became = dict.fromkeys(wanted, "noticed")
    if asked:
        row = given.folder / f"{name}.asked.json"
        row.write_text(json.dumps(asked), encoding="utf-8")
        more = ["--alone", "--group", name, "--folder", str(given.folder), "--quick", str(given.quick)]
        subprocess.run([sys.executable, __file__, *more], check=True)
        became |= json.loads(row.read_text(encoding="utf-8"))
    now = {key: [what, texts[key]] for key, what in became.items()}
    old = {f"{key} before": row for key, row in before.items() if row[0] == "noticed" and not key.endswith(" before")}
    kept.write_text(json.dumps(old | now), encoding="utf-8")
    return became


if __name__ == "__main__":
    sys.exit(main())
