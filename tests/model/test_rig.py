"""The rig's own few answers."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import attrs
import pytest

from patchloom.model import patch, rig, show
from patchloom.model.base import build
from patchloom.model.rig import Device, Domain, Format, Link, Port, Rig


def a_rig(**more: Any) -> Rig:
    """Return a rig of one box and one desk."""
    data = {
        "domains": {"main": {"rate": 48000}, "truck": {"rate": "48000000/1001"}},
        "formats": {"eight": {"channels": {"48000": 8}, "pass": ["audio", "clock"]}},
        "types": {"box": {"ports": {"a": {"speaks": ["eight"]}}}, "converter": {"clocks": ["one", "two"]}},
        "devices": {
            "BOX": {"type": "box"},
            "DESK": {"type": "box", "domain": "truck"},
            "SRC": {"type": "converter", "clocks": {"one": "main", "two": "truck"}},
        },
        "links": [{"id": "K", "join": ["BOX.a", "DESK.a"], "format": "eight"}],
    }
    built: Rig = build(Rig, {**data, **more})
    return built


@pytest.mark.parametrize(
    ("channels", "one_way", "rate", "each"),
    [
        ({"48000": 64, "96000": 32}, False, 96000, (32, 32)),
        ({"48000": [8, 4]}, False, 48000, (8, 4)),
        ({"48000": 8}, True, 48000, (8, 0)),
        ({"48000": [8, 4]}, True, 48000, (8, 0)),
        ({"48000": 8}, False, 96000, None),
    ],
)
def test_channels_each_way(channels: Any, one_way: bool, rate: int, each: Any) -> None:
    """A format says how many channels run each way at a rate; None where the rate is not supported."""
    assert build(Format, {"channels": channels, "one_way": one_way}).each_way(Fraction(rate)) == each


ALL = Format(pass_=("audio", "clock", "control"))


@pytest.mark.parametrize(
    ("port", "way", "what", "spoken", "passes"),
    [
        ({}, "in", "audio", Format(), True),
        ({}, "in", "clock", Format(), False),
        ({}, "out", "clock", ALL, True),
        ({"ways": "in"}, "out", "audio", ALL, False),
        ({"ways": "in"}, "in", "audio", ALL, True),
        ({"pass": ["clock"]}, "in", "audio", ALL, False),
        ({"pass": ["clock"]}, "in", "clock", ALL, True),
        ({"pass": ["power"]}, "in", "power", ALL, False),
        ({"pass": {"in": ["audio"], "out": ["audio", "control"]}}, "in", "control", ALL, False),
        ({"pass": {"in": ["audio"], "out": ["audio", "control"]}}, "out", "control", ALL, True),
        ({"pass": {"in": ["audio"]}}, "out", "audio", ALL, False),
    ],
)
def test_what_passes_a_port(port: Any, way: str, what: str, spoken: Format, passes: bool) -> None:
    """A port passes what it allows that way and the format may carry; audio needs no naming by the format."""
    assert build(Port, port).passes(way, what, spoken) is passes


def test_types_domains_and_sections() -> None:
    """A device has a type, at least one clock section, and a domain for each: its own, the one named main, or the only one."""
    row = a_rig()
    assert row.type_of("BOX").id == "box"
    assert row.sections("BOX") == ("main",)
    assert row.sections("SRC") == ("one", "two")
    assert row.domain_of("BOX").id == "main"
    assert row.domain_of("DESK").id == "truck"
    assert row.domain_of("SRC").id == "main"
    assert row.domain_of("SRC", "two").hertz == Fraction(48_000_000, 1001)
    only = a_rig(domains={"stage": {"rate": 48000}})
    assert only.domain_of("BOX").id == "stage"


def test_the_link_at_a_port() -> None:
    """A port has one link or none."""
    row = a_rig()
    assert row.link_at("BOX", "a") == Link(id="K", join=("BOX.a", "DESK.a"), format="eight")
    assert row.link_at("BOX", "b") is None


def test_a_rig_in_python_is_the_rig_of_the_document() -> None:
    """Objects and plain data build equal rigs, and a rig can be a key."""
    built = a_rig()
    again = Rig(
        domains={"truck": Domain(rate="48000000/1001"), "main": Domain(rate=48000)},  # type: ignore[arg-type]
        formats=built.formats,
        types=built.types,
        devices=built.devices,
        links=built.links,
    )
    assert built == again
    assert hash(built) == hash(again)
    assert Device(id="X", type="box") != Device(id="Y", type="box")


@pytest.mark.parametrize("module", [rig, show, patch])
def test_every_field_says_what_it_is(module: Any) -> None:
    """Every field of every model class has a description, and public names are sorted."""
    assert list(module.__all__) == sorted(module.__all__)
    for name in module.__all__:
        kind = getattr(module, name)
        bare = [field.name for field in attrs.fields(kind) if not field.metadata.get("doc")]
        assert not bare, f"{name}: {bare}"
