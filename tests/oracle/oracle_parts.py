"""What a random small rig is made of: boxes, desks, routers, and the links between them.

Comes in: a demand (who wants which signals).  Goes out: types, formats and links whose sizes lie around it.
Next: `oracle_rigs.py` draws the demand and puts the documents together.
"""

from __future__ import annotations

import random
from math import ceil
from typing import Any

__all__ = ["Parts"]

_STEPS = ["trim", "filter", "processing", "fader"]


class Parts:
    """The parts of one rig while it is drawn."""

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

    def need(self, desk: str) -> int:
        """Return how many legs of sources a desk wants."""
        return sum(len(self.legs[name]) for name in self.wants[desk])

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
