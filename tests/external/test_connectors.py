"""Pin and pair tables against TIA-568, IEEE 802.3u, AES14."""

from __future__ import annotations

from patchloom.library.physics import PAIRS_100BASE_TX, T568A, T568B, XLR3, patch_lead


def test_t568a_pairs() -> None:
    """Contacts 1 to 8 carry pairs 3 3 2 1 1 2 4 4.  Source: TIA-568.  Confirmed: two wiring guides."""
    assert [contact.pair for contact in T568A] == [3, 3, 2, 1, 1, 2, 4, 4]


def test_t568b_pairs() -> None:
    """Contacts 1 to 8 carry pairs 2 2 3 1 1 3 4 4.  Source: TIA-568.  Confirmed: two wiring guides."""
    assert [contact.pair for contact in T568B] == [2, 2, 3, 1, 1, 3, 4, 4]


def test_wire_colours_of_t568b() -> None:
    """White-orange, orange, white-green, blue, white-blue, green, white-brown, brown.  Source: TIA-568.  Confirmed: same."""
    assert [contact.wire for contact in T568B] == [
        "white-orange",
        "orange",
        "white-green",
        "blue",
        "white-blue",
        "green",
        "white-brown",
        "brown",
    ]


def test_same_scheme_at_both_ends_is_straight() -> None:
    """A lead with one scheme at both ends is straight.  Source: TIA-568; by the table."""
    assert patch_lead(T568A, T568A) == tuple(range(1, 9)) == patch_lead(T568B, T568B)


def test_mixed_schemes_cross_the_data_pairs() -> None:
    """One scheme at each end crosses 1-2 with 3-6 and leaves the rest.  Source: TIA-568.  Confirmed: wiring guides."""
    assert patch_lead(T568A, T568B) == (3, 6, 1, 4, 5, 2, 7, 8)


def test_fast_ethernet_uses_two_pairs() -> None:
    """Contacts 1-2 and 3-6 only.  Source: IEEE 802.3u.  Confirmed: wiring tables."""
    assert PAIRS_100BASE_TX == ((1, 2), (3, 6))


def test_xlr_pins() -> None:
    """Pin 1 shield, 2 in phase, 3 return.  Source: AES14-1992, IEC 60268-12.  Confirmed: pin table (secondary)."""
    assert dict(XLR3) == {1: "shield", 2: "in phase", 3: "return"}
