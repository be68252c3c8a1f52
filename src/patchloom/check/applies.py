"""What verify has nothing to look at in a show: which of its checks, and which entries of the sixty, do not apply, and why.

Comes in: looks at every period.  Goes out: name to reason, for checks and for entries.  Next: `proof`, which says *not
applicable* of them.

A check of verify that finds nothing has looked, and is silent; one that had nothing to look at must not pass for that.
Here stands, group by group, what there has to be.  Nothing is judged: where a check has found something, it applied.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable

from patchloom.address import parse
from patchloom.check.look import Look
from patchloom.model.rig import Format
from patchloom.model.show import Want

__all__ = ["entries_idle", "idle"]

Has = Callable[[Look], bool]


def idle(seen: Iterable[Look]) -> dict[str, str]:
    """Return, by check of verify, why it has nothing to look at in any period; only those that have not."""
    looks = tuple(seen)
    return {name: why for has, why, names in _CHECKS if not any(map(has, looks)) for name in names.split()}


def entries_idle(seen: Iterable[Look]) -> dict[str, str]:
    """Return, by name of an entry, why it does not apply although some of its checks look at other things, too."""
    looks = tuple(seen)
    return {name: why for has, why, name in _ENTRIES if not any(map(has, looks))}


# the rig


def _formats(look: Look) -> list[Format]:
    return [look.rig.formats[link.format] for link in look.rig.links if link.format in look.rig.formats]


def _digital(look: Look) -> bool:
    return bool(look.setting.clock) or any(row.digital for row in _formats(look))


def _channels(look: Look) -> bool:
    return any(row.digital and row.channels for row in _formats(look))


def _framed(look: Look) -> bool:
    return any(len(row.framings) > 1 for row in _formats(look)) or any(link.framing for link in look.rig.links)


def _joined(look: Look) -> bool:
    return bool(look.rig.links)


def _crossing(look: Look) -> bool:
    return len({look.rig.domain_of(device, part).id for device in look.rig.devices for part in look.rig.sections(device)}) > 1


def _blocks(look: Look) -> bool:
    return any(row.by > 1 for device in look.rig.devices for row in look.type(device).select)


def _pools(look: Look) -> bool:
    return any(look.type(device).limits for device in look.rig.devices)


# preamps


def _amplified(look: Look) -> bool:
    return bool(look.amps or look.setting.owners or look.setting.gains)


def _shared(look: Look) -> bool:
    said = any(row.trims_db for row in look.setting.gains)
    return said or any(len({row.position for row in amp.heard}) > 1 for amp in look.amps.values())


def _switched(look: Look) -> bool:
    return bool(look.setting.phantom) or any(amp.kind.phantom_by for amp in look.amps.values())


def _in_groups(look: Look) -> bool:
    return any((amp.kind.phantom_by or 0) > 1 for amp in look.amps.values())


def _needs(look: Look) -> bool:
    return any(row.phantom == "need" for row in look.show.sources)


def _never(look: Look) -> bool:
    return any(row.phantom == "never" for row in look.show.sources)


def _through_copper(look: Look) -> bool:
    """Return whether something is plugged into a socket without a preamp of its own, such as a split's."""
    return any(
        leg in look.sources and look.sources[leg].phantom == "need" and look.ground.preamp(place.device, place.bank) is None
        for leg, place in look.setting.plugs.items()
    )


# what is asked


def _wants(look: Look) -> Iterable[Want]:
    return (want for item in look.show.lists for want in item.wants if want is not None)


def _stereo(look: Look) -> bool:
    return any(len(row.leg_ids()) > 1 for row in look.signals.values())


def _alternate(look: Look) -> bool:
    return any(want.alternate for want in _wants(look))


def _within(look: Look) -> bool:
    return any(want.within for want in _wants(look))


def _wishes(look: Look) -> bool:
    feeds = (place.priority for feed in look.show.feeds for place in feed.to)
    asked = any(number is not None for number in (*(want.priority for want in _wants(look)), *feeds))
    return asked or bool(look.setting.unmet)


def _free(look: Look) -> bool:
    return any(want is None for item in look.show.lists for want in item.wants)


def _feeds(look: Look) -> bool:
    return bool(look.show.feeds or look.setting.mixes)


def _led(look: Look) -> bool:
    return any(feed.to for feed in look.show.feeds)


def _ears(look: Look) -> bool:
    return any(feed.kind == "ear" for feed in look.show.feeds)


def _recorded(look: Look) -> bool:
    spans = (parse(item.at) for item in look.show.lists)
    banks = (look.ground.bank(span.device, span.bank or "") for span in spans)
    return any(bank is not None and bank.ends == "record" for bank in banks)


def _fixed(look: Look) -> bool:
    return bool(look.show.fixed)


def _gain_fixed(look: Look) -> bool:
    return bool(look.show.gain.fixed) or any(row.gain_db is not None for row in look.show.sources)


