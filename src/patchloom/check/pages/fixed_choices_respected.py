"""What somebody fixed is otherwise in the patch.

What it says: a fixed channel, socket, run, choice, gain or owner of preamps is not as the show fixes it; each is named with
what is there instead. Where the fixed choices contradict each other, `solve` names them and moves none.
Why: a channel is fixed because a guest's engineer has it in the fingers, or an installer has it in the wall. A patch that
quietly knows better is believed until the show begins.
When it is no fault: never; what is only preferred is an order, a wish or a note, and not fixed.
What data it needs: `lists.wants.channel`, `lists.wants.within`, `plug.into`, `fixed`, `sources.gain_db`, `gain.fixed`,
`owners`.
What to do: set what is fixed, or ask whoever fixed it and take it out of the show. Of two that contradict each other only
people can choose.
Source: the show itself
"""
