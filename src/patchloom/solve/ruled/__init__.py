"""Routing rules in the search: segments a leg may not enter, ways that keep together or apart.

Comes in: the `Rules` of a period.  Goes out: ways that keep them, or facts that they leave none.  Next: `attempt.py`.

- `rules` says them in the words of the search; `abide` carries legs by them; `overruled` and `seats` prove that they leave
  nothing.
"""
