"""The patch chooses something that no device of this rig can choose, or that is not there.

What it says: no select row lets this run take that one; a block begins off its boundary, or is not chosen whole; a tap is
not one the row can take, or none is named where there are several; or the address names a device, bank or link the rig does
not have, or does not have in this act. It names the choice and what could be chosen.
Why: whoever stands at the desk looks for a menu that is not there. It comes from patches written by hand, from another
program, or for another rig.
When it is no fault: never; where the desk can do more than its type says, the type is to be mended.
What data it needs: `types.banks`, `types.select`, `devices`, `links`, `periods.without_devices`, the selections of the
patch.
What to do: choose what the device can choose, on its boundaries, or solve again.
Source: the data of the device
"""
