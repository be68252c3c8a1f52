"""What the show forbids does not happen, and what it requires does.

What it says: a signal that comes to a device, a bank or a link where a routing rule forbids it, wanted or dragged along in a
block (`passes-forbidden`); a way that does not pass what a rule requires (`misses-required`).
Why: house rules are about privacy and about contracts: nothing from the panel table through the guest's desk, the lead voice by
the short way. A patch that breaks one works perfectly, which is why nobody hears it.
When it is no fault: never while the rule stands; a rule that no longer holds is taken out of the show.
What data it needs: `routing` of the show. Rules written in Python are asked, too, where they are handed in.
What to do: solve again, which keeps to the rules; or take another way, or plug it where nothing leads there.
Source: the show itself
"""
