"""Two blocks are set on one place of a desk that takes its inputs in blocks.

What it says: a run of slots that is chosen as a whole has two feeders, each a block of its own. It names the first slot and
where the two blocks come from.
Why: on such a desk eight channels move with one choice. Whoever sets the second block takes away seven signals besides the
one looked for, and the desk says nothing.
When it is no fault: one block taken into two places, which costs room and no more; another act.
What data it needs: `types.select.by`, the selections of the patch.
What to do: keep one of the two, and bring the other one in elsewhere; or plug what is needed beside the signals of the
first block.
Source: common practice, no source
"""
