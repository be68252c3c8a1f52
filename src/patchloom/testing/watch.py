"""What a function does beside answering: clocks it reads, dice it throws, files it writes, lines it opens.

Comes in: a function to call.  Goes out: its answer and the names of what it did.  Next: `conformance`.

A profile function sees calls of clocks and of the shared random generator; an audit hook, which Python never lets go
of again and which is deaf while nothing is watched, sees files, processes and network.
"""

from __future__ import annotations

import gc
import sys
from collections.abc import Callable
from typing import Any

__all__ = ["watched"]

_CLOCKS = frozenset(
    (
        "time",
        "time_ns",
        "monotonic",
        "monotonic_ns",
        "perf_counter",
        "perf_counter_ns",
        "process_time",
        "localtime",
        "gmtime",
        "ctime",
        "asctime",
        "strftime",
    )
)
_DATES = frozenset(("datetime.now", "datetime.utcnow", "datetime.today", "date.today"))
_EVENTS = (
    "socket.",
    "subprocess.",
    "os.system",
    "os.remove",
    "os.rename",
    "os.mkdir",
    "os.rmdir",
    "os.fork",
    "os.exec",
    "os.putenv",
    "shutil.",
)


class _Ear:
    """What is heard while something is watched."""

    def __init__(self) -> None:
        self.heard: dict[str, None] | None = None
        self.hooked = False

    def audit(self, event: str, arguments: tuple[Any, ...]) -> None:
        if self.heard is None:
            return
        if event == "open" and _writes(arguments):
            self.heard[f"writes the file {arguments[0]}"] = None
        elif event.startswith(_EVENTS):
            self.heard[f"does {event}"] = None

    def profile(self, frame: Any, event: str, called: Any) -> None:
        if event == "c_call" and self.heard is not None:
            words = _unsteady(called)
            if words:
                self.heard[words] = None


_EAR = _Ear()


def _writes(arguments: tuple[Any, ...]) -> bool:
    mode, flags = arguments[1], arguments[2]
    if isinstance(mode, str):
        return any(letter in mode for letter in "wax+")
    return isinstance(flags, int) and bool(flags & 3)


def _unsteady(called: Any) -> str:
    name, module = getattr(called, "__name__", ""), getattr(called, "__module__", "")
    if module == "time" and name in _CLOCKS:
        return f"reads the clock (time.{name})"
    whole = getattr(called, "__qualname__", "")
    if whole in _DATES:
        return f"reads the clock ({whole})"
    if name == "urandom":
        return "throws dice (os.urandom)"
    owner = getattr(called, "__self__", None)
    if whole.startswith("Random.") and name != "seed" and owner is getattr(sys.modules.get("random"), "_inst", owner):
        return f"throws dice (random.{name})"
    return ""


def watched(call: Callable[[], Any]) -> tuple[Any, list[str]]:
    """Return what a call gives, and in words whatever it did that it should not; what it raises goes through."""
    if not _EAR.hooked:
        sys.addaudithook(_EAR.audit)
        _EAR.hooked = True
    before, collecting = sys.getprofile(), gc.isenabled()
    gc.disable()  # what others do when rubbish is collected is not the function's doing
    heard = _EAR.heard = {}
    sys.setprofile(_EAR.profile)
    try:
        answer = call()
    finally:
        sys.setprofile(before)
        _EAR.heard = None
        if collecting:
            gc.enable()
    return answer, list(heard)
