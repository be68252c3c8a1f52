"""A shield that is lifted where phantom returns over it, or is missing, or is not joined at both ends of a category cable.

What it says: a shield lifted or missing on copper that phantom comes over; a missing shield on other analogue copper; a
shield that is not joined at both ends of a category cable that carries audio.
Why: phantom returns over the shield: lift it and the microphone is dead, or the return finds its way over the earth of
the mains.  An unshielded category cable may work, until somebody keys a radio beside it.
When it is no fault: one end of an analogue line without phantom lifted on purpose, against hum, and written down: that
is no finding, though it does not conform to AES48.
What data it needs: `links.cables.shield`; absent: not checked.
What to do: join the shield at both ends; cure hum with a transformer.  Never lift the earth of the mains, for any hum:
leave mains to competent people, local law and the venue's rules.
Source: AES48 (shields joined at both ends; from memory), P48 of IEC 61938 (from memory); the rest is common practice.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from patchloom.check.look import Look, looks
from patchloom.check.speak import some
from patchloom.check.tally import Tally
from patchloom.finding import Finding
from patchloom.model.patch import Patch
from patchloom.model.rig import Cable, Link, Rig
from patchloom.model.show import Show

__all__ = ["shield_story"]

_SHIELDED = "Use a shielded cable, its shield joined at both ends."
_ENDS = {"lifted-a": 0, "lifted-b": 1}


def shield_story(rig: Rig, show: Show, patch: Patch) -> Iterator[Finding]:
    """Yield a finding for each cable whose shield is not as what it carries needs it."""
    tally = Tally("shield-story", show, patch)
    for look in looks(rig, show, patch):
        phantom = _phantom(look)
        for link in look.rig.links:
            for cable in link.cables:
                if _shielded(look.rig, link, cable):
                    tally.seen += 1
                    _cable(tally, look, link, cable, phantom.get(link.id, {}))
    yield from tally.told("no cable with a shield is written down")


def _phantom(look: Look) -> dict[str, dict[str, None]]:
    """Return the links phantom comes over, each with the legs it feeds."""
    found: dict[str, dict[str, None]] = {}
    for row in look.setting.phantom:
        for place in row.at.slots() if row.on and row.at.first else ():
            way = look.way(place)
            for here, there in pairwise(way):
                link = look.link_between(here, there)
                if link:
                    found.setdefault(link, {}).setdefault(look.leg(place))
    return found


def _analogue(rig: Rig, link: Link) -> bool:
    spoken = rig.formats.get(link.format)
    return not link.format or (spoken is not None and not spoken.digital)


def _shielded(rig: Rig, link: Link, cable: Cable) -> bool:
    """Return whether a cable is of a kind that has a shield to speak of."""
    spoken = rig.formats.get(link.format)
    audio = spoken is not None and "audio" in (spoken.pass_ or ("audio",))
    return _analogue(rig, link) or (audio and cable.medium.startswith("cat"))


def _cable(tally: Tally, look: Look, link: Link, cable: Cable, legs: dict[str, None]) -> None:
    if not cable.shield:
        tally.lacks("links.cables.shield", "how the shield of some cables is joined is unknown", link.id)
    elif cable.shield == "both":
        return
    elif not _analogue(look.rig, link):
        told = f"{link.id} runs over {cable.medium} whose shield is {_how(link, cable)}; it should be joined at both ends."
        tally.found(look.period, told, link.id, severity="warn", todo=_SHIELDED)
    elif legs and cable.shield == "none":
        told = f"{link.id} has no shield, and phantom for {some(legs)} has nothing to return over."
        tally.found(look.period, told, link.id, *legs, numbers=(("legs", len(legs)),), todo=_SHIELDED)
    elif legs:
        told = f"The shield of {link.id} is {_how(link, cable)}, and phantom for {some(legs)} returns over it."
        tally.found(look.period, told, link.id, *legs, numbers=(("legs", len(legs)),))
    elif cable.shield == "none":
        tally.found(look.period, f"{link.id} has no shield.", link.id, severity="warn", todo=_SHIELDED)


def _how(link: Link, cable: Cable) -> str:
    end = _ENDS.get(cable.shield)
    return "missing" if end is None else f"lifted at {link.join[end]}"
