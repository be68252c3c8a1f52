"""Lists land where lists can land, cables join what can be joined, and no slot is beyond its bank.

What it says: a list that lands on mixes or on a whole device; a slot beyond the end of its bank at this rate; a source that is to
be plugged where no cable reaches; sockets without preamps that are given an owner; a link in a format one of its ports does not
speak; runs of sockets of two lengths joined to each other.
Why: the show was written for another house. Each of these would be found by hand, one after the other, at the load-in.
When it is no fault: never, unless the rig is described otherwise than it is: then correct the rig.
What data it needs: the rig; the show is held against it where both are read.
What to do: choose a place of the kind the complaint names, which lists those there are.
Source: the rig itself
"""
