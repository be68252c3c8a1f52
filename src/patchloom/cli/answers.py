"""Commands that answer: solve, verify, check, trace, rules.

Comes in: the documents of a folder.  Goes out: a patch, findings, hops.  Next: `cli` adds the commands.
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
    findings_status,
    force_option,
    json_option,
    plural,
    print_findings,
    print_json,
    today,
    working,
)
from patchloom.errors import DocumentError, PatchloomError, Undecided

if TYPE_CHECKING:
    from patchloom.finding import Finding
    from patchloom.model.patch import Patch
    from patchloom.model.show import Show
    from patchloom.show_day.trace import Hop

WISHES = 8
"""Lines printed at most for wishes that are not proven."""

__all__ = ["COMMANDS", "check", "earlier", "put", "rules", "solve", "trace", "verify"]


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
@force_option
@json_option
def solve(
    folder: Folder,
    fresh: bool,
    limit_s: float | None,
    no_explain: bool,
    keep_partial: Path | None,
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
    if keep_partial is not None:
        earlier(keep_partial, force=force)
    try:
        with working() as tell:
            answer = pipeline.solve(rig, show, previous=previous, limit_s=limit_s, progress=tell, explain=not no_explain)
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
@documents
@json_option
def verify(folder: Folder, as_json: bool) -> int:
    """Judge the patch from scratch: push every signal through the rig as documented."""
    from patchloom import pipeline

    rig, show, patch = folder.all()
    return _judged(_signed_off(pipeline.verify(rig, show, patch), show), "verify", as_json)


def _signed_off(found: tuple[Finding, ...], show: Show) -> tuple[Finding, ...]:
    from patchloom.check.catalogue import ENTRIES
    from patchloom.check.check import apply_waivers

    names = {entry.name for entry in ENTRIES if entry.issuer == "verify"}
    ours = attrs.evolve(show, waivers=tuple(row for row in show.waivers if row.rule in names))
    return apply_waivers(found, ours, known=names, asked=names, today=today())


@click.command()
@documents
@click.option("--rule", "names", multiple=True, metavar="NAME", help="Only this rule; may be given more than once.")
@json_option
def check(folder: Folder, names: tuple[str, ...], as_json: bool) -> int:
    """Ask the installed rules about the patch; waivers of the show are applied."""
    from patchloom import pipeline, plugins

    rig, show, patch = folder.all()
    rules = [(name, plugins.load("rules", name)) for name in names] if names else None
    return _judged(pipeline.check(rig, show, patch, rules, today=today()), "check", as_json)


def _judged(findings: tuple[Any, ...], what: str, as_json: bool) -> int:
    status = findings_status(findings)
    if as_json:
        print_json({"outcome": "found" if status else "fine", "findings": [as_data(row) for row in findings]})
    else:
        print_findings(findings, what)
    return status


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


@click.command()
@click.argument("name", required=False)
@json_option
def rules(name: str | None, as_json: bool) -> int:
    """List what is checked, or say all about one rule NAME."""
    rows = _catalogue()
    if name is not None:
        known = [row["name"] for row in rows]
        rows = [row for row in rows if row["name"] == name]
        if not rows:
            raise PatchloomError(f"no rule is called {name!r}{_near(name, known)}")
    if as_json:
        print_json({"rules": rows})
    elif name is not None:
        click.echo(f"{rows[0]['name']}  ({rows[0]['severity']}, {rows[0]['issuer']})\n\n{rows[0]['text']}")
    else:
        wide = max((len(row["name"]) for row in rows), default=0)
        for row in rows:
            click.echo(f"{row['name']:<{wide}}  {row['severity']:<7} {row['issuer']:<7} {row['title']}")
    return 0


def _catalogue() -> list[dict[str, str]]:
    """Return every check: those of this package from its catalogue, and installed rules of others by their docstrings."""
    from inspect import getdoc

    from patchloom import plugins
    from patchloom.check.catalogue import ENTRIES

    loaded = plugins.load_all("rules")
    texts = {name: getdoc(rule) or "" for name, rule in loaded.objects.items()}
    rows = [
        {
            "name": row.name,
            "severity": row.severity,
            "issuer": row.issuer,
            "title": row.says,
            "text": "\n\n".join(part for part in (row.says, f"What to do: {row.todo}", texts.get(row.name, "")) if part),
        }
        for row in ENTRIES
    ]
    known = {row.name for row in ENTRIES}
    rows += [
        {"name": name, "severity": "its own", "issuer": "rule", "title": text.partition("\n")[0], "text": text}
        for name, text in texts.items()
        if name not in known
    ]
    return rows


def _near(word: str, known: list[str]) -> str:
    import difflib

    close = difflib.get_close_matches(word, known, 1, 0.5)
    return f"; did you mean {close[0]!r}?" if close else "; `patchloom rules` lists them"


COMMANDS = (solve, verify, check, trace, rules)
