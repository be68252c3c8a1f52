"""Phantom is switched on behind something that passes no direct current, or may not.

What it says: a switch that is on for a source has a transformer, an isolated output or a cable without direct current
between the two; as a warning, nobody says whether that is so.
Why: a transformer passes no direct current. The lamp at the desk is on, the microphone is dead, and the search begins at
the wrong end.
When it is no fault: a split that feeds the stage itself; a box with no split before it; a desk whose phantom is on for
nobody.
What data it needs: `dc` (yes, no) of `types.select` and of `cables`, absent meaning unknown; the switches of the patch.
What to do: supply from the direct output, or from the split itself. Find out what a cable or an adaptor does and write it
down.
Source: transformers pass no direct current (physics); common practice, no source
"""
