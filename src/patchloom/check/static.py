"""Whether the rig itself feeds a slot twice: two wired rows, two links, or a wired row and a link.

Comes in: a `Scene` with its choices, plugs and mixes entered.  Goes out: items.  Next: `wants`.
Only banks that something of this patch uses are looked at.
"""

from __future__ import annotations

from patchloom.address import Slot
from patchloom.check.ground import Way
from patchloom.check.scene import Scene

__all__ = ["check_static"]


def check_static(scene: Scene) -> None:
    """Note slots that are always fed by two things at once, one item for each pair of runs."""
    for device in scene.rig.devices:
        kind = scene.rig.type_of(device)
        for bank in (*kind.banks, *(f"{port}.{side}" for port in kind.ports for side in ("in", "out"))):
            if len(scene.ground.joined.get((device, bank.split(".")[0]), ())) or _wired(scene, device, bank):
                _check_bank(scene, device, bank)


def _wired(scene: Scene, device: str, bank: str) -> bool:
    return sum(row.wired for row in scene.ground.rows_into(device, bank)) > 1


def _check_bank(scene: Scene, device: str, bank: str) -> None:
    before: dict[bool, Way] = {}
    for way in scene.ground.ways(device, bank):
        turned = way.row is not None and way.row.select.alternate
        last = before.get(turned)
        if last is not None and way.first <= last.last:
            scene.feeders.collide(Slot(device, bank, way.first), turned, _words(last), _words(way))
        if last is None or way.last > last.last:
            before[turned] = way


def _words(way: Way) -> str:
    if way.link is not None:
        return f"link {way.link.id}"
    return f"the wired row from {way.bank}[{way.start}-{way.start + way.last - way.first}]"
