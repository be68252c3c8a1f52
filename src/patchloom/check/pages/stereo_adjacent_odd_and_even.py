"""A pair stands on an odd channel and the next one, its left leg first.

What it says: that the legs of a stereo signal arrive the wrong way round, and where that is first seen (`legs-swapped`); that a
pair is not on the channels its list gives it, as on an even one of a desk that locks pairs (`wrong-channel`); that legs are no
neighbours, or stand on even and odd, where nothing forbids it (`stereo-adjacent`, a warning).
Why: a desk that links channels links 1 with 2 and 3 with 4. A pair on 2 and 3 pans, mutes and fades with its neighbours'
other halves; a pair turned round puts the audience on the stage.
When it is no fault: sockets may be plugged in any order, and lists whose bank cannot be chosen freely inherit what is there; the
patch notes that. A list that says `pairs: any` wants no odd starts.
What data it needs: `sources.legs` and `feeds.legs`; `banks.pairs` where a desk locks them; `lists.pairs`.
What to do: at the box, change the two plugs over; at the desk, the two choices. For an odd start leave a channel free before the
pair, or move a mono source there.
Source: common practice, no source
"""
