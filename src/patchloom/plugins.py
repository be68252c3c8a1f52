"""Papers, renderers, rules, importers and type packs: listed without loading, loaded on use, faults kept apart.

Comes in: the entry points of installed packages.  Goes out: `Plugin` records, and the objects they name.
Next: `pipeline.py`, which hands them down; nothing below this module knows that plugins exist.

The contracts are plain functions, no base classes:

- paper `(rig, show, patch, findings) -> iterable of Page`; one that takes `options` by keyword is given what people chose
- renderer `(book, options) -> iterable of Artifact`; writes no file, reads no clock
- rule `(rig, show, patch) -> iterable of Finding`
- importer `bytes -> (document dict, report of every guess)`
- types: the path of a type pack, or a function that returns it

The name of an entry point is what people type.  A plugin that cannot be loaded is named with its package,
version and reason, and everything else goes on; one asked for by name is an error.  With
`PATCHLOOM_NO_PLUGINS=1` in the environment there are none.
"""

from __future__ import annotations

import difflib
import os
import re
import sys
from typing import Any

import attrs

from patchloom.errors import PluginError

__all__ = ["KINDS", "Broken", "Loaded", "Plugin", "found", "from_file", "load", "load_all", "switched_off"]

KINDS = ("papers", "renderers", "rules", "importers", "types")
"""Kinds of plugins; the entry-point group of one is `patchloom.KIND`."""

_OURS = "patchloom"


@attrs.frozen(order=True)
class Plugin:
    """One entry point, not loaded."""

    kind: str
    """One of `KINDS`."""
    name: str
    """What people type."""
    value: str
    """Where its object lives, `module:name`."""
    package: str = ""
    """Installed package it comes from; empty when its metadata does not say."""
    version: str = ""
    """Version of that package."""

    def __str__(self) -> str:
        return f"{self.name} ({self.package or 'unknown package'} {self.version or 'of unknown version'}, {self.value})"


@attrs.frozen
class Broken:
    """A plugin that cannot be used, and why."""

    plugin: Plugin
    reason: str

    def __str__(self) -> str:
        return f"{self.plugin}: {self.reason}"


@attrs.frozen
class Loaded:
    """All plugins of a kind: those that work, by name, and those that do not."""

    objects: dict[str, Any]
    broken: tuple[Broken, ...] = ()


def switched_off() -> bool:
    """Return whether the environment says that there are no plugins."""
    return os.environ.get("PATCHLOOM_NO_PLUGINS", "") not in ("", "0")


def found(kind: str = "") -> tuple[Plugin, ...]:
    """Return the plugins of a kind, or of all kinds, sorted by kind and name; nothing is loaded.

    Where two packages give one name, both are returned, ours first.  Raises PluginError for an unknown kind.
    """
    if kind and kind not in KINDS:
        raise PluginError(f"there is no kind of plugin called {kind!r}; there are {', '.join(KINDS)}")
    if switched_off():
        return ()
    return tuple(row for row in _installed() if kind in ("", row.kind))


_seen: tuple[object, tuple[str, ...], tuple[Plugin, ...]] = (None, (), ())
"""What tells the installed packages then from others, files that say what their plugins are, and these."""


def _installed() -> tuple[Plugin, ...]:
    """Return every plugin that is installed; what was read last holds until something is installed, changed or removed."""
    global _seen
    state, files, plugins = _seen
    if state is not None and state == _state(files):
        return plugins
    from importlib.metadata import entry_points

    every = entry_points()
    points = [(each, point) for each in KINDS for point in every.select(group=f"patchloom.{each}")]
    homes = {id(point.dist): point.dist for _, point in points}
    named = {key: (home.name, home.version) if home else ("", "") for key, home in homes.items()}  # each reads a file
    rows = {Plugin(each, point.name, point.value, *named[id(point.dist)]) for each, point in points}
    plugins = tuple(sorted(rows, key=lambda row: (KINDS.index(row.kind), row.name, row.package != _OURS, row)))
    paths = [str(getattr(home, "_path", "")) for home in homes.values()]
    files = tuple(os.path.join(path, "entry_points.txt") for path in paths if path)
    _seen = (_state(files), files, plugins)
    return plugins


