"""Make the papers' fonts anew: run `python docs/fonts.py FOLDER`; needs fonttools and brotli.  Without FOLDER only those for
browsers are made, out of the fonts that are there.

FOLDER holds `Inter-Regular.woff2` and `Inter-Bold.woff2` (Inter 4.1, SIL Open Font License, as in the npm package
inter-ui) and `DejaVuSans.ttf` and `DejaVuSans-Bold.ttf` (DejaVu 2.37).  Out of Inter comes Patchloom Sans: figures of one
width, a zero with a slash, an I with bars and an l with a tail as its only forms, and no feature that rewrites what a
name says (Inter turns `->` into an arrow).  DejaVu goes in as it is, for the scripts Inter lacks.  Beside them stands
`fonts.json`: which letters there are, and how wide those of Patchloom Sans.
"""

from __future__ import annotations

import json
import shutil
import sys
from pathlib import Path
from typing import Any

from fontTools import subset
from fontTools.ttLib import TTFont

HERE = Path(__file__).parent.parent / "src" / "patchloom" / "drawing" / "fonts"
FAMILY = "Patchloom Sans"
WEB = "U+20-7E,U+A0-17F,U+2010-2027,U+2030-203A,U+20AC,U+2190-2193,U+2212"
WEIGHTS = ("Regular", "Bold")
FIGURES = ("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")


def apart(font: Any) -> dict[str, str]:
    """Return the glyphs that take the place of others: those Inter keeps for telling letters apart, and even figures."""
    swaps: dict[str, str] = {}
    table = font["GSUB"].table
    for record in table.FeatureList.FeatureRecord:
        if record.FeatureTag == "ss02":
            for index in record.Feature.LookupListIndex:
                for row in table.LookupList.Lookup[index].SubTable:
                    swaps.update(getattr(getattr(row, "ExtSubTable", row), "mapping", {}))
    swaps.update({name: f"{name}.tf" for name in FIGURES})
    return {**swaps, "zero": "zero.tf.slash"}


def made(source: Path, weight: str) -> TTFont:
    """Return Patchloom Sans in a weight."""
    font = TTFont(source / f"Inter-{weight}.woff2")
    font.flavor = None
    swaps = apart(font)
    for table in font["cmap"].tables:
        table.cmap.update({code: swaps[name] for code, name in table.cmap.items() if name in swaps})
    options = subset.Options()
    options.layout_features = ["kern", "mark", "mkmk", "ccmp", "locl"]
    options.hinting, options.notdef_outline, options.recalc_timestamp, options.name_IDs = False, True, False, ["*"]
    chosen = subset.Subsetter(options)
    chosen.populate(unicodes=[code for code in font.getBestCmap() if code < 0x2C00 or 0xFB00 <= code <= 0xFB06 or code == 0xFFFD])
    chosen.subset(font)
    names = font["name"]
    names.names = [row for row in names.names if row.nameID in (0, 13, 14) and row.platformID == 3]
    made_of = "Made from Inter 4.1 by The Inter Project Authors: figures of one width; 0, 1, I and l told apart."
    for number, words in (
        (1, FAMILY),
        (2, weight),
        (3, f"{FAMILY} {weight} 1"),
        (4, f"{FAMILY} {weight}"),
        (5, "Version 1.000"),
        (6, f"PatchloomSans-{weight}"),
        (10, made_of),
    ):
        names.setName(words, number, 3, 1, 0x409)
    return font


def runs(widths: dict[int, int]) -> list[list[int]]:
    """Return widths by runs of code points: [first, width, count, width, count, ...]."""
    rows: list[list[int]] = []
    before = -2
    for code in sorted(widths):
        if code != before + 1:
            rows.append([code])
        if len(rows[-1]) > 1 and rows[-1][-2] == widths[code]:
            rows[-1][-1] += 1
        else:
            rows[-1] += [widths[code], 1]
        before = code
    return rows


def spans(codes: set[int]) -> list[list[int]]:
    """Return code points as [first, last]."""
    rows: list[list[int]] = []
    for code in sorted(codes):
        if rows and rows[-1][1] == code - 1:
            rows[-1][1] = code
        else:
            rows.append([code, code])
    return rows


def for_browsers(weight: str) -> None:
    """Write the font a page can bring along: the letters of Western and Central Europe, packed."""
    font = TTFont(HERE / f"PatchloomSans-{weight}.ttf")
    options = subset.Options()
    options.layout_features = ["kern", "mark", "mkmk", "ccmp", "locl"]
    options.notdef_outline, options.recalc_timestamp, options.name_IDs, options.flavor = True, False, ["*"], "woff2"
    chosen = subset.Subsetter(options)
    chosen.populate(unicodes=subset.parse_unicodes(WEB))
    chosen.subset(font)
    subset.save_font(font, str(HERE / f"PatchloomSans-{weight}.woff2"), options)


def main(source: Path) -> None:
    """Write the fonts and what is known of them."""
    data: dict[str, Any] = {
        "about": "Code points the papers' fonts hold, as [first, last], and advance widths of Patchloom Sans in thousandths "
        "of the type size, by runs of code points: [first, width, count, width, count, ...].",
    }
    known: set[int] = set()
    for weight in WEIGHTS:
        font = made(source, weight)
        font.save(HERE / f"PatchloomSans-{weight}.ttf")
        wide, unit = font["hmtx"], font["head"].unitsPerEm
        data[weight.lower()] = runs({code: -(-wide[name][0] * 1000 // unit) for code, name in font.getBestCmap().items()})
        known |= set(font.getBestCmap())
    for name in ("DejaVuSans.ttf", "DejaVuSans-Bold.ttf"):
        shutil.copyfile(source / name, HERE / name)
    known |= set(TTFont(source / "DejaVuSans.ttf").getBestCmap())
    body = ",\n".join(
        f" {json.dumps(key)}: {json.dumps(value, separators=(',', ':'))}"
        for key, value in {**data, "known": spans(known)}.items()
    )
    (HERE / "fonts.json").write_text(f"{{\n{body}\n}}\n", encoding="utf-8")


if __name__ == "__main__":
    if len(sys.argv) > 1:
        main(Path(sys.argv[1]))
    for each in WEIGHTS:
        for_browsers(each)
