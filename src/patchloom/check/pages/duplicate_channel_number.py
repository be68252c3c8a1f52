"""Two rows of one list fix the same channel.

What it says: reading complains, at the second row, that its channel is taken, and by whom.
Why: lists are merged, rows are copied, and a channel holds one of them. The other one is on nobody's fader, and the paper
says that it is on both.
When it is no fault: never within one list. Two desks may both have a channel 9, and so may two lists of one desk that land
in different runs. Rows without a number are numbered by their order.
What data it needs: `lists.wants.channel`.
What to do: give one of the two another number, or take the number away and let the order say.
Source: common practice, no source
"""
