"""Cases of a stranger's rule, as JSON: what they may expect, and what is told of one that comes out otherwise."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

import patchloom
from patchloom.check.shown import CaseError, cases_in
from patchloom.testing import run_cases
from patchloom.testing.folder import CaseFailed, _hold, run_case, words_in

BASE = {
    "rig": {"rate": 48000, "devices": {"DESK": "desk-per-slot"}},
    "show": {
        "sources": [{"ids": ["kick", "snare"]}],
        "plug": [{"sources": "all", "into": "DESK.mic"}],
        "lists": [{"position": "foh", "at": "DESK.ch", "wants": ["kick", "snare"]}],
    },
}
MOVED = {"at": "patch.plugs.kick", "set": "DESK.mic[2]"}


@patchloom.rule(name="kick-stays-low", severity="warn", says="The kick is on socket 1.", todo="Move it.")
def kick_stays_low(rig: Any, show: Any, patch: Any) -> Iterator[Any]:
    """Yield a finding where the kick is not on socket 1."""
    for setting in patch.settings:
        if setting.plugs["kick"].number != 1:
            yield f"The kick is on {setting.plugs['kick']}.", "kick", setting.plugs["kick"]


RULES: dict[str, Callable[..., Any]] = {"kick-stays-low": kick_stays_low}


def _case(folder: Path, expect: Any, *change: dict[str, Any], rule: str = "kick-stays-low", **more: Any) -> None:
    """Write one case into a folder and run it."""
    path = folder / rule / "case.json"
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(json.dumps({"about": "so", "base": BASE, "change": list(change), "expect": expect, **more}), encoding="utf-8")
    run_case(cases_in(folder, rule)[0], RULES)


def test_a_rule_of_ones_own_is_held_against_its_cases(tmp_path: Path) -> None:
    """Silence passes; a finding fits a row by its places, its words, its severity."""
    _case(tmp_path, "passes")
    _case(tmp_path, {"fails": [{"where": ["kick"], "says": "DESK.mic[2]", "severity": "warn"}]}, MOVED)
    assert run_cases(tmp_path, RULES) == 1
    with pytest.raises(CaseFailed, match="1 findings more than expected"):
        _case(tmp_path, "passes", MOVED)
    with pytest.raises(CaseFailed, match="no finding fits"):
        _case(tmp_path, {"fails": ["kick"]})


def test_words_are_held_as_they_were_written_down(tmp_path: Path) -> None:
    """A file of words is written on request, holds from then on, and says what differs and how to renew it."""
    words = tmp_path / "words" / "kick-stays-low.txt"
    _case(tmp_path / "cases", {"fails": ["kick"]}, MOVED)
    (case,) = cases_in(tmp_path / "cases")
    found = run_case(case, RULES)
    _hold(case, found, words, True)
    _hold(case, found, words, False)
    assert words.read_text(encoding="utf-8").splitlines() == [
        "case",
        "  warn: The kick is on DESK.mic[2].",
        "    at: kick, DESK.mic[2]",
        "    next: Move it.",
    ]
    words.write_text(words.read_text(encoding="utf-8").replace("kick is", "kick was"), encoding="utf-8")
    with pytest.raises(CaseFailed, match=r"other words(.|\n)*-  warn: The kick was(.|\n)*\+  warn: The kick is"):
        _hold(case, found, words, False)
    _hold(case, (), words, True)
    assert words_in(words) == {"case": "  nothing\n"}


def test_a_row_may_name_a_check_of_verify(tmp_path: Path) -> None:
    """Then verify is asked as well, and what else it says is not counted."""
    both = {"fails": [["kick"], {"rule": "plug-shared", "where": ["DESK.mic[2]", "kick", "snare"]}]}
    _case(tmp_path, both, MOVED)
    with pytest.raises(CaseFailed, match="no finding fits"):
        _case(tmp_path, {"fails": [["kick"], {"rule": "plug-missing", "where": ["snare"]}]}, MOVED)


def test_a_row_may_name_a_complaint_of_reading(tmp_path: Path) -> None:
    """The changed document cannot be read; unless the case expects that, and all of it, it is no case."""
    wrong = {"at": "show.lists[foh].wants", "add": {"signal": "snar"}}
    row = {"rule": "reading:dangling", "where": ["$.lists[0].wants[2].signal"], "says": "snar"}
    _case(tmp_path, {"fails": [row]}, wrong)
    with pytest.raises(CaseError, match="Did you mean"):
        _case(tmp_path, "passes", wrong)
    with pytest.raises(CaseError, match="zone"):
        _case(tmp_path, {"fails": [row]}, wrong, {"at": "rig.rate", "set": "zone"})


def test_a_row_may_expect_that_nothing_can_be_solved(tmp_path: Path) -> None:
    """The places of the row are what the facts limit, and whom they name."""
    small = {"at": "show.lists[foh].at", "set": "DESK.ch[1]"}
    _case(tmp_path, {"fails": [{"rule": "solve", "where": ["DESK.ch[1]"], "says": "2 asked, 1 there"}]}, small, solve=True)
    with pytest.raises(CaseError, match="2 asked, 1 there"):
        _case(tmp_path, "passes", small, solve=True)


def test_an_unknown_rule_is_named(tmp_path: Path) -> None:
    """A folder, or a row, that names nobody there is."""
    with pytest.raises(CaseError, match="no rule is called snare-stays-high"):
        _case(tmp_path, "passes", rule="snare-stays-high")
    with pytest.raises(CaseError, match="no rule is called plug-shred"):
        _case(tmp_path, {"fails": [{"rule": "plug-shred", "where": ["kick"]}]}, MOVED)


def test_an_entry_s_cases_ask_everybody_who_issues_it(tmp_path: Path) -> None:
    """A folder with the key of an entry needs no rule of one's own; a row without a name takes whoever speaks."""
    _case(tmp_path, {"fails": [["DESK.mic[2]", "snare"]]}, MOVED, rule="one-plug-per-socket")
    with pytest.raises(CaseFailed, match="1 findings more than expected"):
        _case(tmp_path, "passes", MOVED, rule="one-plug-per-socket")
