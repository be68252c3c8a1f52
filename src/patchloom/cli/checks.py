"""Commands that judge: verify, check, rules.

Comes in: the documents of a folder, rules by name or in files.  Goes out: findings, what there is to find, a picture.
Next: `cli` adds the commands.
"""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import attrs
import click

from patchloom.cli.common import (
    CHECKED,
    GRAVE,
    Folder,
    as_data,
    documents,
    findings_status,
    json_option,
    plural,
    print_json,
    today,
)
from patchloom.errors import PatchloomError

if TYPE_CHECKING:
    from patchloom.check.explain import Explained
    from patchloom.finding import Finding
    from patchloom.model.show import Show

__all__ = ["COMMANDS", "check", "rules", "verify"]

_NAMED = 5
"""Rules named at most in the line that counts what could not be looked at."""

_rules_option = click.option(
    "--rules",
    "files",
    multiple=True,
    type=click.Path(dir_okay=False, path_type=Path),
    metavar="FILE.py",
    help="Rules of your own, from a file: what stands under @rule or @routing_rule. It is executed. May be given more than once.",
)
_all_option = click.option("--all", "whole", is_flag=True, help="Print what could not be checked and what does not apply, too.")


@click.command()
@documents
@_rules_option
@json_option
def verify(folder: Folder, files: tuple[Path, ...], as_json: bool) -> int:
    """Judge the patch from scratch: push every signal through the rig as documented."""
    from patchloom import pipeline
    from patchloom.model.routing import RoutingRule

    rig, show, patch = folder.all()
    routing = [rule for _, rule in _from_files(files) if isinstance(getattr(rule, "steers", None) or rule, RoutingRule)]
    return _judged(_signed_off(pipeline.verify(rig, show, patch, rules=routing), show), "verify", as_json, True)


def _signed_off(found: tuple[Finding, ...], show: Show) -> tuple[Finding, ...]:
    from patchloom.check.catalogue import ENTRIES
    from patchloom.check.check import apply_waivers

    names = {entry.name for entry in ENTRIES if entry.issuer == "verify"}
    ours = attrs.evolve(show, waivers=tuple(row for row in show.waivers if row.rule in names))
    return apply_waivers(found, ours, known=names, asked=names, today=today())


@click.command()
@documents
@click.option("--rule", "names", multiple=True, metavar="NAME", help="Only this rule; may be given more than once.")
@_rules_option
@_all_option
@json_option
def check(folder: Folder, names: tuple[str, ...], files: tuple[Path, ...], whole: bool, as_json: bool) -> int:
    """Ask the installed rules, and those of your own files, about the patch; waivers of the show are applied.

    Rules that lack data or have nothing to look at are counted in one line each; --all and --json print them all.
    """
    from patchloom import pipeline

    rig, show, patch = folder.all()
    own = _from_files(files)
    rules = _narrowed(names, own) if names else [*pipeline.installed_rules(), *own] if own else None
    return _judged(pipeline.check(rig, show, patch, rules, today=today()), "check", as_json, whole)


def _from_files(files: Iterable[Path]) -> list[tuple[str, Any]]:
    from patchloom import plugins

    return [row for file in files for row in plugins.from_file(file)]


def _narrowed(names: tuple[str, ...], own: list[tuple[str, Any]]) -> list[tuple[str, Any]]:
    from patchloom import plugins

    mine = dict(own)
    return [(name, mine[name] if name in mine else plugins.load("rules", name)) for name in names]


