"""Hypothesis strategies of rigs, shows, answers, shows that cannot be carried, broken patches, and types.

Comes in: sizes, a rig, a patch.  Goes out: strategies.  Next: property tests, yours and ours.

Everything is built from the top down out of a few small numbers, and nothing is filtered: `asking` takes a number
modulo what there is to choose from, and asks only for what the rig can carry.  All shrink towards one desk, one box, one
source on its first socket.  What was drawn last is kept in `last`, for `counterexample` to write down; `replay` gives it
back instead of drawing.  This package is the one place that imports hypothesis.

`planted` draws much larger and odder rigs out of a seed (`generate`); they shrink less well.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from math import prod
from typing import Any, NamedTuple

from hypothesis import strategies as st

from patchloom.model.patch import Patch
from patchloom.model.rig import Rig, Type
from patchloom.model.show import Show
from patchloom.testing.asking import KINDS as SIGNALS
from patchloom.testing.asking import AskedFeed, AskedSource, ask, listening, sockets
from patchloom.testing.dress import EXTRAS, VALUES
from patchloom.testing.faults import BROKEN, breaks
from patchloom.testing.generate import FEATURES, Planted, generate
from patchloom.testing.joining import joined
from patchloom.testing.kit import KINDS, PORTS, box_type, desk_type, format_of
from patchloom.testing.last import LAST, Broken, Infeasible, Pair, Quiet, Solved
from patchloom.testing.short import SHORT, shorten

__all__ = ["broken", "infeasible", "pairs", "planted", "rigs", "shows", "solved", "types"]

# rigs


_FIRST, _MOST = 0x10000, 0x100000
"""First code point a row is drawn as, and how many there are."""


def _digits(number: int, *bases: int) -> list[int]:
    """Return the digits of a number written in mixed bases, the lowest first."""
    found = []
    for base in bases:
        number, digit = divmod(number, base)
        found.append(digit)
    return found


def _rows(most: int, *bases: int, least: int = 0) -> st.SearchStrategy[str]:
    """Return a strategy of so many rows, each one number in mixed bases: a text, one letter a row.

    A text is drawn in one go, which a list of numbers is not, and is shrunk letter by letter all the same: rows are
    left out, and each becomes as small as it can.
    """
    last = _FIRST + min(prod(bases), _MOST) - 1
    return st.text(st.characters(min_codepoint=_FIRST, max_codepoint=last), min_size=least, max_size=most)


def _numbers(*texts: str) -> list[int]:
    return [ord(letter) - _FIRST for text in texts for letter in text]


_CHANNELS = (16, 32, 8)
_PHANTOM = (1, 8, 4)


class _House(NamedTuple):
    """What a rig may be made of, as given to `rigs`."""

    desks: int = 3
    boxes: int = 3
    kinds: tuple[str, ...] = KINDS
    blocks: tuple[int, ...] = (8, 4)
    sizes: tuple[int, ...] = (8, 16, 32)
    formats: tuple[str, ...] = ("category-32", "category-64", "aes50")
    rate: int = 48000

    def texts(self) -> st.SearchStrategy[Any]:
        """Return a strategy of what `built` takes."""
        return _rigs(self.desks, self.boxes, len(self.kinds), len(self.blocks), len(self.sizes), len(self.formats))

    def built(self, texts: Any) -> Rig:
        """Return the rig of what was drawn."""
        formats, kinds, sizes = self.formats, self.kinds, self.sizes
        shapes = []
        for number in _numbers(texts[0]):
            spoke, parent, kind = _digits(number, len(formats), 3, len(kinds))
            shapes.append((kinds[kind], parent, formats[spoke]))
        stages = []
        for number in _numbers(texts[1]):
            spoke, size, home, second, phantom = _digits(number, len(formats), len(sizes), 3, 3, len(_PHANTOM))
            stages.append((sizes[size], home, second, _PHANTOM[phantom], formats[spoke]))
        channels, by = _digits(texts[2], len(_CHANNELS), len(self.blocks))
        spoken = {name: format_of(name) for name in formats}
        made = joined(shapes, stages, self.blocks[by], _CHANNELS[channels], spoken, self.rate)
        LAST.note(rig=made)
        return made


def rigs(**sizes: Any) -> st.SearchStrategy[Rig]:
    """Return a strategy of rigs: 1 to `desks` (3) desks and recorders in a tree, up to `boxes` (3) boxes, some on two desks.

    `kinds` are how their channels choose, of `patchloom.testing.kit.KINDS`; `blocks` the sizes of blocks, (8, 4); `sizes`
    those of boxes, (8, 16, 32); `formats` shipped ones that run both ways and carry a clock; `rate` in Hz, 48000.  Raises
    TypeError for any other word, PatchloomError for a format that will not do.
    """
    house = _House(**sizes)
    for name in house.formats:
        format_of(name)
    return _drawn_rig(house)


@st.composite
def _drawn_rig(draw: st.DrawFn, house: _House) -> Rig:
    if LAST.replaying is not None:
        return LAST.replaying.rig
    return house.built(draw(house.texts()))


@cache
def _rigs(desks: int, boxes: int, kinds: int, blocks: int, sizes: int, formats: int) -> st.SearchStrategy[Any]:
    """Return a strategy of texts: desks, boxes, and a number for what holds for all of them."""
    return st.tuples(
        _rows(desks, formats, 3, kinds, least=1),
        _rows(boxes, formats, sizes, 3, 3, len(_PHANTOM)),
        st.integers(0, len(_CHANNELS) * blocks - 1),
    )


def types(*, kinds: tuple[str, ...] = KINDS) -> st.SearchStrategy[Type]:
    """Return a strategy of types: desks of these kinds, recorders, boxes, as `rigs` has them."""
    spoken = ("category-32",)
    desks = st.builds(
        desk_type,
        st.sampled_from(kinds),
        st.integers(1, len(PORTS)),
        st.sampled_from((16, 32, 8)),
        st.sampled_from((8, 4)),
        st.just(spoken),
        st.just(8),
    )
    boxes = st.builds(box_type, st.sampled_from((8, 16, 32)), st.integers(1, 2), st.sampled_from((1, 8, 4)), st.just(spoken))
    return st.one_of(boxes, desks)


# shows


class _Evening(NamedTuple):
    """What a show may be made of, as given to `shows`."""

    sources: int = 24
    feeds: int = 4
    acts: int = 2
    stereo: bool = True
    phantom: bool = True
    gains: bool = True
    owners: bool = True
    groups: bool = True
    talk: bool = True
    stage: bool = True

    def texts(self, places: int, lists: int) -> st.SearchStrategy[Any]:
        """Return a strategy of what `built` takes."""
        return _shows(places, lists, *self[:5], len(_extras(self)))

    def built(self, rig: Rig, places: int, lists: int, texts: Any) -> Show:
        """Return the show of what was drawn, over a rig."""
        several, asked, mixed = texts
        bits = 1 << self.acts
        made = ask(
            rig,
            [_source(number, places, lists, self, bits) for number in _numbers(*asked) or [0]],
            [_feed(number, lists, self.stereo, bits) for number in _numbers(mixed)],
            several,
        )
        LAST.note(rig=rig, show=made)
        return made


@cache
def _extras(evening: _Evening) -> tuple[str, ...]:
    """Return what may be said beside a source, what is switched off left out."""
    return tuple(word for word in EXTRAS if not word or getattr(evening, word))


_LISTS, _PLACES = 4, 8
"""The fewest lists and banks of sockets a show is drawn for: the same numbers for all rigs but large ones.  So while a rig is
made smaller, what was drawn for its show keeps its meaning."""


def shows(rig: Rig, **sizes: Any) -> st.SearchStrategy[Show]:
    """Return a strategy of shows of 1 to `sources` (24) sources that a rig, drawn or your own, can carry.

    Sources stand on its input sockets; who may hear them are its desks' channels and its recorders' tracks; up to `feeds`
    (4) feeds go from its mixes to its output sockets; `acts` (2) is the most acts.  With `stereo=False` every signal has
    one leg, with `phantom=False` no source says anything about it; `gains`, `owners`, `groups`, `talk` and `stage` switch off
    what else is said beside some sources.  Raises TypeError for any other word.
    """
    return _drawn_show(Quiet(rig, "rig"), _Evening(**sizes))


@st.composite
def _drawn_show(draw: st.DrawFn, quiet: Quiet, evening: _Evening) -> Show:
    if LAST.replaying is not None:
        return LAST.replaying.show
    rig: Rig = quiet.held
    lists, places = max(len(listening(rig)), _LISTS), max(len(sockets(rig, "in")), _PLACES)
    return evening.built(rig, places, lists, draw(evening.texts(places, lists)))


@cache
def _kinds(stereo: bool, phantom: bool) -> list[int]:
    return [number for number, (legs, need) in enumerate(SIGNALS) if (stereo or not legs) and (phantom or need == "no")]


@cache
def _shows(
    places: int, lists: int, sources: int, feeds: int, acts: int, stereo: bool, phantom: bool, extras: int
) -> st.SearchStrategy[Any]:
    """Return a strategy of texts: how many acts, sources, feeds."""
    traits = (len(_kinds(stereo, phantom)), 2, 1 << acts, places, 1 << lists, VALUES, extras)
    # One long text would be short most of the time: several short ones, joined, are of middling length.
    parts = [_rows(min(8, sources - first), *traits) for first in range(0, sources, 8)]
    feed = _rows(feeds, 2 if stereo else 1, 1 << acts, 3, lists)
    return st.tuples(st.integers(1, acts), st.tuples(*parts), feed)


def _source(number: int, places: int, lists: int, evening: _Evening, bits: int) -> AskedSource:
    kinds, extras = _kinds(evening.stereo, evening.phantom), _extras(evening)
    kind, loose, acts, place, wanted, value, extra = _digits(number, len(kinds), 2, bits, places, 1 << lists, VALUES, len(extras))
    return AskedSource(place, kinds[kind], wanted, bool(loose), acts, extras[extra], value)


def _feed(number: int, lists: int, stereo: bool, bits: int) -> AskedFeed:
    legs, acts, place, desk = _digits(number, 2 if stereo else 1, bits, 3, lists)
    return AskedFeed(desk, place, bool(legs), acts)


def pairs(*, rig: Rig | None = None, **sizes: Any) -> st.SearchStrategy[Pair]:
    """Return a strategy of a rig (or yours) and a show it can carry; `sizes` are those of `rigs` and `shows`."""
    house = _House(**{key: value for key, value in sizes.items() if key in _House._fields})
    evening = _Evening(**{key: value for key, value in sizes.items() if key not in _House._fields})
    for name in house.formats:
        format_of(name)
    return _pairs(Quiet(rig, "rig"), house, evening)


@st.composite
def _pairs(draw: st.DrawFn, quiet: Quiet, house: _House, evening: _Evening) -> Pair:
    if LAST.replaying is not None:
        return Pair(LAST.replaying.rig, LAST.replaying.show)
    if quiet.held is not None:
        return Pair(quiet.held, draw(_drawn_show(quiet, evening)))
    lists, places = max(house.desks, _LISTS), max(house.desks + house.boxes, _PLACES)
    texts = draw(_both(house, evening, places, lists))
    rig = house.built(texts[0])
    return Pair(rig, evening.built(rig, places, lists, texts[1]))


@cache
def _both(house: _House, evening: _Evening, places: int, lists: int) -> st.SearchStrategy[Any]:
    """Return a strategy of the texts of both: drawn in one go, which costs less than one after the other."""
    return st.tuples(house.texts(), evening.texts(places, lists))


def solved(*, rig: Rig | None = None, rules: Sequence[Any] = (), **sizes: Any) -> st.SearchStrategy[Solved]:
    """Return a strategy of a rig (or yours), a show and the patch that answers it: one solve.

    `sizes` are those of `rigs` and `shows`.  With routing `rules` it is solved under them; where they rule every patch
    out, once more without, and `kept` says so.
    """
    import patchloom.solve  # noqa: F401  what is loaded on first use is not for the first draw to pay

    return _solved(Quiet(pairs(rig=rig, **sizes), "pairs"), Quiet(tuple(rules), "rules"))


@st.composite
def _solved(draw: st.DrawFn, quiet: Quiet, rules: Quiet) -> Solved:
    from patchloom.errors import Impossible
    from patchloom.pipeline import solve

    if LAST.replaying is not None and LAST.replaying.patch is not None:
        return Solved(LAST.replaying.rig, LAST.replaying.show, LAST.replaying.patch)
    rig, show = draw(quiet.held)
    try:
        made = Solved(rig, show, solve(rig, show, rules=rules.held, explain=False))
    except Impossible:
        if not rules.held:
            raise
        made = Solved(rig, show, solve(rig, show, explain=False), False)
    LAST.note(rig=rig, show=show, patch=made.patch)
    return made


def infeasible(kind: str = "", *, rig: Rig | None = None, **sizes: Any) -> st.SearchStrategy[Infeasible]:
    """Return a strategy of a rig and a show no patch can carry: one it could carry, then something is short.

    `kind` is one of `patchloom.testing.short.SHORT`; absent, any.  What was drawn may have no room for it: then two
    sources are put on one socket, and `kind` of what comes back says so.  Nothing is solved.
    """
    if kind and kind not in SHORT:
        raise ValueError(f"there is no kind of shortage {kind!r}; there are {', '.join(SHORT)}")
    return _infeasible(kind, Quiet(pairs(rig=rig, **sizes), "pairs"))


@st.composite
def _infeasible(draw: st.DrawFn, kind: str, quiet: Quiet) -> Infeasible:
    if LAST.replaying is not None:
        return Infeasible(LAST.replaying.rig, LAST.replaying.show, kind or "replayed", "replayed")
    rig, show = draw(quiet.held)
    wanted = (kind,) if kind else tuple(SHORT)
    made = shorten(rig, show, wanted, draw(st.integers(0, len(wanted) - 1)), draw(st.integers(0, 15)))
    LAST.note(rig=made.rig, show=made.show)
    return made


# broken patches


def broken(patch: Patch | Solved, kind: str = "") -> st.SearchStrategy[Broken]:
    """Return a strategy of a patch with one fault planted: `kind` is the name of the check that must speak, one of `BROKEN`.

    Absent, any of those this patch has room for; some need the whole answer.  Raises ValueError for a kind there is not,
    or one this patch has no room for (no feed, no block, one source only ...), naming what it needs.
    """
    if kind and kind not in BROKEN:
        raise ValueError(f"there is no kind of fault {kind!r}; there are {', '.join(BROKEN)}")
    whole, rig = (patch.patch, patch.rig) if isinstance(patch, Solved) else (patch, None)
    rooms = {name: room for name in ((kind,) if kind else BROKEN) if (room := breaks(name, whole, rig))}
    if not rooms:
        raise ValueError(f"this patch has no room for {kind!r}: {BROKEN[kind].needs}")
    return _broken(Quiet((patch, rooms), "patch"), kind)


@st.composite
def _broken(draw: st.DrawFn, quiet: Quiet, kind: str) -> Broken:
    answer, rooms = quiet.held
    if LAST.replaying is not None and LAST.replaying.patch is not None:
        return Broken(LAST.replaying.patch, kind)
    name = draw(st.sampled_from(tuple(rooms)))
    choices = rooms[name]
    made = Broken(choices[draw(st.integers(0, len(choices) - 1))](), name)
    if isinstance(answer, Solved):
        LAST.note(rig=answer.rig, show=answer.show)
    LAST.note(patch=made.patch)
    return made


# out of seeds


@st.composite
def planted(draw: st.DrawFn, *, desks: int = 3, sources: int = 16, features: tuple[str, ...] = FEATURES) -> Planted:
    """Draw a rig, a show and the hidden patch, with at most so many desks and sources, and features out of these."""
    chosen = draw(st.lists(st.sampled_from(features), unique=True, max_size=12)) if features else []
    made = generate(
        draw(st.integers(0, 2**16)), desks=draw(st.integers(1, desks)), sources=draw(st.integers(1, sources)), features=chosen
    )
    LAST.note(rig=made.rig, show=made.show, patch=made.patch)
    return made
