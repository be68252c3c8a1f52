"""Commands that answer: solve, trace.

Comes in: the documents of a folder.  Goes out: a patch, hops.  Next: `cli` adds the commands.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import attrs
import click

from patchloom.cli import outcomes
from patchloom.cli.common import (
    Folder,
    Refused,
    as_data,
    documents,
    force_option,
    json_option,
    plural,
    print_json,
    working,
)
from patchloom.errors import DocumentError, Undecided

if TYPE_CHECKING:
    from patchloom.model.patch import Patch
    from patchloom.show_day.trace import Hop

WISHES = 8
"""Lines printed at most for wishes that are not proven."""

__all__ = ["COMMANDS", "earlier", "put", "solve", "trace"]


@click.command()
@documents
@click.option("--fresh", is_flag=True, help="Ignore the patch that is replaced: solve as if there were none.")
@click.option(
    "--limit",
    "limit_s",
    type=click.FloatRange(min=0, min_open=True),
    default=None,
    metavar="SECONDS",
    help="Give up on musts after so many seconds.  [default: no limit]",
)
@click.option("--no-explain", is_flag=True, help="Where there is none: the first proof at once, no smallest facts, no ways out.")
@click.option(
    "--keep-partial",
    type=click.Path(dir_okay=False, path_type=Path),
    default=None,
    metavar="FILE",
    help="Where it stays undecided: write the best partial patch there.",
)
@click.option(
    "--rules",
    "files",
    multiple=True,
    type=click.Path(dir_okay=False, path_type=Path),
    metavar="FILE.py",
    help="Routing rules of your own, from a file: what stands under @routing_rule takes part in the search. It is executed.",
)
@force_option
@json_option
def solve(
    folder: Folder,
    fresh: bool,
    limit_s: float | None,
    no_explain: bool,
    keep_partial: Path | None,
    files: tuple[Path, ...],
    force: bool,
    as_json: bool,
) -> int:
    """Solve the show over the rig and write the patch, verified from scratch.

    A patch that is already there is what the answer replaces: as little as possible moves.  Where there can be none, it
    says which facts rule it out and what would help.
    """
    from patchloom import pipeline

    rig = folder.rig()
    show = folder.show(rig)
    old = earlier(folder.patch_path, force=force)
    previous = None if fresh else old
    own = _routing_rules(files)
    if keep_partial is not None:
        earlier(keep_partial, force=force)
    try:
        with working() as tell:
            answer = pipeline.solve(
                rig, show, previous=previous, limit_s=limit_s, rules=own, progress=tell, explain=not no_explain
            )
    except Undecided as question:
        if keep_partial is not None:
            outcomes.keep_partial(question, keep_partial)
        raise
    changed = put(answer, folder.patch_path, old)
    report = _report(answer, folder.patch_path, previous, old, changed)
    if as_json:
        print_json(report)
    else:
        for line in _lines(report, fresh):
            click.echo(line)
    return 0


def _routing_rules(files: tuple[Path, ...]) -> list[Any]:
    """Return the routing rules of files; whatever else they define is for `check`."""
    from patchloom import plugins
    from patchloom.model.routing import RoutingRule

    return [
        rule
        for file in files
        for _, rule in plugins.from_file(file)
        if isinstance(getattr(rule, "steers", None) or rule, RoutingRule)
    ]


def earlier(path: Path, *, force: bool) -> Patch | None:
    """Return the patch this program wrote at a path, None where there is none; refuse to replace anything else."""
    from patchloom import pipeline

    if not path.exists():
        return None
    try:
        old = pipeline.read_patch(path)
        ours = old.made_by.startswith("patchloom") and pipeline.write(old).encode() == path.read_bytes()
    except (DocumentError, OSError):
        old, ours = None, False
    if not ours and not force:
        what = "is not a patch this program wrote" if old is None else "has been changed since this program wrote it"
        raise Refused(f"{path} {what}; --force replaces it, --patch FILE writes elsewhere")
    return old


def put(answer: Patch, path: Path, old: Patch | None) -> bool:
    """Write a patch unless the one that is there says the same; return whether it was written.

    How far wishes are met follows from the rest, and what moved is told of the change that was made, so neither counts.
    """
    from patchloom import pipeline

    if old is not None and attrs.evolve(answer, previous=old.previous, wishes=old.wishes) == old:
        if path.is_file() and path.read_bytes() == pipeline.write(old).encode():
            return False
    pipeline.write(answer, path)
    return True


def _report(answer: Patch, path: Path, previous: Patch | None, old: Patch | None, changed: bool) -> dict[str, Any]:
    from patchloom import pipeline

    first = answer.settings
    return {
        "outcome": "solved",
        "patch": str(path),
        "digest": pipeline.digest(answer if changed or old is None else old),
        "written": changed,
        "previous": pipeline.digest(previous) if previous is not None else "",
        "periods": [row.period for row in first if row.period],
        "plugs": sum(len(row.plugs) for row in first),
        "delivered": sum(len(row.routes) for row in first),
        "moved": _moved(previous, answer) if previous is not None else [],
        "unmet": [f"{row.period}: {text}" if row.period else text for row in first for text in row.unmet],
        "wishes": [attrs.asdict(row) for row in answer.wishes],
        "unhonoured": list(answer.unhonoured),
        "notes": list(dict.fromkeys(note for row in first for note in row.notes)),
    }


def _moved(previous: Patch, answer: Patch) -> list[str]:
    before = {(row.period, leg): at for row in previous.settings for leg, at in row.plugs.items()}
    rows = []
    for row in answer.settings:
        for leg, at in row.plugs.items():
            old = before.get((row.period, leg))
            if old is not None and old != at:
                rows.append(f"{leg}: {old} -> {at}")
    return rows


def _lines(report: dict[str, Any], fresh: bool) -> list[str]:
    periods = f" over {plural(len(report['periods']), 'period')}" if report["periods"] else ""
    lines = [
        f"{report['patch']}: solved and verified; {plural(report['plugs'], 'plug')}, "
        f"{plural(report['delivered'], 'leg')} delivered{periods}."
    ]
    if report["previous"]:
        moves = plural(len(report["moved"]), "line moves", "lines move") if report["moved"] else "no line moves"
        same = "" if report["written"] else "; it says the same, the file is left as it is"
        lines.append(f"replaces the patch that was there ({report['previous'][:15]}): {moves}{same}.")
        lines += [f"  {line}" for line in report["moved"]]
    elif fresh:
        lines.append("solved afresh; an earlier patch was not looked at.")
    lines += [f"wish not carried: {text}" for text in report["unmet"]]
    lines += _wish_lines(report["wishes"])
    lines += [f"note: {text}" for text in report["notes"]]
    lines += [f"read and not honoured yet: {text}" for text in report["unhonoured"]]
    return lines


def _wish_lines(wishes: list[dict[str, Any]]) -> list[str]:
    """Return a line for each wish that may still be met better, at most WISHES of them, and one that counts the rest."""
    open_ = [row for row in wishes if not row["proven"]]
    lines = []
    for row in open_[:WISHES]:
        side = "at most" if row["bound"] is not None and row["bound"] > row["value"] else "at least"
        bound = f"{side} {row['bound']:g}, not proven" if row["bound"] is not None else "no bound known"
        lines.append(f"wish {row['wish']}: {row['value']:g} {row['unit']} ({bound})")
    if len(open_) > WISHES:
        lines.append(
            f"and {plural(len(open_) - WISHES, 'wish', 'wishes')} more that may still be met better (--json has them all)"
        )
    best = len(wishes) - len(open_)
    if best:
        lines.append(f"{plural(best, 'wish', 'wishes')} met as well as can be, proven")
    return lines


@click.command()
@click.argument("list_id", metavar="LIST")
@click.argument("channel", type=int)
@documents
@click.option("--period", default="", metavar="ID", help="Act or scene.  [default: the first]")
@json_option
def trace(folder: Folder, list_id: str, channel: int, period: str, as_json: bool) -> int:
    """Follow one channel of a LIST back to its plug: each hop, what to look at, who can change it.

    LIST is a list, a position with one list, or a feed (then CHANNEL counts its places).
    """
    from patchloom import pipeline

    rig, show, patch = folder.all()
    found = pipeline.trace(rig, show, patch, list_id, channel, period=period)
    if as_json:
        print_json(as_data(found))
        return 0
    when = f" in {found.period}" if found.period else ""
    if not found.hops:
        click.echo(f"{found.to} {channel}{when}: nothing lands on {found.at}.")
        return 0
    click.echo(f"{found.to} {channel}{when}: {found.name} ({found.leg}) at {found.at}")
    _print_hops(found.hops)
    if found.alternate:
        click.echo("alternate input:")
        _print_hops(found.alternate)
    return 0


def _print_hops(hops: tuple[Hop, ...]) -> None:
    wide = max(len(_shown(hop)) for hop in hops)
    for number, hop in enumerate(hops, 1):
        click.echo(f"{number:>3}  {_shown(hop):<{wide}}  {'; '.join((hop.how, *hop.notes))}")
        lead = " " * (wide + 7)
        if hop.place and (number == 1 or hops[number - 2].at.device != hop.at.device):
            click.echo(f"{lead}where: {hop.place}")
        click.echo(f"{lead}look at: {hop.look_at or 'nothing known here; look at the next place'}")
        if hop.who:
            click.echo(f"{lead}can change it: {hop.who}")


def _shown(hop: Hop) -> str:
    return f"{hop.at}{f' ({hop.mark})' if hop.mark else ''}"


COMMANDS = (solve, trace)
