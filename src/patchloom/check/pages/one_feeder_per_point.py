"""A channel, a link slot or an output takes from two places at once.

What it says: two choices, a choice and a plug, or a choice and a cable put something on the same slot. It names the slot
and both feeders.
Why: a patch point passes on one signal. The desk keeps whichever was set last, and nobody knows which that is; in copper
two sources load each other, and both are distorted.
When it is no fault: another act or scene; the alternate input of a channel, which has a switch of its own; one source taken
to many places, for only arriving is exclusive. Where two signals shall be heard together, that is a mix.
What data it needs: the patch, and what is wired inside the devices (`types.select`).
What to do: keep one of the two. To hear both, give them two channels and mix them.
Source: how patch points work; common practice, no source
"""
