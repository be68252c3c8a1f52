"""Rules beyond what verify holds: one file each, found by the entry-point group `patchloom.rules`.

Comes in: a rig, a show, a patch.  Goes out: findings.  Next: `check.check` runs them.
Each file holds one function named for its rule; its one line, severity and next step are in the catalogue.
"""

from __future__ import annotations

from patchloom.check.rules.labels_collide import labels_collide
from patchloom.check.rules.leader_stays import leader_stays
from patchloom.check.rules.pass_through_dependence import pass_through_dependence

__all__ = ["RULES", "labels_collide", "leader_stays", "pass_through_dependence"]

RULES = (
    ("labels-collide", labels_collide),
    ("leader-stays", leader_stays),
    ("pass-through-dependence", pass_through_dependence),
)
"""The shipped rules as (name, function)."""
