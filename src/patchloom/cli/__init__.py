"""The command line: quiet, scriptable, and the only part that reads a clock, prints, or exits.

Comes in: arguments and the documents of a folder.  Goes out: text or JSON, files written whole, an exit
status.  Next: the person or the script that asked.

Exit status: 0 fine; 1 impossible, or an unwaived finding of severity stop or safety; 2 bad input or
usage; 3 undecided.  A fault of the program itself is undecided too: nothing is known about the answer.

- `common`: options, output and exit status every command shares; `outcomes`: the two answers that are no patch;
- `documents`: validate, expand, schema, types, import-list;
- `answers`: solve, trace; `checks`: verify, check, rules, with `picture` drawing a rule's cases;
- `papers`: papers and plugins, with `files` keeping a manifest of what they wrote;
- `demo`: the whole job on an invented event, with `summary` for its fifteen lines.
"""

from __future__ import annotations

import sys

import click

from patchloom import __version__
from patchloom.cli import answers, checks, demo, documents, papers
from patchloom.cli.common import FINE, outcome_of, tell

__all__ = ["commands", "main"]


@click.group(context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(__version__, "-V", "--version", message="patchloom %(version)s")
@click.option("-C", "folder", metavar="DIR", default="", help="Work in DIR: where rig.json, show.json and patch.json are.")
@click.pass_context
def commands(context: click.Context, folder: str) -> None:
    """From one rig and one show to a verified patch and everyone's papers.

    Documents default to rig.json, show.json and patch.json in the current folder.
    """
    context.ensure_object(dict)["folder"] = folder


for module in (answers, checks, demo, documents, papers):
    for command in module.COMMANDS:
        commands.add_command(command)


def main(arguments: list[str] | None = None) -> None:
    """Run the command line and exit with its status; no traceback reaches the user."""
    words = sys.argv[1:] if arguments is None else arguments
    try:
        result = commands.main(args=words, prog_name="patchloom", standalone_mode=False)
        status = result if isinstance(result, int) else FINE
    except BaseException as problem:  # the last door: everything becomes a message and a status
        status = tell(outcome_of(problem), as_json="--json" in words)
    sys.exit(status)
