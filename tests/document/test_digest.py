"""The digest: RFC 8785 canonical form, hashed."""

from __future__ import annotations

import hashlib
import json
import struct

import pytest
from hypothesis import given
from hypothesis import strategies as st

from patchloom.document.jcs import canonical, digest

NUMBERS = {
    "0000000000000000": "0",
    "8000000000000000": "0",
    "0000000000000001": "5e-324",
    "8000000000000001": "-5e-324",
    "7fefffffffffffff": "1.7976931348623157e+308",
    "ffefffffffffffff": "-1.7976931348623157e+308",
    "4340000000000000": "9007199254740992",
    "c340000000000000": "-9007199254740992",
    "4430000000000000": "295147905179352830000",
    "44b52d02c7e14af5": "9.999999999999997e+22",
    "44b52d02c7e14af6": "1e+23",
    "44b52d02c7e14af7": "1.0000000000000001e+23",
    "444b1ae4d6e2ef4e": "999999999999999700000",
    "444b1ae4d6e2ef4f": "999999999999999900000",
    "444b1ae4d6e2ef50": "1e+21",
    "3eb0c6f7a0b5ed8c": "9.999999999999997e-7",
    "3eb0c6f7a0b5ed8d": "0.000001",
    "41b3de4355555553": "333333333.3333332",
    "41b3de4355555554": "333333333.33333325",
    "41b3de4355555555": "333333333.3333333",
    "41b3de4355555556": "333333333.3333334",
    "41b3de4355555557": "333333333.33333343",
    "becbf647612f3696": "-0.0000033333333333333333",
    "43143ff3c1cb0959": "1424953923781206.2",
}
"""IEEE 754 doubles and how they are written: RFC 8785, appendix B (from memory)."""


@pytest.mark.parametrize(("bits", "text"), NUMBERS.items())
def test_numbers_are_written_as_ecmascript_does(bits, text):
    """A double is written as the table of RFC 8785, appendix B, says."""
    assert canonical(struct.unpack(">d", bytes.fromhex(bits))[0]) == text.encode()


def test_the_example_of_the_standard():
    """The example of RFC 8785, section 3.2.2, comes out as printed there."""
    given_text = r"""{"numbers": [333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001],
      "string": "\u20ac$\u000F\u000aA'\u0042\u0022\u005c\\\"\/", "literals": [null, true, false]}"""
    wanted = (
        '{"literals":[null,true,false],"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],'
        '"string":"\u20ac$\\u000f\\nA\'B\\"\\\\\\\\\\"/"}'
    )
    assert canonical(json.loads(given_text)) == wanted.encode("utf-8")


def test_keys_are_sorted_by_utf16_code_units():
    """An emoji (a surrogate pair) sorts before U+FB33: RFC 8785, section 3.2.3."""
    keys = ["\u20ac", "\r", "\ufb33", "1", "\U0001f600", "\u0080", "\u00f6"]
    made = json.loads(canonical(dict.fromkeys(keys, 0)), object_pairs_hook=list)
    assert [key for key, _ in made] == ["\r", "1", "\u0080", "\u00f6", "\u20ac", "\U0001f600", "\ufb33"]


@pytest.mark.parametrize("value", [float("nan"), float("inf"), 2**53 + 1, 10**400, b"x", {1: 2}, "\ud800", {"\ud800": 1}])
def test_what_json_cannot_hold_is_refused(value):
    """What JSON cannot hold, or a double cannot, is a ValueError and never a wrong digest."""
    with pytest.raises((ValueError, OverflowError)):
        canonical(value)


PLAIN = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-(2**53), 2**53)
    | st.floats(allow_nan=False, allow_infinity=False)
    | st.text(st.characters(exclude_categories=["Cs"])),
    lambda inner: (
        st.lists(inner, max_size=4) | st.dictionaries(st.text(st.characters(exclude_categories=["Cs"])), inner, max_size=4)
    ),
    max_leaves=20,
)


@given(PLAIN)
def test_canonical_form_is_json_and_stable(value):
    """The canonical form reads back as the same data, and canonicalising that changes nothing."""
    text = canonical(value)
    assert json.loads(text, parse_int=float) == value
    assert canonical(json.loads(text, parse_int=float)) == text


@given(st.dictionaries(st.text(max_size=5), st.integers(0, 9), max_size=6), st.randoms(use_true_random=False))
def test_order_of_keys_does_not_matter(table, random):
    """Shuffled keys give one digest."""
    table = {key: value for key, value in table.items() if key.isascii()}
    keys = list(table)
    random.shuffle(keys)
    assert digest({key: table[key] for key in keys}) == digest(table)


def test_digest_is_sha256_of_the_form():
    """The digest says which hash it is, and is that of the canonical bytes; 6 and 6.0 are one number."""
    assert digest({"b": 6.0, "a": []}) == "sha256:" + hashlib.sha256(b'{"a":[],"b":6}').hexdigest()
