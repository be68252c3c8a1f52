"""A source and what stands in for it are not in one box, and not on one supply.

What it says: a source and its spare that come in at one device although the spare could be plugged elsewhere, or at two devices
on one supply (`spare-stands-apart`, a warning); signals that the show declares to keep apart, and the box or place where they
meet (`not-apart`, a stop).
Why: a spare is for the night the box or its supply dies; two playback machines in one box die as one.
When it is no fault: there is one box only, and nothing is declared: then nothing is said.
What data it needs: `sources.spare_of`, `devices.power`; `groups` or `routing` with `apart`.
What to do: plug one of them into another box, on another supply, and try the change over before doors with that box unplugged.
Source: common practice, no source
"""
