"""Whether there is a patch at all, by one programme in whole numbers.

Comes in: fabric and plan of a period.  Goes out: a finished try, a proof that there is none, or neither with the reason.
Next: `place.py`, which asks when quick tries and counting left something open; `wishes/better.py` asks for a bound.

- `complete` has it asked, and carries the answer out; `tight` asks how few blocks there can be.
- `crowd` counts legs that are alike; `grain` and `lattice` say where they can be; `flows` and `programme` make columns and
  rows; `highs` is the only door to the library that solves them; `blueprint` reads the answer, and `build` takes the very
  ways it counts on where the search does not find them.
"""
