"""How a choice fits the select rows of its device, and whether it names a tap that is there.

Comes in: a `Ground`, one choice at a time.  Goes out: the row it fits, or the rule it breaks and why.
Next: `feeders`, which lets choices that fit feed their slots.
"""

from __future__ import annotations

from typing import NamedTuple

from patchloom.check.ground import Ground, Row, Run
from patchloom.model.patch import Selection

__all__ = ["Fit", "Fitting", "Pair", "run_end"]

_ORDER = ("no-select-row", "select-length", "select-misaligned")


class Fit(NamedTuple):
    """How a choice fits a row: the row when it does, else the rule it breaks, gravest reason last to be told."""

    row: Row | None
    rule: str
    why: str


class Pair(NamedTuple):
    """A row with a choice, the bounds of what it feeds, and of one run it can take."""

    row: Row
    low: int
    high: int
    from_low: int
    from_high: int


class Fitting:
    """The select rows with a choice, as choices are held against them."""

    def __init__(self, ground: Ground) -> None:
        self.ground = ground
        self._pairs: dict[tuple[str, str, str, bool], list[Pair]] = {}

    def fit(self, choice: Selection) -> Fit:
        """Return how a choice fits the rows of its device, the nearest miss where it fits none."""
        into, source = choice.into, choice.from_
        worst = Fit(None, "no-select-row", "")
        for pair in self.pairs_of(into.device, into.bank or "", source.bank or "", choice.alternate):
            fit = _fits(choice, pair)
            if fit.row is not None:
                return fit
            if _ORDER.index(fit.rule) > _ORDER.index(worst.rule):
                worst = fit
        if worst.rule != "no-select-row":
            return worst
        turned = " as its alternate input" if choice.alternate else ""
        why = f"No select row of {into.device} lets {into} take {source}{turned}."
        return self._by_slot(choice) or worst._replace(why=why)

    def pairs_of(self, device: str, into: str, source: str, alternate: bool) -> list[Pair]:
        """Return the rows that let one bank of a device take from another, with their bounds."""
        key = (device, into, source, alternate)
        if key not in self._pairs:
            bounds = self.ground.bounds
            self._pairs[key] = [
                Pair(row, *bounds(device, row.into), *bounds(device, run))
                for row in self.ground.rows_into(device, into)
                if not row.wired and row.select.alternate == alternate
                for run in row.sources
                if run.bank == source
            ]
        return self._pairs[key]

    def _by_slot(self, choice: Selection) -> Fit | None:
        """Return a fit for a span of single choices that lies across several rows by one slot."""
        into, source = choice.into, choice.from_
        assert into.first
        assert into.last
        assert source.first
        assert source.last
        if into.last - into.first != source.last - source.first or into.last == into.first:
            return None
        rows = [
            row
            for row in self.ground.rows_into(into.device, into.bank or "")
            if not row.wired and row.by == 1 and row.select.alternate == choice.alternate
        ]
        for step in range(into.last - into.first + 1):
            if not any(
                _inside(self.ground, into.device, row.into, into.first + step, into.first + step)
                and any(
                    run.bank == source.bank and _inside(self.ground, into.device, run, source.first + step, source.first + step)
                    for run in row.sources
                )
                for row in rows
            ):
                return None
        return Fit(rows[0], "", "")

    def tap_words(self, choice: Selection, row: Row) -> str:
        """Return what is wrong with the tap of a choice; empty when nothing is."""
        kind = self.ground.bank(choice.from_.device, choice.from_.bank or "")
        if not choice.tap and (kind is None or kind.does == "carry"):
            return ""
        taps = list(kind.taps) if kind else []
        if row.select.taps:
            taps = [tap for tap in taps if tap in row.select.taps]
        if choice.tap and choice.tap not in taps:
            there = f"it has {', '.join(taps)}" if taps else "there is none"
            return f"{choice.into} takes {choice.from_} at tap {choice.tap!r}; {there}."
        if not choice.tap and kind is not None and kind.does == "process" and not taps:
            return f"{choice.into} takes {choice.from_}, but {choice.from_.device}.{kind.id} has no tap and hands nothing on."
        if not choice.tap and len(taps) > 1:
            return f"{choice.into} takes {choice.from_} and names no tap of {', '.join(taps)}."
        return ""


def _inside(ground: Ground, device: str, run: Run, first: int, last: int) -> bool:
    low, high = ground.bounds(device, run)
    return low <= first and last <= high


def run_end(ground: Ground, device: str, row: Row, first: int) -> int:
    """Return the last slot of the run of a row's `into` that starts at `first`."""
    _, high = ground.bounds(device, row.into)
    return min(first + row.by - 1, high)


def _fits(choice: Selection, pair: Pair) -> Fit:
    into, source, row = choice.into, choice.from_, pair.row
    first, last, from_, to = into.first or 0, into.last or 0, source.first or 0, source.last or 0
    if not (pair.low <= first and last <= pair.high and pair.from_low <= from_ and to <= pair.from_high):
        return Fit(None, "no-select-row", "")
    width = last - first + 1
    if width != to - from_ + 1:
        return Fit(None, "select-length", f"{into} has {width} slots and takes {source}, which has {to - from_ + 1}.")
    if row.by == 1:
        return Fit(row, "", "")
    off = (first - pair.low) % row.by, (from_ - pair.from_low) % row.by
    if off != (0, 0):
        return Fit(
            None,
            "select-misaligned",
            f"{into} takes {source}: runs of {row.by} start at slot {pair.low} and {pair.from_low}, this one starts "
            f"{off[0]} and {off[1]} off.",
        )
    whole = min(row.by, pair.high - first + 1, pair.from_high - from_ + 1)
    if width != whole:
        return Fit(None, "select-length", f"{into} takes {source}: one choice moves {whole} slots here, not {width}.")
    return Fit(row, "", "")
