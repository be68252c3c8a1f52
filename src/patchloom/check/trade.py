"""What a careful engineer checks, entry by entry, and who issues it here.

Comes in: nothing.  Goes out: `TRADE`, sixty entries in sections A to H, `SECOND`, the second tier, and `BESIDE`, what
only a patch in documents can get wrong.  Next: the reference pages, `proof`, and the test that every entry has an issuer.

A row is `entry | severity | issuers`: severities in this package's words (stop where a show will not work or something
is damaged), issuers by name: rules and checks of the catalogue, `reading:kind` for a complaint of reading, `solve` for
what the search says when nothing can be answered.  A row that ends with a comma goes on.
The line after says what is asked (common practice, no source, except
where the checks named give one).  One fact has one issuer: where several are named, each says another part.
"""

from __future__ import annotations

from typing import NamedTuple

__all__ = ["BESIDE", "BY_KEY", "SECOND", "SECTIONS", "TRADE", "TradeEntry"]


class TradeEntry(NamedTuple):
    """One thing to check: section, name, gravest severity, who issues it, what is asked."""

    section: str
    name: str
    severity: str
    issuers: tuple[str, ...]
    asks: str

    @property
    def key(self) -> str:
        """Return the name as `patchloom rules` takes it: `One owner per preamp` is `one-owner-per-preamp`."""
        return self.name.lower().replace(",", "").replace(" ", "-")


SECTIONS = {
    "A": "Patch integrity",
    "B": "Preamp, gain, phantom",
    "C": "Stereo, coherence, latency",
    "D": "Clock and rate",
    "E": "Links, control, dependence",
    "F": "Outputs, returns, communication",
    "G": "Physical",
    "H": "Documents and change",
    "+": "Second tier",
    "*": "Beside the list: the patch and its documents",
}

