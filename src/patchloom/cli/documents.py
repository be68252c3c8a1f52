"""Commands about documents: validate, expand, schema, types, import-list.

Comes in: files.  Goes out: complaints, expanded documents, schemas, the library's types.  Next: `cli` adds
the commands.
"""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import click

from patchloom.cli.common import BAD, FINE, Refused, as_data, force_option, json_option, plural, print_json
from patchloom.errors import DocumentError, PatchloomError

__all__ = ["COMMANDS", "expand", "import_list", "kind_of", "schema", "types", "validate"]

KINDS = ("rig", "show", "patch", "page", "type", "format")
_FORMAT = re.compile(rb'"format"\s*:\s*"([a-z]+)/')


def kind_of(path: Path, data: bytes) -> str:
    """Return the kind of a document: what its format says, else what its file is called, else rig."""
    found = _FORMAT.search(data)
    if found and found[1].decode() in KINDS:
        return found[1].decode()
    return next((kind for kind in KINDS if kind in path.stem.lower()), "rig")


@click.command()
@click.argument("files", nargs=-1, required=True, metavar="FILE...")
@json_option
def validate(files: tuple[str, ...], as_json: bool) -> int:
    """Read documents and print every complaint at once, with line and column.

    A show given together with a rig is checked against it too.
    """
    from patchloom.document import digest, read

    rig: dict[str, Any] | None = None
    rows: list[dict[str, Any]] = []
    for name, data, kind in sorted(_opened(files), key=lambda row: row[2] != "rig"):
        try:
            answer = read(data, kind, name=name, rig=rig if kind == "show" else None)
        except DocumentError as problem:
            rows.append({"file": name, "kind": kind, "complaints": problem.complaints})
            continue
        rig = answer.data if kind == "rig" else rig
        rows.append({"file": name, "kind": kind, "digest": digest(answer.data), "notes": tuple(answer.notes)})
    rows.sort(key=lambda row: files.index(row["file"]))
    bad = [row for row in rows if "complaints" in row]
    if as_json:
        print_json({"outcome": "bad-input" if bad else "fine", "files": [as_data(row) for row in rows]})
    else:
        for row in rows:
            _print_reading(row)
    return BAD if bad else FINE


def _opened(files: tuple[str, ...]) -> list[tuple[str, bytes, str]]:
    rows = []
    for name in files:
        data = Path(name).read_bytes()
        rows.append((name, data, kind_of(Path(name), data)))
    return rows


def _print_reading(row: dict[str, Any]) -> None:
    for complaint in row.get("complaints", ()):
        click.echo(str(complaint), err=True)
    for note in row.get("notes", ()):
        click.echo(f"{row['file']}: note: {note}")
    if "complaints" in row:
        click.echo(f"{row['file']}: {plural(len(row['complaints']), 'complaint')}.", err=True)
    else:
        click.echo(f"{row['file']}: a {row['kind']} that reads well, {row['digest']}")


@click.command()
@click.argument("file", metavar="FILE")
@click.option("-o", "out", default="", metavar="FILE", help="Write it there.  [default: standard output]")
@force_option
def expand(file: str, out: str, force: bool) -> int:
    """Print a document in its expanded form: one row a thing, library types and formats included."""
    from patchloom.document import read, write_text

    data = Path(file).read_bytes()
    kind = kind_of(Path(file), data)
    _deliver(write_text(read(data, kind, name=file).data, kind), out, force)
    return FINE


def _deliver(text: str, out: str, force: bool) -> None:
    from patchloom.document import write_file

    if not out:
        click.echo(text, nl=not text.endswith("\n"))
        return
    path = Path(out)
    if path.exists() and path.read_bytes() != text.encode("utf-8") and not force:
        raise Refused(f"{path} is there already and says something else; --force replaces it")
    write_file(path, text.encode("utf-8"))
    click.echo(f"{path}: written.")


@click.command()
@click.argument("name", required=False)
@click.option("--tree", is_flag=True, help="Print the readable tree instead.")
def schema(name: str | None, tree: bool) -> int:
    """Print the JSON Schema of a kind of document; without a NAME, list the kinds."""
    from patchloom import document
    from patchloom.library.tree import tree as readable

    known = document.schema_names()
    if name is None:
        for row in known:
            click.echo(f"{row:<8}  {document.schema(row).get('title', '')}")
        return FINE
    wanted = name if name in known else f"{name}-1"
    if wanted not in known:
        raise PatchloomError(f"no schema is called {name!r}; there are {', '.join(known)}")
    found = document.schema(wanted)
    click.echo(readable(found) if tree else json.dumps(found, ensure_ascii=False, indent=2))
    return FINE


@click.command()
@click.argument("name", required=False)
@json_option
def types(name: str | None, as_json: bool) -> int:
    """List the generic device types and link formats that come along; with a NAME, print that one."""
    from patchloom import library

    kinds = {"type": library.types(), "format": library.formats()}
    if name is not None:
        found = next((rows[name] for rows in kinds.values() if name in rows), None)
        if found is None:
            raise PatchloomError(f"no type or format is called {name!r}; `patchloom types` lists them")
        print_json(found)
        return FINE
    if as_json:
        print_json({f"{kind}s": {key: row.get("about", "") for key, row in rows.items()} for kind, rows in kinds.items()})
        return FINE
    wide = max(len(key) for rows in kinds.values() for key in rows)
    for kind, rows in kinds.items():
        for key, row in rows.items():
            click.echo(f"{kind:<6}  {key:<{wide}}  {row.get('about', '')}")
    return FINE


@click.command("import-list")
@click.argument("file", metavar="FILE")
@click.option("-o", "out", default="", metavar="FILE", help="Write the show there.  [default: standard output]")
@click.option("--importer", default="list-csv", metavar="NAME", help="Importer to use.  [default: list-csv]")
@force_option
@json_option
def import_list(file: str, out: str, importer: str, force: bool, as_json: bool) -> int:
    """Make a show document from somebody's list; every guess is reported."""
    from patchloom import document, pipeline

    made = pipeline.import_list(Path(file).read_bytes(), importer)
    report = {"guess": made.guesses, "left out": made.skipped, "ask the sender": made.questions}
    if as_json:
        print_json(
            {
                "outcome": "fine",
                "show": made.document,
                "rows_read": made.rows_read,
                "report": {kind: [as_data(row) for row in rows] for kind, rows in report.items()},
            }
        )
        return FINE
    for kind, rows in report.items():
        for row in rows:
            click.echo(f"{kind}: {row}{f' ({row.value})' if row.value else ''}", err=True)
    _deliver(document.write_text(made.document, "show"), out, force)
    return FINE


COMMANDS = (validate, expand, schema, types, import_list)
