"""Charts of the bench as data: a reading among the spans that it is held against, and what may hide in a roll.

Drawn and labelled as in `charts`: words on the thing that they name, no legends, black on white for the printer.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from ninefine.papers.charts import OWN_INK, Palette, Spec, drawing, haloed, layer, linear, pixels

#: Height of one line, and of what stands above the lines and under them.
LINE: Final = 30
HEAD: Final = 40
FOOT: Final = 54
#: Height of the bars of likelihood, with their scale.
BARS: Final = 240


@dataclass(frozen=True, slots=True, kw_only=True)
class SpanAt:
    """Between which figures something may lie: its name and, as written, the two ends."""

    name: str
    low: float
    high: float
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadAt:
    """A reading with its interval, and the figure as written; `look` where it lies outside."""

    value: float
    low: float
    high: float
    words: str
    look: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Chance:
    """How likely a number of strangers is, in per cent."""

    number: int
    percent: float


def reading_among(spans: Sequence[SpanAt], read: ReadAt, palette: Palette, width: int, *, unit: str) -> Spec:
    """Each span a line with its words above; the reading a band and a line across them all.

    Args:
        spans: in the order drawn.
        read: the reading.
        palette: the inks.
        width: pixels.
        unit: under the scale.
    """
    ends = [read.low, read.high, *(one.low for one in spans), *(one.high for one in spans)]
    low, high = min(ends), max(ends)
    pad = (high - low) * 0.06 or 1.0
    height = HEAD + LINE * len(spans)
    axis: Spec = {"orient": "bottom", "title": unit, "grid": False, "tickCount": 5, "labelOverlap": True}
    x = linear(low - pad, high + pad, axis=axis)
    y = pixels(height)
    level = {**y, "field": "y", "type": "quantitative"}
    ink = palette.red if read.look else palette.ink
    lines: list[Spec] = [
        {
            "x": one.low,
            "x2": one.high,
            "y": 34 + LINE * place + 17,
            "above": 34 + LINE * place + 3,
            "words": f"{one.name}: {one.words}",
            "ink": palette.tints[min(place + 1, 3)],
        }
        for place, one in enumerate(spans)
    ]
    at: list[Spec] = [{"x": read.value, "low": read.low, "high": read.high, "words": read.words}]
    right = read.value > (low + high) / 2
    name: Spec = {"type": "text", "fontSize": 13, "fontWeight": 700, "color": ink}
    name |= {"align": "right" if right else "left", "dx": -6 if right else 6}
    words: Spec = {"type": "text", "fontSize": 13, "color": palette.pencil, "align": "left"}
    band: Spec = {"type": "rect", "color": palette.feint, "opacity": 0.7}
    layers = [
        layer(at, band, x={**x, "field": "low"}, x2={"field": "high"}, y={**y, "datum": 14}, y2={"datum": height}),
        layer(lines, {"type": "rule", "strokeWidth": 5}, x=x, x2={"field": "x2"}, y=level, color=OWN_INK),
        layer(at, {"type": "rule", "color": ink, "strokeWidth": 2}, x=x, y={**y, "datum": 14}, y2={"datum": height}),
        *haloed(lines, words, palette, x={"value": 0}, y={**level, "field": "above"}, text={"field": "words"}),
        *haloed(at, name, palette, x=x, y={**y, "datum": 6}, text={"field": "words"}),
    ]
    return drawing(layers, palette, width, height + FOOT)


def chances(rows: Sequence[Chance], palette: Palette, width: int, *, unit: str) -> Spec:
    """How likely each number of strangers is: a bar for each, its per cent above.

    Args:
        rows: in the order of numbers.
        palette: the inks.
        width: pixels.
        unit: under the scale.
    """
    tallest = max((one.percent for one in rows), default=1.0)
    step = width / max(len(rows), 1)
    numbers = [one.number for one in rows] or [0]
    x = linear(
        min(numbers) - 0.6,
        max(numbers) + 0.6,
        axis={"orient": "bottom", "title": unit, "grid": False, "values": numbers, "format": "d", "labelOverlap": True},
    )
    y: Spec = {
        "field": "percent",
        "type": "quantitative",
        "axis": None,
        "scale": {"domain": [0, tallest * 1.15], "nice": False},
    }
    bars: list[Spec] = [
        {"x": one.number, "percent": one.percent, "words": f"{one.percent:.0f}%", "ink": palette.tints[1]}
        for one in rows
    ]
    words: Spec = {"type": "text", "fontSize": 13, "color": palette.ink, "dy": -9}
    bar: Spec = {"type": "bar", "width": max(4, step * 0.6)}
    layers = [layer(bars, bar, x=x, y=y, color=OWN_INK)]
    if step > 26:  # narrower bars have no room for words; the table beside says them
        layers += haloed(bars, words, palette, x=x, y=y, text={"field": "words"})
    return drawing(layers, palette, width, BARS)
