"""There are as many mixes at a position's desk as are asked of it, one for each leg.

What it says: a wanted mix that is made nowhere (`mix-missing`); two mixes, or two sides, on one (`mix-shared`); a mix beyond the
last one the desk has at this rate (`out-of-range`). Where more are asked for than there are, `solve` says how many are short.
Why: the eleventh ear mix is found to be missing when the eleventh musician plugs in.
When it is no fault: mono mixes count once, stereo mixes twice. Two people who listen to one mix are one feed with two
destinations.
What data it needs: `banks.slots` of the desk's mixes at this rate; `feeds.mixed_at`, `feeds.legs`, `feeds.from`.
What to do: let two people share a mix, make one mono, or mix it at another desk (`mixed_at`).
Source: common practice, no source
"""
