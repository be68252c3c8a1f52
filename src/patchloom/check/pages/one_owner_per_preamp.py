"""A preamp has two owners, none, or one that is no position of the show.

What it says: two positions control one preamp, a box that is handed over as a whole is shared out, a preamp in use is
controlled by nobody, its owner is nobody at work here, or sockets are owned that have no preamps.
Why: two owners turn one gain against each other, and everybody who hears that preamp jumps. With none it stays as last
night left it. A shared preamp is everybody's: a clip at it is heard at every position.
When it is no fault: hands at the box, where it has knobs (no owner, door `local`); another owner in another act, which is a
handover to be called out.
What data it needs: `owners`, `positions`, `preamps.owner_by` (absent: the whole device has one), `preamps.doors`, the
patch.
What to do: name one position for the whole unit; the others trim.
Source: common practice, no source
"""
