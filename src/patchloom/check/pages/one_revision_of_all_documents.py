"""Patch, rig and show are of one revision.

What it says: a patch that names another rig or show than the one given, by digest (`digest-mismatch`); one that names none
(`digest-absent`, a note); an act or scene of the show without a setting (`period-missing`), or a setting for one that is not in
the show (`period-unknown`).
Why: the list was changed at noon, and the paper on the box is this morning's. Both look right.
When it is no fault: a patch written by hand need not name what it was made for; it is judged all the same.
What data it needs: the digests in the patch; they are of the expanded documents, so that spelling and order of keys do not count.
What to do: solve again, or fetch the documents the patch was made for; then print all papers again, with the next revision.
Source: SHA-256 over the RFC 8785 form of the documents
"""