_TRADE = """
# A
One feeder per point | stop | one-feeder
    Each channel input, link slot and output socket has at most one source at a time.
One plug per socket | stop | plug-shared, reading:joined-twice
    A physical socket takes one line an act.
Every must delivered | stop | not-delivered, wrong-signal, alternate-wrong, feed-not-delivered, feed-wrong-place,
    must-unmet, plug-missing, mix-missing, solve
    A complete path exists for each required position and source.
Demand without source | stop | demand-without-source, want-absent, plug-unknown, mix-unknown, reading:dangling
    No channel refers to a source that is not there in this act.
Unused but patched | advice | unused-but-patched
    A patched line nobody takes is listed.
Duplicate channel | warn | duplicate-channel, reading:duplicate-id
    The same source twice at one desk is intended.
Duplicate channel number | stop | reading:duplicate-id
    Two rows of a list do not claim one channel.
Block collision | stop | one-feeder
    Two uses do not claim one block with different contents.
Intake not exceeded | stop | out-of-range, limit-exceeded, list-too-long, solve
    A desk takes no more blocks than it can.
Block leak | warn | block-leak
    Slots dragged in by a block and not asked for are known and harmless.
Fixed choices respected | stop | fixed-ignored, plug-not-allowed, wrong-channel, outside-within, gain-fixed,
    owner-unlike-show, solve
    What the user fixed stays, or the report names what is in conflict.
Level and connector fit | stop | level-and-connector-fit
    Level and connector match the socket, or an adaptor, pad or DI is named.
# B
One owner per preamp | stop | owner-two, owner-finer, owner-missing, owner-unknown, owner-no-preamp
    Exactly one position controls each preamp.
Owner reachable | stop | owner-unreachable, owner-door, owner-path, owner-cannot-control
    A control path joins owner and preamp, each edge able to carry control.
Owner awake when needed | warn | owner-awake
    The owner's desk is powered and manned whenever the preamp is used.
Takeover direction known | warn | takeover-known
    For each box it is known whose gains win when a desk joins.
Trim within range | stop | gain-trim, gain-trim-range, gain-margin, gain-range, gain-step, gain-missing, gain-place,
    gain-interval, trim-margin
    Each sharer's trim is inside its range, with something left.
Converter headroom | stop | gain-headroom, converter-headroom
    Gain, loudest level and reserve stay below full scale.
Tracking mixed | warn | tracking-mixed
    On one preamp all sharers track, or none, or it is declared.
Pure split tap | stop | tap-not-raw, tap-not-allowed
    Feeds to other desks are taken before the owner's trim, processing, mute.
Pad, polarity, filter in the front end | warn | front-end-shared
    Shared settings of the front end are listed for all positions.
Phantom where needed | stop | phantom-need-off, phantom-no-switch
    Every source that needs phantom gets it.
Phantom where forbidden | stop | phantom-never-on
    Sources marked never see no phantom, at any time.
One phantom feed a passive split | stop | phantom-two-suppliers
    Exactly one side of a passive split supplies phantom.
Phantom on the direct side | stop | phantom-isolated, phantom-dc-unknown
    The supplier sits on the direct side, or the split supplies.
DI powered | stop | di-powered, phantom-need-off, phantom-isolated
    Every active DI has a power source; never assumed through an isolated side.
Phantom bank clash | stop | phantom-clash, phantom-group
    No phantom group mixes need and never.
Passive split loading | warn | passive-split-loading
    At most three passive loads a microphone.
# C
Stereo adjacent odd and even | stop | wrong-channel, legs-swapped, stereo-adjacent
    A pair stands on n (odd) and n+1, left on the lower.
Stereo legs alike | warn | stereo-legs-alike
    Both legs have the same box, preamp, gain, phantom, rate path.
Stereo perspective stated | warn | stereo-perspective
    Whose left the left is, is said.
Width folds stated | warn | width-folds-stated
    A stereo source taken mono says how.
Split paths aligned | stop | split-paths-aligned, summed-unlike
    Two paths of one source into one desk are equally late, or are never summed.
Coherent group together | warn | coherent-group, not-one-box, not-together, not-in-order
    Signals of one group share converter and path length.
Monitor path budget | warn | monitor-budget
    Microphone to ear stays below the user's limit.
# D
One leader per domain | stop | clock-no-leader, clock-two-leaders, clock-no-row, clock-cannot-lead, clock-leader-unlike,
    clock-unknown-domain
    Each clock domain in use has exactly one leader.
All reach the leader | stop | clock-missing, clock-broken, clock-not-joined, clock-not-passed, clock-depth
    Each digital device has a clock route to it.
No clock loop | stop | clock-loop, clock-two-inputs
    Who follows whom has no circle.
Same rate or a converter | stop | rate-crossing, converts-missing, clock-rate, clock-wrong-domain, rate-unsupported
    Rates are equal along each path unless a converter sits between.
Frame mode match | stop | framing-mismatch, framing-unsaid
    Both ends of a link have one framing.
Leader always on, backup named | warn | leader-stays, fallback-reaches, clock-fallback-unlike
    The leader does not leave or belong to others, and a fallback is named.
Clock line ended once | advice | clock-line-ended, election-pinned
    A clock line is terminated once, at its end.
# E
Link capacity at this rate | stop | link-capacity, reading:rate
    No more slots in use than the link has at this rate.
Direction exists | stop | link-direction, link-absent, reading:direction
    Return slots need a return direction.
Address unique | stop | address-unique, one-feeder, reading:duplicate-id
    No two devices share an address.
Length within medium | stop | length-within-medium
    Each run is within the limit of its medium.
Redundancy is real | warn | redundancy-real, not-disjoint
    Main and backup differ in route and supply.
Pass-through dependence | warn | pass-through-dependence, loss-not-survived
    What dies with another position's desk is listed.
Recall safe | warn | recall-safe
    No recall changes patch, preamps, phantom or outputs unless planned.
# F
No feed back to its own source | safety | signal-loop, feed-comes-back
    No return reaches a mix that feeds it.
Remote gets N-1 | stop | n-minus-one
    Each far end gets everything but itself.
Ear mix path complete | stop | feed-not-delivered, legs-swapped, stereo-adjacent, unused-but-patched, ear-path-complete
    Mix pair, sockets, transmitter, pack, person: no half pairs.
Talkback reachable | warn | talk-reaches
    Each position can talk to each declared partner.
Talkback kept out | stop | talk-kept-out
    Talkback, click and timecode are never in PA, stream or record.
Record tap and order | stop | tap-not-raw, order-unsaid, gap-not-empty, record-order
    Tracks are raw, in the order published, no gap unlabelled.
# G
Reach | stop | reach
    Each run has a cable in stock that is long enough.
Shield story | safety | shield-story
    Shields are continuous; a lift is named, at one end only.
Spare line per box | advice | spare-line-per-box, spare-not-free, spare-not-reaching
    Each box has a spare input patched through.
# H
Labels agree | stop | labels-collide, labels-agree
    One name a source; no two equal once cut.
Unmuted re-patch | safety | unmuted-repatch
    A changed live route lists what is muted first.
"""

