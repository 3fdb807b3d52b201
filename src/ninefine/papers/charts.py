"""Charts as data: Vega-Lite v6 specifications, plain dicts, drawn elsewhere.

Every builder takes records whose words are already written, a palette and a width, and gives a specification that needs
no data from outside. Labels stand on the thing that they name; there are no legends to look up. Positions are floats:
they place ink on paper and leave here in no other way.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any, Final

Spec = dict[str, Any]
SCHEMA: Final = "https://vega.github.io/schema/vega-lite/v6.json"
FONT: Final = "Alegreya Sans, Gill Sans, Gill Sans MT, Calibri, Candara, sans-serif"

TEXT = 14
_STEP = 22  # pixels between two labels of a ladder
_BAR_STEP = 44  # pixels between two bars, with the words above each
NARROW = 420  # below this a drawing leaves things out
OWN_INK: Final[dict[str, Any]] = {"field": "ink", "type": "nominal", "scale": None}  # each row carries its colour


@dataclass(frozen=True, slots=True, kw_only=True)
class Palette:
    """The inks of one ground. `tints` run from the strongest to the palest; `red` is only for "look here"."""

    ground: str
    ink: str
    pencil: str
    rule: str
    feint: str
    red: str
    tints: tuple[str, str, str, str, str]


PAPER: Final = Palette(
    ground="#f6f1e3", ink="#16233f", pencil="#56534b", rule="#717d92", feint="#c3ccd6", red="#a4161a",
    tints=("#16233f", "#4c5d80", "#7f8fae", "#a9b5c9", "#cdd4de"),
)  # fmt: skip
SLATE: Final = Palette(
    ground="#20292f", ink="#efeadd", pencil="#b9bbb4", rule="#82919b", feint="#43515b", red="#ff9e90",
    tints=("#efeadd", "#bcc2c1", "#8fa0a8", "#6b7f8a", "#506470"),
)  # fmt: skip
#: Black on white, for the printer: "look here" is told by the words alone.
WHITE: Final = Palette(
    ground="#ffffff", ink="#000000", pencil="#333333", rule="#555555", feint="#bbbbbb", red="#000000",
    tints=("#000000", "#444444", "#888888", "#b0b0b0", "#d4d4d4"),
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Share:
    """A part of a whole: its name, its per cent, and the figure as written."""

    name: str
    percent: Decimal
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RulerMark:
    """An offer on the ruler: its name, where it stands, the figure as written, and whether to look at it."""

    name: str
    at: Decimal
    words: str
    look: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """A bar: its name, its length, the figure as written, and whether to look at it."""

    name: str
    length: Decimal
    words: str
    look: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Point:
    """A value on a day."""

    on: date
    value: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class DayMark:
    """Something that happened on a day, at a value: a purchase, a sale."""

    on: date
    value: Decimal
    words: str
    look: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class YearCount:
    """Pieces found of one year, and how many a fair draw would have held, where that is known."""

    year: int
    found: int
    expected: Decimal | None = None


def share_bar(shares: Sequence[Share], palette: Palette, width: int) -> Spec:
    """A whole as a hundred reeds of a coin's edge, one for each per cent, each part named on a ladder below.

    Args:
        shares: in the order drawn, left to right; their per cents sum to about 100.
        palette: the inks.
        width: pixels.
    """
    height = 46 + _STEP * len(shares)
    reeds: list[Spec] = []
    rungs: list[Spec] = []
    start = Decimal(0)
    for place, share in enumerate(shares):
        tint = palette.tints[min(place, len(palette.tints) - 1)]
        end = start + share.percent
        reeds += [{"x": i + 0.5, "ink": tint} for i in range(100) if start <= i + Decimal("0.5") < end]
        rungs.append(_rung(f"{share.name}: {share.words}", float(start), y=52 + _STEP * place, top=36, turn=55))
        start = end
    x = linear(0, 100)
    y = pixels(height)
    stroke = {"type": "rule", "strokeWidth": width / 100 * 0.62}
    layers = [
        layer(reeds, stroke, x=x, y={**y, "datum": 4}, y2={"datum": 30}, color=OWN_INK),
        *_ladder(rungs, x, y, palette),
    ]
    return drawing(layers, palette, width, height)


def premium_ruler(marks: Sequence[RulerMark], palette: Palette, width: int, *, unit: str) -> Spec:
    """Each offer a pin on one ruler, its name at the pin's head; a dashed line stands at zero.

    Args:
        marks: the offers; below zero is allowed and drawn left of it.
        palette: the inks.
        width: pixels.
        unit: what the ruler measures, under it.
    """
    low, high = _span([mark.at for mark in marks] + [Decimal(0)])
    turn = (low + high) / 2
    # from the outside in, so that a label runs over the ground of lower pins
    left = sorted((mark for mark in marks if float(mark.at) <= turn), key=lambda mark: (mark.at, mark.name))
    right = sorted((mark for mark in marks if float(mark.at) > turn), key=lambda mark: (-mark.at, mark.name))
    floor = 30 + _STEP * len(marks)
    rungs = [
        _rung(f"{mark.name}: {mark.words}", float(mark.at), y=14 + _STEP * place, top=floor, turn=turn, look=mark.look)
        for place, mark in enumerate([*left, *right])
    ]
    ticks = 10 if width > NARROW else 6
    x = linear(low, high, axis={"orient": "bottom", "title": unit, "tickCount": ticks, "grid": False, "tickSize": 9})
    y = pixels(floor + 8)
    zero = {"type": "rule", "color": palette.rule, "strokeDash": [3, 3]}
    layers = [
        layer([{"x": 0.0}], zero, x=x, y={**y, "datum": 0}, y2={"datum": floor}),
        *_ladder(rungs, x, y, palette, heads=True),
    ]
    return drawing(layers, palette, width, floor + 60)


def exit_bars(
    bars: Sequence[Bar], palette: Palette, width: int, *, unit: str, line: Decimal | None = None, line_words: str = ""
) -> Spec:
    """One bar for each way out, its name and its figure above it.

    Args:
        bars: in the order drawn; the one to look at in the strongest ink.
        palette: the inks.
        width: pixels.
        unit: what the bars measure.
        line: a line across all bars (melt, say).
        line_words: the line's name.
    """
    height = 26 + _BAR_STEP * len(bars)
    low, high = _span([bar.length for bar in bars] + [Decimal(0) if line is None else line, Decimal(0)], pad=0)
    x, y = linear(low, high), pixels(height)
    rows: list[Spec] = [
        {
            "x": float(bar.length),
            "zero": 0.0,
            "words": f"{bar.name}: {bar.words}",
            "ink": palette.tints[0 if bar.look else 2],
            "y": 46.0 + _BAR_STEP * place,
            "above": 29.0 + _BAR_STEP * place,
        }
        for place, bar in enumerate(bars)
    ]
    above = {**y, "field": "above", "type": "quantitative"}
    text: Spec = {"type": "text", "fontSize": TEXT, "color": palette.ink}
    bar_mark = {"type": "bar", "height": 13}
    layers = [layer(rows, bar_mark, x=x, x2={"field": "zero"}, y={**above, "field": "y"}, color=OWN_INK)]
    if line is not None:
        row = [{"x": float(line), "words": line_words}]
        stroke = {"type": "rule", "color": palette.ink, "strokeWidth": 1.2, "strokeDash": [4, 3]}
        name = {**text, "align": "right" if float(line) > (low + high) / 2 else "left", "color": palette.pencil}
        layers.append(layer(row, stroke, x=x, y={**y, "datum": 14}, y2={"datum": height}))
        layers.append(layer(row, name, x=x, y={**y, "datum": 6}, text={"field": "words"}))
    layers += haloed(rows, {**text, "align": "left"}, palette, x={"value": 0}, y=above, text={"field": "words"})
    return drawing(layers, palette, width, height + 22, title=unit)


def price_line(points: Sequence[Point], marks: Sequence[DayMark], palette: Palette, width: int, *, unit: str) -> Spec:
    """A price through time, with a ring at each thing that happened; rings are named where there is room.

    Args:
        points: in any order.
        marks: what happened when; rings in ink, red where one should look.
        palette: the inks.
        width: pixels.
        unit: what the upright axis measures.
    """
    rings: list[Spec] = [
        {
            "on": mark.on.isoformat(),
            "value": float(mark.value),
            "words": mark.words,
            "ink": palette.red if mark.look else palette.ink,
        }
        for mark in marks
    ]
    x, y = _days(width), upright(unit, zero=False)
    layers = [layer(_days_of(points), {"type": "line", "color": palette.tints[1], "strokeWidth": 1.8}, x=x, y=y)]
    if width > NARROW:
        words = {"type": "text", "dy": -15, "fontSize": TEXT}
        layers += haloed(rings, words, palette, x=x, y=y, text={"field": "words"}, color=OWN_INK)
    ring = {"type": "point", "filled": True, "fill": palette.ground, "size": 80, "strokeWidth": 2, "opacity": 1}
    layers.append(layer(rings, ring, x=x, y=y, stroke=OWN_INK))
    return drawing(layers, palette, width, 280)


def counts_by_year(counts: Sequence[YearCount], palette: Palette, width: int, *, unit: str) -> Spec:
    """Pieces found of each year as a stroke, with a short level line where a fair draw would have stood.

    Args:
        counts: one for each year, in any order.
        palette: the inks.
        width: pixels.
        unit: what is counted.
    """
    found: list[Spec] = [{"year": one.year, "value": one.found, "zero": 0} for one in counts]
    fair: list[Spec] = [{"year": one.year, "value": float(one.expected)} for one in counts if one.expected is not None]
    first, last = (min(one.year for one in counts), max(one.year for one in counts)) if counts else (0, 0)
    stroke = max(2.0, min(14.0, width / (last - first + 3) * 0.55))
    x: Spec = {
        "field": "year",
        "type": "quantitative",
        "scale": {"domain": [first - 1, last + 1], "nice": False},
        "axis": {"format": "d", "title": None, "grid": False, "tickCount": 8 if width > NARROW else 4},
    }
    y = upright(unit, zero=True)
    bar = {"type": "rule", "color": palette.tints[2], "strokeWidth": stroke}
    level = {
        "type": "tick",
        "orient": "horizontal",
        "color": palette.ink,
        "thickness": 2,
        "size": stroke + 5,
        "opacity": 1,
    }
    layers = [layer(found, bar, x=x, y=y, y2={"field": "zero"}), layer(fair, level, x=x, y=y)]
    return drawing(layers, palette, width, 260)


def worth_by_month(worth: Sequence[Point], cost: Sequence[Point], palette: Palette, width: int, *, unit: str) -> Spec:
    """What the silver would have fetched through time, over what it had cost: two lines, each named at its end.

    Args:
        worth: by month, on one basis throughout.
        cost: by month, drawn as steps: cost changes only when something is bought or sold.
        palette: the inks.
        width: pixels.
        unit: the currency.
    """
    x, y = _days(width), upright(unit, zero=True)
    solid: Spec = {"type": "line", "color": palette.ink, "strokeWidth": 2}
    steps: Spec = {**solid, "color": palette.tints[1], "strokeDash": [5, 3], "interpolate": "step-after"}
    over = bool(worth) and bool(cost) and max(worth, key=_when).value < max(cost, key=_when).value
    layers: list[Spec] = []
    for name, points, mark, drop in (
        ("cost", cost, steps, -10 if over else 14),
        ("worth", worth, solid, 14 if over else -10),
    ):
        rows = _days_of(points)
        end = [{**row, "words": name} for row in rows[-1:]]
        words = {"type": "text", "align": "right", "dx": -2, "dy": drop, "fontSize": TEXT, "color": mark["color"]}
        layers.append(layer(rows, mark, x=x, y=y))
        layers += haloed(end, words, palette, x=x, y=y, text={"field": "words"})
    return drawing(layers, palette, width, 280)


def layer(rows: list[Spec], mark: Spec, **encoding: Spec) -> Spec:
    """One layer of marks over rows of its own."""
    return {"data": {"values": rows}, "mark": mark, "encoding": encoding}


def haloed(rows: list[Spec], mark: Spec, palette: Palette, **encoding: Spec) -> list[Spec]:
    """Words with a margin of bare ground around them, so that a line behind does not run through them."""
    bare = {name: channel for name, channel in encoding.items() if name != "color"}
    halo = {**mark, "color": palette.ground, "stroke": palette.ground, "strokeWidth": 5, "strokeJoin": "round"}
    return [layer(rows, halo, **bare), layer(rows, mark, **encoding)]


def _rung(label: str, x: float, *, y: float, top: float, turn: float, look: bool = False) -> Spec:
    """One label of a ladder; past `turn` it stands left of its line, so that it stays on the sheet."""
    return {"x": x, "y": y, "top": top, "label": label, "left": x > turn, "look": look}


def _ladder(rungs: list[Spec], x: Spec, y: Spec, palette: Palette, *, heads: bool = False) -> list[Spec]:
    """Thin lines from a thing to its label, each label on a level of its own, so that no two can collide."""
    ink: Spec = {"condition": {"test": "datum.look", "value": palette.red}, "value": palette.ink}
    line: Spec = {"condition": {"test": "datum.look", "value": palette.red}, "value": palette.rule}
    level = {**y, "field": "y", "type": "quantitative"}
    rule = {"type": "rule", "strokeWidth": 1}
    layers = [layer(rungs, rule, x=x, y={**level, "field": "top"}, y2={"field": "y"}, color=line)]
    for left in (False, True):
        side = [rung for rung in rungs if rung["left"] == left]
        mark = {"type": "text", "align": "right" if left else "left", "dx": -8 if left else 8, "fontSize": TEXT}
        layers += haloed(side, mark, palette, x=x, y=level, text={"field": "label"}, color=ink)
    if heads:
        head = {"type": "point", "filled": True, "size": 46, "opacity": 1, "shape": "circle"}
        layers.append(layer(rungs, head, x=x, y=level, color=ink))
    return layers


def linear(low: float, high: float, *, axis: Spec | None = None) -> Spec:
    """The level scale over the field `x`, just as wide as said."""
    scale = {"domain": [low, high], "nice": False, "zero": False}
    return {"field": "x", "type": "quantitative", "scale": scale, "axis": axis}


def pixels(height: float) -> Spec:
    """The upright scale in pixels from the top, without an axis."""
    return {"scale": {"domain": [height, 0], "nice": False, "zero": False}, "axis": None}


def _days(width: int) -> Spec:
    ticks = 8 if width > NARROW else 4
    return {"field": "on", "type": "temporal", "axis": {"title": None, "grid": False, "tickCount": ticks}}


def _days_of(points: Sequence[Point]) -> list[Spec]:
    return [{"on": point.on.isoformat(), "value": float(point.value)} for point in sorted(points, key=_when)]


def _when(point: Point) -> date:
    return point.on


def upright(unit: str, *, zero: bool) -> Spec:
    """The upright axis, its unit level above it."""
    level = {"titleAngle": 0, "titleAlign": "left", "titleAnchor": "end", "titleX": 0, "titleY": -12}
    axis = {"title": unit, "tickCount": 5, **level}
    return {"field": "value", "type": "quantitative", "scale": {"zero": zero}, "axis": axis}


def _span(values: Sequence[Decimal], pad: float = 0.06) -> tuple[float, float]:
    """The least and greatest with a little room on both sides; never empty."""
    low, high = float(min(values)), float(max(values))
    if high == low:
        return low - 1.0, high + 1.0
    room = (high - low) * pad
    return low - room, high + room


def drawing(layers: Sequence[Spec], palette: Palette, width: int, height: int, *, title: str = "") -> Spec:
    """The common setting: no frame, hair lines, the inks of the ground, a size that includes everything."""
    words: Spec = {"labelFont": FONT, "titleFont": FONT, "labelFontSize": TEXT - 1, "titleFontSize": TEXT - 1}
    inks: Spec = {"labelColor": palette.pencil, "titleColor": palette.pencil, "domainColor": palette.rule}
    lines: Spec = {"tickColor": palette.rule, "gridColor": palette.feint, "gridDash": [1, 3]}
    spec: Spec = {
        "$schema": SCHEMA,
        "width": width,
        "height": height,
        "padding": 4,
        "autosize": {"type": "fit", "contains": "padding"},
        "background": None,
        "layer": list(layers),
        "config": {
            "font": FONT,
            "axis": {**words, **inks, **lines, "titleFontWeight": "normal", "titlePadding": 8},
            "axisY": {"domain": False, "ticks": False},
            "view": {"stroke": None},
            "text": {"font": FONT, "baseline": "middle"},
        },
    }
    if title:
        look = {"font": FONT, "fontSize": TEXT - 1, "fontWeight": "normal", "color": palette.pencil}
        spec["title"] = {"text": title, "anchor": "start", **look}
    return spec
