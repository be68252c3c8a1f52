"""The proof page: what was asked and delivered, what was checked and what could not be, exceptions, capacities, assumptions.

Comes in: rig, show, patch, findings.  Goes out: one page for the whole show.  Next: any renderer.

Nothing is judged here, and no more is claimed than: checked against the rules listed, with the data given.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from patchloom.check.proof import proof
from patchloom.pages import Options, Page, translated
from patchloom_proof_page.sheet import proof_page

__all__ = ["pages"]


def pages(
    rig: Any, show: Any, patch: Any, findings: Iterable[Any], *, options: Mapping[str, Any] | None = None
) -> Iterator[Page]:
    """Yield the proof page of the show."""
    chosen = Options.of(options)
    yield from translated([proof_page(proof(rig, show, patch, findings), rig, show, chosen)], chosen.say)
