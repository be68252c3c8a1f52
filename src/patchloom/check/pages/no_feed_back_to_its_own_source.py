"""Nothing that is sent comes back to where it was sent from.

What it says: slots that feed each other in a circle, over cables, outputs and inputs, with nothing entering (`signal-loop`);
mixes each of which contains the next, over any number of desks, returns and blocks (`feed-comes-back`, safety).
Why: howl at full level, into loudspeakers and into ears. Turn down before you look; hearing is not repaired.
When it is no fault: an effect that comes back on a channel of its own and is in no mix that feeds it; a declared insert.
What data it needs: the selections of the patch; `feeds.of`. Where it is not said what a mix contains, all that can reach it is
taken to be in it, and the finding says so and is a warning.
What to do: turn the masters down first. Take the return out of one of the mixes (`not`), or out of the channel it should not be
in, and open again one fader at a time.
Source: common practice, no source
"""
