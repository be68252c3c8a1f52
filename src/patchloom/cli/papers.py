"""Commands about papers and plugins.

Comes in: the documents of a folder, the installed plugins.  Goes out: papers as files, with a manifest.
Next: `cli` adds the commands; `demo` writes papers through `make`.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from patchloom.cli.bar import bar
from patchloom.cli.common import (
    FINE,
    Folder,
    as_data,
    date_option,
    documents,
    findings_status,
    force_option,
    json_option,
    now,
    plural,
    print_json,
    today,
    working,
)
from patchloom.cli.files import write_folder
from patchloom.errors import PatchloomError

if TYPE_CHECKING:
    from patchloom.finding import Finding
    from patchloom.model.patch import Patch
    from patchloom.model.rig import Rig
    from patchloom.model.show import Show

__all__ = ["COMMANDS", "make", "papers", "plugins"]

_ON_TOP = ("html", "pdf", "pocket", "xlsx")
"""Formats whose files are opened and printed by people: a book, a file for each position."""


def make(
    rig: Rig,
    show: Show,
    patch: Patch,
    findings: tuple[Finding, ...],
    formats: tuple[str, ...],
    tell: Callable[[str], None] | None,
    options: Mapping[str, Mapping[str, Any]] | None = None,
    options_of_papers: Mapping[str, Any] | None = None,
    **choices: Any,
) -> tuple[dict[str, bytes], list[str]]:
    """Return the files of the papers in the formats asked for, and what a broken plugin left out.

    `options` are those of the formats, by format.  What people print lies on top; a file for each page in a format that
    programs read lies in a folder named like the format.  What takes longer than a second shows a bar by `tell`.
    """
    from patchloom import pipeline

    with bar(tell, 1 + len(formats)) as begin:
        begin("papers")
        made = pipeline.book(rig, show, patch, findings=findings, options=options_of_papers, **choices)
        files: dict[str, bytes] = {}
        for name in formats:
            begin(f"{len(made.pages)} papers as {name}")
            for artifact in pipeline.render(made, name, **(options or {}).get(name, {})):
                place = artifact.name if name in _ON_TOP else f"{name}/{artifact.name}"
                if files.get(place, artifact.bytes) != artifact.bytes:
                    raise PatchloomError(f"renderer {name} made a second, different {place}")
                files[place] = artifact.bytes
    return files, [row.text for row in made.faults]


@click.command()
@documents
@click.option("-o", "out", default="", metavar="DIR", help="Folder for the papers.  [default: papers; - prints them]")
@click.option("--paper", "names", multiple=True, metavar="NAME", help="Only this paper; may be given more than once.")
@click.option("--position", "positions", multiple=True, metavar="ID", help="Only papers of this position.")
@click.option("--format", "formats", multiple=True, metavar="NAME", help="Format; may be given more than once.  [default: html]")
@click.option(
    "--option",
    "given",
    multiple=True,
    metavar="NAME=VALUE",
    help="Option of the papers, such as language=de, units=feet, columns=name,line, or of the format, such as paper=a3; of one "
    "paper or format among several: labels.short=6, pdf.paper=a3.  May be given more than once.",
)
@click.option("--revision", default="A", metavar="LETTER", help="Revision to print.  [default: A]")
@click.option("--replaces", default="", metavar="LETTER", help="Revision these papers replace, to print.")
@click.option(
    "--previous", default="", metavar="FILE", help="Patch these papers replace: the pocket book marks what is different from it."
)
@click.option("--status", type=click.Choice(["DRAFT", "ISSUED", "AS-BUILT"]), default="DRAFT", help="Status to print.")
@click.option("--approver", default="", metavar="NAME", help="Who approved the waivers.")
@date_option
@force_option
@json_option
def papers(
    folder: Folder,
    out: str,
    names: tuple[str, ...],
    positions: tuple[str, ...],
    formats: tuple[str, ...],
    given: tuple[str, ...],
    revision: str,
    replaces: str,
    previous: str,
    status: str,
    approver: str,
    date: str | None,
    force: bool,
    as_json: bool,
) -> int:
    """Write the papers of the solved show: everyone's own, in their own order."""
    from patchloom import pipeline

    rig, show, patch = folder.all()
    _known(show, positions)
    findings = pipeline.judge(rig, show, patch, today=today())
    formats = formats or (("text",) if out == "-" else ("html",))
    options, chosen = _options(given, formats)
    choices = {"papers": names or None, "positions": positions or None}
    stamp = {
        "date": now() if date is None else date,
        "revision": revision,
        "replaces": replaces,
        "status": status,
        "approver": approver,
        "previous": pipeline.read_patch(Path(previous)) if previous else None,
    }
    with working() as tell:
        files, problems = make(rig, show, patch, findings, formats, tell, options, options_of_papers=chosen, **choices, **stamp)
    if out == "-":
        for name, data in files.items():
            sys.stdout.write(_readable(name, data))
        return findings_status(findings)
    target = Path(out) if out else folder.patch_path.parent / "papers"
    gone = write_folder(target, files, force=force, whole=not (names or positions))
    if as_json:
        print_json(
            {
                "outcome": "found" if findings_status(findings) else "fine",
                "folder": str(target),
                "files": sorted(files),
                "removed": gone,
                "problems": problems,
                "findings": [as_data(row) for row in findings],
            }
        )
    else:
        click.echo(f"{target}: {plural(len(files), 'file')} written.")
        for name in gone:
            click.echo(f"{target / name}: no longer made; removed.")
        for line in (*problems, *(str(row) for row in findings if row.severity in ("stop", "safety") and not row.waived)):
            click.echo(line, err=True)
    return findings_status(findings)


