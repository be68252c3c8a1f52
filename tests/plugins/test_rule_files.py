"""Rules in a file of one's own: found, in order, and told what is wrong with the file."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

import pytest

import patchloom
from patchloom import plugins
from patchloom.check.own import Rule
from patchloom.model.routing import RoutingRule

GOOD = '''
import patchloom
from beside import WORDS


@patchloom.routing_rule(name="keep-off", version="1", on="placement")
def keep_off(placement):
    return WORDS if placement.at.number == 13 else None


@patchloom.rule(name="second", severity="warn", says="Something.", steers=keep_off)
def second(rig, show, patch):
    """Say nothing."""
    return ()


@patchloom.routing_rule(name="first", version="1")
def first(hop):
    return None
'''


def test_the_rules_of_a_file_are_found_in_order(tmp_path: Path) -> None:
    """What lies beside the file can be imported; what a rule steers by is not listed again; nothing is left behind."""
    (tmp_path / "beside.py").write_text("WORDS = 'not 13'\n")
    path = tmp_path / "my-rules.py"
    path.write_text(GOOD)
    before = list(sys.path)
    rows = dict(plugins.from_file(path))
    sys.modules.pop("beside", None)
    assert list(rows) == ["second", "first"]
    assert isinstance(rows["second"], Rule)
    assert isinstance(rows["first"], RoutingRule)
    assert sys.path == before
    assert "my_rules" not in sys.modules


TWICE = """
import patchloom
rule = patchloom.rule(name="one", severity="warn", says="Something.")
a = rule(lambda rig, show, patch: ())
b = rule(lambda rig, show, patch: ())
"""


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "it defines no rule; put @patchloom.rule"),
        ("1 / 0", "it raised ZeroDivisionError: division by zero"),
        ("import sys; sys.exit(3)", "it raised SystemExit: 3"),
        ("def (", "it raised SyntaxError"),
        (TWICE, "two rules are called one"),
    ],
)
def test_a_file_that_will_not_do_is_told_why(text: str, words: str, tmp_path: Path) -> None:
    """Each has its sentence, with the file."""
    path = tmp_path / "mine.py"
    path.write_text(text)
    with pytest.raises(patchloom.PluginError, match=r"mine\.py") as raised:
        plugins.from_file(path)
    assert words in str(raised.value)


def test_a_file_that_is_not_there() -> None:
    """It is named."""
    with pytest.raises(patchloom.PluginError, match=r"rules nowhere\.py: No such file"):
        plugins.from_file("nowhere.py")


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({"name": "two words"}, "is no id"),
        ({"severity": "bad"}, "write stop, safety, warn, advice"),
        ({"says": " "}, "has no says"),
        ({"monotone": "always"}, "write fewer-wants or more-wants"),
    ],
)
def test_a_rule_is_described_right_or_refused(given: dict[str, Any], words: str) -> None:
    """Each word of the decorator is looked at when the file is read, not when the rule first speaks."""
    with pytest.raises(ValueError, match=words):
        patchloom.rule(**{"name": "mine", "severity": "warn", "says": "Something.", **given})


def test_what_a_rule_says() -> None:
    """A sentence, a sentence with places, a finding, nothing: each becomes a finding with the rule's name and next step."""

    @patchloom.rule(name="mine", severity="warn", says="Something.", todo="Mend it.")
    def mine(rig: Any, show: Any, patch: Any) -> Any:
        """Say four things."""
        yield "one"
        yield "two", "FOH", "kick"
        yield mine.found("three", "FOH", numbers=[("metres", 3)], period="act1", severity="stop")
        yield mine.unchecked("nobody says how long it is", "links.cables.length_m", where=["K1"])
        yield mine.nothing("there is no cable")

    rows = list(mine(None, None, None))
    assert [row.kind for row in rows] == ["found", "found", "found", "unchecked", "nothing"]
    assert {row.rule for row in rows} == {"mine"}
    assert rows[1].where == ("FOH", "kick")
    assert rows[0].todo == "Mend it."
    assert rows[2].severity == "stop"
    assert rows[3].numbers == (("missing", "links.cables.length_m"),)
    assert rows[3].todo == "Give links.cables.length_m."
    assert rows[4].message == "Not applicable: there is no cable."
    assert mine.__doc__ == "Say four things."
    assert list(patchloom.rule(name="mine", severity="warn", says="Something.")(lambda *_: None)(1, 2, 3)) == []
