"""Every digital device in use takes its clock from the leader, hop by hop, over ways that pass clock.

What it says: devices in use that neither lead nor follow (`clock-missing`); a follower whose cable does not join it to what it
follows (`clock-not-joined`) or passes no clock that way (`clock-not-passed`); one that follows a device without a clock
(`clock-broken`); a count of hops that is wrong (`clock-depth`, a warning).
Why: a device that has the cable and not the setting plays, and clicks. It is the fault that passes the line check and is heard in
the quiet song.
When it is no fault: what is joined and not used may keep its own clock; analogue devices need none.
What data it needs: which way ports and formats pass clock (`ports.pass`, `formats.pass`, `links.pass`). What is not said to pass
clock does not.
What to do: at the device named, set the clock input to the port the patch names, and look at its lock lamp. Or join it by a cable
that passes clock.
Source: common practice, no source
"""
