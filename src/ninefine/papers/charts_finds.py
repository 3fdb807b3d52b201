"""Charts of what may be found and what it would bring, as data: how far a search reaches, a sheet's prices, triage.

Drawn and labelled as in `charts`: words on the thing that they name, no legends, black on white for the printer.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from ninefine.papers.charts import OWN_INK, Palette, Spec, drawing, haloed, layer, linear, pixels, upright

#: Height of one line, and of what stands above the lines and under them.
LINE: Final = 30
HEAD: Final = 40
FOOT: Final = 54


@dataclass(frozen=True, slots=True, kw_only=True)
class Reach:
    """How many pieces until one of something is found with a chance of 50% and of 95%."""

    name: str
    half: int
    nearly: int
    look: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class ListedAt:
    """A grade that a sheet lists, with its low and high price."""

    number: int
    grade: str
    low: Decimal
    high: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Over:
    """What a piece would net over what it brings in the heap, from low to high."""

    name: str
    low: Decimal
    mid: Decimal
    high: Decimal
    words: str
    look: bool = False


def reach_lines(rows: Sequence[Reach], at: int, palette: Palette, width: int, *, at_words: str, unit: str) -> Spec:
    """For each thing a line from the pieces of an even chance to those of a near certainty; the bag across them all.

    Args:
        rows: in the order drawn.
        at: pieces of the bag.
        palette: the inks.
        width: pixels.
        at_words: the bag's name, at its line.
        unit: under the scale.
    """
    low = 10 ** math.floor(math.log10(max(1, min([row.half for row in rows] + [at]))))
    high = 10 ** math.ceil(math.log10(max([row.nearly for row in rows] + [at, low * 10])))
    turn = math.sqrt(low * high)
    lines: list[Spec] = [
        {
            "x": row.half,
            "x2": row.nearly,
            "y": 34 + LINE * place + 17,
            "above": 34 + LINE * place + 3,
            "words": row.name,
            "ink": palette.red if row.look else palette.tints[1],
            "left": row.half > turn,
        }
        for place, row in enumerate(rows)
    ]
    height = HEAD + LINE * len(rows)
    axis = {"orient": "bottom", "title": unit, "grid": False, "tickCount": 5, "format": ",d"}
    scale: Spec = {"type": "log", "domain": [low, high], "nice": False}
    x: Spec = {"field": "x", "type": "quantitative", "scale": scale, "axis": axis}
    y = pixels(height)
    level = {**y, "field": "y", "type": "quantitative"}
    layers = [
        layer(
            [{"x": at}], {"type": "rule", "color": palette.ink, "strokeDash": [4, 3]}, x=x, y={**y, "datum": 14},
            y2={"datum": height},
        ),
        layer(lines, {"type": "rule", "strokeWidth": 3}, x=x, x2={"field": "x2"}, y=level, color=OWN_INK),
    ]  # fmt: skip
    dot: Spec = {"type": "point", "filled": True, "size": 60, "opacity": 1}
    ring: Spec = {**dot, "fill": palette.ground, "strokeWidth": 2}
    layers.append(layer(lines, dot, x=x, y=level, color=OWN_INK))
    layers.append(layer(lines, ring, x={**x, "field": "x2"}, y=level, stroke=OWN_INK))
    for left in (False, True):
        side = [line for line in lines if line["left"] == left]
        words: Spec = {"type": "text", "align": "right" if left else "left", "fontSize": 13, "color": palette.ink}
        edge = {**x, "field": "x2" if left else "x"}
        layers += haloed(side, words, palette, x=edge, y={**level, "field": "above"}, text={"field": "words"})
    name: Spec = {"type": "text", "fontSize": 13, "color": palette.pencil, "align": "right" if at > turn else "left"}
    layers += haloed([{"x": at, "words": at_words}], name, palette, x=x, y={**y, "datum": 6}, text={"field": "words"})
    return drawing(layers, palette, width, height + FOOT)


def price_curve(rows: Sequence[ListedAt], palette: Palette, width: int, *, unit: str) -> Spec:
    """What a sheet says of an issue: low and high at each listed grade, straight between on a logarithmic scale.

    Args:
        rows: from the lowest grade to the highest.
        palette: the inks.
        width: pixels.
        unit: the currency.
    """
    points: list[Spec] = [
        {"x": row.number, "low": float(row.low), "high": float(row.high), "words": row.grade} for row in rows
    ]
    first, last = (min(row.number for row in rows), max(row.number for row in rows)) if rows else (1, 70)
    x = linear(first - 3, last + 4, axis={"orient": "bottom", "title": "grade", "grid": False, "tickCount": 7})
    scale: Spec = {"type": "log", "nice": False, "padding": 14}
    y: Spec = {**upright(unit, zero=False), "field": "high", "scale": scale}
    low = {**y, "field": "low"}
    shade: Spec = {"type": "area", "color": palette.feint, "opacity": 0.55}
    line: Spec = {"type": "line", "color": palette.tints[1], "strokeWidth": 1.6}
    dot: Spec = {"type": "point", "filled": True, "size": 46, "color": palette.ink, "opacity": 1}
    word: Spec = {"type": "text", "dy": -13, "fontSize": 13, "color": palette.ink}
    layers = [
        layer(points, shade, x=x, y=y, y2={"field": "low"}),
        *(layer(points, line, x=x, y=end) for end in (low, y)),
        *(layer(points, dot, x=x, y=end) for end in (low, y)),
        *haloed(points, word, palette, x=x, y=y, text={"field": "words"}),
    ]
    return drawing(layers, palette, width, 260)


def over_the_heap(rows: Sequence[Over], threshold: Decimal, palette: Palette, width: int, *, unit: str) -> Spec:
    """For each piece a line from the low to the high end of what it nets over the heap; the threshold across them all.

    The scale runs by the logarithm away from nought, on both sides of it.

    Args:
        rows: in the order drawn.
        threshold: what a piece must pass to be pulled.
        palette: the inks.
        width: pixels.
        unit: the currency, with its words.
    """
    ends = [float(end) for row in rows for end in (row.low, row.high)]
    low, high = min([*ends, 0.0]), max([*ends, float(threshold), 1.0])
    height = HEAD + LINE * len(rows)
    scale: Spec = {"type": "symlog", "constant": 2, "domain": [low * 1.25, high * 1.25], "nice": False}
    ticks = [
        tick for tick in (-100, -30, -10, -3, 0, 3, 10, 30, 100, 300, 1000, 3000) if low * 1.2 <= tick <= high * 1.2
    ]
    axis: Spec = {"orient": "bottom", "title": unit, "grid": False, "values": ticks, "labelOverlap": True}
    x: Spec = {"field": "x", "type": "quantitative", "scale": scale, "axis": axis}
    y = pixels(height)
    level = {**y, "field": "y", "type": "quantitative"}
    lines: list[Spec] = [
        {
            "x": float(row.low),
            "mid": float(row.mid),
            "x2": float(row.high),
            "y": 51 + LINE * place,
            "above": 37 + LINE * place,
            "words": f"{row.name}: {row.words}",
            "ink": palette.ink if row.look else palette.tints[2],
        }
        for place, row in enumerate(rows)
    ]
    nought: Spec = {"type": "rule", "color": palette.rule}
    line: Spec = {"type": "rule", "color": palette.ink, "strokeDash": [4, 3]}
    name: Spec = {"type": "text", "fontSize": 13, "color": palette.pencil, "align": "left", "dx": 4}
    words: Spec = {"type": "text", "fontSize": 13, "color": palette.ink, "align": "left"}
    dot: Spec = {"type": "point", "filled": True, "size": 54, "opacity": 1}
    at = [{"x": float(threshold), "words": "the threshold"}]
    layers = [
        layer([{"x": 0.0}], nought, x=x, y={**y, "datum": 22}, y2={"datum": height}),
        layer(at, line, x=x, y={**y, "datum": 14}, y2={"datum": height}),
        layer(lines, {"type": "rule", "strokeWidth": 5}, x=x, x2={"field": "x2"}, y=level, color=OWN_INK),
        layer(lines, dot, x={**x, "field": "mid"}, y=level, color=OWN_INK),
        *haloed(lines, words, palette, x={"value": 0}, y={**level, "field": "above"}, text={"field": "words"}),
        *haloed(at, name, palette, x=x, y={**y, "datum": 6}, text={"field": "words"}),
    ]
    return drawing(layers, palette, width, height + FOOT)
