"""The data of a proof as a page.

Comes in: a `Proof`.  Goes out: a `Page` for whoever signs the show off: what is open stands before what is not.
"""

from __future__ import annotations

from collections.abc import Iterator

from patchloom.check.capacity import Use
from patchloom.check.proof import Asked, Demand, Proof
from patchloom.finding import SEVERITIES
from patchloom.model.rig import Rig
from patchloom.model.show import Show
from patchloom.pages import Cell, Column, Options, Page, Row, Table, cautions

__all__ = ["proof_page"]

_MOST = 6
_LIMITS = ("intake", "link", "pool")
"""Kinds of room that are always listed: they are what the next line may fail on."""
_STATES = ("found", "not checked", "in part", "checked", "not asked", "not applicable")


def proof_page(proof: Proof, rig: Rig, show: Show, options: Options) -> Page:
    """Return the proof page."""
    say = options.say
    loud, quiet = _rules(proof, options)
    tables = (
        _demands(proof, show, options),
        loud,
        _waivers(proof, options),
        _capacities(proof, options),
        quiet,
        _digests(proof),
    )
    return Page(
        "table",
        "Proof page",
        subject="proof",
        subject_name=say("the whole show"),
        about=_about(proof, options),
        tables=tuple(table for table in tables if table is not None),
        notes=tuple(_notes(proof, options)),
        cautions=cautions(["emergency"]),
    )


def _about(proof: Proof, options: Options) -> str:
    """Return the line everybody reads: delivered, what is open, and what was checked against."""
    say = options.say
    counts = ", ".join(f"{say(word)} {count}" for word, count in proof.counts)
    return " ".join(
        (
            say("{delivered} of {musts} delivered.", delivered=proof.delivered, musts=proof.musts),
            say("Open findings: {counts}.", counts=counts),
            say("Checked against the rules listed, with the data given."),
        )
    )


def _few(names: tuple[str, ...], options: Options) -> str:
    if len(names) <= _MOST:
        return ", ".join(names)
    return options.say("{names} and {count} more", names=", ".join(names[:_MOST]), count=len(names) - _MOST)


def _demands(proof: Proof, show: Show, options: Options) -> Table:
    columns = (
        Column("to", "For", 1.8, size="strong"),
        Column("position", "Position", 1.6),
        Column("delivered", "Delivered", 0.9, "number", "strong"),
        Column("asked", "of", 0.9, "number"),
        Column("wishes", "Wishes met", 0.9, "number"),
        Column("wished", "of", 0.9, "number"),
        Column("lost", "Not delivered", 3.6),
    )
    rows = [_demand(row, show, options) for row in proof.demands]
    kept = [
        place
        for place, column in enumerate(columns)
        if column.id not in ("wishes", "wished", "lost") or any(row.cells[place].text for row in rows)
    ]
    made = tuple(Row(tuple(row.cells[place] for place in kept)) for row in rows)
    return Table("demands", "Asked and delivered", tuple(columns[place] for place in kept), made)


def _demand(row: Demand, show: Show, options: Options) -> Row:
    whole = row.delivered == row.asked
    wishes = (str(row.wishes), str(row.wished)) if row.wished else ("", "")
    return Row(
        (
            row.to,
            show.position(row.position).name or row.position,
            Cell(str(row.delivered), () if whole else ("strong",)),
            str(row.asked),
            *wishes,
            _few(row.lost, options),
        )
    )


def _waivers(proof: Proof, options: Options) -> Table | None:
    """Return what somebody has signed off, by whom and why."""
    if not proof.waivers:
        return None
    columns = (
        Column("number", "No.", 0.6, "number"),
        Column("rule", "Rule", 1.8, size="bold"),
        Column("where", "Where", 1.6),
        Column("who", "Signed by", 1.6, size="strong"),
        Column("why", "Why", 3.4),
        Column("until", "Until", 1.1),
        Column("covers", "Holds for", 2.4),
    )
    rows = []
    for row in proof.waivers:
        holds = options.say("findings: {count}", count=len(row.covers)) if row.covers else options.say("nothing here")
        rows.append(
            Row(
                (
                    str(row.number),
                    row.rule,
                    ", ".join(row.where) or options.say("everywhere"),
                    row.who,
                    row.why,
                    row.until or options.say("the show"),
                    "; ".join((holds, *row.trouble)),
                )
            )
        )
    return Table("waivers", "Signed off", columns, tuple(rows))


def _what(row: Use, options: Options) -> str:
    """Return what a capacity is of: a link with its direction, in words, else its address."""
    link, *ends = row.what.split(" ")
    if row.kind != "link" or len(ends) != 3:
        return row.what
    return options.say("{link} {device} to {other}", link=link, device=ends[0], other=ends[2])


