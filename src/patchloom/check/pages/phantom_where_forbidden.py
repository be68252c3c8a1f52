"""Phantom reaches a source that must not see it.

What it says: a switch that is on, or a split that feeds the stage, has an unbroken copper way to a source marked `never`.
Why: the output of a machine, a receiver or a wrongly wired old ribbon microphone can be damaged or made noisy by it, and
not only while somebody looks: a recalled scene switches it as well.
When it is no fault: a transformer or another path without direct current lies between; a source that merely needs none is
not marked `never`. A balanced, rightly wired ribbon usually bears it; its owner decides.
What data it needs: `sources.phantom`; `dc` of splits and cables; the switches of the patch, act by act.
What to do: mute, switch it off, wait, plug; or move the source to a socket that is switched apart. Keep preamps out of what
scenes recall.
Source: IEC 61938 for P48, from memory; common practice, no source
"""
