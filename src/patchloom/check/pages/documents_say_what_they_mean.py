"""Every key is one that is read, every value one there can be, every name one that can be written.

What it says: a key nobody reads, most often misspelt, with what comes near; something required that is missing; a value of the
wrong type, or outside what is possible; an id, a brace or an address that cannot be read as one; two fields of one row that
cannot both be meant; what holds itself in the end; a text no printer can print; a document of another kind, or of a version
still to come. All of it at once, each with line, column and place in the document.
Why: a misspelt key that is passed over in silence is a microphone without phantom at the sound check.
When it is no fault: never; nothing is solved or judged until the document can be read in one way only. Fields for your own use
have no place in a document: put them into `about`, or keep them beside it.
What data it needs: the document.
What to do: mend it where the complaint points. A text that is not even JSON is complained of by where it ceases to be.
Source: the schemas of the documents, JSON Schema 2020-12; JSON, RFC 8259
"""
