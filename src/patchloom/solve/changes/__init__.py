"""The next answer after one that stands, moving as little as it can.

Comes in: a plan, the setting before.  Goes out: a try, what moved, and how little must.  Next: `answer.py`.

- `replay` puts an answer before back as it was; `change` adds what is new; `exhaust` looks at every way of a small change.
"""
