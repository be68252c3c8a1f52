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
from math import ceil
from typing import Any, NamedTuple

__all__ = ["Case", "make"]

_STEPS = ["trim", "filter", "processing", "fader"]


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


class _Maker:
    """What one rig is made of while it is drawn."""

    def __init__(self, draw: random.Random, big: bool) -> None:
        self.draw = draw
        self.big = big
        self.features: set[str] = set()
        self.block = draw.choice([2, 2, 4])
        self.digital = draw.random() < 0.6
        self.types: dict[str, dict[str, Any]] = {}
        self.formats: dict[str, dict[str, Any]] = {}
        self.links: list[dict[str, Any]] = []
        self.fixed: list[dict[str, Any]] = []
        self.groups: list[dict[str, Any]] = []

    def chance(self, share: float, feature: str = "") -> bool:
        """Return True in this share of cases, and note the feature then."""
        yes = self.draw.random() < share
        if yes and feature:
            self.features.add(feature)
        return yes

    def around(self, number: int) -> int:
        """Return a size near what is needed: one short, just enough, some to spare."""
        return max(1, number + self.draw.choice([-1, 0, 0, 1, 1, 2, 3]))

    # the whole

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

    # what is wanted

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

    def need(self, desk: str) -> int:
        """Return how many legs of sources a desk wants."""
        return sum(len(self.legs[name]) for name in self.wants[desk])

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

    # what there is

    def _sockets(self) -> None:
        """Draw how many sockets each box has."""
        legs = sum(len(self.legs[row["id"]]) for row in self.sources)
        self.sockets: dict[str, int] = {}
        for box in self.boxes:
            size = self.around(ceil(legs / len(self.boxes)))
            if self.draw.random() < 0.5:
                size = ceil(size / self.block) * self.block
            self.sockets[box] = size

    def _format(self, there: int, back: int) -> str:
        name = f"c{there}" if there == back else f"c{there}x{back}"
        channels = there if there == back else [there, back]
        self.formats[name] = {"channels": {"48000": channels}, "pass": ["audio", "clock", "control"]}
        return name

    def _join(self, one: str, other: str, there: int, back: int) -> tuple[str, str]:
        """Add a link and a port at each end; return the ports' names."""
        number = len(self.links) + 1
        name = self._format(there, back)
        self.links.append({"id": f"K{number}", "join": [f"{one}.k{number}", f"{other}.k{number}"], "format": name})
        for device in (one, other):
            port: dict[str, Any] = {"speaks": [name]}
            if self.chance(0.08, "port larger than its link"):
                port["slots"] = max(there, back) + self.draw.choice([1, 2])
            self._ports(device)[f"k{number}"] = port
        return f"k{number}", f"k{number}"

    def _type(self, device: str) -> dict[str, Any]:
        return self.types.setdefault(f"t_{device}", {"banks": {}, "ports": {}, "select": [], "digital": self.digital})

    def _ports(self, device: str) -> dict[str, Any]:
        ports: dict[str, Any] = self._type(device)["ports"]
        return ports

    def _box(self, box: str) -> None:
        draw, kind = self.draw, self._type(box)
        kind["role"] = "box"
        sockets = self.sockets[box]
        kind["banks"]["in"] = {"slots": sockets, "socket": "in"}
        if any("phantom" in row for row in self.sources) and draw.random() < 0.85:
            kind["banks"]["in"]["preamp"] = "pre"
            kind["preamps"] = {"pre": {"doors": ["local", "port"]}}
            if draw.random() < 0.9:
                kind["preamps"]["pre"]["phantom_by"] = draw.choice([1, 2, 2, 4])
        if self.feeds and draw.random() < 0.8:
            kind["banks"]["line"] = {"slots": draw.randint(1, 3), "socket": "out"}
        behind = self.cascade.get(box)
        for target in [behind] if behind else self.joined[box]:
            self._box_link(box, target, kind, sockets)

    def _box_link(self, box: str, target: str, kind: dict[str, Any], sockets: int) -> None:
        draw = self.draw
        behind = sum(self.sockets[other] for other, first in self.cascade.items() if first == box)
        there = sockets + behind if draw.random() < 0.65 else max(1, sockets + behind + draw.choice([-2, -1, 1, 2]))
        back = draw.choice([there, there, 0 if not self.digital else there, 2])
        here, away = self._join(box, target, there, back)
        out = f"{here}.out"
        way = draw.random()
        if way < 0.55:
            kind["select"].append({"into": out, "wired": "in"})
        elif way < 0.7:
            self.features.add("box by slot")
            kind["select"].append({"into": out, "from": ["in"]})
        elif way < 0.9:
            self.features.add("box by block")
            kind["select"].append({"into": out, "from": ["in"], "by": self.block})
        else:
            self.features.add("mirror at an offset")
            kind["select"].append({"into": f"{out}[2-{there}]" if there > 1 else out, "wired": "in"})
        if "line" in kind["banks"] and back and not any(row["into"] == "line" and "wired" in row for row in kind["select"]):
            row: dict[str, Any] = {"into": "line"}
            if draw.random() < 0.5 and not any(row["into"] == "line" for row in kind["select"]):
                row["wired"] = f"{here}.in"
            else:
                row |= {"from": [f"{here}.in"], "by": draw.choice([1, 1, self.block])}
            kind["select"].append(row)
        if target in self.boxes:
            self._hand_on(target, away)

    def _hand_on(self, box: str, port: str) -> None:
        """Wire a box behind another into what its links have left, and their returns through."""
        kind = self._type(box)
        sockets = kind["banks"]["in"]["slots"]
        for row in list(kind["select"]):
            name = row["into"].split(".")[0]
            if row.get("wired") != "in" or "[" in row["into"]:
                continue
            size = self._carried(box, name)
            if size > sockets:
                kind["select"].append({"into": f"{name}.out[{sockets + 1}-{size}]", "wired": f"{port}.in"})
                row["into"] = f"{name}.out[1-{sockets}]"
            kind["select"].append({"into": f"{port}.out", "from": [f"{name}.in"], "by": self.draw.choice([1, self.block])})

    def _carried(self, device: str, port: str) -> int:
        link = next(row for row in self.links if f"{device}.{port}" in row["join"])
        channels = self.formats[link["format"]]["channels"]["48000"]
        if isinstance(channels, int):
            return channels
        return int(channels[0 if link["join"][0] == f"{device}.{port}" else 1])

    def _router(self) -> None:
        for desk in self.joined.get("R", []):
            size = self.around(self.need(desk))
            self._join("R", desk, size, max(1, size - 1))
        kind = self._type("R")
        kind["role"] = "network"
        ports = list(kind["ports"])
        for port in ports:
            rest = [f"{other}.in" for other in ports if other != port]
            if rest:
                by = self.draw.choice([1, 1, self.block])
                kind["select"].append({"into": f"{port}.out", "from": rest, "by": by})
                if by > 1:
                    self.features.add("router by block")

    def _desk(self, desk: str) -> None:
        kind = self._type(desk)
        kind["role"] = "desk"
        for one, other in self.between:
            if one == desk:
                size = self.around(max(1, min(self.need(other), 4)))
                self._join(one, other, size, self.draw.choice([size, size, 1, 2]))
        if self.router and not kind["ports"]:
            size = self.around(self.need(desk))
            self._join("R", desk, size, size)
        self.finish = getattr(self, "finish", [])
        self.finish.append(desk)

    # lists, once every port is there

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

    def _channels(self, desk: str, length: int) -> int:
        """Give a desk its channels, in one of several ways, and what it passes on; return how many channels."""
        draw, kind = self.draw, self._type(desk)
        ports = list(kind["ports"])
        froms = [f"{port}.in" for port in ports]
        slots = max(1, length + draw.choice([0, 1, 1, 2, 3]))
        bank: dict[str, Any] = {"slots": slots, "does": draw.choice(["process", "process", "carry"])}
        kind["banks"]["ch"] = bank
        if bank["does"] == "process":
            taps: dict[str, list[str]] = {"in": []} if draw.random() < 0.5 else {"after": _STEPS[: draw.randint(1, 3)]}
            bank["taps"] = taps
        way = draw.choice([*["slots"] * 4, *["intake"] * 4, "runs", "runs", "wired", "half", "half", "pairs"])
        rows: list[dict[str, Any]] = kind["select"]
        before = len(rows)
        self.features.add(f"desk {way}")
        if way == "slots":
            rows.append({"into": "ch", "from": froms})
        elif way == "runs":
            bank["slots"] = slots = ceil(slots / self.block) * self.block
            rows.append({"into": "ch", "from": froms, "by": self.block})
        elif way == "intake":
            runs = max(1, ceil(length / self.block) + draw.choice([-1, 0, 0, 1, 1]))
            kind["banks"]["intake"] = {"slots": runs * self.block}
            rows.append({"into": "intake", "from": froms, "by": self.block})
            rows.append({"into": "ch", "from": ["intake"]})
        elif way == "wired":
            rows.append({"into": "ch", "wired": draw.choice(froms)})
        elif way == "half":
            cut = max(1, slots // 2)
            rows.append({"into": f"ch[1-{cut}]", "from": froms})
            if cut < slots:
                rows.append({"into": f"ch[{cut + 1}-{slots}]", "from": froms, "by": draw.choice([1, self.block])})
        else:
            bank["pairs"] = draw.random() < 0.6
            rows.append({"into": "ch", "from": froms, "by": 2 if draw.random() < 0.5 else 1})
        if way != "wired" and len(froms) > 1 and self.chance(0.2, "restricted"):
            row = draw.choice(rows[before:])
            if "from" in row and len(row["from"]) > 1:
                row["from"] = row["from"][:-1]
        if way == "slots" and self.chance(0.12, "pool"):
            kind["limits"] = [{"of": ["ch"], "most": max(1, length + draw.choice([-1, 0, 1]))}]
        if way == "intake" and self.chance(0.15, "pool of blocks"):
            count = max(1, ceil(length / self.block) + draw.choice([-1, 0]))
            kind["limits"] = [{"of": ["intake"], "most": count, "count": "blocks", "by": self.block}]
        if way in ("slots", "intake") and self.chance(0.1, "alternate"):
            rows.append({"into": "ch", "from": froms, "alternate": True})
            own = [row for row in self.wants[desk] if row.startswith("s")]
            self.alternate = (desk, draw.choice(own)) if own else None
        self._mixes(desk, kind)
        self._passes(desk, kind, ports)
        return slots

    def _mixes(self, desk: str, kind: dict[str, Any]) -> None:
        mine = [row for row in self.feeds if row["mixed_at"] == f"pos{desk}"]
        if not mine:
            return
        legs = sum(len(self.legs[row["id"]]) for row in mine)
        bank: dict[str, Any] = {"slots": max(1, legs + self.draw.choice([-1, 0, 0, 0, 0, 1, 1])), "does": "sum"}
        if self.chance(0.3, "taps of mixes"):
            bank["taps"] = {"early": ["trim"], "late": list(_STEPS)}
        kind["banks"]["mix"] = bank
        if self.draw.random() < 0.5:
            kind["banks"]["line"] = {"slots": self.draw.randint(1, 2), "socket": "out"}
            row = {"into": "line", "wired": "mix"} if self.draw.random() < 0.3 else {"into": "line", "from": ["mix"]}
            kind["select"].append(row)

    def _passes(self, desk: str, kind: dict[str, Any], ports: list[str]) -> None:
        """Let what comes in and what is mixed go out again, each port in its own way."""
        draw = self.draw
        for port in ports:
            rest = [f"{other}.in" for other in ports if other != port]
            rows = kind["select"]
            way = draw.choice(["slot", "slot", "block", "none", "wired", "channels"])
            if way in ("slot", "block") and rest:
                self.features.add(f"passes on by {way}")
                rows.append({"into": f"{port}.out", "from": rest, "by": 1 if way == "slot" else self.block})
            elif way == "wired" and rest:
                self.features.add("passes on wired")
                rows.append({"into": f"{port}.out", "wired": draw.choice(rest)})
                continue
            elif way == "channels" and kind["banks"]["ch"]["does"] == "process":
                self.features.add("channels go out")
                rows.append({"into": f"{port}.out", "from": ["ch"]})
            if "mix" in kind["banks"]:
                rows.append({"into": f"{port}.out", "from": ["mix"], "by": draw.choice([1, 1, 1, self.block])})

    # where things may plug and go

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

    def _fix(self) -> None:
        """Fix one choice of one desk, a whole run of it."""
        draw = self.draw
        desk = draw.choice(self.desks)
        rows = [
            r
            for r in self.types[f"t_{desk}"]["select"]
            if "from" in r and r["into"] in ("ch", "intake") and ".in" in r["from"][0]
        ]
        rows = [row for row in rows if not row.get("alternate")]
        if not rows:
            return
        row = draw.choice(rows)
        by = row.get("by", 1)
        port = draw.choice(row["from"])
        name = port.split(".")[0]
        link = next(k for k in self.links if f"{desk}.{name}" in k["join"])
        there = 1 - link["join"].index(f"{desk}.{name}")
        channels = self.formats[link["format"]]["channels"]["48000"]
        size = channels if isinstance(channels, int) else channels[there]
        have = self.types[f"t_{desk}"]["banks"][row["into"]]["slots"]
        if size < by or have < by:
            return
        into, source = draw.randrange(have // by) * by, draw.randrange(size // by) * by
        run = lambda first: f"[{first + 1}-{first + by}]" if by > 1 else f"[{first + 1}]"  # noqa: E731
        self.fixed.append({"into": f"{desk}.{row['into']}{run(into)}", "from": f"{desk}.{port}{run(source)}"})
