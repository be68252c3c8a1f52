"""Something a list or a destination must have does not get there.

What it says: a want or a feed that is no wish is not carried, or something else arrives in its place, on the main or the
alternate input; its source is plugged nowhere, its mix is made nowhere, it leaves by another socket than its destination
says, or the patch gives it up although the show calls it a must. Where no patch at all could carry it, `solve` says so with
the facts in conflict and ways out.
Why: this is what a patch is for. A dead channel found at the line check costs minutes, found in the first song it costs the
song.
When it is no fault: a wish (`priority`), of which the least important is given up first, and named as unmet; a signal that
is not in use in that act; a feed without a destination, which is mixed for somebody's list.
What data it needs: the lists, `feeds.to`, `priority`, `periods.uses`; plugs, mixes and selections of the patch.
What to do: carry it: plug it, mix it, set the choice named. Where `solve` calls it impossible, take one of its ways out, or
make it a wish and say whose comes first.
Source: the show itself
"""
