"""For pytest: a test that fails on something drawn leaves the smallest case on disk.

Comes in: a failed test that drew by `strategies`.  Goes out: a folder with rig, show and patch as JSON, a drawn signal
diagram, and the command that runs the test on just these.  Next: whoever mends it.

Installed with the package, loaded by every pytest, and so light: it imports nothing of the package before a test has drawn
something.

- `--patchloom-folder DIR` where cases are left (`.patchloom`; one folder a test);
- `--patchloom-replay DIR` has every strategy give what was left there instead of drawing.
"""

from __future__ import annotations

import re
import shlex
import sys
from collections.abc import Generator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

if TYPE_CHECKING:
    from patchloom.testing.last import LAST as _Last

__all__ = ["pytest_addoption", "pytest_configure", "pytest_runtest_call", "pytest_runtest_makereport", "pytest_unconfigure"]


def pytest_addoption(parser: pytest.Parser) -> None:
    """Offer where failing cases are left, and to run one again."""
    group = parser.getgroup("patchloom", "patchloom: failing cases")
    group.addoption(
        "--patchloom-folder", metavar="DIR", default=".patchloom", help="leave the smallest failing rig, show and patch in here"
    )
    group.addoption("--patchloom-replay", metavar="DIR", help="run tests on the rig, show and patch that were left in here")


def pytest_configure(config: pytest.Config) -> None:
    """Read what is to be run again."""
    folder = config.getoption("--patchloom-replay")
    if folder:
        from patchloom.errors import PatchloomError
        from patchloom.testing.counterexample import read_left
        from patchloom.testing.last import LAST

        try:
            LAST.replay(*read_left(folder))
        except (OSError, PatchloomError) as wrong:
            raise pytest.UsageError(f"--patchloom-replay {folder}: {wrong}") from None


def pytest_unconfigure(config: pytest.Config) -> None:
    """Draw again."""
    last = _last()
    if last is not None and config.getoption("--patchloom-replay"):
        last.replaying = None


def _last() -> _Last | None:  # type: ignore[valid-type]
    """Return what was drawn last; None while nobody has drawn anything."""
    module = sys.modules.get("patchloom.testing.last")
    return getattr(module, "LAST", None)


@pytest.hookimpl(wrapper=True)
def pytest_runtest_call(item: pytest.Item) -> Generator[None, Any, Any]:
    """Forget what was drawn before."""
    last = _last()
    if last is not None:
        last.clear()
    return (yield)


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(item: pytest.Item, call: pytest.CallInfo[None]) -> Generator[None, Any, Any]:
    """Leave the smallest case of a test that failed, and say where."""
    report = yield
    last = _last()
    if report.when != "call" or not report.failed or last is None:
        return report
    if last.replaying is not None:
        words = f"what was left in {item.config.getoption('--patchloom-replay')} still fails"
        report.sections.append(("patchloom: replayed", words))
    elif last.rig is not None and last.show is not None:
        report.sections.append(("patchloom: the smallest case", _left(item, last)))
    return report


def _left(item: pytest.Item, last: Any) -> str:
    """Return where a case was left and how to run it again; a fault in leaving it must not hide the test's own."""
    from patchloom.testing.counterexample import leave

    folder = Path(item.config.getoption("--patchloom-folder")) / re.sub(r"[^A-Za-z0-9_.-]+", "-", item.nodeid).strip("-.")
    command = f"pytest {shlex.quote(item.nodeid)} --patchloom-replay {shlex.quote(str(folder))}"
    try:
        names = leave(folder, last.rig, last.show, last.patch, command)
    except Exception as wrong:
        return f"it could not be left in {folder}: {type(wrong).__name__}: {wrong}"
    return f"{folder}: {', '.join(names)}\nrun it again: {command}"
