"""The usual cautions, each under its area, and the line that defers to law, venue and competent people.

Comes in: names of areas.  Goes out: `Caution`s in a fixed order.  Next: papers put them on the pages where
they matter; a renderer must print them.

Common practice, no source, unless a line names one.  The library documents signal; it designs no power,
rigging, radio or evacuation, and says so here.
"""

from __future__ import annotations

from collections.abc import Iterable

from patchloom.pages.page import Caution

__all__ = ["AREAS", "CHECKED", "cautions"]

CHECKED = "Checked against the rules listed, with the data given."
"""What a paper may say about its own correctness, and no more."""

AREAS = {
    "hearing": "Ear packs off heads and loudspeakers muted while anything is re-routed or re-plugged. Never unmute a new route "
    "at show level; bring it up from silence. Limiters on.",
    "phantom": "Change 48 V only while the line is muted everywhere it is heard, and in nobody's ears. Not into passive ribbons, "
    "line outputs or what is unknown. Wait (commonly 5-10 s) before unmuting.",
    "mains": "Power positions requested only. Supply, earthing, protection and testing by the licensed, competent electrical "
    "team to local code.",
    "earth": "Never remove or defeat a protective earth to cure hum. Report any tingle and stop work.",
    "radio": "Radio channels and frequencies as the local licence allows; this paper lists, it coordinates nothing.",
    "rigging": "Flown microphones and loudspeakers: competent rigger, secondary fixing; this paper gives positions, not loads.",
    "trip": "Cables off walkways and exits; no data cable through a fire door.",
    "privacy": "An open lapel or talkback microphone is heard by every position listed for it, and is recorded.",
    "emergency": "Voice alarm and show stop are outside this paper and must never depend on a patched show desk.",
    "law": "Local law, venue rules and licensed, competent people take precedence over this paper.",
}
"""The words of every area, in the order they are printed; `law` comes last on every paper."""


def cautions(areas: Iterable[str]) -> tuple[Caution, ...]:
    """Return the cautions of the areas named, in the fixed order, the deferral to local law always last.

    Raises KeyError for an area that is not in `AREAS`.
    """
    asked = {*areas, "law"}
    unknown = sorted(asked - set(AREAS))
    if unknown:
        raise KeyError(f"no such area of caution: {', '.join(unknown)}; there are {', '.join(AREAS)}")
    return tuple(Caution(area, words) for area, words in AREAS.items() if area in asked)
