"""The rules of `rules/` in the catalogue's words: two lines each, in the sections of a careful engineer's list.

Comes in: nothing.  Goes out: `RULES`, read by `catalogue`.  Next: `catalogue`.

A row is `name | severity | what it says.` and, on the next line, what to do.  The name is the file's in `rules/` with
dashes, and the function's; `rules/__init__` finds it by that.
"""

from __future__ import annotations

__all__ = ["RULES"]

RULES = """
# A patch integrity

# B preamp, gain, phantom

# C stereo, coherence, latency

# D clock and rate
leader-stays | warn | A clock leader may leave, belongs to others, or has no fallback named.
    Let a device of the house lead, name a fallback, or put a rate converter between.

# E links, control, dependence
pass-through-dependence | warn | Wants that die with another position's desk.
    Tell both positions, or give the wants a path of their own.

# F outputs, returns, comms

# G physical

# H documents and change
labels-collide | stop | Two short names on one desk are equal once cut to the label's length.
    Give one of them another short name.

# second tier
"""
