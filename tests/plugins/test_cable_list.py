"""Cables are rounded up to what is in stock, joined where nothing is long enough, and what is short is counted."""

from __future__ import annotations

from typing import Any

from patchloom_cable_list.runs import Run
from patchloom_cable_list.stock import pulled, totals

from patchloom.model.rig import Stock

STOCK = (
    Stock("c10", "category cable", 10, 2, ("8P8C", "8P8C")),
    Stock("c50", "category cable", 50, 1, ("8P8C", "8P8C")),
    Stock("m5", "microphone cable", 5, 3, ("XLR-3F", "XLR-3M")),
    Stock("m10", "microphone cable", 10, 9, ("XLR-3F", "XLR-3M")),
    Stock("x8", "multicore, 8 ways", 30, 1, ("XLR-3", "XLR-3")),
    Stock("odd", "adaptor", None, 4),
)


def run(key: str, length: float | None, **more: Any) -> Run:
    return Run(key, "A", "B", more.pop("kind", ""), length, **more)


def test_a_named_row_is_taken_while_it_is_long_enough() -> None:
    """A run gets the row it names; one that is too short gives way to the next longer of its kind, and says so."""
    short, long, gone = pulled((run("K1", 8, stock="c10"), run("K2", 30, stock="c10"), run("K3", 8, stock="nothing")), STOCK)
    assert (short.stock, short.pieces, short.why) == (STOCK[0], 1, "")
    assert (long.stock, long.pieces, long.why) == (STOCK[1], 1, "the one named is too short")
    assert (gone.stock, gone.pieces, gone.why) == (None, 0, "the row of stock it names is not there")


def test_what_is_longer_than_any_cable_is_joined() -> None:
    """The longest are joined end to end; the joints are one fewer than the pieces."""
    [row] = pulled((run("K1", 120, stock="c10"),), STOCK)
    assert (row.stock, row.pieces, row.joins, row.why) == (STOCK[1], 3, 2, "none is long enough: joined")


def test_a_stage_cable_is_the_shortest_whose_plug_fits() -> None:
    """The connector of the socket chooses the kind; what is used up gives way to the next longer; a multicore does not fit."""
    rows = pulled(tuple(run(f"s{n}", 4, connector="XLR-3") for n in range(5)), STOCK)
    assert [row.stock.id for row in rows if row.stock] == ["m5", "m5", "m5", "m10", "m10"]
    [far] = pulled((run("s", 25, connector="XLR-3"),), STOCK)
    assert (far.stock, far.pieces) == (STOCK[3], 3)
    [other] = pulled((run("s", 4, connector="RJ-11"),), STOCK)
    assert (other.stock, other.why) == (None, "no stock stated for it")


def test_every_way_is_a_cable_unless_a_multicore_is_named() -> None:
    """A link of four sockets is four cables, each with its own joints; one that names a multicore is one."""
    four, multi = pulled((run("W1", 12, connector="XLR-3", ways=4), run("W2", 20, stock="x8", ways=8)), STOCK)
    assert (four.stock, four.pieces, four.joins) == (STOCK[3], 8, 1)
    assert (multi.stock, multi.pieces, multi.joins) == (STOCK[4], 1, 0)


def test_no_length_is_made_up() -> None:
    """A run whose length nobody stated gets no piece unless it names its cable."""
    bare, named = pulled((run("s", None, connector="XLR-3"), run("K", None, stock="c50")), STOCK)
    assert (bare.stock, bare.pieces, bare.why) == (None, 0, "length not stated")
    assert (named.stock, named.pieces, named.why) == (STOCK[1], 1, "length not stated")


def test_short_is_what_is_missing_with_its_spares() -> None:
    """Spares are a share of what is needed, rounded up; short counts them; without a stock row nothing is said to be short."""
    found = pulled((run("K1", 40, stock="c50"), run("K2", 45, stock="c50"), run("s", 3, kind="coax")), STOCK)
    lines = {(line.kind, line.length_m): line for line in totals(found, STOCK, 10)}
    cat = lines["category cable", 50]
    assert (cat.needed, cat.spare, cat.total, cat.there, cat.short) == (2, 1, 3, 1, 2)
    coax = lines["coax", 3]
    assert (coax.needed, coax.spare, coax.there, coax.short) == (1, 1, None, None)
    assert [line.spare for line in totals(found, STOCK, 0)] == [0, 0]
    assert totals((), STOCK, 10) == ()


def test_long_runs_choose_first() -> None:
    """Where stock is scarce the long run gets the long cable, in whatever order the runs stand."""
    rows = pulled(
        (run("a", 6, connector="XLR-3"), run("b", 9, connector="XLR-3")), (Stock("m10", "mic", 10, 1, ("XLR-3", "XLR-3")),)
    )
    assert [row.pieces for row in rows] == [1, 1]
    kinds = (Stock("m10", "mic", 10, 1, ("XLR-3", "XLR-3")), Stock("m20", "mic", 20, 1, ("XLR-3", "XLR-3")))
    rows = pulled((run("a", 6, connector="XLR-3"), run("b", 9, connector="XLR-3")), kinds)
    assert [row.stock.id for row in rows if row.stock] == ["m20", "m10"]
