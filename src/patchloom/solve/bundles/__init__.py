"""Whole bundles of legs at once, where every choice is made slot by slot.

Comes in: fabric, aims and units.  Goes out: plugs, mixes, selections and routes; None where the general search has to do it.
Next: `answer.py`.

- `riders` says who travels together; `bundle` carries them; `ride` repeats one way for a leg alike.
"""
