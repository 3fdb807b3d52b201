"""Charts of plans as data: a fan of paths, two ways of buying month by month, a ratio and where a change would pay."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from ninefine.papers.charts import NARROW, TEXT, Palette, Point, Spec, drawing, haloed, layer, upright


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """A month of a fan: how many months from now, and the level that each per cent of paths lie below."""

    month: int
    levels: tuple[Decimal, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Named:
    """A line through time with its name, written at its end."""

    name: str
    points: tuple[Point, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Level:
    """A level line with its name."""

    words: str
    value: Decimal
    look: bool = False


def fan(cuts: Sequence[Cut], palette: Palette, width: int, *, unit: str, levels: Sequence[Level] = ()) -> Spec:
    """Paths as bands, the outermost palest; the middle one a line. A single path is the line alone.

    Args:
        cuts: month by month, each with the same number of levels, an odd number.
        palette: the inks.
        width: pixels.
        unit: what the upright axis measures.
        levels: dashed lines across (a break-even, where a cover ends).
    """
    many = len(cuts[0].levels) if cuts else 0
    x = _months(width)
    y = upright(unit, zero=False)
    layers: list[Spec] = []
    for band in range(many // 2):
        rows: list[Spec] = [
            {"x": cut.month, "value": float(cut.levels[band]), "over": float(cut.levels[-1 - band])} for cut in cuts
        ]
        tint = palette.tints[4 - band] if band < 2 else palette.tints[2]
        layers.append(layer(rows, {"type": "area", "color": tint, "opacity": 0.75}, x=x, y=y, y2={"field": "over"}))
    middle: list[Spec] = [{"x": cut.month, "value": float(cut.levels[many // 2])} for cut in cuts]
    layers.append(layer(middle, {"type": "line", "color": palette.ink, "strokeWidth": 2}, x=x, y=y))
    layers += _levels(levels, cuts[0].month if cuts else 0, palette, x, y)
    return drawing(layers, palette, width, 280)


def _levels(levels: Sequence[Level], month: int, palette: Palette, x: Spec, y: Spec) -> list[Spec]:
    """Dashed lines across; of two, the higher one's name stands above it and the lower one's below."""
    layers: list[Spec] = []
    for place, level in enumerate(sorted(levels, key=lambda one: -one.value)):
        ink = palette.red if level.look else palette.pencil
        rows: list[Spec] = [{"x": month, "value": float(level.value), "words": level.words}]
        layers.append(layer(rows, {"type": "rule", "color": ink, "strokeDash": [4, 3]}, y=y))
        drop = -9 if place == 0 else 11
        words = {"type": "text", "align": "left", "dx": 4, "dy": drop, "fontSize": TEXT - 1, "color": ink}
        layers += haloed(rows, words, palette, x=x, y=y, text={"field": "words"})
    return layers


def _months(width: int) -> Spec:
    ticks = 12 if width > NARROW else 6
    axis = {"title": "months from now", "grid": False, "tickCount": ticks, "format": "d"}
    return {"field": "x", "type": "quantitative", "scale": {"nice": False}, "axis": axis}


def lines(named: Sequence[Named], palette: Palette, width: int, *, unit: str, levels: Sequence[Level] = ()) -> Spec:
    """Lines through time, each named at its beginning, the first in the strongest ink; dashed levels named at the end.

    Args:
        named: the first one's name stands above it, any other's below.
        palette: the inks.
        width: pixels.
        unit: what the upright axis measures.
        levels: dashed lines across.
    """
    ticks = 8 if width > NARROW else 4
    x: Spec = {"field": "on", "type": "temporal", "axis": {"title": None, "grid": False, "tickCount": ticks}}
    y = upright(unit, zero=False)
    layers: list[Spec] = []
    for place, one in enumerate(named):
        ink = palette.ink if place == 0 else palette.tints[1]
        rows: list[Spec] = [{"on": point.on.isoformat(), "value": float(point.value)} for point in one.points]
        mark: Spec = {"type": "line", "color": ink, "strokeWidth": 2 if place == 0 else 1.4}
        layers.append(layer(rows, mark, x=x, y=y))
        start = [{**row, "words": one.name} for row in rows[:1]]
        words = {"type": "text", "align": "left", "dx": 4, "dy": -12 if place == 0 else 14, "fontSize": TEXT}
        layers += haloed(start, {**words, "color": ink}, palette, x=x, y=y, text={"field": "words"})
    last = [{"on": one.points[-1].on.isoformat()} for one in named[:1] if one.points]
    for level in levels:
        ink = palette.red if level.look else palette.pencil
        rows = [{**row, "value": float(level.value), "words": level.words} for row in last]
        layers.append(layer(rows, {"type": "rule", "color": ink, "strokeDash": [4, 3]}, y=y))
        note = {"type": "text", "align": "right", "dx": -4, "dy": 11, "fontSize": TEXT - 1, "color": ink}
        layers += haloed(rows, note, palette, x=x, y=y, text={"field": "words"})
    return drawing(layers, palette, width, 280)
