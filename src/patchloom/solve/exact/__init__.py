"""Tiny rigs by trying everything, to hold the search against; not part of a solve.

Comes in: a rig and a show of a few signals.  Goes out: an `Answer`.  Next: tests.

- `tries`: every choice there is; `slots`: what feeds a slot; `wants`: what has to arrive where.
"""
