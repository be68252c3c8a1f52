"""The bar: nothing in the first second, then a line that moves, and none without a terminal."""

from __future__ import annotations

from time import sleep

import pytest

from patchloom.cli import bar as module
from patchloom.cli.bar import bar, drawn


def test_a_bar_says_how_much_is_done() -> None:
    """Steps done of all, the step that has begun, and for how long."""
    assert drawn(1, 4, "9 papers as pdf", 12.4) == "[######..................] 1 of 4, 9 papers as pdf (12 s)"
    assert drawn(0, 0, "papers", 0.0).startswith("[....")
    assert drawn(4, 4, "done", 1).count("#") == 24


def test_quick_work_shows_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    """What is over within the time to wait leaves no line; without a terminal there is never one."""
    monkeypatch.setattr(module, "AFTER", 5.0)
    shown: list[str] = []
    with bar(shown.append, 2) as begin:
        begin("papers")
    with bar(None, 2) as begin:
        begin("papers")
    assert shown == []


def test_long_work_shows_the_step_it_is_at(monkeypatch: pytest.MonkeyPatch) -> None:
    """After the time to wait a line comes, and again while the step goes on; an error in the work goes through."""
    monkeypatch.setattr(module, "AFTER", 0.02)
    monkeypatch.setattr(module, "_EVERY", 0.02)
    shown: list[str] = []

    def work() -> None:
        with bar(shown.append, 3) as begin:
            begin("papers")
            begin("7 papers as html")
            for _ in range(200):
                sleep(0.02)
                if len(shown) > 1:
                    break
            raise ValueError("broken")

    with pytest.raises(ValueError, match="broken"):
        work()
    assert len(shown) > 1
    assert "1 of 3, 7 papers as html" in shown[-1]
