"""Nobody is plugged where phantom can be switched on without it being known what they may have, and what the switch is.

What it says: a source on a preamp with phantom whose need is blank (`phantom-unresolved`); a switch with something plugged that
the patch does not write down, or that is on while somebody of unknown need is behind it (`phantom-unsaid`).
Why: whoever sets the box presses what the paper does not say, to try. A ribbon, an old line output or a laptop pays for it.
When it is no fault: never; it costs one question. A socket without a switch, or an empty one, is not asked about.
What data it needs: `sources.phantom`: the blank is the finding; `preamps.phantom_by`; the switches of the patch.
What to do: ask whoever brings it, write need, no or never, and solve again, so that every switch is on the paper. Switch only
with the channel muted.
Source: IEC 61938 defines the supply; the question is common practice, no source
"""
