"""The look of the papers, in one place: sizes in points and millimetres, and the style sheet made of them.

Comes in: nothing.  Goes out: constants for whoever measures, and CSS.

Read in the dark at 0.4 to 1 m: black on white, no pale grey, no thin type; colour carries nothing.  Sizes are
common practice (capital height about distance / 200): body 10 pt, names 12 pt bold, a socket sheet's source
14 pt and socket 16 pt, rows 6.5 mm or more so that they can be written in.
"""

from __future__ import annotations

import attrs

from patchloom.drawing.code import CODE_MM
from patchloom.drawing.fonts import web
from patchloom.drawing.metrics import MM

__all__ = [
    "BIG",
    "BODY",
    "FONTS",
    "HEAD",
    "LANDSCAPE",
    "LARGE",
    "LEAD",
    "LEFT",
    "MARGIN",
    "MARK",
    "PAD_X",
    "PAD_Y",
    "PORTRAIT",
    "ROW",
    "RULE",
    "SMALL",
    "STRONG",
    "Shape",
    "Type",
    "style",
]

FONTS = "'Patchloom Sans', 'DejaVu Sans', 'Noto Sans', Verdana, 'Noto Sans CJK JP', 'Noto Sans Arabic', Arial, sans-serif"
"""The font a file brings along first, then, for other letters, the measured one and fonts no wider."""

LEAD = 1.2
"""From baseline to baseline, in type sizes."""

ROW = 6.5
"""The lowest row of a table, in mm."""

LEFT = 0.52
"""Share of a head's width for what stands on its left."""

MARGIN = 10.0
"""The margin of every sheet, in mm."""

PAD_X, PAD_Y, RULE = 1.1, 0.7, 0.3
"""Room left and right of a cell's text, above and below it, and the rule under a row, in mm."""


@attrs.frozen
class Type:
    """A size of type."""

    points: float
    bold: bool = False

    @property
    def line(self) -> float:
        """Return the height of a line in mm."""
        return self.points * MM * LEAD


SMALL, BODY, HEAD = Type(9), Type(10), Type(9, True)
STRONG, BIG, MARK = Type(12, True), Type(14, True), Type(16, True)


@attrs.frozen
class Shape:
    """The room inside the margins of a sheet that is both A4 and Letter, in mm."""

    name: str
    wide: float
    high: float


PORTRAIT = Shape("tall", 189.0, 257.0)
LANDSCAPE = Shape("wide", 257.0, 188.0)
LARGE = Shape("large", 399.0, 257.0)
"""A3 or Tabloid, for a drawing that A4 does not hold in one piece."""

