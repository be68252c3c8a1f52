"""An insert sends its channel, from before the insert point, and nothing else is plugged into its return.

What it says: a declared insert whose send takes another channel, nothing, or its channel from behind the insert point
(`insert-send-wrong`); a source that is plugged into the socket by which the insert comes back (`insert-return-taken`).
Why: the loop is closed by two copper cables nobody draws. With the wrong send the singer's compressor works on the snare; with
something plugged into the return, the channel is that.
When it is no fault: where no select row can take the send from the channel, whoever mixes patches it by hand, and nothing is said
of the send.
What data it needs: `inserts` of the show; `taps` of the desk's channels.
What to do: take the send from the channel at a tap before the insert point, and move what is plugged into the return.
Source: common practice, no source
"""
