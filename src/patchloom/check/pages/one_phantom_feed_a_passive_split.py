"""Two suppliers feed phantom into one source over a split.

What it says: two switches that are on, or a switch and a split that feeds the stage itself, reach one source in unbroken
copper. It names both.
Why: two supplies in parallel exchange current over the ground of two desks, it hums or pops, and either of them can switch
the other's microphone off.
When it is no fault: a transformer stands before one of the two, so that it feeds nothing; a second switch that is off and
only could feed it.
What data it needs: `dc` of `types.select` and of `cables`, `banks.phantom_supply`, the switches of the patch.
What to do: agree on one supplier, the one on the direct side, and switch the other one off with the channel muted. Write on
both desks who it is.
Source: common practice, no source
"""