def _capacities(proof: Proof, options: Options) -> Table | None:
    """Return what is used of everything with a limit, in its fullest act."""
    if not proof.capacities:
        return None
    columns = (
        Column("what", "What", 3.4, size="strong"),
        Column("kind", "Kind", 1.2),
        Column("used", "Used", 0.8, "number", "strong"),
        Column("filled", "Filled", 0.8, "number"),
        Column("most", "of", 0.8, "number"),
        Column("free", "Free", 0.8, "number", "strong"),
        Column("period", "Fullest in", 1.4),
    )
    kinds = list(dict.fromkeys(row.kind for row in proof.capacities))
    listed = [row for row in proof.capacities if row.kind in _LIMITS or row.filled * 2 >= row.most]
    rows = [
        Row(
            (
                _what(row, options),
                options.say(row.kind) if row.unit == "slots" else f"{options.say(row.kind)}, {options.say(row.unit)}",
                str(row.used),
                str(row.filled),
                str(row.most),
                str(row.free),
                row.period,
            ),
            block=kinds.index(row.kind),
        )
        for row in listed
    ]
    kept = [place for place, column in enumerate(columns) if column.id != "period" or any(row.cells[place].text for row in rows)]
    made = tuple(Row(tuple(row.cells[place] for place in kept), block=row.block) for row in rows)
    notes = ["Used = a wanted line passes; filled = something is there, wanted or brought along with a block."]
    rest = [_what(row, options) for row in proof.capacities if row not in listed]
    if rest:
        notes.append(options.say("Less than half full: {what}.", what=", ".join(rest)))
    return Table("capacities", "Room used", tuple(columns[place] for place in kept), made, tuple(notes))


def _rules(proof: Proof, options: Options) -> tuple[Table | None, Table]:
    """Return the rules that have something to say, one a row, and all others, one row for each way they came out."""
    columns = (
        Column("rule", "Rule", 3.4, size="bold"),
        Column("severity", "Gravity", 0.9),
        Column("state", "Result", 1.3, size="bold"),
        Column("found", "Findings", 0.7, "number", "bold"),
        Column("missing", "Not stated in the documents", 3.2),
    )
    rows = sorted(proof.asked, key=lambda row: (_rank(row.state, _STATES), _rank(row.severity, SEVERITIES)))
    loud = tuple(_rule(row, options) for row in rows if row.state in _LOUD)
    told = Table("rules", "Rules with something to say", columns, loud) if loud else None
    return told, Table("quiet", "All other rules listed", _QUIET, tuple(_quiet(rows, options)), tuple(_legend(options)))


def _rank(word: str, order: tuple[str, ...]) -> int:
    return order.index(word) if word in order else len(order)


_LOUD = ("found", "not checked", "in part")
_QUIET = (
    Column("state", "Result", 1.3, size="bold"),
    Column("severity", "Gravity", 0.9),
    Column("count", "Rules", 0.6, "number", "bold"),
    Column("rules", "Which", 6),
)


def _quiet(rows: list[Asked], options: Options) -> Iterator[Row]:
    quiet = [row for row in rows if row.state not in _LOUD]
    for block, state in enumerate(dict.fromkeys(row.state for row in quiet)):
        for severity in dict.fromkeys(row.severity for row in quiet if row.state == state):
            names = [row.name for row in quiet if (row.state, row.severity) == (state, severity)]
            yield Row((options.say(state), options.say(severity), str(len(names)), "; ".join(names)), block=block)


def _rule(row: Asked, options: Options) -> Row:
    cells = (
        row.name,
        options.say(row.severity),
        Cell(options.say(row.state), ("strong",)),
        str(row.found) if row.found else "",
        _few(row.missing, options),
    )
    return Row(cells, block=_STATES.index(row.state))


def _legend(options: Options) -> Iterator[str]:
    yield options.say(
        "found = look above; not checked = the documents do not say enough; in part = some of it could be looked at; "
        "not applicable = there is nothing of the kind."
    )


def _digests(proof: Proof) -> Table:
    columns = (Column("of", "Document", 1.2, size="strong"), Column("digest", "Content hash (SHA-256)", 6))
    rows = tuple(Row((name, digest)) for name, digest in proof.digests if digest)
    return Table("digests", "What this was made from", columns, rows, ("The hash of the patch is in the stamp.",))


def _notes(proof: Proof, options: Options) -> Iterator[str]:
    for text in proof.assumptions:
        yield options.say("Assumed: {what}", what=text)
