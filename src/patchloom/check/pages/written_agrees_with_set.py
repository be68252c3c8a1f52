"""The ways written down are the ways that are set, and what is said to be missing is missing.

What it says: a way in the patch that is not the one the selections give (`route-disagrees`), or of a list, entry or leg there is
not (`route-unknown`); a delivery whose way is not written (`route-missing`, a warning); a wish that is not carried and not named
as such (`wish-unsaid`), or named so and carried (`unmet-but-met`), both warnings.
Why: papers are printed from the ways, desks are set from the selections. Where they differ, somebody follows a line in the dark
that is not there.
When it is no fault: never; one of the two is wrong.
What data it needs: the patch alone.
What to do: believe neither. Solve again, or set the selection the way says, and judge again.
Source: the patch itself
"""
