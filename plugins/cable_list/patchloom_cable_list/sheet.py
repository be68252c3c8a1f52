"""The pull list as a page: totals first, what is short on top of the page, then every run.

Comes in: rig, show, views, options.  Goes out: a `Page`, or None where nothing is to be run.
"""

from __future__ import annotations

from collections.abc import Sequence

from patchloom.model.rig import Rig
from patchloom.model.show import Show
from patchloom.pages import Cell, Column, Options, Page, Row, Table, View, cautions
from patchloom_cable_list.runs import cable_runs, stage_runs
from patchloom_cable_list.stock import Line, Pulled, pulled, totals

__all__ = ["cable_page"]

_BLOCK = 8
_TOTALS = (
    Column("type", "Type", 3, size="strong"),
    Column("a", "End A", 1.2),
    Column("b", "End B", 1.2),
    Column("length", "Length", 1, "number", "strong"),
    Column("needed", "Needed", 0.8, "number"),
    Column("spare", "Spare", 0.8, "number"),
    Column("total", "Total", 0.8, "number", "strong"),
    Column("stock", "In stock", 0.8, "number"),
    Column("short", "Short", 0.8, "number", "strong"),
    Column("done", "\u2713", 0.5, "tick"),
)
_RUNS = (
    Column("label", "Label", 1.4, "address", "strong"),
    Column("from", "From", 2.4),
    Column("to", "To", 1.8, size="bold"),
    Column("type", "Type", 1.8),
    Column("colour", "Colour", 1),
    Column("need", "Run", 0.9, "number"),
    Column("pull", "Pull", 1.4, "number", "strong"),
    Column("joins", "Joints", 0.6, "number"),
    Column("route", "Route", 1.2),
    Column("note", "Note", 2),
    Column("done", "\u2713", 0.5, "tick"),
)


def cable_page(rig: Rig, show: Show, seen: Sequence[View], options: Options) -> Page | None:
    """Return the pull list of a show."""
    links, stage = tuple(cable_runs(rig)), tuple(stage_runs(seen))
    if not links and not stage:
        return None
    say = options.say
    found = pulled((*links, *stage), rig.stock)
    lines = totals(found, rig.stock, options.spares)
    short = [line for line in lines if line.short]
    unknown = sum(1 for row in found if row.run.length_m is None)
    notes = [
        say("Spares: {percent} % of each kind, rounded up. Lengths are rounded up to what is in stock.", percent=options.spares),
        "One stage cable for each source; a cable for every way where a link joins sockets one by one and no multicore is named.",
        *([say("Runs of a length nobody stated: {count}. None was made up.", count=unknown)] if unknown else []),
        *([] if rig.stock else ["No stock is stated, so nothing can be said to be short."]),
    ]
    tables = [Table("totals", "To pull", _TOTALS, tuple(_total(line, options) for line in lines))]
    for key, title, part in (
        ("links", "Links and looms", found[: len(links)]),
        ("stage", "Stage cables", found[len(links) :]),
    ):
        if part:
            tables.append(_runs(key, title, part, options))
    return Page(
        "table",
        "Cable pull list",
        subject="cables",
        subject_name=say("the whole show"),
        about=f"{say('Runs: {count}.', count=len(found))} {_about(short, options)}",
        tables=tuple(tables),
        notes=tuple(notes),
        cautions=cautions(["trip"]),
        touches=(
            *rig.devices,
            *(link.id for link in rig.links),
            *(row.id for row in show.sources),
        ),
    )


def _about(short: list[Line], options: Options) -> str:
    say = options.say
    if not short:
        return say("Nothing is short, as far as stock is stated.")
    words = [
        say("{count} of {kind} {length}", count=line.short, kind=line.kind, length=options.length(line.length_m)).strip()
        for line in short
    ]
    return say("SHORT: {what}.", what="; ".join(words))


def _total(line: Line, options: Options) -> Row:
    ends = (*line.connectors, "", "")[:2]
    cells = (
        options.say(line.kind) if line.kind else options.say("stage cable"),
        *ends,
        options.length(line.length_m),
        str(line.needed),
        str(line.spare),
        str(line.total),
        "" if line.there is None else str(line.there),
        "" if line.short is None else str(line.short) if line.short else "\u2013",
        Cell("", ("tick",)),
    )
    return Row(cells)


def _runs(key: str, title: str, found: Sequence[Pulled], options: Options) -> Table:
    rows = [_run(each, number, options) for number, each in enumerate(found)]
    kept = [
        place
        for place, column in enumerate(_RUNS)
        if column.id not in ("type", "colour", "need", "pull", "joins", "route", "note")
        or any(row.cells[place].text for row in rows)
    ]
    made = tuple(Row(tuple(row.cells[place] for place in kept), block=row.block) for row in rows)
    return Table(key, title, tuple(_RUNS[place] for place in kept), made)


def _run(each: Pulled, number: int, options: Options) -> Row:
    run, say = each.run, options.say
    pull = ""
    if each.stock is not None and each.pieces:
        length = options.length(each.stock.length_m)
        pull = f"{each.pieces} \u00d7 {length}" if each.pieces > 1 else length
    joints = max(run.joints, each.joins)
    note = [say(each.why) if each.why else ""]
    if each.joins > run.joints and run.joints:
        note.append(say("joints allowed for: {count}", count=run.joints))
    cells = (
        run.label or run.key,
        run.near,
        run.far,
        say(run.kind) + (f" \u00d7 {run.ways}" if run.ways > 1 else ""),
        run.colour,
        options.length(run.length_m),
        pull,
        str(joints) if joints else "",
        run.route,
        "; ".join(word for word in note if word),
        Cell("", ("tick",)),
    )
    return Row(cells, block=number // _BLOCK)
