"""The generated table of fields says what the model says."""

from __future__ import annotations

import importlib.util
import pathlib

HERE = pathlib.Path(__file__).resolve()


def test_fields_are_fresh():
    """`fields.py` is what the model's classes make of it; `python tests/document/make_fields.py` refreshes it."""
    spec = importlib.util.spec_from_file_location("make_fields", HERE.with_name("make_fields.py"))
    maker = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(maker)
    from patchloom.document import fields

    assert pathlib.Path(fields.__file__).read_text(encoding="utf-8") == maker.source()
