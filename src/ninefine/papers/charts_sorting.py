"""Charts of sorting by year and mint, as data: what was struck, what was found beside what was expected, sets.

Drawn and labelled as in `charts`: words on the thing that they name, no legends, black on white for the printer.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from ninefine.papers.charts import NARROW, OWN_INK, TEXT, Palette, Spec, drawing, haloed, layer, linear, pixels

#: Height of one mint's band, and of one row of a grid.
BAND: Final = 98
ROW: Final = 48
#: Under the bands or rows stands the axis of years.
FOOT: Final = 40
#: Under the last band's ground line.
UNDER: Final = 16
_ROOM, _STEM, _LEAST = 22, 54, 6  # pixels: above the tallest stem, of the tallest stem, of the shortest
_MARGIN = 78  # pixels at the right, where the levels of a wide drawing are named


@dataclass(frozen=True, slots=True, kw_only=True)
class Coinage:
    """One year at one mint.

    Attributes:
        year: of the coin.
        mint: its name, in the order in which bands are drawn.
        struck: pieces; none where none were struck for use, or no figure is held.
        words: stands at a date that sorters look for; empty for others.
        unchecked: the figure was not checked against print: its stem is hollow.
        none: none were struck for use, and the year is marked so.
        found: pieces that are held, or were found in a bag; written under the ground line.
    """

    year: int
    mint: str
    struck: int | None
    words: str = ""
    unchecked: bool = False
    none: bool = False
    found: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundAt:
    """One year at one mint: pieces found, and how many were expected."""

    year: int
    mint: str
    found: int
    expected: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceAt:
    """A place of a set, by year and mint: filled or empty; `look` where sorters look for what would fill it."""

    year: int
    mint: str
    filled: bool
    look: bool = False


def mintage_bands(cells: Sequence[Coinage], palette: Palette, width: int) -> Spec:
    """A series by year, a band for each mint; stems by the logarithm of what was struck.

    A hollow stem is a figure that was not checked; a cross on the ground line is a year in which the mint struck none.

    Args:
        cells: in any order; mints are drawn in the order in which they first come.
        palette: the inks.
        width: pixels.
    """
    bands = _Bands(cells, palette, width, margin=_MARGIN if width > NARROW else 0)
    figures = [cell.struck for cell in cells if cell.struck]
    low = math.floor(math.log10(min(figures, default=1)))
    high = max(math.log10(max(figures, default=10)), low + 1)

    def tall(struck: int) -> float:
        return _LEAST + (_STEM - _LEAST) * (math.log10(struck) - low) / (high - low)

    bars: list[Spec] = []
    crosses: list[Spec] = []
    for cell in cells:
        floor = bands.floor(cell.mint)
        if cell.struck:
            top = floor - tall(cell.struck)
            words = {"words": cell.words, "above": top - 9, "low": bool(cell.words)}
            bars.append({"x": cell.year, "y": floor, "top": top, "hollow": cell.unchecked, **words})
        elif cell.none:
            crosses.append({"x": cell.year, "y": floor - 4})
    levels = [
        {"x": bands.stop, "from": bands.start, "y": bands.floor(mint) - tall(10**power), "words": _power_words(power)}
        for mint in bands.mints
        for power in range(low + 1, math.floor(high) + 1)
    ]
    layers = [*_levels(levels, bands), *_stems(bars, bands), _crosses(crosses, bands), *_dates(bars, bands)]
    found: list[Spec] = [
        {"x": cell.year, "y": bands.floor(cell.mint) + 8, "words": str(cell.found)} for cell in cells if cell.found
    ]
    return bands.drawing([*layers, *_finds(found, bands)])


def _finds(found: list[Spec], bands: "_Bands") -> list[Spec]:
    """How many pieces of each date, under its stem; where it is too narrow for figures, a dot."""
    y = bands.y("y")
    if bands.width > NARROW:
        words: Spec = {"type": "text", "fontSize": 11, "color": bands.palette.ink}
        return haloed(found, words, bands.palette, x=bands.x, y=y, text={"field": "words"})
    dot: Spec = {"type": "point", "filled": True, "size": 14, "color": bands.palette.ink, "opacity": 1}
    return [layer(found, dot, x=bands.x, y=y)]


def _levels(levels: list[Spec], bands: "_Bands") -> list[Spec]:
    """Hair lines at every tenfold, named at their right end; too much for a narrow drawing."""
    if bands.width <= NARROW:
        return []
    palette, y = bands.palette, bands.y("y")
    line: Spec = {"type": "rule", "color": palette.feint, "strokeDash": [1, 3]}
    words: Spec = {"type": "text", "align": "right", "dx": -2, "dy": -6, "fontSize": 11, "color": palette.pencil}
    return [
        layer(levels, line, x=bands.x, x2={"field": "from"}, y=y),
        *haloed(levels, words, palette, x=bands.x, y=y, text={"field": "words"}),
    ]


def _stems(bars: list[Spec], bands: "_Bands") -> list[Spec]:
    ink: Spec = {"condition": {"test": "datum.low", "value": bands.palette.red}, "value": bands.palette.tints[1]}
    ends = {"x": bands.x, "y": bands.y("top"), "y2": {"field": "y"}}
    rim: Spec = {"type": "bar", "width": bands.stroke, "fill": bands.palette.ground, "strokeWidth": 1.4}
    solid = [bar for bar in bars if not bar["hollow"]]
    hollow = [bar for bar in bars if bar["hollow"]]
    return [
        layer(solid, {"type": "bar", "width": bands.stroke}, color=ink, **ends),
        layer(hollow, rim, stroke=ink, **ends),
    ]


def _crosses(crosses: list[Spec], bands: "_Bands") -> Spec:
    size = min(34.0, bands.stroke * 4)
    cross: Spec = {"type": "point", "shape": "cross", "angle": 45, "size": size, "filled": True, "opacity": 1}
    return layer(crosses, {**cross, "color": bands.palette.pencil}, x=bands.x, y=bands.y("y"))


def _dates(bars: list[Spec], bands: "_Bands") -> list[Spec]:
    """The dates that sorters look for, written over their stems where there is room."""
    if bands.width <= NARROW:
        return []
    words: Spec = {"type": "text", "fontSize": 12, "color": bands.palette.red}
    rows = [bar for bar in bars if bar["words"]]
    return haloed(rows, words, bands.palette, x=bands.x, y=bands.y("above"), text={"field": "words"})


def found_bands(cells: Sequence[FoundAt], palette: Palette, width: int) -> Spec:
    """Pieces found by year, a band for each mint on its own scale; a level line where the expectation stands.

    Args:
        cells: in any order; mints are drawn in the order in which they first come.
        palette: the inks.
        width: pixels.
    """
    bands = _Bands(cells, palette, width)
    tallest = dict.fromkeys(bands.mints, Decimal(1))
    for cell in cells:
        tallest[cell.mint] = max(tallest[cell.mint], cell.expected, Decimal(cell.found))
    found: list[Spec] = []
    fair: list[Spec] = []
    for cell in cells:
        floor, each = bands.floor(cell.mint), _STEM / float(tallest[cell.mint])
        found += [{"x": cell.year, "y": floor, "top": floor - cell.found * each}] if cell.found else []
        fair.append({"x": cell.year, "y": floor - float(cell.expected) * each})
    bar: Spec = {"type": "bar", "width": bands.stroke, "color": palette.tints[2]}
    level: Spec = {"type": "tick", "orient": "horizontal", "color": palette.ink, "thickness": 2, "opacity": 1}
    tops = [
        {"y": bands.floor(mint) - _STEM - 14, "words": f"{math.ceil(tallest[mint]):,} at the top"}
        for mint in bands.mints
    ]
    word: Spec = {"type": "text", "align": "right", "dx": -2, "fontSize": 12, "color": palette.pencil}
    return bands.drawing(
        [
            layer(found, bar, x=bands.x, y=bands.y("top"), y2={"field": "y"}),
            layer(fair, {**level, "size": bands.stroke + 5}, x=bands.x, y=bands.y("y")),
            *haloed(tops, word, palette, x=bands.x, y=bands.y("y"), text={"field": "words"}),
        ]
    )


def places_grid(cells: Sequence[PlaceAt], palette: Palette, width: int) -> Spec:
    """A set by year, a row for each mint: a full disc for a filled place, a ring for an empty one.

    Args:
        cells: in any order; mints are drawn in the order in which they first come.
        palette: the inks.
        width: pixels.
    """
    mints = list(dict.fromkeys(cell.mint for cell in cells))
    years = [cell.year for cell in cells]
    span = min(years, default=1900), max(years, default=1900)
    rows: list[Spec] = [
        {
            "x": cell.year,
            "y": 36 + ROW * mints.index(cell.mint),
            "filled": cell.filled,
            "ink": palette.red if cell.look and not cell.filled else palette.ink,
        }
        for cell in cells
    ]
    height = 8 + ROW * len(mints)
    size = min(110.0, (_stroke(span, width) * 1.15) ** 2)
    x, level = _years(span, width), {**pixels(height), "field": "y", "type": "quantitative"}
    names = [{"y": 12 + ROW * place, "words": mint} for place, mint in enumerate(mints)]
    word: Spec = {"type": "text", "align": "left", "fontSize": TEXT, "color": palette.pencil}
    disc: Spec = {"type": "point", "shape": "circle", "filled": True, "size": size, "opacity": 1, "strokeWidth": 1.6}
    full = [row for row in rows if row["filled"]]
    empty = [row for row in rows if not row["filled"]]
    layers = [
        layer(full, disc, x=x, y=level, color=OWN_INK),
        layer(empty, {**disc, "fill": palette.ground}, x=x, y=level, stroke=OWN_INK),
        *haloed(names, word, palette, x={"value": 0}, y=level, text={"field": "words"}),
    ]
    return drawing(layers, palette, width, height + FOOT)


class _Bands:
    """Bands under one another, one for each mint, over one axis of years."""

    def __init__(
        self, cells: Sequence[Coinage] | Sequence[FoundAt], palette: Palette, width: int, *, margin: int = 0
    ) -> None:
        years = [cell.year for cell in cells]
        first, last = min(years, default=1900), max(years, default=1900)
        self.mints = list(dict.fromkeys(cell.mint for cell in cells))
        self.palette, self.width = palette, width
        self.height = BAND * len(self.mints) + UNDER
        self.x = _years((first, last), width, margin)
        self.start, self.stop = self.x["scale"]["domain"]
        self.stroke = _stroke((first, last), width - margin)

    def floor(self, mint: str) -> int:
        """Where the ground line of a mint's band stands, pixels from the top."""
        return BAND * (self.mints.index(mint) + 1)

    def y(self, field: str) -> Spec:
        """The upright scale, in pixels, over a field."""
        return {**pixels(self.height), "field": field, "type": "quantitative"}

    def drawing(self, layers: list[Spec]) -> Spec:
        """The whole sheet: the layers, each band's ground line and its mint's name."""
        floors: list[Spec] = [
            {"x": self.stop, "from": self.start, "y": self.floor(mint), "name": self.floor(mint) - _STEM - _ROOM}
            | {"words": mint}
            for mint in self.mints
        ]
        word: Spec = {"type": "text", "align": "left", "fontSize": TEXT, "color": self.palette.pencil}
        ground: Spec = {"type": "rule", "color": self.palette.rule}
        every = [
            *layers,
            layer(floors, ground, x=self.x, x2={"field": "from"}, y=self.y("y")),
            *haloed(floors, word, self.palette, x={"value": 0}, y=self.y("name"), text={"field": "words"}),
        ]
        return drawing(every, self.palette, self.width, self.height + FOOT)


def _years(span: tuple[int, int], width: int, margin: int = 0) -> Spec:
    """The level scale by year, with a year of room on both sides and perhaps a margin at the right."""
    ticks = 8 if width > NARROW else 4
    axis: Spec = {"orient": "bottom", "format": "d", "title": None, "grid": False, "tickCount": ticks, "tickMinStep": 1}
    room = (span[1] - span[0] + 2) * margin / (width - margin)
    return linear(span[0] - 1, span[1] + 1 + room, axis={**axis, "values": _ticks(span, ticks)} if margin else axis)


def _ticks(span: tuple[int, int], most: int) -> list[int]:
    """Round years within a span, so that none is named in the margin."""
    step = next(step for step in (1, 2, 5, 10, 20, 50, 100) if (span[1] - span[0]) / step <= most)
    return [year for year in range(span[0], span[1] + 1) if year % step == 0]


def _stroke(span: tuple[int, int], width: int) -> float:
    return max(2.0, min(14.0, width / (span[1] - span[0] + 3) * 0.52))


def _power_words(power: int) -> str:
    return {6: "1 million", 7: "10 million", 8: "100 million", 9: "1,000 million"}.get(power, f"{10**power:,}")
