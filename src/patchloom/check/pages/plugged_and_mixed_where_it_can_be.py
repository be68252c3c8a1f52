"""A source is plugged where there is no socket, or a feed is mixed where it cannot be.

What it says: a source stands on a slot inside a device, on an output or beyond the last socket; a scene moves a plug of its
act; a feed is mixed on what is no mix, at another desk than its position's, or outside the run its row names.
Why: nobody can plug in there, and between two songs of one act nobody goes on stage to move a plug; a mix at another desk
is on somebody else's faders.
When it is no fault: acts move plugs, scenes do not; a feed whose row says where it is mixed is mixed there.
What data it needs: `banks.socket`, `banks.does`, `periods.scene_of`, `feeds.mixed_at`, `positions.desk`, plugs and mixes of
the patch.
What to do: plug it into a socket, make the scene an act of its own, or mix the feed at its position's desk.
Source: the data of the device; common practice, no source
"""
