"""Reading a document: text to checked, expanded plain data, or every complaint at once.

Comes in: a path, bytes, or data already parsed; the kind of document.  Goes out: `Read`, the expanded data
and notes.  Next: `model.base.build` makes a frozen rig, show or patch of it.

The stages, in a row: load, parse strictly, check format and version, check against the schema, expand,
check what it refers to, and with a rig at hand check a show against it.  A stage adds complaints and the
next still runs as far as it can, so that one look gives all of them; a stage is silent about places an
earlier one has complained about.  Where the text itself is at fault (a key twice, NaN) nobody knows what
was meant, so that expansion would only find ghosts: there it ends after the schema.
"""

from __future__ import annotations

import os
import re
from collections import ChainMap
from collections.abc import Sequence
from pathlib import Path as File
from typing import Any

import attrs

from patchloom.document import schemas, strict
from patchloom.document.complaints import Complaints, near
from patchloom.document.cross_refs import cross_check
from patchloom.document.file_form import expand_file
from patchloom.document.patch_refs import check_patch
from patchloom.document.rig_form import expand_rig
from patchloom.document.rig_refs import check_rig
from patchloom.document.show_form import expand_show
from patchloom.document.show_refs import check_show
from patchloom.document.tidy import tidy
from patchloom.errors import DocumentError
from patchloom.finding import Complaint

__all__ = ["KINDS", "Read", "read"]

KINDS = {"rig": 1, "show": 1, "patch": 1, "page": 1, "type": 1, "format": 1}
"""Kinds of document and the newest version of each this program reads."""


@attrs.frozen
class Read:
    """A document that was read: its expanded data, and notes that are no faults (a byte order mark)."""

    data: dict[str, Any]
    notes: tuple[Complaint, ...] = ()


def read(
    source: Any, kind: str, *, name: str | None = None, rig: dict[str, Any] | None = None, packs: Sequence[Any] = ()
) -> Read:
    """Return the expanded data of a document, the shape the model is built from.

    `source` is a path, bytes, or a dict already parsed (never altered).  `rig`, an expanded rig, adds the
    cross checks of a show's addresses.  `packs`, as `library.load_pack` gives them, stand before the shipped
    library.  Raises DocumentError with every complaint at once.
    """
    if kind not in KINDS:
        raise ValueError(f"kind {kind!r} is none of {', '.join(sorted(KINDS))}")
    notes: list[Complaint] = []
    raw, complaints = _load(source, kind, name or _name(source, kind), notes)
    if not isinstance(raw, dict):
        if not complaints:
            complaints.add(
                (), "type", f"a {kind} document is an object, not {_word(raw)}", value=raw, hint='Begin with {"format": ...}.'
            )
        raise DocumentError(complaints.finish())
    if not _version(raw, kind, complaints):
        raise DocumentError(complaints.finish())
    complaints.next_stage()
    schemas.validate(raw, kind, complaints)
    if complaints.doubtful:
        raise DocumentError(complaints.finish())
    complaints.next_stage()
    data = _expanded(raw, kind, rig, packs, complaints)
    if complaints:
        raise DocumentError(complaints.finish())
    return Read(data, tuple(notes))


def _expanded(
    raw: dict[str, Any], kind: str, rig: dict[str, Any] | None, packs: Sequence[Any], complaints: Complaints
) -> dict[str, Any]:
    """Return the expanded data and complain about what it refers to."""
    data: dict[str, Any] = {}
    with complaints.shield():
        if kind == "rig":
            types, formats = _library(packs)
            data = expand_rig(raw, complaints, types, formats)
            complaints.next_stage()
            check_rig(data, complaints, formats)
        elif kind == "show":
            data = expand_show(raw, complaints)
            complaints.next_stage()
            check_show(data, complaints)
            if rig is not None:
                cross_check(rig, data, complaints)
        elif kind == "patch":
            data = tidy(raw, "Patch")
            complaints.next_stage()
            check_patch(data, complaints)
        elif kind in ("type", "format"):
            data = expand_file(raw, kind, complaints, *_library(packs))
        else:
            data = raw
    return data


def _library(packs: Sequence[Any]) -> tuple[Any, Any]:
    """Return the shelves of types and formats a name is looked up in, after the document's own."""
    from patchloom import library

    types = ChainMap(*(pack.types for pack in packs), library.types())  # type: ignore[arg-type]
    formats = ChainMap(*(pack.formats for pack in packs), library.formats())  # type: ignore[arg-type]
    return types, formats


def _name(source: Any, kind: str) -> str:
    if isinstance(source, (str, os.PathLike)):
        return os.fspath(source) if isinstance(os.fspath(source), str) else kind
    return kind


def _load(source: Any, kind: str, name: str, notes: list[Complaint]) -> tuple[Any, Complaints]:
    """Return the parsed data and the collector of its complaints; the data is None when it cannot be read."""
    complaints = Complaints(name)
    if isinstance(source, (str, os.PathLike)):
        try:
            if File(source).stat().st_size > strict.LARGEST:
                complaints.add(
                    (),
                    "too-large",
                    f"the file is larger than {strict.LARGEST} bytes",
                    value=None,
                    hint="Split it into several documents.",
                )
                return None, complaints
            source = File(source).read_bytes()
        except (OSError, ValueError) as error:
            words = getattr(error, "strerror", None) or str(error)
            hint = "Check the name and who may read it."
            if str(source).lstrip()[:1] in ("{", "["):
                complaints.document, hint = kind, "It looks like the text of a document; hand that over as bytes."
            complaints.add((), "unreadable", f"cannot be read: {words}", value=None, hint=hint)
            return None, complaints
    if isinstance(source, (bytes, bytearray, memoryview)):
        decoded = strict.decode(bytes(source), complaints)
        if decoded is None:
            return None, complaints
        complaints.text, mark = decoded
        if mark:
            notes.append(
                Complaint(
                    name,
                    "$",
                    "the file begins with a byte order mark; it was passed over",
                    "byte-order-mark",
                    1,
                    1,
                    hint="Save it as UTF-8 without one.",
                )
            )
        return strict.parse(complaints.text, complaints), complaints
    return strict.copy_plain(source, complaints), complaints


def _version(raw: dict[str, Any], kind: str, complaints: Complaints) -> bool:
    """Return whether the document says a format and version this program reads."""
    newest = KINDS[kind]
    wanted = f'Write "format": "{kind}/{newest}".'
    if "format" not in raw:
        complaints.add(
            (),
            "format",
            "the document does not say its format",
            value=None,
            hint=near("format", raw, 0.75) or wanted,
        )
        return False
    found = re.fullmatch(r"([a-z]+)/([1-9][0-9]{0,5})", raw["format"]) if isinstance(raw["format"], str) else None
    if found is None:
        complaints.add(("format",), "format", f'"{raw["format"]}" is no format and version', hint=wanted)
        return False
    other, version = found[1], int(found[2])
    if other != kind:
        known = f"a {other} document" if other in KINDS else f'of the unknown format "{other}"'
        complaints.add(
            ("format",),
            "format",
            f"a {kind} document is asked for and this is {known}",
            hint=f"Hand over the {kind}." if other in KINDS else near(other, KINDS) or wanted,
        )
        return False
    if version > newest:
        complaints.add(
            ("format",),
            "version",
            f"{kind}/{version} is newer than this program, which reads up to {kind}/{newest}",
            hint="Update the program, or have the document written in the older version.",
        )
        return False
    return True


def _word(value: Any) -> str:
    words = {list: "a list", str: "a text", bool: "true or false", int: "a number", float: "a number", type(None): "null"}
    return words.get(type(value), "that")
