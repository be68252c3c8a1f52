"""Random small rigs, possible and impossible ones: documents of a rig and a show from a seed.

Comes in: a seed and a size, `tiny` or `small`.  Goes out: a `Case`, two plain documents and the features in them.
Next: `answers.py` has them answered.

The demand is drawn first, then a rig whose sizes lie around it: one too few, just enough, one to spare.  Nothing here
knows whether a rig can carry its show; it is code of its own and shares nothing with the rigs that are made to be possible.
Clock, owners and gains are kept out: every device reaches every other both ways or needs no clock, preamps may be left
to local hands.
"""

from __future__ import annotations

import random
from typing import Any, NamedTuple

from oracle_parts import Parts

__all__ = ["Case", "make"]


class Case(NamedTuple):
    """One rig and one show, as documents."""

    name: str
    rig: dict[str, Any]
    show: dict[str, Any]
    features: list[str]


def make(seed: int, size: str = "tiny") -> Case:
    """Return the rig and show of a seed; the same ones every time."""
    maker = _Maker(random.Random(f"{size} {seed}"), size == "small")
    rig, show = maker.documents()
    return Case(f"{size}-{seed}", rig, show, sorted(maker.features))


class _Maker(Parts):
    """The demand of one show while it is drawn, and what the rig is made of for it."""

    def documents(self) -> tuple[dict[str, Any], dict[str, Any]]:
        draw = self.draw
        self.desks = [f"D{n}" for n in range(1, draw.choice([1, 2, 2, 2, 3]) + 1)]
        self.boxes = [f"BOX{n}" for n in range(1, draw.choice([1, 1, 2, 2, 3]) + 1)]
        self.features.add(f"{len(self.desks)} desks")
        self.features.add(f"{len(self.boxes)} boxes")
        self._sources()
        self._ways()
        self._wants()
        self._feeds()
        self._sockets()
        for box in self.boxes:
            self._box(box)
        for desk in self.desks:
            self._desk(desk)
        if self.router:
            self._router()
        self._plugs()
        self._lists()
        self._destinations()
        self._relations()
        rig = {
            "format": "rig/1",
            "rate": 48000,
            "formats": self.formats,
            "types": self.types,
            "devices": {name: f"t_{name}" for name in [*self.boxes, *self.desks, *(["R"] if self.router else [])]},
            "links": self.links,
        }
        show = {
            "format": "show/1",
            "positions": {f"pos{desk}": {"desk": desk} for desk in self.desks},
            "sources": self.sources,
            "plug": self.plug,
            "lists": self.lists,
        }
        for key, rows in (("feeds", self.feeds), ("fixed", self.fixed), ("groups", self.groups)):
            if rows:
                show[key] = rows
        return rig, show

    def _sources(self) -> None:
        draw = self.draw
        most = 14 if self.big else 6
        left = draw.randint(6, most) if self.big else draw.randint(2, most)
        phantom = self.chance(0.35, "phantom")
        self.sources: list[dict[str, Any]] = []
        self.legs: dict[str, list[str]] = {}
        while left > 0:
            name = f"s{len(self.sources) + 1}"
            row: dict[str, Any] = {"id": name}
            stereo = left > 1 and self.chance(0.3, "stereo")
            if stereo:
                row["legs"] = ["L", "R"]
            if phantom:
                row["phantom"] = draw.choice(["need", "need", "never", "no", "unknown"])
                if row["phantom"] == "need" and self.chance(0.1, "own power"):
                    row["powered_by"] = "battery"
            self.sources.append(row)
            self.legs[name] = [f"{name}.L", f"{name}.R"] if stereo else [name]
            left -= 2 if stereo else 1

    def _ways(self) -> None:
        """Draw which box is joined to which desk, which desks to each other, and whether a router stands between."""
        draw = self.draw
        self.router = len(self.boxes) + len(self.desks) > 2 and self.chance(0.15, "router")
        self.joined: dict[str, list[str]] = {box: [] for box in self.boxes}
        self.between: list[tuple[str, str]] = []
        self.cascade: dict[str, str] = {}
        for number, box in enumerate(self.boxes):
            if number and not self.router and self.chance(0.2, "cascade"):
                self.cascade[box] = self.boxes[number - 1]
                continue
            near = [desk for desk in self.desks if draw.random() < 0.75] or [draw.choice(self.desks)]
            self.joined[box] = ["R"] if self.router and draw.random() < 0.8 else near
        if self.router:
            for desk in self.desks:
                if not any(desk in row for row in self.joined.values()) or draw.random() < 0.6:
                    self.joined.setdefault("R", []).append(desk)
            self.joined.setdefault("R", [])
        for one, other in zip(self.desks, self.desks[1:], strict=False):
            if self.chance(0.5, "desk to desk"):
                self.between.append((one, other))
        if len(self.desks) == 3 and self.between and self.chance(0.15, "ring"):
            self.between.append((self.desks[2], self.desks[0]))
        self._connect()

    def _connect(self) -> None:
        """Join what nothing is joined to, so that a clock can come everywhere."""
        group = {desk: desk for desk in [*self.desks, *self.boxes, "R"]}

        def top(name: str) -> str:
            while group[name] != name:
                name = group[name]
            return name

        pairs = [(b, d) for b, row in self.joined.items() for d in row] + self.between + list(self.cascade.items())
        for one, other in pairs:
            group[top(one)] = top(other)
        first = self.desks[0]
        for desk in self.desks[1:]:
            if top(desk) != top(first):
                self.between.append((first, desk))
                group[top(desk)] = top(first)
        for box in self.boxes:
            if top(box) != top(first):
                self.joined[box].append(first)
                group[top(box)] = top(first)

    def _wants(self) -> None:
        draw = self.draw
        self.wants: dict[str, list[str]] = {}
        for desk in self.desks:
            some = [row["id"] for row in self.sources if draw.random() < (0.75 if len(self.desks) < 3 else 0.6)]
            draw.shuffle(some)
            self.wants[desk] = some
        missing = [row["id"] for row in self.sources if not any(row["id"] in some for some in self.wants.values())]
        for name in missing:
            self.wants[draw.choice(self.desks)].append(name)

    def _feeds(self) -> None:
        draw = self.draw
        self.feeds: list[dict[str, Any]] = []
        for number in range(draw.choice([0, 0, 0, 1, 1, 2])):
            desk = draw.choice(self.desks)
            row: dict[str, Any] = {"id": f"f{number + 1}", "mixed_at": f"pos{desk}"}
            if self.chance(0.35, "stereo feed"):
                row["legs"] = ["L", "R"]
            self.legs[row["id"]] = [f"f{number + 1}.L", f"f{number + 1}.R"] if "legs" in row else [row["id"]]
            self.feeds.append(row)
            self.features.add("feed")
            pairs = [*self.between, *((b, a) for a, b in self.between)]
            others = [other for other in self.desks if other != desk and ((desk, other) in pairs or draw.random() < 0.2)]
            if others and self.chance(0.3, "feed in a list"):
                self.wants[self.draw.choice(others)].append(row["id"])

    def _lists(self) -> None:
        self.lists: list[dict[str, Any]] = []
        for desk in self.desks:
            entries = [self._entry(name) for name in self.wants[desk]]
            if entries and self.chance(0.12, "gap"):
                entries.insert(self.draw.randrange(len(entries)), None)
            length = sum(self._width(entry) for entry in entries)
            slots = self._channels(desk, length)
            item: dict[str, Any] = {"position": f"pos{desk}", "at": f"{desk}.ch", "wants": entries}
            if self.chance(0.1, "no gaps"):
                item["pairs"] = "any"
            elif self.chance(0.1, "odd asked"):
                item["pairs"] = "odd"
            self._channel(entries, slots, length)
            self._within(entries, desk, slots)
            self.lists.append(item)

    def _entry(self, name: str) -> Any:
        entry: dict[str, Any] = {"signal": name}
        if len(self.legs[name]) > 1:
            if self.chance(0.12, "fold"):
                entry["fold"] = self.draw.choice(["left", "right"])
            elif self.chance(0.1, "one leg"):
                entry["leg"] = self.draw.choice(["L", "R"])
        if self.chance(0.16, "wish"):
            entry["priority"] = self.draw.choice([1, 2, 2, 3])
        if self.chance(0.08, "tap allowed"):
            entry["tap"] = self.draw.choice(["trim", "fader"])
        return entry

    def _width(self, entry: Any) -> int:
        return 1 if entry is None or "fold" in entry or "leg" in entry else len(self.legs[entry["signal"]])

    def _channel(self, entries: list[Any], slots: int, length: int) -> None:
        free = [entry for entry in entries if entry is not None]
        if free and slots > length and self.chance(0.15, "fixed channel"):
            entry = self.draw.choice(free)
            entry["channel"] = slots - self._width(entry) + 1

    def _within(self, entries: list[Any], desk: str, slots: int) -> None:
        free = [entry for entry in entries if entry is not None and "channel" not in entry]
        if free and slots > 2 and self.chance(0.07, "within"):
            first = self.draw.randint(1, slots - 1)
            self.draw.choice(free)["within"] = f"{desk}.ch[{first}-{min(slots, first + self.draw.randint(1, 3))}]"

    def _plugs(self) -> None:
        draw = self.draw
        self.plug: list[dict[str, Any]] = []
        used: set[str] = set()
        for row in self.sources:
            name, legs = row["id"], self.legs[row["id"]]
            way = draw.random()
            box = self._near(name)
            size = self.types[f"t_{box}"]["banks"]["in"]["slots"]
            if way < 0.15 and size >= len(legs):
                self.features.add("fixed plug")
                first = draw.randint(1, size - len(legs) + 1)
                for step, leg in enumerate(legs):
                    place = f"{box}.in[{first + step}]"
                    if place not in used:
                        used.add(place)
                        self.plug.append({"source": leg, "into": [place]})
            elif way < 0.45:
                self.plug.append({"source": name, "into": [box if draw.random() < 0.5 else f"{box}.in"]})
            elif way < 0.55 and size > 2:
                self.features.add("range of sockets")
                first = draw.randint(1, size - 1)
                self.plug.append({"source": name, "into": [f"{box}.in[{first}-{size}]"]})
            elif way < 0.9:
                self.plug.append({"source": name, "into": list(self.boxes)})
            else:
                self.features.add("no plug row")

    def _near(self, name: str) -> str:
        """Return a box, mostly one that is joined to every desk that wants a source."""
        desks = [desk for desk in self.desks if name in self.wants[desk]]
        good = [box for box in self.boxes if all(desk in self.joined[box] or "R" in self.joined[box] for desk in desks)]
        return self.draw.choice(good if good and self.draw.random() < 0.85 else self.boxes)

    def _destinations(self) -> None:
        draw = self.draw
        for row in self.feeds:
            width = len(self.legs[row["id"]])
            desk = row["mixed_at"][3:]
            places = [device for device in [*self.boxes, *self.desks] if "line" in self.types[f"t_{device}"]["banks"]]
            close = [device for device in places if device == desk or desk in self.joined.get(device, ())]
            places = close if close and draw.random() < 0.85 else places
            wanted = any(row["id"] in some for some in self.wants.values())
            if not places and wanted:
                continue
            device = draw.choice(places or self.boxes)
            line = self.types[f"t_{device}"]["banks"].setdefault("line", {"slots": width, "socket": "out"})
            if not any(other["into"] == "line" for other in self.types[f"t_{device}"]["select"]):
                port = next(iter(self.types[f"t_{device}"]["ports"]))
                self.types[f"t_{device}"]["select"].append({"into": "line", "from": [f"{port}.in"]})
            size = line["slots"]
            if draw.random() < 0.5 or size < width:
                at = [device if draw.random() < 0.3 else f"{device}.line"]
            else:
                first = draw.randint(1, size - width + 1)
                at = [f"{device}.line[{first}-{first + width - 1}]" if width > 1 else f"{device}.line[{first}]"]
            destination: dict[str, Any] = {"at": at}
            if self.chance(0.15, "wish of a feed"):
                destination["priority"] = draw.choice([1, 2])
            row["to"] = [destination]
            if "[" not in at[0] and size > 1 and width == 1 and self.chance(0.15, "two destinations"):
                row["to"].append({"at": [f"{device}.line"]})

    def _relations(self) -> None:
        draw = self.draw
        if len(self.boxes) > 1 and len(self.sources) > 1 and self.chance(0.15, "one box"):
            some = draw.sample([row["id"] for row in self.sources], 2)
            self.groups.append({"relation": "one-box", "of": some})
        for row in self.lists:
            desk = row["at"].split(".")[0]
            if getattr(self, "alternate", None) and self.alternate[0] == desk:
                entries = [entry for entry in row["wants"] if entry is not None and "priority" not in entry]
                if entries:
                    entries[0]["alternate"] = self.alternate[1]
        if self.chance(0.1, "fixed selection"):
            self._fix()
