"""The kinds of complaint a document can get, as data: stable names for scripts, with what each means.

Comes in: nothing.  Goes out: `COMPLAINTS`, for the docs and for whoever sorts complaints.  A test holds it
against the code and against the collection of bad documents.
"""

from __future__ import annotations

__all__ = ["COMPLAINTS"]

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