def _state(files: tuple[str, ...]) -> object:
    """Return what tells one set of installed packages from another: where they are looked for, and when that last changed."""
    return tuple(sys.meta_path), tuple((path, _changed(path)) for path in (*sys.path, *files))


def _changed(path: str) -> int:
    try:
        return os.stat(path or ".").st_mtime_ns
    except OSError:
        return 0


def load(kind: str, name: str) -> Any:
    """Return the object of a plugin asked for by name.

    Raises PluginError when there is none of that name ("did you mean"), or when it cannot be loaded.
    """
    rows = found(kind)
    first = next((row for row in rows if row.name == name), None)
    if first is None:
        raise PluginError(f"no plugin {name!r} among {kind}{_hint(name, [row.name for row in rows])}")
    thing, reason = _load(first)
    if reason:
        raise PluginError(f"plugin {first} cannot be loaded: {reason}")
    return thing


def _hint(name: str, names: list[str]) -> str:
    if switched_off():
        return "; plugins are switched off by PATCHLOOM_NO_PLUGINS"
    close = difflib.get_close_matches(name, names, 1, 0.5)
    if close:
        return f"; did you mean {close[0]!r}?"
    return f"; there are {', '.join(dict.fromkeys(names))}" if names else "; none is installed"


def load_all(kind: str) -> Loaded:
    """Return every plugin of a kind that can be loaded, by name, and those that cannot, each with its reason."""
    objects: dict[str, Any] = {}
    broken: list[Broken] = []
    for row in found(kind):
        if row.name in objects:
            broken.append(Broken(row, "another package already gives this name; the first one is used"))
            continue
        thing, reason = _load(row)
        if reason:
            broken.append(Broken(row, reason))
        else:
            objects[row.name] = thing
    return Loaded(objects, tuple(broken))


def _load(plugin: Plugin) -> tuple[Any, str]:
    """Return the object of a plugin and an empty reason, or None and the reason."""
    from importlib.metadata import EntryPoint

    try:
        thing = EntryPoint(plugin.name, plugin.value, f"patchloom.{plugin.kind}").load()
    except (KeyboardInterrupt, MemoryError):
        raise
    except BaseException as problem:  # a plugin may even call sys.exit while it is imported
        return None, f"{type(problem).__name__}: {problem}" if str(problem) else type(problem).__name__
    if plugin.kind != "types" and not callable(thing):
        return None, f"is a {type(thing).__name__}, where a function is due"
    return thing, ""


def from_file(path: str | os.PathLike[str]) -> tuple[tuple[str, Any], ...]:
    """Return the rules a Python file defines as (name, rule), in order: what stands under `@rule` or `@routing_rule`.

    The file is executed, from its own folder, so that it may import what lies beside it.  Raises PluginError for a file
    that is not there, that raises, or that defines no rule.
    """
    from pathlib import Path
    from types import ModuleType

    from patchloom.check.own import Rule
    from patchloom.model.routing import RoutingRule

    file = Path(path).resolve()
    name = re.sub(r"[^A-Za-z0-9_]", "_", file.stem)
    module = ModuleType(name)
    module.__file__ = str(file)
    beside = str(file.parent)
    sys.path.insert(0, beside)
    sys.modules.setdefault(name, module)  # dataclasses and the like look their module up while they are made
    try:
        exec(compile(file.read_bytes(), str(file), "exec"), vars(module))
    except OSError as problem:
        raise PluginError(f"rules {path}: {problem.strerror or problem}") from None
    except (KeyboardInterrupt, MemoryError):
        raise
    except BaseException as problem:  # a file may even call sys.exit
        raise PluginError(f"rules {path}: it raised {type(problem).__name__}: {problem}") from problem
    finally:
        sys.path.remove(beside)
        if sys.modules.get(name) is module:
            del sys.modules[name]
    rows: dict[str, Any] = {}
    steering = [thing.steers for thing in vars(module).values() if isinstance(thing, Rule) and thing.steers is not None]
    for thing in vars(module).values():
        if isinstance(thing, (Rule, RoutingRule)) and not any(thing is other for other in steering):
            if rows.setdefault(thing.name, thing) is not thing:
                raise PluginError(f"rules {path}: two rules are called {thing.name}")
    if not rows:
        raise PluginError(
            f"rules {path}: it defines no rule; put @patchloom.rule(name=..., severity=..., says=...) over a function"
        )
    return tuple(rows.items())
