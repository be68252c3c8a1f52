"""A position's trim of a shared preamp is not what it needs, or not one it has.

What it says: a preamp's gain and a position's trim do not add up to what the position wants; the trim needed is beyond its
range, or keeps less than the margin although the patch says that it does; the gain is beyond the preamp's own range,
between its steps, missing, or set where nothing is plugged. As a warning: the range of workable gain that the patch states
is not the one that follows. `trim-margin` warns of a trim near its end and of one that lifts noise.
Why: what cannot be trimmed cannot be mixed: the position asks the owner for gain in the middle of a song, and everybody
else jumps.
When it is no fault: a position that does not say what it wants sets its trim by ear; a recorder takes what comes.
What data it needs: `sources.want_db` by position, `banks.trim_db` (absent: no trim is relied on), `preamps.gain_db`,
`preamps.step_db`, `gain.margin_db`.
What to do: choose a gain from which all can trim (the patch says from where to where that is), ask one position for another
total, pad the source, or give that position a preamp of its own. A trim is the wanted total less the preamp's gain.
Source: arithmetic; margins and usual trims of -18 to +18 dB are common practice, no source
"""
