"""Each clock domain in use has one leader, and it is one that can lead.

What it says: a domain in use that the patch does not set (`clock-no-row`), or sets without a leader (`clock-no-leader`); two
leaders in one domain (`clock-two-leaders`); a leader, or a next in line, that can only follow or belongs to another domain
(`clock-cannot-lead`); a leader the rig does not name (`clock-leader-unlike`); a domain the rig does not have
(`clock-unknown-domain`).
Why: two clocks that nobody joins drift apart. At 48 kHz two crystals 10 parts in a million apart slip one sample about every two
seconds, and each slip is a click.
When it is no fault: devices joined by copper alone keep a clock each; so does the far side of a rate converter, in a domain of
its own. Neither is spoken of.
What data it needs: `domains` of the rig, `devices.domain`, `types.can_lead`; the clock rows of the patch.
What to do: set one device to its internal clock and every other one to the port that leads to it. Mute loudspeakers and ears
before a clock is changed.
Source: AES11 (distribution of one reference; from its abstract); slips by arithmetic
"""
