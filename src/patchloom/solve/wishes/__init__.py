"""Wishes: carrying them, asking for more of them, and saying how far they are met.

Comes in: a try in which every must stands, a finished setting.  Goes out: better tries; values and bounds.
Next: `answer.py`.

- `carry` carries wishes where a way is left; `better` asks for more, with `pack`, a model of who shares blocks.
- `measure` says how far; `blocks`, `cover` and `upstream` count what no patch can beat.
"""
