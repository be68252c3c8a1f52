"""A document is JSON in UTF-8, says each thing once, and is no larger than any show needs.

What it says: where the text ceases to be JSON, with line and column (`syntax`); a byte that is no UTF-8 (`encoding`); a key that
stands twice in one object (`duplicate-key`); a number JSON does not have, or one that would not be kept exactly (`number`); half
of a sign (`surrogate`); brackets nested deeper, or more bytes and names, than any document needs (`too-deep`, `too-large`).
Why: programs differ in what they make of such a text. One believes the first of two keys, another the last, and the paper shows
which.
When it is no fault: never. A byte order mark at the beginning is passed over with a note (`byte-order-mark`); a file that is not
there cannot be read at all (`unreadable`).
What data it needs: the text.
What to do: mend it at the line and column given, in any editor; save it as UTF-8.
Source: JSON, RFC 8259; its strict form, RFC 7493 (I-JSON)
"""
