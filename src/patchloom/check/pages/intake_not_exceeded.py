"""More is brought into a desk, or put on it, than it has room for.

What it says: a choice lands beyond the last slot of a bank, a shared pool of slots or blocks is used beyond its limit, or a
list is longer than the run it lands in. Told of the same limit beforehand, `solve` counts what is asked and what is there.
Why: how many blocks a desk can take in at once is written small, and is found out on site, when the last eight do not come.
When it is no fault: full to the last slot is full, and no fault; a limit that is not stated is not known to be there.
What data it needs: `banks.slots` at the rate of the rig, `types.limits` (absent: none), the lists.
What to do: plug so that fewer blocks are touched, shorten the list, leave out what nobody listens to, or take another desk.
Source: the data of the device; common practice, no source
"""
