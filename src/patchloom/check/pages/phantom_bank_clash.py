"""Sockets on one phantom switch hold a source that needs it and one that must not see it.

What it says: a group of sockets that is switched together has both in one act. It names the group and who is in it. A
switch that is written down for a part of its group only is told as well.
Why: whichever way the switch stands, one of them is wrong: dead, or in danger. No desk warns of it.
When it is no fault: a switch at every socket; the two never in the same act; a source that needs none and bears it.
What data it needs: `preamps.phantom_by`, `sources.phantom`, `sources.powered_by`, the plugs of the patch.
What to do: plug one of them into another group, power the one that needs it otherwise, or put a transformer before the
other.
Source: common practice, no source
"""
