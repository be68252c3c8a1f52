"""Write the reference pages from the facts they speak of: run `python docs/reference.py` and commit the result.

A test compares the pages with what this makes, so they cannot grow stale.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

import click

HERE = Path(__file__).parent / "reference"
MADE = "<!-- made by docs/reference.py; change the facts, not this page -->\n\n"


def cli() -> str:
    """Return the page of the command line, from the commands themselves."""
    from patchloom.cli import commands

    look = {"max_content_width": 100, "terminal_width": 100, "help_option_names": ["-h", "--help"]}
    context = click.Context(commands, info_name="patchloom", **look)
    parts = [f"# Command line\n\n{MADE}```text\n{commands.get_help(context)}\n```\n"]
    for name in sorted(commands.commands):
        own = click.Context(commands.commands[name], info_name=name, parent=context, **look)
        parts.append(f"## {name}\n\n```text\n{commands.commands[name].get_help(own)}\n```\n")
    parts.append(
        "## Exit status\n\n| status | meaning |\n|---|---|\n| 0 | fine |\n| 1 | impossible, or an unwaived finding of severity "
        "stop or safety |\n| 2 | bad input or usage |\n| 3 | undecided |\n"
    )
    return "\n".join(parts)


def checks() -> str:
    """Return the page of checks, from their catalogue."""
    from patchloom.check.catalogue import ENTRIES

    lines = [
        "# Checks\n",
        MADE + "Every check by name, how grave it is, what it says, what to do; then what reading complains of. "
        "`patchloom rules NAME` says more of each; [rules](rules.md) have a page each.\n",
    ]
    words = {"verify": "What verify says", "check": "About rules and waivers", "rule": "Rules"}
    for issuer in dict.fromkeys(entry.issuer for entry in ENTRIES):
        lines += [f"## {words.get(issuer, issuer)}\n", "| name | severity | what it says | what to do |", "|---|---|---|---|"]
        lines += [f"| {_named(row)} | {row.severity} | {row.says} | {row.todo} |" for row in ENTRIES if row.issuer == issuer]
        lines.append("")
    return "\n".join([*lines, *_complaints()])


def _complaints() -> list[str]:
    """Return the part of the page of checks that says what reading complains of, each kind with a complaint of the suite."""
    from patchloom.document import COMPLAINTS, REMEDIES

    said = _instances()
    return [
        "## What reading complains of\n",
        "A document is read whole or not at all: every complaint at once, with file, line, column and JSON path, the value, and "
        "often what comes near. Kinds have stable names; `patchloom rules reading:KIND` says more. Each stands here with one of "
        "the complaints that the cases in `schemas/suite` draw.\n",
        "| kind | what it says | what to do | for instance |",
        "|---|---|---|---|",
        *(f"| `{kind}` | {says} | {REMEDIES[kind]} | {said.get(kind, '')} |" for kind, says in COMPLAINTS.items()),
        "",
    ]


def _instances() -> dict[str, str]:
    """Return, by kind, the shortest complaint the cases of the suite draw that says what is wrong there."""
    import json

    from patchloom.document import read
    from patchloom.errors import DocumentError

    found: dict[str, list[tuple[int, str]]] = {}
    for path in sorted((HERE.parents[1] / "schemas" / "suite").glob("*.json")):
        for case in json.loads(path.read_text(encoding="utf-8"))["cases"]:
            given = case["text"].encode("utf-8") if "text" in case else bytes.fromhex(case.get("hex", "")) or case.get("document")
            if case["valid"] or given is None:
                continue
            try:
                rig = read(case["rig"], "rig").data if "rig" in case else None
                read(given, case["kind"], rig=rig)
            except DocumentError as problem:
                for row in problem.complaints:
                    words = f"{row.message.rstrip('.')}." + (f" {row.hint}" if row.hint else "")
                    found.setdefault(row.kind, []).append((len(words), words))
    return {kind: min(rows)[1].replace("|", "\\|").replace("<", "&lt;") for kind, rows in found.items()}


def _named(row: Any) -> str:
    """Return the name of a check, as a link to its page: a rule's own, or that of the first entry it is an issuer of."""
    from patchloom.check.judging import entries_of

    if row.issuer == "rule":
        return f"[`{row.name}`](rules/{row.name}.md)"
    page = next((_page_of(entry) for entry in entries_of(row.name)), "")
    return f"[`{row.name}`](rules/{page}.md)" if page else f"`{row.name}`"


