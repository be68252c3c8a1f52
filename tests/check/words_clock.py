"""Cases of clock where planted faults do not reach: what lies just inside a limit, what is said beside.

Comes in: the right patches.  Goes out: cases entered in `words.CASES`.  Next: `test_words.py`.
"""

from __future__ import annotations

__all__: list[str] = []
