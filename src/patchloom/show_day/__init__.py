"""Answers to the questions a show day asks: where does this channel come from, and what do I look at?

Comes in: a rig, a show, a patch.  Goes out: plain frozen records.  Next: `pipeline` hands them on,
`cli` prints them.

- `trace`: one channel, hop by hop.
"""
