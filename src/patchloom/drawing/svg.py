"""SVG text of a placed drawing.

Comes in: a `Scene`.  Goes out: one `<svg>` element as text, the same bytes for the same scene, everything
escaped by the XML library, no ids (so that many drawings can stand in one HTML page), no scripts, no links out.
Next: the SVG and HTML renderers.
"""

from __future__ import annotations

from xml.etree import ElementTree

from patchloom.drawing.metrics import FONTS, MM, is_rtl
from patchloom.drawing.scene import Scene, Shape, Text

__all__ = ["scene_svg"]


def scene_svg(scene: Scene, *, inline: bool = False, family: str = FONTS) -> str:
    """Return the SVG text of a scene.

    `inline` leaves out the XML namespace declaration's companion header, for embedding in HTML; the element is the same.
    `family` names the fonts, the measured one or one no wider.
    """
    root = ElementTree.Element("svg", {
        "xmlns": "http://www.w3.org/2000/svg", "version": "1.1", "role": "img",
        "width": f"{_number(scene.wide)}mm", "height": f"{_number(scene.high)}mm",
        "viewBox": f"0 0 {_number(scene.wide)} {_number(scene.high)}", "font-family": family,
    })
    ElementTree.SubElement(root, "title").text = scene.title
    if scene.about:
        ElementTree.SubElement(root, "desc").text = scene.about
    ElementTree.SubElement(root, "rect", {"width": _number(scene.wide), "height": _number(scene.high), "fill": "#fff"})
    for shape in scene.shapes:
        _shape(root, shape)
    for text in scene.texts:
        _text(root, text)
    ElementTree.indent(root, " ")
    body = ElementTree.tostring(root, encoding="unicode", short_empty_elements=True)
    return body if inline else f'<?xml version="1.0" encoding="UTF-8"?>\n{body}\n'


def _number(value: float) -> str:
    """Return a number with at most two decimals and no minus zero."""
    words = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if words in ("-0", "") else words


def _shape(root: ElementTree.Element, shape: Shape) -> None:
    tag, where = _geometry(shape)
    style = {"fill": shape.fill, "stroke": shape.stroke, "stroke-width": _number(shape.weight)}
    if shape.dash:
        style["stroke-dasharray"] = " ".join(_number(length) for length in shape.dash)
    if shape.kind in ("line", "polygon"):
        style["stroke-linejoin"] = "round"
    ElementTree.SubElement(root, tag, {**where, **style})


def _geometry(shape: Shape) -> tuple[str, dict[str, str]]:
    """Return the SVG element and the attributes that say where it is."""
    x, y = shape.points[0]
    if shape.kind == "circle":
        return "circle", {"cx": _number(x), "cy": _number(y), "r": _number(shape.radius)}
    if shape.kind == "rect":
        right, low = shape.points[1]
        where = {"x": _number(x), "y": _number(y), "width": _number(right - x), "height": _number(low - y)}
        return "rect", {**where, "rx": _number(shape.radius)} if shape.radius else where
    points = " ".join(f"{_number(px)},{_number(py)}" for px, py in shape.points)
    return ("polyline" if shape.kind == "line" else "polygon"), {"points": points}


def _text(root: ElementTree.Element, text: Text) -> None:
    """Write one line; text that runs right to left hangs on its middle, where every renderer agrees."""
    x, anchor, more = text.x, text.anchor, {}
    if is_rtl(text.text):
        x, anchor, more = text.box().centre[0], "middle", {"direction": "rtl"}
    style = {"x": _number(x), "y": _number(text.y), "font-size": f"{text.size * MM:.3f}", "fill": text.colour, **more}
    if anchor != "start":
        style["text-anchor"] = anchor
    if text.bold:
        style["font-weight"] = "bold"
    ElementTree.SubElement(root, "text", style).text = text.text