def _options(given: tuple[str, ...], formats: tuple[str, ...]) -> tuple[dict[str, dict[str, Any]], dict[str, Any]]:
    """Return the options of each format, and those of the papers: words, and numbers, yes or no, and lists.

    Raises PatchloomError for one that says no value, or names what is neither a format asked for nor a paper.
    """
    from patchloom import plugins as doors
    from patchloom.pages.options import known

    papers = {row.name for row in doors.found("papers")} - set(formats)
    made: dict[str, dict[str, Any]] = {name: {} for name in formats}
    chosen: dict[str, Any] = {}
    for text in given:
        key, sign, value = text.partition("=")
        where, dot, name = key.rpartition(".")
        if not sign or not name:
            raise PatchloomError(f"--option {text!r} is not NAME=VALUE, such as paper=a3")
        if where in papers or (not dot and name in known()):
            chosen[key] = _value(value)
            continue
        if dot and where not in made:
            raise PatchloomError(
                f"--option {text!r} is for {where!r}, which is no paper, and papers are made as {', '.join(formats)}"
            )
        for each in (where,) if dot else formats:
            made[each][name] = _value(value)
    return made, chosen


def _value(text: str) -> Any:
    """Return the value of an option: true or false, a whole number, several words with commas between, or a text."""
    if text in ("true", "false"):
        return text == "true"
    if text.isascii() and text.isdigit():
        return int(text)
    return tuple(word for word in text.split(",") if word) if "," in text else text


def _readable(name: str, data: bytes) -> str:
    """Return the text of a file.  Raises PatchloomError where it is none."""
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError:
        raise PatchloomError(f"{name} is no text; name a folder with -o") from None


def _known(show: Show, positions: tuple[str, ...]) -> None:
    """Raise PatchloomError for a position the show does not have, naming the nearest."""
    from difflib import get_close_matches

    there = list(dict.fromkeys([*show.positions, *(row.position for row in show.lists), *(row.mixed_at for row in show.feeds)]))
    for name in positions:
        if name not in there:
            close = get_close_matches(name, there, 1, 0.5)
            raise PatchloomError(
                f"no position is called {name!r}; "
                + (f"did you mean {close[0]!r}?" if close else f"there are {', '.join(there)}")
            )


@click.command()
@json_option
def plugins(as_json: bool) -> int:
    """List papers, renderers, rules, importers and type packs, and say which are broken and why."""
    from patchloom import plugins as doors

    broken = {row.plugin: row.reason for kind in doors.KINDS for row in doors.load_all(kind).broken}
    rows = doors.found()
    if as_json:
        print_json({"plugins": [{**as_data(row), "broken": broken.get(row, "")} for row in rows]})
        return FINE
    wide = max((len(row.name) for row in rows), default=0)
    for row in rows:
        state = f"broken: {broken[row]}" if row in broken else "loads"
        click.echo(f"{row.kind:<9}  {row.name:<{wide}}  {row.package} {row.version}  {state}")
    return FINE


COMMANDS = (papers, plugins)
