"""More cables are asked for than the store has.

What it says: for every row of the store, the cables of links that name it; and for sources that come by cable, whether
there is one long enough for each once the links have theirs, the longest ones given out first, two joined where one is
too short.
Why: the last three microphones have no cable.
When it is no fault: guests bring their own; or more are hired, and not written down yet.
What data it needs: `stock` with counts, lengths, connectors; what the lengths asked for need, see `reach`.  Where no
store is written down there is nothing to look at.
What to do: hire, or plug into nearer boxes.
Source: arithmetic over lengths of common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from patchloom.check.cables import runs, stock_for, stock_left
from patchloom.check.look import Look, looks
from patchloom.check.speak import some
from patchloom.check.tally import Tally
from patchloom.finding import Finding
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Show

__all__ = ["pull_list_within_stock"]


def pull_list_within_stock(rig: Rig, show: Show, patch: Patch) -> Iterator[Finding]:
    """Yield a finding for each row the links take too many of, and for sources no cable is left for."""
    tally = Tally("pull-list-within-stock", show, patch)
    for look in looks(rig, show, patch) if rig.stock else ():
        left = stock_left(look.rig)
        rows = {row.id: row for row in look.rig.stock}
        tally.seen += len(rows)
        for key, count in left.items():
            if count < 0:
                there = f"there {'is' if rows[key].count == 1 else 'are'} {rows[key].count}"
                told = f"The links take {rows[key].count - count} of {key} ({rows[key].kind}), and {there}."
                numbers = (("taken", rows[key].count - count), ("there", rows[key].count))
                tally.found(look.period, told, key, numbers=numbers)
        for connector, asked in _asked(look).items():
            fitting = {row.id: float(row.length_m or 0) for row in stock_for(look.rig, connector) if left[row.id] > 0}
            if fitting:
                _give(tally, look, connector, asked, fitting, left)
    yield from tally.told("no store is written down")


def _asked(look: Look) -> dict[str, list[tuple[float, str]]]:
    """Return (metres, leg) for each kind of socket, the longest first; runs of unknown length are `reach`'s to name."""
    found: dict[str, list[tuple[float, str]]] = {}
    for run in runs(look):
        bank = look.ground.bank(run.socket.device, run.socket.bank)
        if run.need_m is not None and bank is not None and bank.connector:
            found.setdefault(bank.connector, []).append((run.need_m, run.leg))
    return {key: sorted(rows, key=lambda row: (-row[0], row[1])) for key, rows in found.items()}


def _give(
    tally: Tally, look: Look, connector: str, asked: list[tuple[float, str]], fitting: dict[str, float], left: dict[str, int]
) -> None:
    """Give out cables, the longest run first: to each the shortest that is long enough, else two joined."""
    short: list[str] = []
    longest = max(fitting.values())
    for need, leg in asked:
        taken = _one(need, fitting, left) or _two(need, fitting, left)
        for key in taken:
            left[key] -= 1
        if not taken and need <= 2 * longest:
            short.append(leg)
    if short:
        verb = "gets" if len(short) == 1 else "get"
        told = f"{len(short)} of {len(asked)} sources {verb} no cable with {connector} that is long enough"
        told += f", once the longer runs have theirs: {some(short)}."
        tally.found(look.period, told, *short, numbers=(("asked", len(asked)), ("short", len(short))))


def _one(need: float, fitting: dict[str, float], left: dict[str, int]) -> list[str]:
    return [key for key, length in fitting.items() if left[key] > 0 and length >= need][:1]


def _two(need: float, fitting: dict[str, float], left: dict[str, int]) -> list[str]:
    for one, first in fitting.items():
        for two, second in fitting.items():
            there = left[one] > 1 if one == two else left[one] > 0 and left[two] > 0
            if there and first + second >= need:
                return [one, two]
    return []