def _owners(look: Look) -> bool:
    return bool(look.show.owners)


def _relation(*words: str) -> Has:
    """Return a test for groups with such a relation, or routing rules of that name."""

    def has(look: Look) -> bool:
        said = (*(row.relation for row in look.show.groups), *(row.rule for row in look.show.routing))
        return any(word in words for word in said)

    return has


def _survives(look: Look) -> bool:
    return any(row.survives for row in look.show.lists) or any(row.survives for row in look.show.feeds)


def _inserts(look: Look) -> bool:
    return bool(look.show.inserts)


def _spares(look: Look) -> bool:
    return bool(look.setting.spares) or (look.show.wishes is not None and bool(look.show.wishes.spare))


def _scenes(look: Look) -> bool:
    return any(row.scene_of for row in look.whole.periods)


_CHECKS: tuple[tuple[Has, str, str], ...] = (
    (
        _digital,
        "no two devices share a digital line",
        "clock-no-row clock-unknown-domain clock-rate clock-no-leader clock-two-leaders clock-cannot-lead clock-leader-unlike "
        "clock-fallback-unlike clock-not-joined clock-not-passed clock-wrong-domain clock-two-inputs clock-loop clock-broken "
        "clock-missing clock-depth",
    ),
    (_crossing, "there is one clock domain", "rate-crossing converts-missing"),
    (_channels, "no cable carries channels", "link-capacity"),
    (_framed, "no cable in use can be framed in two ways", "framing-mismatch"),
    (_joined, "nothing is joined", "link-direction"),
    (_blocks, "nothing is chosen in blocks", "select-misaligned"),
    (_pools, "no device shares a pool", "limit-exceeded"),
    (
        _amplified,
        "nothing comes through a preamp",
        "owner-unknown owner-no-preamp owner-two owner-finer owner-missing owner-door owner-path owner-unreachable "
        "owner-cannot-control gain-missing gain-range gain-step gain-headroom gain-place",
    ),
    (_shared, "no preamp is shared", "gain-trim gain-trim-range gain-margin gain-interval"),
    (_gain_fixed, "no gain is fixed", "gain-fixed"),
    (_owners, "the show names no owner", "owner-unlike-show"),
    (_switched, "no preamp in use can switch phantom", "phantom-group phantom-no-switch phantom-unsaid"),
    (_in_groups, "no preamps are switched together", "phantom-clash"),
    (_needs, "no source needs phantom", "phantom-need-off"),
    (_never, "no source is marked never", "phantom-never-on"),
    (
        _through_copper,
        "no source that needs phantom comes through copper",
        "phantom-isolated phantom-two-suppliers phantom-dc-unknown",
    ),
    (_stereo, "nothing is stereo", "legs-swapped"),
    (_alternate, "no channel has an alternate input", "alternate-wrong"),
    (_within, "no want must land within a run", "outside-within"),
    (_wishes, "everything is a must", "wish-unsaid unmet-but-met"),
    (_free, "no list leaves a slot free", "gap-not-empty"),
    (_feeds, "nothing is mixed", "mix-unknown mix-not-sum mix-elsewhere mix-shared mix-missing tap-not-allowed"),
    (_led, "no mix is led anywhere", "feed-not-delivered feed-wrong-place"),
    (_fixed, "nothing is fixed", "fixed-ignored"),
    (_relation("one-box"), "no signals are declared to belong on one box", "not-one-box"),
    (_relation("same-path", "together"), "no signals are declared to go together", "not-together"),
    (_relation("in-order"), "no signals are declared to stand in order", "not-in-order"),
    (_relation("apart"), "no signals are declared to keep apart", "not-apart"),
    (_relation("disjoint"), "no signals are declared to share nothing", "not-disjoint"),
    (_relation("summed"), "no signals are declared to be summed", "summed-unlike"),
    (_relation("forbid"), "no routing rule forbids anything", "passes-forbidden"),
    (_relation("require"), "no routing rule requires anything", "misses-required"),
    (_survives, "nothing is declared to outlive a loss", "loss-not-survived"),
    (_inserts, "there is no insert", "insert-send-wrong insert-return-taken"),
    (_spares, "no spare line is asked for", "spare-not-free spare-not-reaching"),
    (_scenes, "the show has no scenes", "plug-moved-in-scene"),
)
"""What there has to be, why a check has nothing to look at where it is not, and which checks."""

_ENTRIES: tuple[tuple[Has, str, str], ...] = (
    (_stereo, "nothing is stereo", "Stereo adjacent odd and even"),
    (_ears, "there is no ear mix", "Ear mix path complete"),
    (_recorded, "nothing is recorded", "Record tap and order"),
    (_switched, "no preamp in use can switch phantom", "Unknown phantom left unresolved"),
    (_feeds, "nothing is mixed", "Bus count a position"),
)
"""The same for entries whose checks look at more than the entry is about."""
