"""The command that shows the whole job on an invented event.

Comes in: the demo's rig and show, which travel inside the package.  Goes out: a folder with both documents,
the patch and everyone's papers, and fifteen lines about what was found.  Next: `cli` adds the command.
"""

from __future__ import annotations

import sys
from importlib.resources import files
from pathlib import Path

import click

from patchloom.cli.answers import earlier, put
from patchloom.cli.common import (
    as_data,
    date_option,
    findings_status,
    force_option,
    json_option,
    now,
    print_json,
    today,
    working,
)
from patchloom.cli.files import guard, write_folder
from patchloom.cli.papers import make
from patchloom.cli.summary import summary

__all__ = ["COMMANDS", "demo", "shipped"]

FORMATS = ("pocket", "html", "csv", "svg", "text")


def shipped() -> dict[str, bytes]:
    """Return the demo's documents by file name."""
    home = files("patchloom") / "demo"
    return {name: (home / name).read_bytes() for name in ("rig.json", "show.json")}


@click.command()
@click.argument("directory", metavar="DIR")
@date_option
@force_option
@json_option
def demo(directory: str, date: str | None, force: bool, as_json: bool) -> int:
    """Write an invented event into DIR: documents, solved patch, and everyone's papers."""
    from patchloom import pipeline

    target = Path(directory)
    texts = shipped()
    guard(target, texts, force=force)
    old = earlier(target / "patch.json", force=force)
    rig = pipeline.read_rig(texts["rig.json"], name="rig.json")
    show = pipeline.read_show(texts["show.json"], rig, name="show.json")
    date = now() if date is None else date
    with working() as tell:
        answer = pipeline.solve(rig, show, progress=tell)
        findings = pipeline.judge(rig, show, answer, today=today())
        papers, problems = make(rig, show, answer, findings, FORMATS, tell, date=date, revision="A")
    write_folder(target / "papers", papers, force=force, whole=True)
    write_folder(target, texts, force=force, whole=True)
    put(answer, target / "patch.json", old)
    if as_json:
        print_json(
            {
                "outcome": "found" if findings_status(findings) else "fine",
                "folder": str(target),
                "papers": sorted(papers),
                "problems": problems,
                "findings": [as_data(row) for row in findings],
            }
        )
        return findings_status(findings)
    for line in summary(rig, show, answer, findings, tuple(papers), target, _command()):
        click.echo(line)
    for line in problems:
        click.echo(line, err=True)
    return findings_status(findings)


def _command() -> str:
    """Return how this program was called, so that the next command can be copied."""
    called = sys.argv[0] if sys.argv else ""
    return called if called.endswith("patchloom") and "/" in called and not called.startswith("/") else "patchloom"


COMMANDS = (demo,)
