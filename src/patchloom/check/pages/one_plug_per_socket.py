"""Two lines are written down for one socket, or two cables for one connector.

What it says: `verify` names two sources plugged into one socket in the same act; reading complains of a port or a socket
that two links join, before anything is solved.
Why: there is one hole. Whoever plugs in second moves the first, and the channel that worked at the line check is dead at
doors. A Y-lead that joins two sources makes each drive the other.
When it is no fault: two acts that use the socket in turn; one line led on to several, over a split, which is a device with
a socket for each; a port that a switch of the network shares out, which is a device as well.
What data it needs: `plug` of the show or the plugs of the patch, `links.join` of the rig.
What to do: give one of them another socket, or put the split into the rig.
Source: common practice, no source
"""
