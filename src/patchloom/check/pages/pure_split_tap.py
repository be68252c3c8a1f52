"""A source is handed on to another desk after something in its channel.

What it says: a choice that passes a source on takes it after trim, filter, processing, mute or fader, and the want it
serves does not allow that. A mix that leaves by a tap its feed does not allow is told in the same way. It names the tap and
what lies before it.
Why: whoever owns the channel mutes a guitar for a change, and it is gone from the broadcast; a low cut for the wedges is on
the record for good.
When it is no fault: a want that allows the tap (`tap`), because a processed signal is meant; a mix, which is what it is
after its fader.
What data it needs: `banks.taps` with what each lies after, `lists.wants.tap`, `feeds.tap`, the patch.
What to do: take a tap after nothing, best the channel's input, or hand on the input itself past the channel.
Source: common practice, no source
"""
