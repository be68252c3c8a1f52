"""A picture of growth: one line for each row of points, both axes by powers of ten.

Comes in: names and (wants, time) points.  Goes out: SVG text.  Next: `bench` writes it.
"""

from __future__ import annotations

from html import escape
from math import ceil, floor, log10

__all__ = ["picture", "slope"]

WIDE, HIGH, LEFT, BELOW, ABOVE, RIGHT = 760, 460, 70, 60, 40, 44
COLOURS = ("#1b5e8c", "#b2541a", "#4d7a2b", "#7a3b8f")
DASHES = ("", "7 4", "2 3", "9 3 2 3")
Points = list[tuple[float, float]]


def slope(points: Points) -> float:
    """Return the growth exponent: the slope of the least-squares line through the logarithms."""
    xs, ys = [log10(x) for x, _ in points], [log10(y) for _, y in points]
    mean_x, mean_y = sum(xs) / len(xs), sum(ys) / len(ys)
    return sum((x - mean_x) * (y - mean_y) for x, y in zip(xs, ys, strict=True)) / sum((x - mean_x) ** 2 for x in xs)


def picture(lines: dict[str, Points]) -> str:
    """Return the SVG of some lines."""
    every = [point for points in lines.values() for point in points]
    low_x, top_x = floor(min(log10(x) for x, _ in every)), ceil(max(log10(x) for x, _ in every))
    low_y, top_y = floor(min(log10(y) for _, y in every)), max(1, ceil(max(log10(y) for _, y in every)))

    def at(x: float, y: float) -> tuple[float, float]:
        across = (log10(x) - low_x) / (top_x - low_x)
        up = (log10(y) - low_y) / (top_y - low_y)
        return LEFT + across * (WIDE - LEFT - RIGHT), HIGH - BELOW - up * (HIGH - BELOW - ABOVE)

    rows = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDE} {HIGH}" font-family="sans-serif" font-size="13">',
        f'<rect width="{WIDE}" height="{HIGH}" fill="#fff"/>',
        f'<text x="{LEFT}" y="24" font-size="15">Time against number of wants (the smallest of each line is 1)</text>',
    ]
    for power in range(low_x, top_x + 1):
        x, y = at(10**power, 10**low_y)
        rows.append(f'<path d="M{x:.1f} {ABOVE}V{y:.1f}" stroke="#ccc"/>')
        rows.append(f'<text x="{x:.1f}" y="{y + 20:.1f}" text-anchor="middle">{10**power:,}</text>')
    for power in range(low_y, top_y + 1):
        x, y = at(10**low_x, 10.0**power)
        rows.append(f'<path d="M{x:.1f} {y:.1f}H{WIDE - RIGHT}" stroke="#ccc"/>')
        rows.append(f'<text x="{x - 8:.1f}" y="{y + 4:.1f}" text-anchor="end">{10.0**power:g}x</text>')
    rows.append(f'<text x="{(LEFT + WIDE) / 2}" y="{HIGH - 14}" text-anchor="middle">wants</text>')
    for number, (name, points) in enumerate(lines.items()):
        colour, dash = COLOURS[number % 4], DASHES[number % 4]
        places = [at(*point) for point in points]
        path = "M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in places)
        rows.append(f'<path d="{path}" fill="none" stroke="{colour}" stroke-width="2" stroke-dasharray="{dash}"/>')
        rows += [f'<circle cx="{x:.1f}" cy="{y:.1f}" r="3.5" fill="{colour}"/>' for x, y in places]
        grows = f", exponent {slope(points):.2f}" if len(points) > 1 else ""
        y = ABOVE + 20 + 20 * number
        rows.append(f'<path d="M{LEFT + 14} {y - 4}h34" stroke="{colour}" stroke-width="2" stroke-dasharray="{dash}"/>')
        rows.append(f'<text x="{LEFT + 56}" y="{y}">{escape(name + grows)}</text>')
    return "\n".join([*rows, "</svg>", ""])
