"""Libraries that come with an extra: imported on use, and asked for in plain words where they are not there.

Comes in: a module's name.  Goes out: the module.  Next: renderer plugins that need more than the core.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from difflib import get_close_matches
from importlib import import_module
from typing import Any

from patchloom.errors import PluginError

__all__ = ["chosen", "needed", "one_of"]


def needed(module: str, for_: str, *, extra: str = "papers") -> Any:
    """Return a module.  Raises PluginError where it is not installed, naming the command that installs it."""
    try:
        return import_module(module)
    except ImportError as problem:
        raise PluginError(
            f"{for_}: the library {module} cannot be loaded ({problem}); install it with: pip install 'patchloom[{extra}]'"
        ) from problem


def chosen(options: Mapping[str, Any] | None, defaults: Mapping[str, Any], for_: str) -> dict[str, Any]:
    """Return the options of a renderer, defaults filled in.  Raises PluginError for one it does not know ("did you mean")."""
    given = dict(options or {})
    for name in given:
        if name not in defaults:
            close = get_close_matches(str(name), list(defaults), 1, 0.5)
            hint = f"did you mean {close[0]!r}?" if close else f"there are {', '.join(defaults) or 'none'}"
            raise PluginError(f"{for_}: no such option: {name}; {hint}")
    return {**defaults, **given}


def one_of(value: Any, choices: Iterable[str], what: str) -> str:
    """Return a value that is one of some words.  Raises PluginError for another, naming the words."""
    words = tuple(choices)
    if value not in words:
        raise PluginError(f"{what}: {value!r} is none of {', '.join(words)}")
    return str(value)
