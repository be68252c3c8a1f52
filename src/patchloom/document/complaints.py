"""Every complaint about one document, collected while it is read.

Comes in: paths, words and values from the other modules here.  Goes out: `Complaint` records with the
place in the text as written.  Next: `reader.py` raises them all at once.

A *path* is a tuple of keys and numbers.  Expansion tells `came_from` which written path an expanded
path stems from, so that a check on expanded data complains about what the person wrote.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Any, NamedTuple

from patchloom.address import braces
from patchloom.errors import AddressError
from patchloom.finding import Complaint

__all__ = ["Complaints", "Path", "json_path", "near", "shorten"]

Path = tuple[Any, ...]
_PLAIN_KEY = re.compile(r"[A-Za-z_][A-Za-z0-9_]*\Z")
_MISSING = object()
_GUESSES = 100


class _Row(NamedTuple):
    path: Path
    kind: str
    message: str
    value: Any
    hint: str
    key: bool
    offset: int | None


class Complaints:
    """The complaints about one document, and the way back from expanded paths to written ones."""

    def __init__(self, document: str, text: str | None = None) -> None:
        self.document = document
        self.text = text
        self.written: Any = None
        self.doubtful = False
        self._rows: list[_Row] = []
        self._said: set[tuple[Path, str, str]] = set()
        self._origins: dict[Path, Path] = {(): ()}
        self._seen: dict[Path, int] = {}
        self._stage = 0
        self._guesses = 0

    def __len__(self) -> int:
        return len(self._rows)

    def next_stage(self) -> None:
        """Begin the next stage of reading: it stays silent about places already complained about."""
        self._stage += 1

    def add(
        self,
        path: Path,
        kind: str,
        message: str,
        *,
        value: Any = _MISSING,
        hint: str = "",
        key: bool = False,
        offset: int | None = None,
    ) -> None:
        """Note one complaint at a path as written.

        `key` points at the key instead of its value; `offset` is a place in the text that no path can name.
        """
        if self._seen.setdefault(path, self._stage) < self._stage or (path, kind, message) in self._said:
            return
        self._said.add((path, kind, message))
        if value is _MISSING:
            value = _look(self.written, path)
        self._rows.append(_Row(path, kind, message, value, hint, key, offset))

    def near(self, word: str, options: Iterable[str]) -> str:
        """Return `Did you mean "..."?`, or nothing once so much is wrong that guessing would take too long."""
        self._guesses += 1
        return near(word, options) if self._guesses <= _GUESSES else ""

    def shield(self) -> _Shield:
        """Return a context in which a wrong shape ends one check quietly, if it has its complaint already.

        A stage runs on after earlier complaints, over shapes it was not made for; where there is no complaint
        such an error is a fault of this program and goes up.
        """
        return _Shield(self)

    def came_from(self, expanded: Path, written: Path) -> None:
        """Remember that what stands at an expanded path was written at another."""
        self._origins[expanded] = written

    def written_path(self, expanded: Path) -> Path:
        """Return the path as written of an expanded path, as far down as the text goes."""
        origin, rest = next(
            (self._origins[expanded[:length]], expanded[length:])
            for length in range(len(expanded), -1, -1)
            if length == 0 or expanded[:length] in self._origins
        )
        path: Path = ()
        value = self.written
        for step in (*origin, *rest):
            if isinstance(value, dict) and step not in value:
                step = _braced(value, step)
            if not _has(value, step):
                break
            value = value[step]
            path = (*path, step)
        return path

    def about(self, expanded: Path, kind: str, message: str, *, value: Any = _MISSING, hint: str = "", key: bool = False) -> None:
        """Note one complaint at an expanded path."""
        self.add(self.written_path(expanded), kind, message, value=value, hint=hint, key=key)

    def finish(self) -> tuple[Complaint, ...]:
        """Return the complaints in reading order, each with its line and column when there is a text.

        A missing key gives way to an unknown one beside it that seems to be the same, misspelt.
        """
        misspelt = {row.path[:-1] for row in self._rows if row.kind == "unknown-key" and row.hint.startswith("Did you mean")}
        rows = [row for row in self._rows if row.kind != "missing" or row.path not in misspelt]
        if self.text is None:
            rows.sort(key=lambda row: _rank(self.written, row.path))
            return tuple(self._complaint(row, None) for row in rows)
        from patchloom.document.locate import locate

        places = locate(self.text)
        made = [(places.find(row.path, key=row.key) if row.offset is None else row.offset, row) for row in rows]
        made.sort(key=lambda pair: pair[0])
        return tuple(self._complaint(row, places.line_column(offset)) for offset, row in made)

    def _complaint(self, row: _Row, place: tuple[int, int] | None) -> Complaint:
        line, column = place or (None, None)
        return Complaint(
            document=self.document,
            path=json_path(row.path),
            message=row.message + ("." if row.hint and row.message[-1:] not in ".!?" else ""),
            kind=row.kind,
            line=line,
            column=column,
            value=shorten(row.value),
            hint=row.hint,
        )


class _Shield:
    def __init__(self, complaints: Complaints) -> None:
        self.complaints = complaints

    def __enter__(self) -> None:
        return None

    def __exit__(self, kind: type[BaseException] | None, *_: Any) -> bool:
        shape = kind is not None and issubclass(kind, (AttributeError, IndexError, KeyError, TypeError, ValueError))
        return shape and len(self.complaints) > 0


def json_path(path: Path) -> str:
    """Return a path as text: `$.links[4].join[0]`, with odd keys quoted as in `$.devices['BOX{1-2}']`."""
    text = "$"
    for step in path:
        if isinstance(step, int):
            text += f"[{step}]"
        elif _PLAIN_KEY.match(step):
            text += f".{step}"
        else:
            quoted = step.replace("\\", "\\\\").replace("'", "\\'")
            text += "['" + "".join(_visible(letter) for letter in quoted) + "']"
    return text


def shorten(value: Any, most: int = 80) -> Any:
    """Return a value short enough to print: long texts and big tables lose their tail."""
    if isinstance(value, str):
        value = "".join(_visible(letter) for letter in value[: most + 1])
        return value if len(value) <= most else value[: most - 3] + "..."
    if isinstance(value, dict):
        return f"an object of {len(value)}"
    if isinstance(value, (list, tuple)):
        return f"a list of {len(value)}"
    return value


def near(word: str, options: Iterable[str], cutoff: float = 0.6) -> str:
    """Return `Did you mean "..."?` for the nearest option, else the empty text."""
    from difflib import get_close_matches

    known = sorted({option for option in options if isinstance(option, str)})
    if not isinstance(word, str) or not known:
        return ""
    folded = {option.lower(): option for option in reversed(known)}
    found = get_close_matches(word.lower()[:100], list(folded), n=1, cutoff=cutoff)
    return f'Did you mean "{folded[found[0]]}"?' if found else ""


def _visible(letter: str) -> str:
    code = ord(letter)
    return f"\\u{code:04x}" if code < 0x20 or 0x7F <= code < 0xA0 or 0xD800 <= code < 0xE000 else letter


def _braced(table: dict[str, Any], key: Any) -> Any:
    """Return the key with a brace that stands for a key, among others."""
    for written in table:
        if "{" in written:
            try:
                if key in braces(written):
                    return written
            except AddressError:
                continue
    return key


def _rank(value: Any, path: Path) -> tuple[int, ...]:
    """Return where a path comes in reading order: the place of each step among its neighbours."""
    ranks = []
    for step in path:
        ranks.append(
            list(value).index(step) if isinstance(value, dict) and step in value else step if isinstance(step, int) else -1
        )
        value = _look(value, (step,))
    return tuple(ranks)


def _look(value: Any, path: Path) -> Any:
    for step in path:
        if not _has(value, step):
            return None
        value = value[step]
    return value


def _has(value: Any, step: Any) -> bool:
    if isinstance(value, list):
        return isinstance(step, int) and 0 <= step < len(value)
    return isinstance(value, dict) and step in value
