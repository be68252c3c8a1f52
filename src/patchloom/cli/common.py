"""What every command shares: where documents are, how things are printed, which status comes out.

Comes in: options and whatever a command raises.  Goes out: model objects, printed lines, an exit status.
Next: `answers`, `documents`, `papers`, `demo`.
"""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from patchloom.cli.outcomes import impossible_data, impossible_lines, undecided_data, undecided_lines
from patchloom.errors import DocumentError, Impossible, PatchloomError, Undecided
from patchloom.finding import Finding

if TYPE_CHECKING:
    from patchloom.model.patch import Patch
    from patchloom.model.rig import Rig
    from patchloom.model.show import Show

__all__ = [
    "BAD",
    "CHECKED",
    "FINE",
    "GRAVE",
    "REFUSED",
    "UNDECIDED",
    "Folder",
    "Refused",
    "as_data",
    "date_option",
    "documents",
    "findings_status",
    "force_option",
    "json_option",
    "now",
    "outcome_of",
    "plural",
    "print_json",
    "tell",
    "today",
    "working",
]

FINE, REFUSED, BAD, UNDECIDED = 0, 1, 2, 3
GRAVE = ("stop", "safety")
CHECKED = (
    "Checked against the rules listed, with the data given. Local law, venue rules and licensed, competent people take "
    "precedence."
)


class Refused(PatchloomError):
    """Something this program will not do unless told, such as replacing a file it did not make."""


class Folder:
    """The three documents of a folder, read when asked for."""

    def __init__(self, rig: str, show: str, patch: str) -> None:
        self.rig_path, self.show_path, self.patch_path = Path(rig), Path(show), Path(patch)

    def rig(self) -> Rig:
        """Return the rig."""
        from patchloom.pipeline import read_rig

        return read_rig(self.rig_path)

    def show(self, rig: Rig) -> Show:
        """Return the show, its addresses checked against the rig."""
        from patchloom.pipeline import read_show

        return read_show(self.show_path, rig)

    def patch(self) -> Patch:
        """Return the patch."""
        from patchloom.pipeline import read_patch

        return read_patch(self.patch_path)

    def all(self) -> tuple[Rig, Show, Patch]:
        """Return rig, show and patch; say so on standard error when the patch was solved for other documents."""
        from patchloom.pipeline import digest

        rig = self.rig()
        show, patch = self.show(rig), self.patch()
        for name, path, wanted, item in (("rig", self.rig_path, patch.rig, rig), ("show", self.show_path, patch.show, show)):
            if wanted and wanted != digest(item):
                click.echo(
                    f"note: {self.patch_path} was solved for another {name} than {path} now is; run `patchloom solve` again",
                    err=True,
                )
        return rig, show, patch


def documents(command: Callable[..., Any]) -> Callable[..., Any]:
    """Return a command with --rig, --show and --patch, handed to it as one `Folder`."""
    from functools import wraps

    @click.option("--rig", default=None, metavar="FILE", help="Rig document.  [default: rig.json]")
    @click.option("--show", default=None, metavar="FILE", help="Show document.  [default: show.json]")
    @click.option("--patch", default=None, metavar="FILE", help="Patch document.  [default: patch.json]")
    @click.pass_context
    @wraps(command)
    def wrapped(context: click.Context, rig: str | None, show: str | None, patch: str | None, **options: Any) -> Any:
        base = (context.obj or {}).get("folder", "")
        names = (
            rig or os.path.join(base, "rig.json"),
            show or os.path.join(base, "show.json"),
            patch or os.path.join(base, "patch.json"),
        )
        return command(folder=Folder(*names), **options)

    return wrapped


json_option = click.option("--json", "as_json", is_flag=True, help="Print one JSON object.")
force_option = click.option("--force", is_flag=True, help="Replace files this program did not make.")
date_option = click.option(
    "--date", default=None, metavar="TEXT", help="Date to print on papers, for the same bytes on another day.  [default: now]"
)


def now() -> str:
    """Return the date and time with its zone, as papers print it; with `today`, the one clock this program reads."""
    from datetime import datetime

    return datetime.now().astimezone().strftime("%Y-%m-%d %H:%M %z")


def today() -> str:
    """Return the date, YYYY-MM-DD: waivers may end with one."""
    return now()[:10]


def plural(count: int, one: str, many: str = "") -> str:
    """Return a count with its noun."""
    return f"{count} {one if count == 1 else many or one + 's'}"


