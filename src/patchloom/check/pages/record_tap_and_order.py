"""Tracks are the stage inputs themselves, one to one with the list that was sent out.

What it says: a track taken after something in somebody's channel (`tap-not-raw`), or allowed to be (`record-order`); a list whose
order could not be kept while no note says so (`order-unsaid`, a warning); a channel or track left free on the list and fed all
the same (`gap-not-empty`, a warning); two tracks that write one file.
Why: what was muted, ridden or filtered in the recording cannot be undone; and a track list that is off by one costs whoever mixes
it a day.
When it is no fault: a track that is meant to be processed: allow it with the want's `tap` and sign it off. A recorder that is
wired to the sockets has their order; the patch notes it, and the note goes with the files.
What data it needs: `banks.ends` of the tracks, `wants.tap`, `sources.file_name`; the taps of the patch.
What to do: take the tap before everything, keep the order, or print the order as it is.
Source: common practice, no source
"""
