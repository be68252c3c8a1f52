"""The kinds of complaint a document can get, as data: stable names for scripts, with what each means and what to do.

Comes in: nothing.  Goes out: `COMPLAINTS` and `REMEDIES`, for the docs and for whoever sorts complaints.  A test holds
them against the code and against the collection of bad documents.
"""

from __future__ import annotations

__all__ = ["COMPLAINTS", "REMEDIES"]

COMPLAINTS = {
    "address": "A text that is no address, or names more or less than is needed there.",
    "brace": "A brace that cannot be expanded: nested, empty, backward, or a second one.",
    "byte-order-mark": "A note, no fault: the file began with a byte order mark, which was passed over.",
    "conflict": "Two fields of one row that cannot both be meant.",
    "control-character": "A control character in a text; labels and papers cannot print it.",
    "dangling": "A name of something that is not there.",
    "direction": "Signal would have to run the wrong way: two inputs joined, an input fed from inside.",
    "duplicate-id": "An id, a plug, a channel or an entry that is there already; nothing merges silently.",
    "duplicate-key": "A key that stands twice in one JSON object.",
    "encoding": "Bytes that are not UTF-8.",
    "format": "The document does not say its format and version, or is of another kind.",
    "id": "A text that is no id where an id is needed.",
    "joined-twice": "A port or socket that is joined by two links.",
    "list-at": "A list that lands where no list can land.",
    "loop": "A set, type or feed that holds itself in the end.",
    "missing": "Something required is not said.",
    "no-preamp": "Sockets that have no preamps where preamps are meant.",
    "not-a-socket": "A place no cable reaches, where something is to be plugged or joined.",
    "not-spoken": "A format that a port of the link does not speak.",
    "number": "A number JSON does not have or a double cannot hold.",
    "out-of-range": "A slot beyond the end of its bank at this rate.",
    "rate": "A type, bank or format that is not given at the sample rate.",
    "surrogate": "Half of a surrogate pair, which is no character.",
    "syntax": "The text is no JSON.",
    "too-deep": "Objects and lists nested deeper than any document needs.",
    "too-large": "More bytes, or more names, than any document needs.",
    "type": "A value of the wrong JSON type.",
    "unequal": "Two lists or runs that must be equally long and are not.",
    "unknown-key": "A key nobody reads, often misspelt.",
    "unreadable": "The file cannot be read at all.",
    "value": "A value outside what is possible there.",
    "version": "A version newer than this program.",
}
"""Kind of complaint to what it means."""

REMEDIES = {
    "address": "Write device.bank[7], a run as device.bank[1-8]; stop earlier, at a bank or a device, where any of it will do.",
    "brace": "Write one brace a text, {1-8} or {a,b,c}, upward, and name the rest one by one.",
    "byte-order-mark": "Nothing needs to be done; save the file without it where your editor lets you.",
    "conflict": "Keep the field that is meant and take the other out.",
    "control-character": "Retype the text; it was most likely pasted from another program.",
    "dangling": "Correct the name, or add the row it should name; the complaint says what comes near.",
    "direction": "Turn the cable round, or choose an input where an input is meant: cables join outputs to inputs.",
    "duplicate-id": "Give one of the two another id, or take one out; say of one row all there is to say of it.",
    "duplicate-key": "Keep one of the two; readers differ in which of them they believe.",
    "encoding": "Save the file as UTF-8.",
    "format": 'Begin the document with "format": "rig/1", "show/1" or "patch/1", and hand it in as that.',
    "id": "Begin with a letter, go on with letters, digits, - and _; put any other text into name.",
    "joined-twice": "Join one link a port or socket, and put a split or another port where two are meant.",
    "list-at": "Let the list land in one run of channels, tracks or mixer inputs of one device, its own channels inside that.",
    "loop": "Find the one that should not hold the other, along the names the complaint gives, and take it out there.",
    "missing": "Say it: the complaint names the field.",
    "no-preamp": "Name sockets that have a preamp, or leave them out of owners and gains.",
    "not-a-socket": "Plug into a bank whose slots are sockets; slots inside a device are reached by its select rows.",
    "not-spoken": "Take a format that both ports speak, another port, or a device that turns one into the other.",
    "number": "Write a plain decimal number that a double holds.",
    "out-of-range": "Use a slot the bank has at this rate, or correct its size.",
    "rate": "Choose a rate at which all of it is given, or add the sizes at this rate to the type or format.",
    "surrogate": "Retype the text; half a character was left of something pasted.",
    "syntax": "Mend the JSON at the line and column given: most often a comma or a quotation mark.",
    "too-deep": "Write it flatter; no document needs so many levels.",
    "too-large": "Split the document, or take what is not wanted out of it.",
    "type": "Write the type of value the complaint names: text in quotation marks, numbers without, lists in brackets.",
    "unequal": "Make both equally long: each name or slot on one side has one on the other.",
    "unknown-key": "Correct its spelling; the complaint says what comes near. Nothing is passed over in silence.",
    "unreadable": "Look whether the file is there and may be read.",
    "value": "Write a value inside what the complaint names as possible.",
    "version": "Use a newer version of the program, or an older one of the document.",
}
"""Kind of complaint to what to do; the complaint itself says where, and often what comes near."""
