"""Both ends of a line frame its channels alike.

What it says: two ends set to different framings, or one set to what it does not know (`framing-mismatch`); a line at a rate where
several exist, and none is written down (`framing-unsaid`, a warning).
Why: at double rate a serial line carries half the channels, two of its slots to a sample or every second frame. With the ends set
differently, channels are swapped, missing, or an octave off, and the lock lamp is green.
When it is no fault: at single rate the framings are the same; and what runs over no line in use.
What data it needs: `formats.framings`, `ports.framings`, `links.framing`, for each end where they differ.
What to do: set both ends to one framing, write it down, and listen to the last channel, not to the first.
Source: AES10 (framing at double rate, from its abstract)
"""