_STYLE = f"""
*{{box-sizing:border-box}}
html{{background:#fff;color:#000;font-family:{FONTS};font-size:{BODY.points}pt;line-height:{LEAD};-webkit-print-color-adjust:exact;
print-color-adjust:exact;font-variant-numeric:tabular-nums lining-nums;text-size-adjust:100%;-webkit-text-size-adjust:100%}}
body{{margin:0}}
body{{overflow-wrap:anywhere}}
.sheet{{padding:0;break-after:page;break-inside:avoid-page;margin:0 auto;position:relative}}
.sheet:last-child{{break-after:auto}}
.tall{{width:{PORTRAIT.wide}mm;page:tall}}
.wide{{width:{LANDSCAPE.wide}mm;page:wide}}
.large{{width:{LARGE.wide}mm;page:large}}
@page{{margin:10mm}}
@page tall{{size:portrait;margin:10mm}}
@page wide{{size:landscape;margin:10mm}}
@page large{{size:A3 landscape;margin:10mm}}
header{{display:flex;justify-content:space-between;gap:4mm;border-bottom:0.7mm solid #000;padding-bottom:1mm;margin-bottom:1.5mm}}
svg{{display:block;max-width:100%;height:auto}}
.what{{flex:none;width:{LEFT * 100:g}%}}
.stamp{{flex:1;min-width:0;text-align:right;font-size:{SMALL.points}pt}}
svg.code{{flex:none;width:{CODE_MM}mm;height:{CODE_MM}mm}}
h1{{font-size:{MARK.points}pt;line-height:{LEAD};margin:0}}
.rev{{font-size:{STRONG.points}pt;font-weight:bold}}
p{{margin:0}}
.about{{font-size:{SMALL.points}pt}}
h2{{font-size:{STRONG.points}pt;line-height:{LEAD};margin:0;padding:1.5mm 0 1mm}}
table{{border-collapse:separate;border-spacing:0;width:100%;table-layout:fixed}}
th{{font-size:{HEAD.points}pt;text-align:left;vertical-align:bottom;padding:{PAD_Y}mm {PAD_X}mm;border-bottom:0.6mm solid #000}}
td{{padding:{PAD_Y}mm {PAD_X}mm;height:{ROW}mm;vertical-align:middle;border-bottom:0.2mm solid #000;border-left:0.2mm solid #000;
overflow-wrap:anywhere}}
td:first-child,th:first-child{{border-left:0}}
table.bare{{border-top:0.6mm solid #000}}
tbody{{break-inside:avoid}}
tbody.block tr:first-child td{{border-top:0.7mm solid #000}}
tr{{break-inside:avoid}}
.box{{display:inline-block;width:4.2mm;height:4.2mm;border:0.4mm solid #000;vertical-align:middle}}
td.loud{{font-weight:bold}}
td.big{{font-weight:bold;font-size:{BIG.points}pt}}
td.section{{font-weight:bold;font-size:{STRONG.points}pt;border-left:0}}
.note{{font-size:{SMALL.points}pt;padding:0.8mm 0 0}}
.said{{font-size:{SMALL.points}pt;padding:0.8mm 0 0}}
.loudly{{border:0.9mm solid #000;font-weight:bold;font-size:{BODY.points}pt;padding:0.7mm 1.5mm;margin:1mm 0 0}}
.caution{{font-size:{SMALL.points}pt;padding:0.8mm 0 0}}
.step{{display:flex;gap:2.5mm;padding:1mm 0;border-bottom:0.2mm solid #000}}
.step>.box{{flex:none;margin-top:0.4mm}}
.step>.n{{flex:none;width:8mm;text-align:right}}
.step>.do{{flex:1}}
.warn{{font-size:{SMALL.points}pt;font-weight:bold;border-left:1.2mm solid #000;padding-left:1.5mm;margin:0.5mm 0}}
.cols{{display:flex;gap:4mm;padding-top:0.5mm}}
.cols>div{{flex:1 1 0;min-width:0}}
.cols p{{padding:0.3mm 0}}
nav{{padding:4mm;margin:0 auto;max-width:{PORTRAIT.wide}mm}}
nav a{{color:#000;display:block;padding:1.5mm 0}}
@media screen{{.sheet{{padding:6mm 0;border-bottom:0.3mm dashed #000;max-width:100%}}}}
@media print{{nav{{display:none}}}}
@media screen and (max-width:700px){{
html{{font-size:16px}}
.sheet,.tall,.wide{{width:auto;padding:3mm}}
header{{display:block}}.what,.stamp{{width:auto;text-align:left;font-size:16px}}
.about,.note,.caution,.warn,.said{{font-size:16px}}
table,tbody{{display:block}}thead{{display:none}}
tr{{display:flex;flex-wrap:wrap;gap:0 4mm;align-items:baseline;border-bottom:0.4mm solid #000;padding:2mm 0}}
td,td:first-child{{display:block;width:auto;border:0;height:auto;text-align:left;padding:0.4mm 0}}
td:empty{{display:none}}
td::before{{font-weight:normal;font-size:16px}}
tbody.block tr:first-child td{{border-top:0}}tbody.block{{border-top:1mm solid #000}}
.again{{display:none}}
.cols{{display:block}}
}}
"""


def style() -> str:
    """Return the style sheet, its font included."""
    return f"{web()}{_STYLE.rstrip()}"