def _judged(findings: tuple[Finding, ...], what: str, as_json: bool, whole: bool) -> int:
    status = findings_status(findings)
    if as_json:
        print_json({"outcome": "found" if status else "fine", "findings": [as_data(row) for row in findings]})
        return status
    told = [row for row in findings if whole or row.kind == "found"]
    for row in told:
        click.echo(f"{row}{f' (waived: {row.waived})' if row.waived else ''}")
    for kind, words in (("unchecked", "not checked for want of data"), ("nothing", "with nothing to look at")):
        names = list(dict.fromkeys(row.rule for row in findings if row.kind == kind))
        if names and not whole:
            more = f" and {len(names) - _NAMED} more" if len(names) > _NAMED else ""
            click.echo(f"{plural(len(names), 'rule')} {words}: {', '.join(names[:_NAMED])}{more} (--all says which and why).")
    found = [row for row in findings if row.kind == "found"]
    open_ones = sum(1 for row in found if row.severity in GRAVE and not row.waived)
    click.echo(f"{what}: {plural(len(found), 'finding')}, {open_ones} of them stop or safety and not waived.")
    click.echo(CHECKED)
    return status


@click.command()
@click.argument("name", required=False)
@_rules_option
@click.option(
    "--picture",
    type=click.Path(dir_okay=False, path_type=Path),
    default=None,
    metavar="FILE",
    help="Draw a rig it speaks of and one it is silent about, from its cases, into an .svg or .png file.",
)
@json_option
def rules(name: str | None, files: tuple[Path, ...], picture: Path | None, as_json: bool) -> int:
    """List what is checked, or say all about NAME: a rule, a check of verify, a complaint of reading, an entry of the list."""
    known = _everything(files)
    if name is None:
        if picture is not None:
            raise click.UsageError("--picture draws one rule: patchloom rules NAME --picture FILE")
        _list([_explained(one, known, cases=as_json) for one in known], as_json)
        return 0
    row = _explained(name, known)
    if picture is not None:
        from patchloom.cli.picture import draw

        draw(row.name, picture)
    if as_json:
        print_json({"rules": [_data(row)]})
    else:
        click.echo(row.text())
        if picture is not None:
            click.echo(f"\n{picture}: written.")
    return 0


def _list(rows: list[Explained], as_json: bool) -> None:
    if as_json:
        print_json({"rules": [_data(row) for row in rows]})
        return
    wide = max((len(row.name) for row in rows), default=0)
    for row in rows:
        click.echo(f"{row.name:<{wide}}  {row.severity:<7} {row.issuer:<7} {row.says}")


def _data(row: Explained) -> dict[str, Any]:
    parts = {heading or "text": words for heading, words in row.parts}
    cases = [{"outcome": outcome, "about": about} for outcome, about in row.cases]
    return {
        "name": row.name,
        "severity": row.severity,
        "issuer": row.issuer,
        "title": row.says,
        "todo": row.todo,
        "text": row.text(),
        "parts": parts,
        "entries": list(row.entries),
        "cases": cases,
        "page": row.page,
        "issuers": [dict(zip(("name", "severity", "issuer", "title"), one, strict=True)) for one in row.issuers],
    }


def _everything(files: Iterable[Path]) -> dict[str, Any]:
    """Return every check by name, with the function of a stranger's rule: those of this package, installed rules of others,
    rules of files; then the entries they belong to.
    """
    from patchloom import plugins
    from patchloom.check.catalogue import ENTRY
    from patchloom.check.trade import BY_KEY

    loaded = plugins.load_all("rules").objects
    others = {name: rule for name, rule in (*loaded.items(), *_from_files(files)) if name not in ENTRY}
    return {**dict.fromkeys(ENTRY), **others, **{key: None for key in BY_KEY if key not in ENTRY and key not in others}}


def _explained(name: str, known: dict[str, Any], cases: bool = True) -> Explained:
    """Return what a check, an entry, a complaint of reading or `solve` says about itself."""
    from patchloom.check.explain import explain
    from patchloom.document import COMPLAINTS

    if name not in known and name != "solve":
        kind = name.removeprefix("reading:")
        if kind not in COMPLAINTS:
            raise PatchloomError(f"no rule is called {name!r}{_near(name, list(known))}")
        name = f"reading:{kind}"
    return explain(name, known.get(name), cases=cases)


def _near(word: str, known: list[str]) -> str:
    import difflib

    close = difflib.get_close_matches(word, known, 1, 0.5)
    return f"; did you mean {close[0]!r}?" if close else "; `patchloom rules` lists them"


COMMANDS = (verify, check, rules)
