"""Who follows whom has an end, and each device follows once.

What it says: devices that follow each other in a circle, or a leader that follows one of its own followers (`clock-loop`); one
device that is set to take its clock over two cables (`clock-two-inputs`).
Why: in a circle everybody waits for everybody. It locks at the sound check, because the last clock still runs, and falls apart at
the first power cycle.
When it is no fault: a ring of cables is none; only what each device is set to follow counts. A rate converter follows once on
each of its sides.
What data it needs: the clock rows of the patch.
What to do: begin at the leader, set it to internal, and set the others outward from it, one hop at a time.
Source: common practice, no source
"""
