"""No cable is asked to carry more channels than it has at this rate, this way.

What it says: the first slot beyond what a cable carries, which way, how many it carries and why so many: the least of the sending
port, the format at this rate, and the receiving port (`link-capacity`). A format that is not given at the rate at all is
complained of when the rig is read (`reading:rate`).
Why: at double rate most formats carry half. A patch that fits at 48 kHz loses the second half of its channels at 96, and the
first half works, which is why nobody looks.
When it is no fault: never, unless the numbers of the format are not those of the cable you own: then set your own.
What data it needs: `formats.channels` by rate, `ports.slots` for each way.
What to do: use lower slots, a second cable, or the lower rate.
Source: the format's own, named in its file: AES10, AES50, AES67, ST 2110-30 for open ones; category-cable sizes are typical
"""
