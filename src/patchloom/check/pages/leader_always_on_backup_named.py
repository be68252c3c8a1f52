"""The clock leader stays to the end and belongs to the house, and who leads after it is named and set.

What it says: a leader that leaves, or belongs to a guest whom others follow (`leader-stays`); a next in line that may go as well,
or whose clock does not get to all (`fallback-reaches`); a patch whose order after the leader is not the rig's
(`clock-fallback-unlike`, a stop).
Why: the truck pulls its plug, and the PA mutes.
When it is no fault: the guest is behind a rate converter, in a domain of its own; or the house has agreed to
its clock until load-out: sign it off with a waiver.
What data it needs: `devices.belongs_to`, `devices.leaves`, `domains.fallback`, `types.after_loss`.
What to do: let a device of the house lead, write the order after it into the rig, and set the same order at the devices. Where
one of them leaves, put a converter between.
Source: common practice, no source
"""
