"""Commands about papers and plugins.

Comes in: the documents of a folder, the installed plugins.  Goes out: papers as files, with a manifest.
Next: `cli` adds the commands; `demo` writes papers through `make`.
"""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from patchloom.cli.common import (
    FINE,
    Folder,
    as_data,
    date_option,
    documents,
    findings_status,
    force_option,
    json_option,
    plural,
    print_json,
)
from patchloom.cli.files import write_folder
from patchloom.errors import PatchloomError

if TYPE_CHECKING:
    from patchloom.finding import Finding
    from patchloom.model.patch import Patch
    from patchloom.model.rig import Rig
    from patchloom.model.show import Show

__all__ = ["COMMANDS", "judge", "make", "now", "papers", "plugins"]


def now() -> str:
    """Return the date and time with its zone, as papers print it; the one clock this program reads."""
    from datetime import datetime

    return datetime.now().astimezone().strftime("%Y-%m-%d %H:%M %z")


def judge(rig: Rig, show: Show, patch: Patch) -> tuple[Finding, ...]:
    """Return the findings of verify and of every installed rule, gravest first."""
    from patchloom import pipeline

    found = (*pipeline.verify(rig, show, patch), *pipeline.check(rig, show, patch))
    return tuple(sorted(dict.fromkeys(found), key=lambda row: row.sort_key()))


def make(rig: Rig, show: Show, patch: Patch, findings: tuple[Finding, ...], formats: tuple[str, ...],
         **choices: Any) -> tuple[dict[str, bytes], list[str]]:
    """Return the files of the papers in the formats asked for, and what a broken plugin left out."""
    from patchloom import pipeline

    made = pipeline.book(rig, show, patch, findings=findings, **choices)
    files: dict[str, bytes] = {}
    for name in formats:
        for artifact in pipeline.render(made, name):
            if files.get(artifact.name, artifact.data) != artifact.data:
                raise PatchloomError(f"renderer {name} made a second, different {artifact.name}")
            files[artifact.name] = artifact.data
    return files, list(made.problems)


@click.command()
@documents
@click.option("-o", "out", default="", metavar="DIR", help="Folder for the papers.  [default: papers; - prints them]")
@click.option("--paper", "names", multiple=True, metavar="NAME", help="Only this paper; may be given more than once.")
@click.option("--position", "positions", multiple=True, metavar="ID", help="Only papers of this position.")
@click.option("--format", "formats", multiple=True, metavar="NAME", help="Format; may be given more than once.  [default: html]")
@click.option("--revision", default="A", metavar="LETTER", help="Revision to print.  [default: A]")
@click.option("--status", type=click.Choice(["DRAFT", "ISSUED", "AS-BUILT"]), default="DRAFT", help="Status to print.")
@click.option("--approver", default="", metavar="NAME", help="Who approved the waivers.")
@date_option
@force_option
@json_option
def papers(folder: Folder, out: str, names: tuple[str, ...], positions: tuple[str, ...], formats: tuple[str, ...], revision: str,
           status: str, approver: str, date: str | None, force: bool, as_json: bool) -> int:
    """Write the papers of the solved show: everyone's own, in their own order."""
    rig, show, patch = folder.all()
    findings = judge(rig, show, patch)
    formats = formats or (("text",) if out == "-" else ("html",))
    files, problems = make(rig, show, patch, findings, formats, papers=names or None, positions=positions or None,
                           date=now() if date is None else date, revision=revision, status=status, approver=approver)
    if out == "-":
        for data in files.values():
            sys.stdout.write(data.decode("utf-8"))
        return findings_status(findings)
    target = Path(out) if out else folder.patch_path.parent / "papers"
    gone = write_folder(target, files, force=force, whole=not (names or positions))
    if as_json:
        print_json({"outcome": "found" if findings_status(findings) else "fine", "folder": str(target), "files": sorted(files),
                    "removed": gone, "problems": problems, "findings": [as_data(row) for row in findings]})
    else:
        click.echo(f"{target}: {plural(len(files), 'file')} written.")
        for name in gone:
            click.echo(f"{target / name}: no longer made; removed.")
        for line in (*problems, *(str(row) for row in findings if row.severity in ("stop", "safety") and not row.waived)):
            click.echo(line, err=True)
    return findings_status(findings)


@click.command()
@json_option
def plugins(as_json: bool) -> int:
    """List papers, renderers, rules, importers and type packs, and say which are broken and why."""
    from patchloom import plugins as doors

    rows = doors.report()
    if as_json:
        print_json({"plugins": [as_data(row) for row in rows]})
        return FINE
    wide = max((len(row.name) for row in rows), default=0)
    for row in rows:
        state = f"broken: {row.problem}" if row.problem else "loads"
        click.echo(f"{row.group:<10} {row.name:<{wide}}  {row.package} {row.version}  {state}")
    return FINE


COMMANDS = (papers, plugins)
