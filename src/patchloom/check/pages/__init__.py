"""Pages of the entries of `trade` that no rule covers wholly: one file an entry, named by its key, that is only a docstring.

Comes in: nothing.  Goes out: docstrings, in the paragraphs of a rule's.  Next: `explain` loads one when it is asked for.
"""
