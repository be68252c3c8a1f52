"""Not made yet: proof page."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from patchloom.pages import Page

__all__ = ["pages"]


def pages(
    rig: Any, show: Any, patch: Any, findings: Iterable[Any], *, options: Mapping[str, Any] | None = None
) -> Iterable[Page]:
    """Return nothing yet."""
    return ()
