"""The code on a stamp: what a camera reads off a sheet, as one path.

Comes in: a page and its book's stamp.  Goes out: the words of the code, and the path of its dark squares.  Next: `sheet.py`
for whole sheets, and the renderers that set a head of their own.

A QR code by ISO/IEC 18004: alphanumeric, error correction M, version 2, or 3 for a long revision; quiet zone included.  The
mask is always the same, which any reader takes, and with it a code is linear: that of a sum of bits (exclusive or) is the sum
of theirs.  What every single bit does to the squares is found out once, and a code then costs a few hundred additions; a
library would cost more than all the papers as HTML.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from itertools import pairwise

import attrs

from patchloom.pages import Page, Stamp

__all__ = ["CODE_MM", "MASK", "code_path", "code_rows", "code_side", "code_text"]

CODE_MM = 14.0
"""Side of a code on paper, its quiet zone included."""

MASK = 2
"""Which of the eight masks: every third column is turned round."""

_QUIET = 2
_SIGNS = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:"
_VALUES = {sign: value for value, sign in enumerate(_SIGNS)}
_FORMAT = 0b101111001111100
"""Error correction M and mask 2, with its own check bits and mask (ISO/IEC 18004, annex C)."""

_ROOM = {2: (28, 16, 38), 3: (44, 26, 61)}
"""By version: bytes of data, bytes of correction, signs."""

_CHUNK = 5


def code_text(page: Page, stamp: Stamp) -> str:
    """Return what the code of a paper says: two papers belong together when its words but the last agree."""
    revision = "".join(sign if sign in _SIGNS else "-" for sign in stamp.revision.upper())[:25] or "-"
    return f"REV {revision} PATCH {_short(stamp.patch)} PAPER {_short(page.digest)}"


def _short(digest: str) -> str:
    """Return the first eight figures of a digest as the stamp has them, a dash for none."""
    return "".join(sign for sign in digest.rpartition(":")[2].upper()[:8] if sign in _SIGNS) or "-"


def code_side(text: str) -> int:
    """Return the side of a code in squares, its quiet zone included."""
    return 17 + 4 * _version(text) + 2 * _QUIET


@lru_cache(maxsize=4096)
def code_path(text: str) -> str:
    """Return the dark squares as the data of an SVG path, to be stroked one square wide, in a view `code_side` wide and high."""
    side = 17 + 4 * _version(text)
    chunks = -(-side // _CHUNK)
    spare, back = chunks * _CHUNK - side, f"m-{chunks * _CHUNK} 1"
    shifts = range((chunks - 1) * _CHUNK, -1, -_CHUNK)
    strokes, low = _strokes(), (1 << _CHUNK) - 1
    rows = ["".join([strokes[row << spare >> shift & low] for shift in shifts]) for row in code_rows(text)]
    return f"M{_QUIET} {_QUIET}.5{back.join(rows)}"


def code_rows(text: str) -> list[int]:
    """Return the rows of a code from the top, each a number whose bits are its squares, the left one the highest; 1 is dark."""
    code = _linear(_version(text))
    squares, version = code.blank, _version(text)
    for place, byte in enumerate(_bits(text, code.data).to_bytes(code.data, "big")):
        squares ^= _turned(version, place, byte)
    side, full = code.side, (1 << code.side) - 1
    return [squares >> (side * (side - 1 - row)) & full for row in range(side)]


@lru_cache(maxsize=8192)
def _turned(version: int, place: int, byte: int) -> int:
    """Return what a byte of data turns round; codes of one book share most of theirs."""
    each, squares = _linear(version).each, 0
    for bit in range(8):
        if byte >> (7 - bit) & 1:
            squares ^= each[place * 8 + bit]
    return squares


@lru_cache(maxsize=1)
def _strokes() -> list[str]:
    """Return how a pen goes over so many squares, for every pattern of them: along the dark ones, over the light ones."""
    made = []
    for pattern in range(1 << _CHUNK):
        squares = f"{pattern:0{_CHUNK}b}"
        ends = [0, *(n for n in range(1, _CHUNK) if squares[n] != squares[n - 1]), _CHUNK]
        made.append("".join(f"h{b - a}" if squares[a] == "1" else f"m{b - a} 0" for a, b in pairwise(ends)))
    return made


def _version(text: str) -> int:
    return 2 if len(text) <= _ROOM[2][2] else 3


def _bits(text: str, data: int) -> int:
    """Return the bits of a text: mode, length, signs two by two, end, filled up (ISO/IEC 18004, 7.4)."""
    text = text[: _ROOM[3][2]]
    bits, used = 0b0010 << 9 | len(text), 13
    for start in range(0, len(text), 2):
        pair = [_VALUES[sign] for sign in text[start : start + 2]]
        wide = 11 if len(pair) == 2 else 6
        bits, used = bits << wide | (pair[0] * 45 + pair[1] if len(pair) == 2 else pair[0]), used + wide
    end = min(4, data * 8 - used)
    end += -(used + end) % 8
    bits, used = bits << end, used + end
    for place in range((data * 8 - used) // 8):
        bits = bits << 8 | (0xEC, 0x11)[place % 2]
    return bits


@attrs.frozen
class _Linear:
    """A version: the squares of a code of no bits at all, and what each bit of data turns round."""

    side: int
    data: int
    blank: int
    each: tuple[int, ...]


@lru_cache(maxsize=2)
def _linear(version: int) -> _Linear:
    """Return what a code of a version is made of."""
    data, more, _ = _ROOM[version]
    side = 17 + 4 * version
    fixed = _fixed(side)
    where = [1 << (side * side - 1 - row * side - column) for row, column in _walk(side, set(fixed))]
    blank = sum(1 << (side * side - 1 - row * side - column) for (row, column), dark in fixed.items() if dark)
    blank |= sum(place for place, (_, column) in zip(where, _walk(side, set(fixed)), strict=False) if column % 3 == 0)
    halves = [_sums(where[start : start + 4]) for start in range(data * 8, (data + more) * 8, 4)]
    each: list[int] = []
    for byte, checks in enumerate(_checks(data, more)):
        turned = []
        for bit in range(7, -1, -1):  # from the lowest, so that each is twice the one before
            squares = where[byte * 8 + bit]
            for place, check in enumerate(checks):
                squares ^= halves[2 * place][check >> 4] ^ halves[2 * place + 1][check & 15]
            turned.append(squares)
            checks = [_twice(check) for check in checks]
        each += reversed(turned)
    return _Linear(side, data, blank, tuple(each))


def _sums(four: list[int]) -> list[int]:
    """Return what each of the sixteen patterns of four bits turns round."""
    made = [0]
    for squares in reversed(four):
        made += [each ^ squares for each in made]
    return made


def _twice(one: int) -> int:
    return one << 1 ^ (0x11D if one & 0x80 else 0)


def _times(one: int, other: int) -> int:
    """Return a product in the field of 256 with x^8 + x^4 + x^3 + x^2 + 1."""
    product = 0
    while other:
        product ^= one if other & 1 else 0
        one = _twice(one)
        other >>= 1
    return product


def _checks(data: int, more: int) -> list[list[int]]:
    """Return, for each byte of data, the bytes of correction that a one in it gives: powers of x by the generator."""
    generator, root = [1], 1
    for _ in range(more):
        generator = [a ^ _times(b, root) for a, b in zip([*generator, 0], [0, *generator], strict=True)]
        root = _times(root, 2)
    found = [generator[1:]]
    for _ in range(data - 1):
        top, *rest = found[-1]
        found.append([a ^ _times(top, b) for a, b in zip([*rest, 0], generator[1:], strict=True)])
    return found[::-1]


def _fixed(side: int) -> dict[tuple[int, int], bool]:
    """Return the squares that say where, how large and how: finders, alignment, timing, format (ISO/IEC 18004, 6.3 and 7.9)."""
    squares: dict[tuple[int, int], bool] = {}
    for top, left in ((0, 0), (0, side - 7), (side - 7, 0)):
        for row in range(max(0, top - 1), min(side, top + 8)):
            for column in range(max(0, left - 1), min(side, left + 8)):
                far = max(abs(row - top - 3), abs(column - left - 3))
                squares[row, column] = far in (0, 1, 3)
    for n in range(8, side - 8):
        squares[6, n] = squares[n, 6] = n % 2 == 0
    for row in range(side - 9, side - 4):
        for column in range(side - 9, side - 4):
            squares[row, column] = max(abs(row - side + 7), abs(column - side + 7)) != 1
    squares.update(_formats(side))
    return squares


def _formats(side: int) -> Iterator[tuple[tuple[int, int], bool]]:
    """Yield the fifteen bits of the format, twice, and the square that is always dark."""
    upright = [*range(6), 7, 8, *range(side - 7, side)]
    for n in range(15):
        dark = bool(_FORMAT >> n & 1)
        yield (upright[n], 8), dark
        yield (8, side - 1 - n if n < 8 else 7 if n == 8 else 14 - n), dark
    yield (side - 8, 8), True


def _walk(side: int, taken: set[tuple[int, int]]) -> Iterator[tuple[int, int]]:
    """Yield the free squares in the order bits come: two columns at a time from the right, up and down by turns."""
    up = True
    for right in [*range(side - 1, 6, -2), *range(5, 0, -2)]:
        for row in range(side - 1, -1, -1) if up else range(side):
            for column in (right, right - 1):
                if (row, column) not in taken:
                    yield row, column
        up = not up
