"""The rules of `rules/` in the catalogue's words: two lines each, in the sections of a careful engineer's list.

Comes in: nothing.  Goes out: `RULES`, read by `catalogue`.  Next: `catalogue`.

A row is `name | severity | what it says.` and, on the next line, what to do.  The name is the file's in `rules/` with
dashes, and the function's; `rules/__init__` finds it by that.
"""

from __future__ import annotations

__all__ = ["RULES"]

RULES = """
# A patch integrity
demand-without-source | stop | A choice takes a place where nothing comes in.
    Clear the choice, or put what it should carry on the list.
unused-but-patched | advice | A line is plugged or a mix is made, and nobody gets it.
    Take it out, or put it on the list of whoever should get it.
duplicate-channel | warn | One source stands on two channels of one desk, undeclared.
    Take one of them off, or give its want a name or a note that says what it is for.
block-leak | warn | A block brings a desk what is private, or its own mix, unasked.
    Plug it in another block, or tell the desk that it is there and must stay closed.
level-and-connector-fit | stop | A level or a connector does not fit the socket.
    Take another socket, or put a DI, a pad or an adaptor between.

# B preamp, gain, phantom
owner-awake | warn | The position that owns preamps in use has nobody at its desk.
    Give the preamps to a position that is at work, or say who is at the desk.
takeover-known | warn | Nobody knows which gains win when a desk takes over a box, or they jump in the middle of the show.
    Find out which gains win, write it down, and mute before joining.
trim-margin | warn | A position trims a shared preamp to within a few dB of its end, or lifts it into noise.
    Ask for another total, pad the source, or give the position a preamp of its own.
converter-headroom | warn | A preamp leaves less than the usual headroom, though the show's own reserve is kept.
    Turn the gain down and let the positions trim up, or pad the source.
tracking-mixed | warn | Of those who follow a shared preamp's gain, some track it and some do not.
    Turn tracking off and set the gain once, or give the others a device and a link that track.
front-end-shared | warn | A pad, a polarity switch or a filter is set at a preamp whose sharers cannot see it.
    Tell the positions named, or set it in the channels instead.
di-powered | stop | A DI lives on phantom, and the show says that it needs none.
    Say that it needs phantom, or what else powers it. Switch and plug only with the channel muted.
passive-split-loading | warn | A microphone feeds more than three inputs by copper alone.
    Use an active split, or feed a position from another's preamp.

# C stereo, coherence, latency
stereo-adjacent | warn | The legs of a stereo signal are not neighbours, odd and even, the left one first.
    Leave a gap before the pair, or plug it odd and even where the order is inherited.
stereo-legs-alike | warn | The legs of a stereo signal differ in box, preamp, gain, phantom or delay.
    Plug both into one box, set both alike, and lead both the same way.
stereo-perspective | warn | Nobody says whose left the left leg of a stereo pair of microphones is.
    Say whether left is the audience's or the player's.
width-folds-stated | warn | A stereo signal loses a leg, and nobody asked for that.
    Say how it folds, or make main and alternate equally wide.
split-paths-aligned | stop | A source comes to a desk by two ways that are not equally late, and both are heard.
    Take it one way only, or delay the earlier one.
coherent-group | warn | Microphones that belong together go through different converters, or arrive unequally late.
    Plug them into boxes of one kind and lead them alike, or delay the earlier ones.
monitor-budget | warn | From microphone to ear it takes longer than who listens can bear.
    Mix where the microphone comes first, avoid a network hop, or say what is borne.

# D clock and rate
leader-stays | warn | A clock leader may leave, belongs to others, or has no fallback named.
    Let a device of the house lead, name a fallback, or put a rate converter between.

# E links, control, dependence
pass-through-dependence | warn | Wants that die with another position's desk.
    Tell both positions, or give the wants a path of their own.

# F outputs, returns, comms

# G physical

# H documents and change
labels-collide | stop | Two short names on one desk are equal once cut to the label's length.
    Give one of them another short name.

# second tier
"""
