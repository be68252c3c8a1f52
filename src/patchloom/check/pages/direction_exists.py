"""What comes back has a cable that brings it back.

What it says: signal sent where a cable, a port or a setting carries none this way (`link-direction`); a choice that takes from a
port to which nothing is joined in this act (`link-absent`). Two outputs joined by one cable are complained of when the rig is
read (`reading:direction`).
Why: many multichannel lines run one way, and a mirror port sends and hears nothing. The return is what is forgotten, and it is
missed when the wedge is silent.
When it is no fault: never while something is sent that way; a cable nobody uses may point anywhere.
What data it needs: `formats.one_way`, `ports.ways` and `ports.slots`, `pass` of ports, formats and links; which links an act is
without.
What to do: lay a second cable the other way, use the port that has a return, or bring the mix home over another desk.
Source: AES10 (one way, from its abstract); the rest is common practice, no source
"""
