"""Documents: text to checked plain data and back.

Comes in: JSON text of a rig, show, patch, page, type or format file, in the short form a person writes.
Goes out: expanded plain data in the shape the model is built from, or `DocumentError` with every complaint
at once; and canonical text, digests and whole files the other way.  Next: `model/`.

    reader.py      the stages of reading, in a row
    strict.py      bytes to JSON, strictly          locate.py      where everything stands in the text
    schemas.py     the JSON Schemas                 quick.py       a quick yes, where there is nothing to word
    complaints.py  the collector, paths, "did you mean"  kinds.py  the kinds of complaint
    names.py       braces, rows that speak for many sets.py        names of signals, sets, `not`, `all`
    rig_form.py    a rig, expanded                  type_form.py, format_form.py, file_form.py  types, formats, packs
    show_form.py   a show, expanded                 lists_form.py, each_form.py, rows_form.py  its parts
    rig_refs.py    what a rig refers to             show_refs.py   what a show refers to
    patch_refs.py  what a patch says of slots      places.py      what an address names on a rig
    cross_refs.py  a show against a rig
    tidy.py        one normal form                  fields.py      fields and defaults, generated
    write.py       canonical text                   jcs.py         digest        files.py  whole files
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from patchloom.document.cross_refs import cross
    from patchloom.document.files import write_file
    from patchloom.document.jcs import digest
    from patchloom.document.kinds import COMPLAINTS, REMEDIES
    from patchloom.document.reader import KINDS, Read, read
    from patchloom.document.schemas import schema, schema_names
    from patchloom.document.write import write_text

__all__ = [
    "COMPLAINTS",
    "KINDS",
    "REMEDIES",
    "Read",
    "cross",
    "digest",
    "read",
    "schema",
    "schema_names",
    "write_file",
    "write_text",
]

_HOMES = {
    "COMPLAINTS": "kinds",
    "KINDS": "reader",
    "REMEDIES": "kinds",
    "Read": "reader",
    "read": "reader",
    "cross": "cross_refs",
    "digest": "jcs",
    "schema": "schemas",
    "schema_names": "schemas",
    "write_file": "files",
    "write_text": "write",
}


def __getattr__(name: str) -> Any:
    """Return a public name, loading its module when it is first asked for."""
    home = _HOMES.get(name)
    if home is None:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from importlib import import_module

    return getattr(import_module(f"{__name__}.{home}"), name)