def _page_of(entry: Any) -> str:
    """Return the name of the page of an entry: its own, or its rule's where rules cover it; empty where it has none."""
    from patchloom.check.catalogue import ENTRY

    rules = [name for name in entry.issuers if name in ENTRY and ENTRY[name].issuer == "rule"]
    return str(entry.key if entry.key in _OWN else rules[0] if rules else "")


def _elsewhere(name: str) -> str:
    kind = name.removeprefix("reading:")
    return f"reading (`{kind}`)" if kind != name else f"[`{name}`](../impossible.md)"


def rules() -> str:
    """Return the page of what a careful engineer checks, entry by entry, and who issues it."""
    from patchloom.check.catalogue import ENTRY
    from patchloom.check.trade import BY_KEY, SECTIONS

    lines = [
        "# What is checked, and by whom\n",
        MADE
        + "Sixty things a careful engineer checks before doors, and a second tier. Each leads to its page, with rigs it speaks "
        "of and rigs it is silent about. Each has an issuer: reading complains of a document, `solve` says what cannot be, "
        "`verify` what in a patch contradicts rig or show, and a rule the rest; one fact is said once. Severities: *stop* will "
        "not work or damages, *safety* may hurt people or ears, *warn* works but bites, *advice* is good practice. "
        "They are common practice, except where a page names a source.\n",
        "A rule that lacks data says *not checked, because*; one with nothing to look at says *not applicable*; neither passes "
        "in silence. What is found can be signed off by a waiver of the show, with who, why and until when.\n",
    ]
    for section, title in SECTIONS.items():
        lines += [f"## {title}\n", "| entry | severity | what is asked | issued by |", "|---|---|---|---|"]
        for row in BY_KEY.values():
            if row.section == section:
                named = [_named(ENTRY[name]) if name in ENTRY else _elsewhere(name) for name in row.issuers]
                linked = f"[{row.name}](rules/{_page_of(row)}.md)" if _page_of(row) else row.name
                lines.append(f"| {linked} | {row.severity} | {row.asks} | {', '.join(named)} |")
        lines.append("")
    toc = "\n".join(name.removesuffix(".md") for name in _rules())
    lines.append(f"```{{toctree}}\n:hidden:\n\n{toc}\n```\n")
    return "\n".join(lines)


def rule(name: str) -> str:
    """Return the page of one rule or entry, from its docstring and its cases."""
    from patchloom.check.explain import explain

    page = explain(name)
    title = page.entries[0].partition(": ")[2] if page.issuer == "entry" else name
    lines = [f"# {title}\n", f"{MADE}*{page.severity}.* {page.first}\n"]
    for heading, words in page.parts:
        lines.append(f"**{heading}.** {words}\n" if heading else f"{words}\n")
    if page.issuers:
        lines.append("| who says it | severity | what it says |\n|---|---|---|")
        lines.append("\n".join(f"| {_who(name, issuer)} | {how} | {says} |" for name, how, issuer, says in page.issuers) + "\n")
    lines.append(f"Part of: {'; '.join(page.entries)}.\n")
    lines.append(f"`patchloom rules {name} --picture FILE.svg` draws a rig it speaks of and one it is silent about.\n")
    for outcome in dict.fromkeys(outcome for outcome, _ in page.cases):
        lines.append(f"## {outcome.capitalize()}\n")
        lines.append("\n".join(f"- {about}" for which, about in page.cases if which == outcome) + "\n")
    return "\n".join(lines)


def _who(name: str, issuer: str) -> str:
    if issuer == "rule":
        return f"[`{name}`]({name}.md)"
    if issuer == "solve":
        return "[`solve`](../../impossible.md)"
    return f"{issuer} (`{name.removeprefix('reading:')}`)"


