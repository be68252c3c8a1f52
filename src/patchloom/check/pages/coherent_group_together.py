"""Microphones that hear each other go one way: one box, one kind of converter, one length of path.

What it says: which signals of a declared group are on several boxes (`not-one-box`), take different ways to a position
(`not-together`), stand out of the order asked for (`not-in-order`); and which arrive earlier or later than the others, with the
samples between them (`coherent-group`, a warning).
Why: the microphones of one kit, one piano, one choir hear the same sound. Half a millisecond between two of them is a comb with
its first null at 1 kHz (arithmetic, 1 / (2 t)).
When it is no fault: a group that only shares a fader. Give it another `group` word, or declare no relation.
What data it needs: `groups` with a `relation`, or `sources.group` and `sources.zone`; `latency_ms` of banks, formats and
converting rows, where the ways differ.
What to do: plug all of them into one box and choose one link for them; where that cannot be, delay the early ones by the samples
given.
Source: common practice, no source; the null by arithmetic
"""
