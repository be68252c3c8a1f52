"""Rig, show and patch as frozen objects.

Comes in: expanded plain data, or Python values.  Goes out: `Rig`, `Show`, `Patch`, and plain data again.
Next: `solve` answers a show over a rig, `check` doubts the answer.

- `base`: the field helpers, `build` and `dump`, sizes by rate;
- `rig`: what a house or a truck has;  `show`: what tonight needs;  `patch`: the answer;
- `period`: rig and show as they stand in one act or scene.
"""
