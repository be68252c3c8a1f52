"""Hypothesis strategies of rigs, shows and solved pairs, all of which can be patched.

Comes in: nothing, or a rig.  Goes out: strategies.  Next: property tests, yours and ours.

Nothing is filtered: what is drawn is a seed, a size and features, and `generate` builds from them.  They shrink to one
desk, one source and no features.  This is the one module that imports hypothesis.
"""

from __future__ import annotations

from hypothesis import strategies as st

from patchloom.model.rig import Rig
from patchloom.model.show import Plug, Show, Source
from patchloom.testing.generate import FEATURES, Planted, generate

__all__ = ["planted", "rigs", "shows", "solved"]


@st.composite
def planted(draw: st.DrawFn, *, desks: int = 3, sources: int = 16, features: tuple[str, ...] = FEATURES) -> Planted:
    """Draw a rig, a show and the hidden patch, with at most so many desks and sources, and features out of these."""
    chosen = draw(st.lists(st.sampled_from(features), unique=True, max_size=12)) if features else []
    return generate(
        draw(st.integers(0, 2**16)), desks=draw(st.integers(1, desks)), sources=draw(st.integers(1, sources)), features=chosen
    )


def rigs(*, desks: int = 3, sources: int = 16) -> st.SearchStrategy[Rig]:
    """Return a strategy of rigs."""
    return planted(desks=desks, sources=sources).map(lambda row: row.rig)


@st.composite
def shows(draw: st.DrawFn, rig: Rig | None = None, *, desks: int = 3, most: int = 16) -> Show:
    """Draw a show: without a rig, that of a planted pair; over a rig, sources fixed on some of its input sockets.

    Over a rig nobody wants the sources yet, so any rig can carry it.
    """
    if rig is None:
        return draw(planted(desks=desks, sources=most)).show
    sockets = [
        f"{key}.{name}[1]"
        for key in rig.devices
        for name, bank in rig.type_of(key).banks.items()
        if bank.socket == "in" and not bank.only_for
    ]
    chosen = draw(st.lists(st.sampled_from(sockets), unique=True, max_size=8)) if sockets else []
    kinds = st.sampled_from(("no", "need", "never", "unknown"))
    sources = tuple(Source(id=f"s{number}", phantom=draw(kinds)) for number, _ in enumerate(chosen, 1))
    plugs = tuple(Plug(source=row.id, into=(place,)) for row, place in zip(sources, chosen, strict=True))
    return Show(name="drawn", sources=sources, plug=plugs)


def solved(*, desks: int = 3, sources: int = 16) -> st.SearchStrategy[Planted]:
    """Return a strategy of rigs and shows with a patch that answers them, right to the last slot."""
    return planted(desks=desks, sources=sources)
