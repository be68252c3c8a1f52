"""What stands in for something does not fail together with it.

What it says: two cables of one link that run one way or hang on one supply (`redundancy-real`, a warning); two signals, or a main
and its alternate, that the show declares to share nothing, and the boxes, cables, supplies and runs they both lean on on the way
(`not-disjoint`, a stop).
Why: a spare in the same loom is cut by the same flight case, and a spare switch on the same outlet goes with it.
When it is no fault: the way is short and nothing moves there: sign it off. What both must share anyway, the list's own desk, is
not counted.
What data it needs: `links.cables` with `route` and `power`, `devices.power`; `groups` or `routing` with `disjoint`.
What to do: run one of them another way, hang it on another supply, plug it into another box.
Source: common practice, no source
"""
