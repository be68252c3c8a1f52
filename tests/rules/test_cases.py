"""Every case of every rule comes out as it says."""

from __future__ import annotations

from pathlib import Path

from patchloom.testing import case_test

test_cases = case_test(Path(__file__).with_name("cases"))
