"""What every drawing must keep to, measured on its scene."""

from __future__ import annotations

from xml.etree import ElementTree

from patchloom.drawing import SMALLEST, Scene, scene_svg
from patchloom.drawing.scene import Box

SLACK = 0.05
"""Millimetres that two boxes may share before they count as one over the other."""


def faults(scene: Scene) -> list[str]:
    """Return every breach: text over text, anything off the sheet, type too small, an SVG that does not parse."""
    found = []
    sheet = Box(0, 0, scene.wide, scene.high).grown(SLACK)
    boxes = [(text, text.box()) for text in scene.texts]
    for index, (text, box) in enumerate(boxes):
        if text.size < SMALLEST:
            found.append(f"{text.text!r} is {text.size} pt")
        if not box.inside(sheet):
            found.append(f"{text.text!r} leaves the sheet: {box}")
        found += [
            f"{text.text!r} lies over {other.text!r}: {box} {near}"
            for other, near in boxes[index + 1 :]
            if box.meets(near, -SLACK)
        ]
    found += [f"{shape.kind} leaves the sheet: {shape.box()}" for shape in scene.shapes if not shape.box().inside(sheet)]
    root = ElementTree.fromstring(scene_svg(scene))
    words = [node.text for node in root.iter() if node.tag.endswith("}text")]
    if words != [text.text for text in scene.texts]:
        found.append("the SVG does not hold the scene's texts")
    return found
