"""What is signed off is there, is named, and is signed for a time that has not passed.

What it says: a waiver that matches no finding (`waiver-unused`), that has ended (`waiver-expired`), that ends with neither a date
nor an act (`waiver-unclear`), that covers four findings or more without a place (`waiver-too-broad`), or that is for a check
there is not (`waiver-unknown`).
Why: a signature that lies about hides the next fault of that kind, and nobody looks, because somebody signed.
When it is no fault: a waiver is not asked about while its check takes no part, as with `--rule` for another one.
What data it needs: `waivers` of the show, with `where` and `until`; the day, where a waiver ends with a date.
What to do: take out what is mended; name the place, the reason and the end of what is not, and sign each place by itself.
Source: common practice, no source
"""
