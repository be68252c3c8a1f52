"""An ear mix arrives whole: both sides, left first, at one transmitter, for the right person.

What it says: a side that does not arrive where the mix is to go (`feed-not-delivered`); sides that arrive the wrong way round
(`legs-swapped`) or at places that are no neighbours (`stereo-adjacent`); a mix that is made and led nowhere
(`unused-but-patched`); a mix led to somebody else's pack, or sharing a transmitter with another (`ear-path-complete`).
Why: one ear missing, or a stranger's mix at full level, in the only thing a singer hears.
When it is no fault: a mono mix on one line; two mono mixes on one transmitter whose packs take one side each: sign it off.
What data it needs: `feeds.to`, `feeds.legs`, and `feeds.person` or `feeds.to.person`, to say whose ears.
What to do: lead both sides to one transmitter, left first, and listen on the pack, limiter on, before anybody wears it. Levels at
the ear are a matter of health: local law and competent people take precedence.
Source: common practice, no source
"""
