"""Print `src/patchloom/document/fields.py` from the model classes.

The document layer stands below the model and may not import it, yet both must agree on names, order
and defaults.  So the table is generated, and `test_fields.py` fails when it is stale.

Run `python tests/document/make_fields.py` from the top folder to refresh it.
"""

from __future__ import annotations

import pathlib
from typing import Any

import attrs

from patchloom.address import Slot, Span
from patchloom.model import patch, rig, show
from patchloom.model.base import dump

HEAD = '''"""Names, order, kinds and defaults of every field of the expanded documents, as data.

Comes in: nothing.  Goes out: `FIELDS`, read by `tidy.py` (defaults dropped, order fixed) and `write.py`.
Generated from the model by `tests/document/make_fields.py`; a test fails when it is stale.

One row is (name, kind, default, class of its objects); a default of None is "unknown".
"""

from __future__ import annotations

from typing import Any

__all__ = ["FIELDS", "ROOTS"]

ROOTS = {"rig": "Rig", "show": "Show", "patch": "Patch", "type": "Type", "format": "Format"}
"""Class of the whole document, by kind."""

'''


def plain(value: Any) -> Any:
    """Return a default as plain data."""
    if value is attrs.NOTHING or isinstance(value, (Slot, Span)):
        return None
    if attrs.has(type(value)):
        return dump(value)
    if isinstance(value, dict):
        return dict(value)
    return list(value) if isinstance(value, tuple) else value


def rows(cls: type) -> list[tuple[str, str, Any, str]]:
    """Return the rows of one class."""
    out = []
    for field in attrs.fields(cls):
        sub = field.metadata.get("cls")
        out.append(
            (field.name.rstrip("_"), field.metadata.get("kind") or "plain", plain(field.default), sub.__name__ if sub else "")
        )
    return out


def source() -> str:
    """Return the text of the module."""
    text = HEAD + "FIELDS: dict[str, tuple[tuple[str, str, Any, str], ...]] = {\n"
    for module in (rig, show, patch):
        for name in module.__all__:
            text += f'    "{name}": (\n'
            text += _packed(["(" + ", ".join(_literal(item) for item in row) + ")," for row in rows(getattr(module, name))])
            text += "    ),\n"
    return text + "}\n"


def _packed(parts: list[str]) -> str:
    lines: list[str] = []
    for part in parts:
        if lines and len(lines[-1]) + len(part) < 125:
            lines[-1] += " " + part
        else:
            lines.append("        " + part)
    return "\n".join(lines) + "\n"


def _literal(value: Any) -> str:
    return '"' + value + '"' if isinstance(value, str) else repr(value)


if __name__ == "__main__":
    here = pathlib.Path(__file__).resolve().parents[2]
    (here / "src/patchloom/document/fields.py").write_text(source(), encoding="utf-8")
