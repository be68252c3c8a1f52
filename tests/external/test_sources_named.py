"""Every published value names where it is from."""

from __future__ import annotations

from .count import checks, table


def test_every_check_names_its_source() -> None:
    """Each check says its source in its own words or by its file's heading, and says something is held to be so."""
    for check in checks():
        assert check.sourced, f"{check.file}: {check.name}"
        assert check.assertions, f"{check.file}: {check.name}"


def test_there_are_enough() -> None:
    """At least 120 assertions stand here, most of them neither from memory nor common practice.  `count.py` prints them."""
    rows = checks()
    print(table(rows))
    assert sum(row.assertions for row in rows) >= 120
    weak = sum(row.assertions for row in rows if row.standing in ("from memory", "common practice"))
    assert weak < sum(row.assertions for row in rows) / 2
