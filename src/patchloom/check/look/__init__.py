"""What a rule reads: a patch looked at period by period, worked out once however many rules ask.

Comes in: a rig, a show, a patch.  Goes out: a `Look` for each period.  Next: the rules of `rules/`, `proof`.

    from patchloom.check.look import looks

    def my_rule(rig, show, patch):
        for look in looks(rig, show, patch):
            ...

- `look`: the `Look`: rig and show of the period, what each slot carries and what feeds it, deliveries, mixes;
- `audio`: what is carried where, slot by slot, and what a mix contains;
- `graphs`: preamp control, clock, dependence;
- `amps`: the preamps in use, who owns and who hears each;
- `into`: how sources come into feeds, straight or inside another feed;
- `latency`: how late a signal is along its way, and how far two ways are apart.

Four graphs over the same cables, each a plain dict in a fixed order: `look.audio`, `look.control`, `look.clock`,
`look.dependence`.  Audio arriving does not mean that control or clock does.

Everything is worked out when it is first asked for, and shared by all rules that ask about the same patch: the looks of
the last patch are remembered as long as somebody else holds it.  Nobody may change what they are given.
"""

from __future__ import annotations

import weakref

from patchloom.check.look.amps import Amp
from patchloom.check.look.audio import Contents, Step
from patchloom.check.look.graphs import Edge, Part, Thing
from patchloom.check.look.latency import Late
from patchloom.check.look.look import Delivery, Look
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Show

__all__ = ["Amp", "Contents", "Delivery", "Edge", "Late", "Look", "Part", "Step", "Thing", "looks"]

_known: list[tuple[weakref.ref[Rig], weakref.ref[Show], weakref.ref[Patch], tuple[Look, ...]]] = []
"""The looks of the last patch; they hold rig and show, nobody here holds the patch."""


def looks(rig: Rig, show: Show, patch: Patch) -> tuple[Look, ...]:
    """Return a look at each setting of a patch, in its order; the same objects while rig, show and patch are the same."""
    for known_rig, known_show, known_patch, made in _known:
        if known_rig() is rig and known_show() is show and known_patch() is patch:
            return made
    made = tuple(Look(rig, show, setting) for setting in patch.settings)
    _forget()
    _known.append((weakref.ref(rig), weakref.ref(show), weakref.ref(patch, _forget), made))
    return made


def _forget(_: object = None) -> None:
    del _known[:]
