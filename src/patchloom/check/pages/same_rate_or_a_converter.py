"""Signal meets one rate and one clock all along its way, or a converter stands between.

What it says: a cable that joins two clock domains and carries signal (`rate-crossing`); a device that hands signal from one
domain to the other and does not convert (`converts-missing`); a domain set to another rate than the rig says (`clock-rate`); a
device that takes the clock of the other domain (`clock-wrong-domain`); a bank that does not exist at its device's rate
(`rate-unsupported`).
Why: one desk at another rate is a fault of the whole. Samples read at the wrong rate are noise, silence, or the wrong pitch: 44.1
for 48 kHz is a semitone and a half (arithmetic).
When it is no fault: copper between the two, and a way that says `converts`. Rates are compared as exact fractions, so that a
thousandth for video is another rate.
What data it needs: `domains.rate`, `devices.domain` and `devices.clocks`, `select.converts`, sizes by rate.
What to do: change the rate of all or of none; else lead the signal through a converter, and give each of its sides the clock of
that side.
Source: AES5 (preferred rates) and AES11 (one reference), from their abstracts; pitch by arithmetic
"""