def as_data(item: Any) -> Any:
    """Return plain data for a record of ours, empty values left out."""
    import attrs

    if attrs.has(type(item)):
        rows = {field.name.rstrip("_"): getattr(item, field.name) for field in attrs.fields(type(item))}
        return {key: as_data(value) for key, value in rows.items() if value not in ("", None, ())}
    if hasattr(item, "_fields"):
        return str(item)
    if isinstance(item, dict):
        return {str(key): as_data(value) for key, value in item.items()}
    if isinstance(item, (list, tuple)):
        pairs = bool(item) and all(type(row) is tuple and len(row) == 2 and isinstance(row[0], str) for row in item)
        return {row[0]: as_data(row[1]) for row in item} if pairs else [as_data(row) for row in item]
    return item if isinstance(item, (str, int, float, bool, type(None))) else str(item)


def print_json(data: Any) -> None:
    """Print one JSON object."""
    click.echo(json.dumps(data, ensure_ascii=False, indent=2))


def findings_status(findings: Iterable[Finding]) -> int:
    """Return 1 when a finding of severity stop or safety is waived by nobody, else 0."""
    return REFUSED if any(row.severity in GRAVE and not row.waived for row in findings) else FINE


@contextmanager
def working() -> Iterator[Callable[[str], None] | None]:
    """Give a function that shows one line on a terminal during work, and wipe it after; None where there is no terminal."""
    if not sys.stderr.isatty():
        yield None
        return

    from shutil import get_terminal_size

    def show(line: object) -> None:
        text = str(line)[: max(8, get_terminal_size().columns - 1)]  # a line that wraps could not be wiped
        click.echo(f"\r\x1b[2K{text}", nl=False, err=True)

    try:
        yield show
    finally:
        show("")
        click.echo("\r", nl=False, err=True)


def outcome_of(problem: BaseException) -> tuple[int, str, list[str], dict[str, Any]]:
    """Return (status, outcome, lines, extra data) for whatever a command raised."""
    if isinstance(problem, DocumentError):
        rows = problem.complaints
        return BAD, "bad-input", [*map(str, rows), f"{plural(len(rows), 'complaint')}."], {"complaints": as_data(rows)}
    if isinstance(problem, Impossible):
        return REFUSED, "impossible", impossible_lines(problem), impossible_data(problem)
    if isinstance(problem, Undecided):
        return UNDECIDED, "undecided", undecided_lines(problem), undecided_data(problem)
    if isinstance(problem, SystemExit):
        return problem.code if isinstance(problem.code, int) else FINE, "exit", [], {}
    if isinstance(problem, click.exceptions.Exit):
        return problem.exit_code, "exit", [], {}
    if isinstance(problem, click.ClickException):
        context = getattr(problem, "ctx", None)
        hint = [f"Try `{context.command_path} --help`."] if context is not None else []
        return BAD, "bad-usage", [problem.format_message(), *hint], {}
    if isinstance(problem, (click.Abort, KeyboardInterrupt)):
        return UNDECIDED, "interrupted", ["interrupted; nothing was written."], {}
    if isinstance(problem, BrokenPipeError):
        sys.stdout = open(os.devnull, "w", encoding="utf-8")  # noqa: SIM115 - the reader went away; nothing more to say
        return FINE, "closed", [], {}
    if isinstance(problem, PatchloomError):
        return BAD, "bad-input", [str(problem)], {}
    if isinstance(problem, OSError):
        return BAD, "bad-input", [f"{problem.filename or 'file'}: {problem.strerror or problem}"], {}
    return UNDECIDED, "fault", _fault(problem), {}


def _fault(problem: BaseException) -> list[str]:
    last = problem.__traceback__
    while last is not None and last.tb_next is not None:
        last = last.tb_next
    where = f"{Path(last.tb_frame.f_code.co_filename).name}, line {last.tb_lineno}" if last else "unknown place"
    return [
        f"a fault in patchloom itself, not in your documents: {type(problem).__name__}: {problem} ({where}).",
        "Nothing was decided. Please report it with the documents that led here.",
    ]


def tell(outcome: tuple[int, str, list[str], dict[str, Any]], as_json: bool) -> int:
    """Print an outcome (JSON on standard output, words on standard error) and return its status."""
    status, name, lines, extra = outcome
    if as_json and name not in ("exit", "closed"):
        print_json({"outcome": name, "message": lines, **extra})
    else:
        for line in lines:
            click.echo(line, err=True)
    return status
