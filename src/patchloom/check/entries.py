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
fallback-reaches | warn | The next clock leader may go as well, or its clock does not get to everybody who still needs it.
    Name another one, or join it by a link that passes clock.
framing-unsaid | warn | A link runs at a rate where framings differ, and none is set.
    Set both ends alike and write it down.
election-pinned | advice | A clock domain runs over a packet network, and who leads is left to an election.
    Give one device the preferred place and the next one the second, and write both down.
clock-line-ended | advice | A clock line is not ended once, at its far end.
    Switch the termination on at the last device of the line and nowhere else.

# E links, control, dependence
pass-through-dependence | warn | Wants that die with another position's desk.
    Tell both positions, or give the wants a path of their own.
address-unique | stop | Two devices on one network or chain have the same address.
    Give each its own, and label the box with it.
length-within-medium | stop | A cable is longer than its medium allows in this format, or close to that.
    Take a shorter way, another medium, or a device in between.
redundancy-real | warn | Two cables of one link share a way or a supply.
    Run one of them another way, or hang it on another supply.
recall-safe | warn | Recall may change inputs, preamps or outputs of a desk although nothing of that changes between acts.
    Take patch, preamps, phantom and outputs out of what a scene recalls.

# F outputs, returns, comms
feed-comes-back | safety | A mix comes back into itself, over the desks it passes.
    Turn down first. Take the return out of one of the mixes, or mute it where it is mixed.
n-minus-one | stop | A far end hears itself come back.
    Take it out with not, or mix a feed of its own for the far end.
ear-path-complete | stop | An ear mix is led nowhere, to somebody else's pack, or shares a transmitter with another.
    Lead both sides to one transmitter, left first, and listen on the pack before anybody wears it.
talk-reaches | stop | Somebody cannot be talked to who should be.
    Put the talkback on the list, or into the mix.
talk-kept-out | stop | Talkback, click or timecode is in a mix the audience, the stream or a recording gets.
    Take it out with not.
record-order | stop | Tracks are not raw, not in the order published, or write into each other's file.
    Take the tap before everything, keep the order, give each track a file of its own.

# G physical
reach | stop | A cable does not get from a source to its socket, or from device to device.
    Plug it into a nearer box, move the box, or bring a longer cable.
shield-story | safety | A shield is missing, lifted where phantom returns over it, or not joined at both ends of a category cable.
    Join it at both ends. Never lift the earth of the mains; leave mains to competent people and local law.
spare-line-per-box | advice | A box has no free line, or none that gets to every desk that hears it.
    Keep one line free, better two or one in ten, patched through and checked with the others.

# H documents and change
labels-collide | stop | Two short names on one desk are equal once cut to the label's length.
    Give one of them another short name.
labels-agree | warn | One source goes by two names, or a name means another source elsewhere.
    Name it once and let every paper take it from there.
unmuted-repatch | safety | Something changes under a mix that is open, from one act or scene to the next.
    Mute it first, change, look at the meters, open one by one; name the feed in mute of that act or scene.

# second tier
phantom-current | warn | More current is drawn from a phantom supply than it can give.
    Spread the sources over two boxes, or power some of them otherwise.
phantom-unresolved | warn | A source is plugged where there is phantom, and whether it may have it is unknown.
    Ask whoever brings it, and write need, no or never.
spare-stands-apart | warn | A source and its spare hang on one box, or on one supply.
    Plug one of them into another box, on another supply.
spare-gain-matches | warn | A source and its spare of the same kind are wanted at different gains.
    Set both alike and listen to both before doors.
radio-spare | advice | Radios are in use, and none is named as a spare.
    Keep one with fresh batteries on a channel of its own, and name it with spare_of.
record-space | stop | A recorder has no room for what it is to record.
    Empty it, take a larger one, or record less.
insert-latency | warn | An insert makes a channel late against what it is heard together with.
    Put the same insert on all of them, or delay the others by as much.
pull-list-within-stock | warn | More cables are asked for than the store has.
    Hire, or plug into nearer boxes.
walkway-kept-clear | safety | Something stands on a walkway or on stairs.
    Move it. Ways out are the venue's: its rules, local law and competent people take precedence.
"""
