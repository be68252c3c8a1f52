"""Control does not get from the owner's desk to the preamp.

What it says: on the stated way of control a port, a link or a desk does not pass it, the way does not lead there at all,
the door is not one the preamp has, or the desk does not control boxes of this kind. It names where control stops.
Why: that audio arrives says nothing about control. A mirror port, a format bridge or a link of another kind brings the
sound, and the gain cannot be moved; it is found at the line check, by shouting to the stage.
When it is no fault: preamps in the desk's own back; hands at the box, named as such; a network for control beside the
audio, where it is in the rig as a link.
What data it needs: `ports.pass`, `links.pass`, `formats.pass`, `types.passes_control`, `types.controls`, `preamps.doors`,
`owners`.
What to do: choose an owner that reaches it, swap main and mirror, or join a control network.
Source: the data of the devices; common practice, no source
"""
