"""Names of signals, sets of them, and the lists of names a show is written in.

Comes in: the raw sources, feeds, sets of a show.  Goes out: `Signals`, which turns any list of names into
signals and legs: braces, sets inside sets, `not`, `all`, `tag:word`, and `position.list`.
Next: `show_form.py`.

`all` is every source in order, and in the `uses` of a period every feed too.
"""

from __future__ import annotations

from typing import Any, NamedTuple

from patchloom.document.complaints import Complaints, Path
from patchloom.document.names import expand, rows

__all__ = ["Named", "Signals"]


class Named(NamedTuple):
    """A signal or one leg of it, and where it was written."""

    signal: str
    leg: str
    path: Path

    @property
    def text(self) -> str:
        """Return the id, with its leg when one is named."""
        return f"{self.signal}.{self.leg}" if self.leg else self.signal


class Signals:
    """Every name a list of signals can use."""

    def __init__(self, sets: Any, complaints: Complaints) -> None:
        self.complaints = complaints
        self.legs: dict[str, list[str]] = {}
        self.tags: dict[str, list[str]] = {}
        self.feeds: list[str] = []
        self.sources: list[str] = []
        self.listed: dict[str, list[Named]] = {}
        self._sets = sets if isinstance(sets, dict) else {}
        self._made: dict[str, list[Named]] = {}
        self._open: list[str] = []
        self._taken: dict[str, Path] = {}
        for key in self._sets:
            self.take(key, ("sets", key), key=True)

    def take(self, name: str, path: Path, *, key: bool = False) -> bool:
        """Return whether a name is free for a source, feed or set, and take it; complain when it is not."""
        first = self._taken.get(name)
        if name == "all" or first is not None:
            words = (
                '"all" is every source; nothing else may be called so'
                if name == "all"
                else (f'"{name}" is already the id of another {_WHAT.get(str(first[0]), "row") if first else "row"}')
            )
            self.complaints.add(
                path, "duplicate-id", words, value=name, key=key, hint="Sources, feeds and sets share one namespace."
            )
            return False
        self._taken[name] = path
        return True

    def add(self, row: dict[str, Any], kind: str) -> None:
        """Make a source or feed known to every list of names."""
        name = row["id"]
        (self.sources if kind == "sources" else self.feeds).append(name)
        legs = row.get("legs")
        self.legs[name] = [leg for leg in legs if isinstance(leg, str)] if isinstance(legs, list) else []
        tags = row.get("tags", [])
        for tag in [tags] if isinstance(tags, str) else tags if isinstance(tags, list) else []:
            if isinstance(tag, str):
                self.tags.setdefault(tag, []).append(name)

    def names(self, value: Any, path: Path, *, everything: bool = False) -> list[Named]:
        """Return the signals a text or list of texts names, in order, each once."""
        found: dict[tuple[str, str], Named] = {}
        for item, place in rows(value, path):
            for named in self.one(item, place, everything=everything):
                found.setdefault((named.signal, named.leg), named)
        return list(found.values())

    def less(self, found: list[Named], value: Any, path: Path) -> list[Named]:
        """Return the signals without those a `not` takes away; taking one leg leaves the others."""
        return self.without(found, self.taken(value, path)) if value is not None else found

    def taken(self, value: Any, path: Path) -> frozenset[tuple[str, str]]:
        """Return what a `not` takes away, as (signal, leg)."""
        return frozenset((named.signal, named.leg) for named in self.names(value, path))

    def without(self, found: list[Named], gone: frozenset[tuple[str, str]]) -> list[Named]:
        """Return the signals without those already looked up."""
        made: list[Named] = []
        for named in found:
            legs = self.legs.get(named.signal, [])
            if (named.signal, "") in gone or (named.leg and (named.signal, named.leg) in gone):
                continue
            if not named.leg and any((named.signal, leg) in gone for leg in legs):
                made.extend(named._replace(leg=leg) for leg in legs if (named.signal, leg) not in gone)
            else:
                made.append(named)
        return made

    def one(self, item: Any, path: Path, *, everything: bool = False) -> list[Named]:
        """Return the signals one text names; an object {of, not} is a list less another."""
        if isinstance(item, dict):
            return self.less(self.names(item.get("of"), (*path, "of")), item.get("not"), (*path, "not"))
        if not isinstance(item, str):
            return []
        names = expand(item, path, self.complaints)
        strange = [name for name in names if not self._plain(name)] if len(names) > 3 else []
        if len(strange) > 3:
            words = f'there is no source, feed or set "{strange[0]}", nor {len(strange) - 1} more of "{item}"'
            self.complaints.add(path, "dangling", words, value=item, hint=self.complaints.near(strange[0], self.legs))
            names = [name for name in names if self._plain(name)]
        return [named for name in names for named in self._name(name, path, everything)]

    def _plain(self, name: str) -> bool:
        """Return whether a name, or what stands before its first dot, is known."""
        head = name.partition(".")[0]
        return head in self.legs or head in self._sets or head in self.listed or name == "all" or name.startswith("tag:")

    def _name(self, name: str, path: Path, everything: bool) -> list[Named]:
        if name in self.legs:
            return [Named(name, "", path)]
        if name in self._sets:
            return [named._replace(path=path) for named in self._set(name, path)]
        if name == "all":
            return [Named(key, "", path) for key in (*self.sources, *(self.feeds if everything else ()))]
        if name.startswith("tag:"):
            tagged = self.tags.get(name[4:])
            if tagged is None:
                self.complaints.add(
                    path,
                    "dangling",
                    f'nothing has the tag "{name[4:]}"',
                    value=name,
                    hint=self.complaints.near(name[4:], self.tags),
                )
            return [Named(key, "", path) for key in tagged or ()]
        signal, dot, leg = name.partition(".")
        if dot and leg == "list" and signal in self.listed:
            return [named._replace(path=path) for named in self.listed[signal]]
        if dot and signal in self.legs:
            if leg in self.legs[signal]:
                return [Named(signal, leg, path)]
            there = ", ".join(self.legs[signal]) or "one part only"
            self.complaints.add(
                path,
                "dangling",
                f'"{signal}" has no leg "{leg}" ({there})',
                value=name,
                hint=self.complaints.near(leg, self.legs[signal]),
            )
            return []
        if dot and leg == "list":
            self.complaints.add(
                path, "dangling", f'there is no list "{signal}"', value=name, hint=self.complaints.near(signal, self.listed)
            )
            return []
        known = [*self.legs, *self._sets, "all"]
        self.complaints.add(
            path, "dangling", f'there is no source, feed or set "{name}"', value=name, hint=self.complaints.near(name, known)
        )
        return []

    def _set(self, name: str, path: Path) -> list[Named]:
        if name in self._made:
            return self._made[name]
        if name in self._open:
            chain = " > ".join([*self._open[self._open.index(name) :], name])
            self.complaints.add(("sets", name), "loop", f"the set holds itself: {chain}", value=name)
            return []
        self._open.append(name)
        made = self.names(self._sets[name], ("sets", name))
        self._open.pop()
        self._made[name] = made
        return made

    def check_sets(self) -> None:
        """Look at every set, also those that nothing uses."""
        for name in self._sets:
            self._set(name, ("sets", name))


_WHAT = {"sources": "source", "feeds": "feed", "sets": "set"}
