"""Every check by name: how grave, what it says in one line, what to do.

Comes in: nothing.  Goes out: `Entry` rows; severities and next steps of findings come from here, and so do
`patchloom rules` and the reference pages.  Next: `report`, `check`, `cli`.

Names never change their meaning and are never used again for another.  Severity `stop`: will not work, or
damages; `safety`: may hurt people or ears; `warn`, `advice` and `note` do not hold a show up.
"""

from __future__ import annotations

from typing import NamedTuple

from patchloom.check.entries import RULES

__all__ = ["ENTRIES", "ENTRY", "Entry"]


class Entry(NamedTuple):
    """One check: its stable name, severity, what it says, what to do, who issues it (verify, check or rule)."""

    name: str
    severity: str
    says: str
    todo: str
    issuer: str = "verify"


_VERIFY = """
digest-mismatch | stop | The patch was made for another rig or show than the one given.
    Solve again, or fetch the documents the patch was made for.
digest-absent | note | The patch does not say which rig and show it was made for.
    Solve again, so that the patch names its inputs.
period-missing | stop | The patch has no setting for a period of the show.
    Solve again.
period-unknown | stop | The patch has a setting for a period the show does not have.
    Solve again.
no-such-place | stop | The patch names a device, bank or link the rig does not have.
    Correct the address.
device-absent | stop | The patch uses a device that is not there in this period.
    Take another path, or bring the device.
link-absent | stop | A choice takes from a port nothing is joined to in this period.
    Join the link, or take another path.
out-of-range | stop | A slot is beyond its bank at this sample rate.
    Use a slot the bank has.
rate-unsupported | stop | A bank or a link's format does not work at this sample rate.
    Change the rate, or use what supports it.
no-select-row | stop | No select row lets this run take that one.
    Choose what the device can select.
select-misaligned | stop | A block starts off its boundary.
    Start the block on a boundary, counted from the start of the row's range.
select-length | stop | A choice is not one whole run, or its two runs differ in length.
    Choose the whole run.
tap-unknown | stop | A tap is not one this row can take, or none is named where there are several.
    Name a tap of the bank that the row can take.
tap-not-raw | stop | A source is handed on after something in its channel.
    Take a tap after nothing, or let the want allow this tap.
tap-not-allowed | stop | A feed is taken at a tap its feed or want does not allow.
    Take a tap the feed allows.
one-feeder | stop | A slot has more than one feeder.
    Keep one of them; a mix is the only way to join two.
signal-loop | stop | Slots feed each other in a circle and nothing enters.
    Break the circle.
link-capacity | stop | A slot lies beyond the channels a link carries this way at this rate.
    Use lower slots, another link or a lower rate.
link-direction | stop | A link carries nothing in this direction.
    Add a return, or use another link.
framing-mismatch | stop | The two ends of a link in use are set to different framings, or to one they do not have.
    Set both ends alike.
rate-crossing | stop | Signal crosses a link between two clock domains.
    Put a rate converter between them.
converts-missing | stop | Signal crosses two clock domains inside a device without converting.
    Use a way that converts.
plug-unknown | stop | Something is plugged that is no source of this period.
    Take the plug out, or add the source.
plug-no-socket | stop | A source plugs into something that is no input socket.
    Choose an input socket.
plug-not-allowed | stop | A source plugs in where the show does not let it.
    Plug it where the show says.
plug-shared | stop | Two sources are plugged into one socket.
    Move one of them.
plug-missing | stop | A wanted source is plugged in nowhere.
    Plug it in.
plug-moved-in-scene | stop | A scene plugs a source elsewhere than its act.
    Only acts move plugs.
mix-unknown | stop | Something is mixed that is no feed of this period.
    Take the mix out, or add the feed.
mix-not-sum | stop | A feed is mixed on a slot that is no mix.
    Choose a slot of a bank that sums.
mix-elsewhere | stop | A feed is mixed on another device or run than its position's.
    Mix it at its position's desk, where the feed says.
mix-shared | stop | Two feed legs are mixed on one slot.
    Move one of them.
mix-missing | stop | A wanted feed is mixed nowhere.
    Give it a mix.
list-too-long | stop | A list has more entries than its bank has slots.
    Shorten the list, or let it land in a larger bank.
not-delivered | stop | A want gets nothing.
    Carry the signal there.
wrong-signal | stop | A want gets another signal.
    Carry the right signal there.
legs-swapped | stop | The legs of a signal arrive in the wrong order.
    Swap them back.
wrong-channel | stop | Wants are delivered, but not on their channels.
    Move them to the channels their order gives.
outside-within | stop | A want lands outside the run it must land in.
    Move it inside.
gap-not-empty | warn | A slot the list leaves empty is fed.
    Clear the slot.
alternate-wrong | stop | The alternate input of a channel does not get its signal.
    Carry the signal to the alternate input.
order-unsaid | warn | A list's order could not be kept and no note says so.
    Note it, so that nobody looks for a channel in vain.
want-absent | warn | A list wants a signal that is not in use in this period.
    Take it off the list for this period, or use it.
wish-unsaid | warn | A wish is not carried and the patch does not say so.
    Name it among the unmet wishes.
unmet-but-met | warn | The patch calls a want unmet that is carried.
    Take it off the unmet wishes.
must-unmet | stop | The patch gives up a must.
    Carry it, or make it a wish.
feed-not-delivered | stop | A feed does not arrive at a destination.
    Carry it there.
feed-wrong-place | stop | A feed is led to a place its destination does not allow.
    Lead it where the destination says.
route-unknown | stop | A route speaks of a list, feed, entry or leg there is not.
    Solve again.
route-disagrees | stop | A route says another way than the selections set.
    Believe neither; set the selection the route says, or solve again.
route-missing | warn | A delivered leg has no route written down.
    Solve again, so that papers can print the way.
fixed-ignored | stop | A selection the user fixed is not set.
    Set it.
insert-send-wrong | stop | The send of a declared insert does not take its channel before the insert point.
    Take the send from the channel.
insert-return-taken | stop | Something is plugged into the socket an insert returns by.
    Move it to a free socket, or return by another.
passes-forbidden | stop | A signal is where a routing rule forbids it.
    Take another way, or plug it where nothing leads there.
misses-required | stop | A signal comes another way than a routing rule requires.
    Lead it through what the rule names.
loss-not-survived | stop | A delivery passes what it must outlive.
    Lead it past that, or except it.
not-together | stop | Signals that must go together take different ways.
    Lead both the same way.
not-disjoint | stop | Two ways that must share nothing lean on one device, link, run of cable or supply.
    Lead one of them another way.
not-apart | stop | Signals that must keep apart are in one place.
    Move one of them.
not-one-box | stop | Signals that belong on one box are plugged into several.
    Plug them into one.
not-in-order | stop | Signals that must stand in order do not.
    Plug them in the order named.
summed-unlike | warn | Signals that are summed come with different delays.
    Lead them the same way, or delay the earlier one.
rule-vetoes | stop | A hop or a plug is one that a routing rule written in Python forbids.
    Take another way, or leave the rule out.
rule-not-given | note | The patch was made with a routing rule that takes no part now, so it was not held against it.
    Give the rule, to have the patch held against it.
limit-exceeded | stop | More slots or blocks are in use than a shared pool has.
    Free some of them.
clock-no-row | stop | A clock domain in use is not set.
    Set a leader for it.
clock-unknown-domain | stop | The patch sets a clock domain the rig does not have.
    Solve again.
clock-rate | stop | A domain runs at another rate than the rig says.
    Set the rate the rig says.
clock-no-leader | stop | A clock domain has no leader.
    Name one.
clock-two-leaders | stop | A clock domain has two leaders.
    Keep one.
clock-cannot-lead | stop | A leader, or the next in line, cannot lead this domain.
    Choose a device that can.
clock-leader-unlike | stop | Another device leads than the rig says.
    Let the device lead that the rig names.
clock-fallback-unlike | stop | The fallback order is not the rig's.
    Set the rig's order.
clock-not-joined | stop | A follower's link does not join it to the device it follows.
    Follow over a link that is there.
clock-not-passed | stop | A follower's link or ports pass no clock.
    Follow over a way that passes clock.
clock-wrong-domain | stop | A device follows in a domain that is not its own.
    Follow inside the domain.
clock-two-inputs | stop | One device takes its clock twice.
    Keep one input.
clock-loop | stop | Devices follow each other in a circle.
    Break the circle.
clock-broken | stop | A device follows one that has no clock itself.
    Give that one a clock.
clock-missing | stop | A device in use has no clock.
    Let it follow over a link that passes clock.
clock-depth | warn | The stated number of hops from the leader is wrong.
    Solve again.
owner-unknown | stop | An owner is no position of the show.
    Name a position.
owner-no-preamp | stop | Ownership is set for sockets that have no preamp.
    Correct the run.
owner-two | stop | A preamp has two owners.
    Keep one.
owner-finer | stop | Ownership is set more finely than the box allows.
    Give the whole unit to one position.
owner-unlike-show | stop | Another position owns a preamp than the show says.
    Give it to the position the show names.
owner-door | stop | A preamp is owned through a door it does not have.
    Use a door it has.
owner-path | stop | The stated way of control is not there.
    Solve again.
owner-unreachable | stop | Control does not get from the owner's desk to the preamp.
    Choose an owner that reaches it, or join a link that passes control.
owner-cannot-control | stop | The owner's desk does not control such preamps.
    Choose another owner.
owner-missing | stop | A preamp in use is controlled by nobody.
    Give it an owner.
gain-missing | stop | A preamp whose gain can be said has none.
    Solve again.
gain-range | stop | A gain is outside the preamp's range.
    Choose a gain the preamp has.
gain-step | stop | A gain is not on the preamp's step.
    Choose a step.
gain-headroom | stop | A gain leaves less than the reserve below full scale.
    Turn it down.
gain-fixed | stop | A gain the user fixed is not set.
    Set it.
gain-trim | stop | A trim is not the wanted gain less the preamp's.
    Set the trim to the difference.
gain-trim-range | stop | A trim is outside its range.
    Choose a gain all positions can trim to.
gain-interval | warn | The stated range of workable gain is not the one that follows.
    Solve again.
gain-margin | warn | The margin is said to be kept and is not.
    Say that it was given up, or choose another gain.
gain-place | stop | A gain is set for a socket that does not have that leg, or no preamp.
    Solve again.
phantom-need-off | stop | A source that needs phantom gets none.
    Switch it on, from one supplier.
phantom-never-on | stop | A source that must not see phantom gets it.
    Switch it off, or move the source. Switch and plug only with the channel muted.
phantom-clash | stop | Sockets switched together hold a source that needs phantom and one that must not see it.
    Move one of them to another group.
phantom-isolated | stop | Phantom is on where no direct current passes to the source.
    Supply from the direct side, or from the split itself.
phantom-dc-unknown | warn | Whether direct current passes from the phantom supply to the source is unknown.
    Find out, and say it in the rig.
phantom-two-suppliers | stop | Two supplies feed phantom into one source.
    Switch one of them off.
phantom-group | stop | A phantom switch is set for sockets that are not switched together.
    Set the whole group.
phantom-no-switch | stop | Phantom is set where the preamp has none.
    Supply it elsewhere.
phantom-unsaid | warn | A phantom switch with something plugged is not written down, or not whose need is unknown.
    Solve again, so that whoever switches it knows.
spare-not-free | stop | A socket said to be spare is in use, or is not where spares were asked for.
    Free it, or name another.
spare-not-reaching | stop | A source plugged into a declared spare would not reach a position it should.
    Choose a spare that reaches it.
"""

