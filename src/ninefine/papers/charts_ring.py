"""A ring as a picture: each partial a line at its height in pitch, as long as it is heard, paler as it dies away.

Where known pieces' partials are expected stands behind as bands. Drawn and labelled as in `charts`.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import log
from typing import Final

from ninefine.papers.charts import NARROW, OWN_INK, Palette, Spec, drawing, haloed, layer, linear

#: Height of the drawing; its foot holds the scale of time.
HEIGHT: Final = 340
#: A line ends where its partial has fallen so far under the strongest one's start, decibel.
_SILENCE = -40.0
#: A line is drawn in so many pieces, each paler than the one before.
_STEP = 8.0
#: Labels stand at least so many pixels apart.
_APART = 17.0
_LONGEST_MS = 1500.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Sounding:
    """A partial: hertz, decay to 1/e in milliseconds, decibel against the strongest, its figure as written."""

    hz: float
    decay_ms: float
    level: float
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Awaited:
    """A span of pitch in which a partial is expected, and the words above it; empty where another band says it."""

    low: float
    high: float
    words: str = ""


def ring_lines(partials: Sequence[Sounding], bands: Sequence[Awaited], palette: Palette, width: int) -> Spec:
    """Partials against time, over the bands in which they are expected.

    Args:
        partials: lowest first.
        bands: lowest first; may lie over one another.
        palette: the inks.
        width: pixels.
    """
    top = 1.06 * max([one.hz for one in partials] + [one.high for one in bands] + [1000.0]) / 1000.0
    ends = [_end(one) for one in partials]
    last = max([min(end, _LONGEST_MS) for end in ends] + [50.0])
    broad = width > NARROW
    right = last * (1.3 if broad else 1.7)  # room for the words at the longest line's end
    heads = {"title": "milliseconds after the strike", "grid": False, "tickCount": 8 if broad else 4}
    x = linear(0.0, right, axis={"orient": "bottom", **heads})
    title = {"title": "kHz", "titleAngle": 0, "titleAlign": "left", "titleAnchor": "end", "titleX": 0, "titleY": -12}
    scale: Spec = {"domain": [0.0, top], "nice": False}
    y: Spec = {"type": "quantitative", "scale": scale, "axis": {**title, "tickCount": 6}}
    shades: list[Spec] = [
        {"x": 0.0, "x2": right, "y": one.low / 1000.0, "y2": one.high / 1000.0, "words": one.words} for one in bands
    ]
    band: Spec = {"type": "rect", "color": palette.feint, "opacity": 0.4}
    name: Spec = {"type": "text", "align": "right", "baseline": "bottom", "dx": -4, "dy": -4, "fontSize": 13}
    lines = [piece for one, end in zip(partials, ends, strict=True) for piece in _pieces(one, end, palette)]
    stroke: Spec = {"type": "rule", "strokeWidth": 3}
    words = _labels(partials, ends, last, top)
    label: Spec = {"type": "text", "align": "left", "dx": 8, "fontSize": 13, "color": palette.ink}
    layers = [
        layer(shades, band, x=x, x2={"field": "x2"}, y={**y, "field": "y"}, y2={"field": "y2"}),
        layer(lines, stroke, x=x, x2={"field": "x2"}, y={**y, "field": "y"}, color=OWN_INK),
        *haloed(words, label, palette, x=x, y={**y, "field": "y"}, text={"field": "words"}),
        layer(
            [shade for shade in shades if shade["words"]],
            {**name, "color": palette.pencil},
            x={**x, "field": "x2"},
            y={**y, "field": "y2"},
            text={"field": "words"},
        ),
    ]
    return drawing(layers, palette, width, HEIGHT)


def _end(one: Sounding) -> float:
    """The time, in milliseconds, at which a partial is no longer drawn."""
    return max(0.0, one.level - _SILENCE) / 20.0 * log(10.0) * one.decay_ms


def _pieces(one: Sounding, end: float, palette: Palette) -> list[Spec]:
    """A line in pieces of some decibels each, from the ink down to the palest tint."""
    pieces: list[Spec] = []
    step = _STEP / 20.0 * log(10.0) * one.decay_ms
    start, level, stop = 0.0, one.level, min(end, _LONGEST_MS)
    while start < stop:
        tint = palette.tints[min(len(palette.tints) - 1, int(-level / _STEP))]
        pieces.append({"x": start, "x2": min(start + step, stop), "y": one.hz / 1000.0, "ink": tint})
        start, level = start + step, level - _STEP
    return pieces


def _labels(partials: Sequence[Sounding], ends: Sequence[float], last: float, top: float) -> list[Spec]:
    """Words at the ends of lines; partials too near for a label each share one."""
    rows: list[Spec] = []
    least = _APART / (HEIGHT - 60.0) * top
    for one, end in zip(partials, ends, strict=True):
        at = one.hz / 1000.0
        if rows and at - rows[-1]["y"] < least:
            rows[-1]["words"] += f", {one.words}"
            rows[-1]["x"] = max(rows[-1]["x"], min(end, last))
        else:
            rows.append({"x": min(end, last), "y": at, "words": one.words})
    return [{**row, "words": f"{row['words']} Hz"} for row in rows]
