"""Names that stand for many: braces, rows that speak for many, lists of texts.

Comes in: texts as written, with their paths.  Goes out: (text, written path) pairs, one per name.
Next: `rig_form.py` and `show_form.py` expand rows with them.

A list of addresses is a choice among them, so there braces just make more items.  Where a field holds
one value, its braces zip with the row's ids, and unequal lengths are complaints.
"""

from __future__ import annotations

from typing import Any

from patchloom.address import ID, Span, braces, parse
from patchloom.document.complaints import Complaints, Path
from patchloom.errors import AddressError

__all__ = ["address", "check_id", "expand", "expand_keys", "listed", "rows", "spread", "texts", "zipped"]

Named = tuple[str, Path]
_MOST = 20_000


def rows(value: Any, path: Path) -> list[tuple[Any, Path]]:
    """Return the items of a list with their paths; a single item stands for a list of it."""
    if isinstance(value, list):
        return [(item, (*path, number)) for number, item in enumerate(value)]
    return [] if value is None else [(value, path)]


def texts(value: Any, path: Path) -> list[Named]:
    """Return the texts of a list, or the one text, with their paths; what is no text is passed over."""
    return [(item, place) for item, place in rows(value, path) if isinstance(item, str)]


def expand(text: str, path: Path, complaints: Complaints) -> list[str]:
    """Return the names a text with a brace stands for; none after a complaint."""
    if "{" not in text and "}" not in text:
        return [text]
    try:
        names = braces(text)
    except AddressError as error:
        complaints.add(path, "brace", str(error), value=text)
        return []
    if len(names) > _MOST:
        complaints.add(path, "too-large", f'"{text}" stands for {len(names)} names, more than {_MOST}', value=text)
        return []
    return names


def listed(value: Any, path: Path, complaints: Complaints) -> list[Named]:
    """Return every name of a text or list of texts, braces expanded."""
    return [(name, place) for text, place in texts(value, path) for name in expand(text, place, complaints)]


def spread(value: Any, path: Path, here: Path, complaints: Complaints) -> list[str]:
    """Return every name of a text or list of texts, each known to have come from where it was written."""
    made: list[str] = []
    for name, place in listed(value, path, complaints):
        complaints.came_from((*here, len(made)), place)
        made.append(name)
    return made


def expand_keys(table: Any, path: Path, complaints: Complaints) -> list[tuple[str, Any, Path]]:
    """Return (key, value, written path) of a table, keys with braces expanded, every id once."""
    made: list[tuple[str, Any, Path]] = []
    seen: dict[str, str] = {}
    for written, value in table.items() if isinstance(table, dict) else ():
        here = (*path, written)
        for key in expand(written, here, complaints):
            if not check_id(key, here, complaints, key=True):
                continue
            if key in seen:
                complaints.add(here, "duplicate-id", f'"{key}" is already there, from "{seen[key]}"', value=written, key=True)
                continue
            seen[key] = written
            made.append((key, value, here))
    return made


def check_id(text: Any, path: Path, complaints: Complaints, *, key: bool = False) -> bool:
    """Return whether a text is an id; complain when it is not."""
    if isinstance(text, str) and ID.match(text):
        return True
    complaints.add(
        path,
        "id",
        f'"{text}" is no id',
        value=text,
        key=key,
        hint='An id is a letter, then letters, digits, "_" or "-"; other text goes in "name".',
    )
    return False


def zipped(value: Any, count: int, path: Path, complaints: Complaints, what: str) -> list[Any]:
    """Return one value per row a row speaks for: a text with a brace zips, anything else repeats."""
    if count == 1 or not isinstance(value, str) or "{" not in value:
        return [value] * count
    try:
        names = braces(value)
    except AddressError:
        return [value] * count
    if len(names) == 1:
        return [value] * count
    if len(names) != count:
        complaints.add(
            path,
            "unequal",
            f'"{value}" makes {len(names)} but the row speaks for {count} {what}',
            value=value,
            hint="Give both the same length.",
        )
        return [value] * count
    return list(names)


def address(text: str, path: Path, complaints: Complaints, *, expanded: bool = False) -> Span | None:
    """Return the span an address names; None after a complaint.  `expanded` says which kind of path it is."""
    try:
        return parse(text)
    except AddressError as error:
        (complaints.about if expanded else complaints.add)(path, "address", str(error), value=text)
        return None