_CHECK = """
rule-broken | warn | A rule failed or answered out of contract; the others went on.
    Tell its author; leave it out until it is mended.
waiver-unused | warn | A waiver matches no finding.
    Take it out, so that it does not hide the next one.
waiver-too-broad | warn | A waiver names no place and signs off many findings at once.
    Write a waiver for each place, with its reason.
waiver-expired | warn | A waiver is past its end and no longer holds.
    Mend the fault, or sign again.
waiver-unclear | warn | A waiver ends with something that is neither a date nor a period.
    Write YYYY-MM-DD or the id of a period.
waiver-unknown | warn | A waiver names a check there is not.
    Correct the name.
"""


def _read(rows: str, issuer: str) -> tuple[Entry, ...]:
    lines = [line for line in rows.strip().splitlines() if line and not line.startswith("#")]
    found = []
    for head, todo in zip(lines[::2], lines[1::2], strict=True):
        name, severity, says = head.split(" | ")
        found.append(Entry(name, severity, says, todo.strip(), issuer))
    return tuple(found)


ENTRIES: tuple[Entry, ...] = (*_read(_VERIFY, "verify"), *_read(_CHECK, "check"), *_read(RULES, "rule"))
"""All checks this package issues, verify's first."""

ENTRY: dict[str, Entry] = {entry.name: entry for entry in ENTRIES}
"""The same by name."""
