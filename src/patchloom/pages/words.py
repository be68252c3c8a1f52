"""Fixed words of papers in a language: `say(text)` with what is to be filled in.

Comes in: a language, an English text.  Goes out: the text in that language, filled in.  Next: papers, through their
`View`, and renderers, for the words of the stamp.

The English text is the key; `languages/LANGUAGE.json` holds what stands for it, placeholders by the same names, and lists
the texts that are the same in both.  A text that no catalogue has is printed as it is: papers of strangers keep their words.
Names are never translated: a column headed by a name has a `-` in its id, such as `list-foh`.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from functools import lru_cache
from pathlib import Path
from typing import Any

import attrs

from patchloom.errors import PatchloomError
from patchloom.pages.page import Caution, Column, Diagram, Page, Plan, Remark, StepGroup, Table

__all__ = ["LANGUAGES", "Say", "catalogue", "say_in", "translated"]

LANGUAGES = ("en", "de")
"""Languages there are words in; `en` is what the papers are written in."""

_FOLDER = Path(__file__).parent / "languages"


@lru_cache(maxsize=8)
def catalogue(language: str) -> dict[str, str]:
    """Return the texts of a language by their English.  Raises PatchloomError for a language there is none for."""
    if language == "en":
        return {}
    if language not in LANGUAGES:
        raise PatchloomError(f"language: {language!r} is none of {', '.join(LANGUAGES)}")
    words: dict[str, str] = json.loads((_FOLDER / f"{language}.json").read_text(encoding="utf-8"))["words"]
    return words


@attrs.frozen
class Say:
    """Says fixed words in one language."""

    language: str = "en"

    def __call__(self, text: str, **values: Any) -> str:
        """Return a text in the language, `{name}`s filled in where values are given."""
        words = catalogue(self.language).get(text, text)
        return words.format(**values) if values else words


@lru_cache(maxsize=8)
def say_in(language: str) -> Say:
    """Return what says words in a language.  Raises PatchloomError for a language there is no catalogue for."""
    catalogue(language)
    return Say(language)


def translated(pages: Iterable[Page], say: Say) -> Iterator[Page]:
    """Yield pages with their titles, heads, cautions and legends in a language: all that is a fixed word as it stands.

    What has something filled in was said in the language when it was made.
    """
    if not catalogue(say.language):
        yield from pages
        return
    for page in pages:
        yield attrs.evolve(
            page,
            language=say.language,
            title=say(page.title),
            about=say(page.about),
            notes=tuple(say(text) for text in page.notes),
            tables=tuple(_table(table, say) for table in page.tables),
            diagram=_diagram(page.diagram, say),
            plan=_plan(page.plan, say),
            steps=tuple(_group(group, say) for group in page.steps),
            cautions=tuple(Caution(row.area, say(row.text)) for row in page.cautions),
            remarks=tuple(Remark(row.kind, say(row.text), row.where) for row in page.remarks),
        )


def _table(table: Table, say: Say) -> Table:
    return attrs.evolve(
        table,
        title=say(table.title),
        columns=tuple(_column(column, say) for column in table.columns),
        notes=tuple(say(text) for text in table.notes),
    )


def _column(column: Column, say: Say) -> Column:
    return column if "-" in column.id else attrs.evolve(column, title=say(column.title))


def _diagram(diagram: Diagram | None, say: Say) -> Diagram | None:
    if diagram is None:
        return None
    return attrs.evolve(diagram, legend=tuple(attrs.evolve(row, words=say(row.words)) for row in diagram.legend))


def _plan(plan: Plan | None, say: Say) -> Plan | None:
    if plan is None:
        return None
    return attrs.evolve(plan, legend=tuple(attrs.evolve(row, words=say(row.words)) for row in plan.legend))


def _group(group: StepGroup, say: Say) -> StepGroup:
    steps = tuple(attrs.evolve(step, text=say(step.text), caution=say(step.caution)) for step in group.steps)
    return attrs.evolve(group, title=say(group.title), why=say(group.why), steps=steps)
