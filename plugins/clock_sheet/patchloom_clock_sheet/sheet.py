"""One act's clock as tables: source of each device, what it does without, where to look, and where rates are crossed.

Comes in: a `View`.  Goes out: a `Page`, or None where nothing in the patch has a clock.
"""

from __future__ import annotations

from collections.abc import Iterator

from patchloom.address import parse
from patchloom.model.patch import ClockDomain
from patchloom.pages import Cell, Column, Page, Row, Table, View, cautions
from patchloom_clock_sheet.tree import domain_words, hertz

__all__ = ["sheet_page"]

_COLUMNS = (
    Column("device", "Device", 2.6, size="strong"),
    Column("section", "Section", 1),
    Column("source", "Clock source", 1.8, size="strong"),
    Column("from", "Comes from", 1.6),
    Column("link", "Link", 1, "address"),
    Column("hops", "Hops", 0.6, "number"),
    Column("loss", "Without clock", 1.6),
    Column("look", "Look at", 2.4),
    Column("locked", "Locked \u2713", 0.6, "tick"),
)
_LOSS = {"hold": "holds on", "mute": "mutes", "next": "takes the next source", "pass": "passes on", "silent": "falls silent"}
_MAY_GO = {"section", "look", "loss"}


def sheet_page(view: View) -> Page | None:
    """Return the clock sheet of one act."""
    if not view.setting.clock:
        return None
    tables = [_domain(view, domain) for domain in view.setting.clock]
    bridges = tuple(_bridges(view))
    if bridges:
        tables.append(
            Table(
                "bridges",
                "Where rates are crossed",
                (
                    Column("device", "Device", 2.6, size="strong"),
                    Column("from", "From domain", 2.4),
                    Column("to", "Into domain", 2.4),
                    Column("delay", "Delay ms", 1, "number"),
                ),
                bridges,
            )
        )
    outside = [key for key in view.rig.devices if view.type_of(key).digital and key not in _clocked(view)]
    return Page(
        "table",
        "Clock sheet",
        subject="clock",
        subject_name=view.say("leader and followers"),
        period=view.period,
        period_name=view.period_name,
        about="One leader for each domain; everything else follows it.",
        tables=tuple(tables),
        notes=(
            "Set the leader first, then each follower's source; read \u201clocked\u201d on every device before touching audio.",
            *([view.say("No clock known for: {devices}.", devices=", ".join(outside))] if outside else []),
        ),
        cautions=cautions(["hearing"]),
        touches=(*view.rig.devices, *(link.id for link in view.rig.links)),
    )


def _clocked(view: View) -> set[str]:
    return {key for domain in view.setting.clock for key in (domain.leader, *(row.device for row in domain.followers))}


def _domain(view: View, domain: ClockDomain) -> Table:
    rows = [
        Row(
            (
                view.device_name(domain.leader),
                "",
                _leads(view, domain),
                _outside(view, domain),
                "",
                "0",
                _loss(view, domain.leader),
                _look(view, domain.leader, ""),
                Cell("", ("tick",)),
            )
        )
    ]
    for row in domain.followers:
        several = len(view.rig.sections(row.device)) > 1
        source = view.say("port {port}", port=row.port)
        rows.append(
            Row(
                (
                    view.device_name(row.device),
                    row.section if several else "",
                    source,
                    row.from_,
                    row.link,
                    str(row.depth),
                    _loss(view, row.device),
                    _look(view, row.device, row.port),
                    Cell("", ("tick",)),
                )
            )
        )
    kept = [
        place for place, column in enumerate(_COLUMNS) if column.id not in _MAY_GO or any(row.cells[place].text for row in rows)
    ]
    made = tuple(Row(tuple(row.cells[place] for place in kept)) for row in rows)
    return Table(f"domain-{domain.id}", domain_words(view, domain), tuple(_COLUMNS[place] for place in kept), made)


def _leads(view: View, domain: ClockDomain) -> str:
    return view.say("LEADS, own clock") if not _outside(view, domain) else view.say("LEADS, follows outside")


def _outside(view: View, domain: ClockDomain) -> str:
    row = view.rig.domains.get(domain.id)
    return row.locked_to if row is not None else ""


def _loss(view: View, device: str) -> str:
    """Return what a device does when its clock is lost, empty where its type does not say."""
    word = view.type_of(device).after_loss.get("clock", "") if device in view.rig.devices else ""
    return view.say(_LOSS.get(word, word)) if word else ""


def _look(view: View, device: str, port: str) -> str:
    """Return what to look at there: what the type says of the port, else of its clock."""
    known = view.type_of(device).look_at if device in view.rig.devices else {}
    return view.say(str(known.get(port) or known.get("clock") or ""))


def _bridges(view: View) -> Iterator[Row]:
    """Yield where a device crosses from one domain into another, once for each pair."""
    seen = set()
    for device in view.rig.devices:
        kind = view.type_of(device)
        for row in kind.select:
            if not row.converts:
                continue
            into = _section(view, device, row.into)
            for text in (*row.from_, *([row.wired] if row.wired else [])):
                ends = (view.rig.domain_of(device, _section(view, device, text)), view.rig.domain_of(device, into))
                key = (device, ends[0].id, ends[1].id)
                if ends[0].id == ends[1].id or key in seen:
                    continue
                seen.add(key)
                words = [f"{end.id}, {hertz(view, end.rate)}" for end in ends]
                delay = "" if row.latency_ms is None else f"{row.latency_ms:g}"
                yield Row((view.device_name(device), *words, delay))


def _section(view: View, device: str, text: str) -> str:
    """Return the clock section a bank or port of a select row belongs to."""
    name = (parse(f"{device}.{text}").bank or "").partition(".")[0]
    kind = view.type_of(device)
    part = kind.ports.get(name) or kind.banks.get(name)
    return part.clock if part is not None else ""
