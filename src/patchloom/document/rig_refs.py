"""What a rig refers to: every device, type, format, domain, bank and port it names must be there.

Comes in: an expanded rig.  Goes out: complaints.  Next: `reader.py`; `type_refs.py` looks inside types,
`link_refs.py` at links.
"""

from __future__ import annotations

from typing import Any

from patchloom.document.complaints import Complaints, Path, near
from patchloom.document.link_refs import check_links
from patchloom.document.places import Places, as_rate, at_rate
from patchloom.document.type_refs import check_type

__all__ = ["check_rig"]


def check_rig(rig: dict[str, Any], complaints: Complaints, formats: Any) -> None:
    """Complain about everything in an expanded rig that points nowhere or cannot be; `formats` is the library's shelf."""
    places = Places(rig)
    known = [*rig.get("formats", {}), *formats]
    for name, row in rig.get("types", {}).items():
        with complaints.shield():
            check_type(name, row, known, complaints)
    _domains(rig, complaints)
    for name, row in rig.get("devices", {}).items():
        with complaints.shield():
            _device(name, row, places, complaints)
    check_links(rig, places, known, complaints)
    _stock(rig, complaints)


def _domains(rig: dict[str, Any], complaints: Complaints) -> None:
    devices = rig.get("devices", {})
    for name, row in rig.get("domains", {}).items():
        with complaints.shield():
            here = ("domains", name)
            if "rate" in row and as_rate(row["rate"]) is None:
                complaints.about(
                    (*here, "rate"),
                    "value",
                    f'"{row["rate"]}" is no sample rate',
                    hint='Write 48000, or a fraction such as "48000000/1001".',
                )
            named: list[tuple[Path, str]] = [((*here, "leader"), row["leader"])] if row.get("leader") else []
            named += [((*here, "fallback", number), device) for number, device in enumerate(row.get("fallback", []))]
            for path, device in named:
                if device not in devices:
                    complaints.about(path, "dangling", f'there is no device "{device}"', value=device, hint=near(device, devices))
            followers = [device for _, device in named]
            if len(set(followers)) < len(followers):
                complaints.about(
                    (*here, "fallback"),
                    "duplicate-id",
                    "a device is named twice to lead one domain",
                    hint="The leader is no fallback of itself.",
                )


def _device(name: str, row: dict[str, Any], places: Places, complaints: Complaints) -> None:
    here = ("devices", name)
    domains = places.rig.get("domains", {})
    kind = places.type_of(name)
    if row.get("domain") and row["domain"] not in domains:
        complaints.about(
            (*here, "domain"), "dangling", f'there is no clock domain "{row["domain"]}"', hint=near(row["domain"], domains)
        )
    sections = (kind or {}).get("clocks") or ["main"]
    silent = [section for section in sections if section not in row.get("clocks", {})]
    if (
        kind is not None
        and kind.get("digital", True)
        and silent
        and not row.get("domain")
        and domains
        and not places.default_domain()
    ):
        complaints.about(
            here,
            "missing",
            f'"{name}" names no clock domain and there are several',
            value=None,
            hint=f'Write "domain": one of {", ".join(domains)}; a domain named main is taken where none is named.',
        )
    for section, domain in row.get("clocks", {}).items():
        if kind is not None and section not in sections:
            complaints.about(
                (*here, "clocks", section),
                "dangling",
                f'the type of "{name}" has no clock section "{section}"',
                hint=near(section, sections) or f"It has {', '.join(sections)}.",
                key=True,
            )
        if domain not in domains:
            complaints.about(
                (*here, "clocks", section), "dangling", f'there is no clock domain "{domain}"', hint=near(domain, domains)
            )
    if kind is not None:
        _rate(name, kind, places, complaints)


def _rate(name: str, kind: dict[str, Any], places: Places, complaints: Complaints) -> None:
    """Complain about a device none of whose sized banks exists at its rate."""
    rate = places.rate(name)
    tables = [row["slots"] for row in kind.get("banks", {}).values() if isinstance(row.get("slots"), dict)]
    if rate is None or not tables or any(at_rate(size, rate) is not None for size in tables):
        return
    there = sorted({key for size in tables for key in size}, key=int)
    complaints.about(
        ("devices", name),
        "rate",
        f'"{name}" does not work at {rate} Hz; its type is given at {", ".join(there)} Hz',
        hint="Choose another rate, or add the sizes at this rate to the type.",
    )


def _stock(rig: dict[str, Any], complaints: Complaints) -> None:
    seen: list[str] = []
    for number, row in enumerate(rig.get("stock", [])):
        if row and row.get("id") in seen:
            complaints.about(("stock", number, "id"), "duplicate-id", f'there is a stock row "{row["id"]}" already')
        seen.append((row or {}).get("id", ""))