_SECOND = """
# +
Phantom current budget | warn | phantom-current
    No supply gives more than it can.
Playback A and B apart | warn | spare-stands-apart, not-apart
    A source and its spare share no box and no supply.
Record free space | stop | record-space
    There is room for the tracks in use at this rate.
Bus count a position | stop | mix-missing, mix-shared, out-of-range, solve
    There are as many mixes as are asked for.
Insert loop latency | warn | insert-latency
    An insert makes nothing late against what it is heard with.
Spare pack a radio group | advice | radio-spare
    Radios have a spare.
Gain match between main and spare | warn | spare-gain-matches
    Main and spare are wanted alike.
Pull list within stock | warn | pull-list-within-stock
    The store has every cable asked for.
Ways kept clear | safety | walkway-kept-clear
    Nothing stands on walkways and stairs.
Unknown phantom left unresolved | warn | phantom-unresolved, phantom-unsaid
    No blank is left where phantom can be switched on.
"""

_BESIDE = """
# *
Choices the devices have | stop | no-select-row, select-misaligned, select-length, tap-unknown, no-such-place, device-absent
    A patch chooses only what the devices that are there can choose.
Plugged and mixed where it can be | stop | plug-no-socket, plug-moved-in-scene, mix-not-sum, mix-elsewhere
    Sources are plugged into sockets, between acts; feeds are mixed on mixes of their position's desk.
Inserts whole | stop | insert-send-wrong, insert-return-taken
    An insert sends its channel, from before the insert point, and nothing else comes back by its return.
Routing rules kept | stop | passes-forbidden, misses-required, rule-not-given
    Nothing is led where the show forbids it, or past what the show requires.
One revision of all documents | stop | digest-mismatch, digest-absent, period-missing, period-unknown
    The patch was made for this rig and this show, and has a setting for each act and scene.
Written agrees with set | stop | route-disagrees, route-unknown, route-missing, wish-unsaid, unmet-but-met
    The ways written down are the ways that are set, and so is what is said to be missing.
Waivers hold | warn | waiver-unused, waiver-expired, waiver-unclear, waiver-too-broad, waiver-unknown
    What is signed off is there, is named, and is signed for a time that has not passed.
Documents can be read | stop | reading:syntax, reading:encoding, reading:duplicate-key, reading:number,
    reading:surrogate, reading:too-deep, reading:too-large
    A document is JSON in UTF-8, says each thing once, and is no larger than any show needs.
Documents say what they mean | stop | reading:unknown-key, reading:missing, reading:type, reading:value, reading:id,
    reading:brace, reading:address, reading:conflict, reading:loop, reading:control-character, reading:format,
    reading:version
    Every key is one that is read, every value one there can be, every name one that can be written.
Documents fit the rig | stop | reading:list-at, reading:out-of-range, reading:not-a-socket, reading:no-preamp,
    reading:not-spoken, reading:unequal
    Lists land where lists can land, cables join what can be joined, and no slot is beyond its bank.
"""


def _read(text: str) -> tuple[TradeEntry, ...]:
    found, section = [], ""
    lines = iter(text.strip().replace(",\n    ", ", ").splitlines())
    for line in lines:
        if line.startswith("#"):
            section = line[1:].strip()
            continue
        name, severity, issuers = (part.strip() for part in line.split("|"))
        rows = tuple(issuer.strip() for issuer in issuers.split(",") if issuer.strip())
        found.append(TradeEntry(section, name, severity, rows, next(lines).strip()))
    return tuple(found)


TRADE: tuple[TradeEntry, ...] = _read(_TRADE)
"""The sixty, in order."""

SECOND: tuple[TradeEntry, ...] = _read(_SECOND)
"""The second tier, as far as documents have data for it."""

BESIDE: tuple[TradeEntry, ...] = _read(_BESIDE)
"""What no list of the trade names: how a patch in documents can contradict its rig, its show or itself."""

BY_KEY: dict[str, TradeEntry] = {row.key: row for row in (*TRADE, *SECOND, *BESIDE)}
"""All of them by the name `patchloom rules` takes."""
