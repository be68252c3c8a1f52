"""A source that needs phantom gets none.

What it says: the switch before the source is off, or there is none on its way, or a switch is written down that the box
does not have; sources behind one switch are one finding.
Why: no phantom, no signal: the microphone is dead at the line check, and the first guess is the cable.
When it is no fault: something else powers it (`powered_by` battery or mains); a split that feeds phantom to the stage
itself.
What data it needs: `sources.phantom`, `sources.powered_by`, `preamps.phantom_by`, `banks.phantom_supply`; `dc` of splits
and cables on the way; the switches of the patch.
What to do: switch it on, at one supplier. Mute first: switching and plugging go through everybody's loudspeakers and ears.
Source: IEC 61938 for P48, from memory; when to switch is common practice, no source
"""