def _own() -> tuple[str, ...]:
    """Return the keys of the entries that have a page of their own."""
    from patchloom.check import pages
    from patchloom.check.trade import BY_KEY

    files = {path.stem.replace("_", "-") for path in Path(pages.__file__).parent.glob("*.py")}
    return tuple(key for key in BY_KEY if key in files)


_OWN = _own()


def _rules() -> dict[str, Callable[[], str]]:
    from patchloom.check.catalogue import ENTRIES

    names = (*(entry.name for entry in ENTRIES if entry.issuer == "rule"), *_OWN)
    return {f"rules/{name}.md": partial(rule, name) for name in names}


def library() -> str:
    """Return the page of types and formats, from the library's data."""
    from patchloom import library as shelf

    lines = [
        "# Types and formats\n",
        MADE + "All generic. Numbers without a published source are typical of the trade; set your own over "
        "them with `type` + `set`. `patchloom types NAME` prints one whole.\n",
        "## Types\n",
        "| name | role | what it is |",
        "|---|---|---|",
    ]
    lines += [f"| `{name}` | {row.get('role', 'other')} | {row.get('about', '')} |" for name, row in shelf.types().items()]
    lines += ["\n## Formats\n", "| name | what it is | channels | standing | source |", "|---|---|---|---|---|"]
    for name, row in shelf.formats().items():
        sizes = "; ".join(
            f"{rate} Hz: {_size(size)}" for rate, size in sorted(row.get("channels", {}).items(), key=lambda item: int(item[0]))
        )
        lines.append(
            f"| `{name}` | {row.get('about', '')} | {sizes} | {row.get('standing', 'typical')} | {row.get('source', '')} |"
        )
    return "\n".join(lines) + "\n"


def _size(size: object) -> str:
    return " and ".join(map(str, size)) if isinstance(size, list) else str(size)


def schemas() -> str:
    """Return the page of schemas: the readable tree of each."""
    from patchloom.document import schema, schema_names
    from patchloom.library.tree import tree

    lines = ["# Schemas\n", MADE + "The readable tree of each; `patchloom schema NAME` prints the JSON Schema itself.\n"]
    for name in schema_names():
        lines.append(f"## {name}\n\n```text\n{tree(schema(name)).strip()}\n```\n")
    return "\n".join(lines)


def papers() -> str:
    """Return the page of papers: each with what it is, and the options of all, from the papers and options themselves."""
    import importlib

    import attrs

    from patchloom.pages import ORDER, Options
    from patchloom.pages.forms import FORMS

    lines = [f"# Papers\n\n{MADE}In the order of a book. `patchloom papers --paper NAME` makes one; without it, all.\n"]
    lines.append("| paper | what it is |\n|---|---|")
    for name in ORDER:
        said = importlib.import_module(f"patchloom_{name.replace('-', '_')}").__doc__ or ""
        lines.append(f"| `{name}` | {said.strip().splitlines()[0]} |")
    lines.append(
        "\n## Options\n\n`--option NAME=VALUE`, for one paper alone `--option PAPER.NAME=VALUE`. No option takes away a "
    )
    lines[-1] += (
        "caution, a finding, a waiver or a field that was not honoured.\n\n| option | what it chooses | absent |\n|---|---|---|"
    )
    for field in attrs.fields(Options):
        default = "" if field.default in (None, "", ()) else f"`{field.default}`"
        lines.append(f"| `{field.name}` | {field.metadata['doc']} | {default} |")
    lines.append(
        "\n## Forms\n\nPapers that answer a change: their tables, to be filled in.\n\n| form | for | tables |\n|---|---|---|"
    )
    for form in FORMS.values():
        lines.append(f"| {form.title} | {form.reader} | {', '.join(table.title for table in form.tables)} |")
    return "\n".join(lines) + "\n"


PAGES = {
    "cli.md": cli,
    "checks.md": checks,
    "library.md": library,
    "papers.md": papers,
    "rules.md": rules,
    "schemas.md": schemas,
    **_rules(),
}


def main() -> None:
    """Write every page."""
    HERE.mkdir(exist_ok=True)
    for name, make in PAGES.items():
        (HERE / name).parent.mkdir(exist_ok=True)
        (HERE / name).write_text(make(), encoding="utf-8")


if __name__ == "__main__":
    main()
