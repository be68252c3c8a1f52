"""Text is measured, broken and cleaned before it is placed."""

from __future__ import annotations

import pytest

from patchloom.drawing.metrics import MM, clean, fit, is_rtl, width, wrap
from tests.drawing.samples import HARD, LONG


def test_widths_are_those_of_the_font() -> None:
    """An `i` is narrower than an `m`, bold is wider, a digit is 0.637 of the size (DejaVu Sans 2.37: 1303 of 2048)."""
    assert width("i", 10) < width("m", 10) < width("m", 10, bold=True)
    assert width("0", 10) == pytest.approx(0.637 * 10 * MM)
    assert width("7" * 8, 9) == pytest.approx(8 * width("0", 9))


def test_widths_of_other_scripts() -> None:
    """East Asian letters are a full width each, marks that sit on a letter none, unknown scripts a full width."""
    assert width("漢字", 10) == pytest.approx(2 * 10 * MM)
    assert width("e\u0301", 10) == width("e", 10)
    assert width("\u0e01", 10) == pytest.approx(10 * MM)
    assert width("\U0001f941", 10) > 10 * MM


@pytest.mark.parametrize("text", HARD.values(), ids=HARD)
@pytest.mark.parametrize("room", [12.0, 30.0, 200.0])
def test_wrapping_keeps_every_letter(text: str, room: float) -> None:
    """Wrapped lines fit the room and together hold the whole text."""
    lines = wrap(text, room, 9)
    assert max(width(line, 9) for line in lines) <= room
    assert "".join(lines).replace(" ", "") == clean(text).replace(" ", "")


def test_a_line_is_not_broken_at_its_hyphen() -> None:
    """`STAGE-12` stays whole although a double name may break."""
    assert wrap("ears: mix MON 1+2 → STAGE-12", width("ears: mix MON 1+2 → STAGE-", 9) + 0.1, 9)[-1] == "STAGE-12"


def test_nothing_that_xml_forbids_is_left() -> None:
    """Control characters and lone surrogates become the replacement sign; a name is one line."""
    assert clean("a\x00b\ud800\n  c") == "a\ufffdb\ufffd c"
    assert clean("\ufffe") == "\ufffd"


def test_direction_is_that_of_the_first_letter() -> None:
    """Figures and signs have no direction of their own."""
    assert is_rtl("12 ميكروفون")
    assert is_rtl("שלום")
    assert not is_rtl("Kick ميكروفون")
    assert not is_rtl("123")


def test_fit_shortens_only_where_it_must() -> None:
    """Running text that stands elsewhere in full may end in an ellipsis."""
    assert fit("Kick", 50, 9) == "Kick"
    short = fit(LONG, 30, 9)
    assert short.endswith("…")
    assert width(short, 9) <= 30


def test_no_line_ends_with_an_opening_bracket_or_begins_with_a_closing_one() -> None:
    """East Asian text breaks between letters, but brackets, points and repeat signs stay with theirs, as browsers have it."""
    text = "第二ギター奏者の古いアンプ（舞台下手・客席から見て左側）人々。"
    for room in range(12, 80):
        lines = wrap(text, float(room), 9)
        assert "".join(lines) == text
        assert not any(line.endswith("（") for line in lines[:-1])
        assert not any(line[0] in "・）々。" for line in lines)
