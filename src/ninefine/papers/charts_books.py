"""Charts of how the silver has done, as data: worth through time over what it had cost.

Drawn and labelled as in `charts`: words on the thing that they name, no legends, black on white for the printer.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Final

from ninefine.papers.charts import NARROW, TEXT, Palette, Spec, drawing, haloed, layer, upright

#: Height of the drawing through time.
HEIGHT: Final = 300


@dataclass(frozen=True, slots=True, kw_only=True)
class Month:
    """The stack at the end of a month.

    Attributes:
        on: the day.
        worth: what it would have fetched; none where nothing of it had a price: the line is broken there.
        cost: what it had cost.
        read: whether its price was read by the household itself, and is no month's average.
    """

    on: date
    worth: Decimal | None
    cost: Decimal
    read: bool = False


def worth_through_time(
    months: Sequence[Month], palette: Palette, width: int, *, unit: str, highest: str = "", names: tuple[str, str]
) -> Spec:
    """Worth as a line over a pale ground, cost as dashed steps; rings where the household read the price itself.

    Args:
        months: in any order.
        palette: the inks.
        width: pixels.
        unit: the currency, above the upright axis.
        highest: the highest point in words; written at it where it stands clear of the lines' names.
        names: what is written at the end of the two lines: of worth, of cost.
    """
    dated = sorted(months, key=_when)
    x, y = _days(width), upright(unit, zero=True)
    worth: list[Spec] = [
        {"on": one.on.isoformat(), "value": None if one.worth is None else float(one.worth)} for one in dated
    ]
    cost: list[Spec] = [{"on": one.on.isoformat(), "value": float(one.cost)} for one in dated]
    ground: Spec = {"type": "area", "color": palette.tints[4], "opacity": 0.55}
    solid: Spec = {"type": "line", "color": palette.ink, "strokeWidth": 2}
    steps: Spec = {**solid, "color": palette.tints[1], "strokeDash": [5, 3], "interpolate": "step-after"}
    ring: Spec = {"type": "point", "filled": True, "fill": palette.ground, "size": 34, "strokeWidth": 1.5, "opacity": 1}
    rings: list[Spec] = [row for row, one in zip(worth, dated, strict=True) if one.read and one.worth is not None]
    layers = [
        layer(worth, ground, x=x, y=y),
        layer(cost, steps, x=x, y=y),
        layer(worth, solid, x=x, y=y),
        layer(rings, {**ring, "stroke": palette.ink}, x=x, y=y),
    ]
    for rows, name, drop, ink in _ends(worth, cost, names, palette):
        text: Spec = {"type": "text", "align": "right", "dx": -2, "dy": drop, "fontSize": TEXT, "color": ink}
        layers += haloed([{**rows, "words": name}], text, palette, x=x, y=y, text={"field": "words"})
    known = [row for row in worth if row["value"] is not None]
    top = max(known, key=lambda row: row["value"], default=None)
    # near the right end it would run into the names of the lines
    if highest and top is not None and width > NARROW and known.index(top) < len(known) * 0.8:
        late = known.index(top) > len(known) / 2
        words: Spec = {"type": "text", "align": "right" if late else "left", "dx": -8 if late else 8, "dy": -8}
        words |= {"fontSize": TEXT, "color": palette.pencil}
        layers += haloed([{**top, "words": highest}], words, palette, x=x, y=y, text={"field": "words"})
    return drawing(layers, palette, width, HEIGHT)


def _ends(
    worth: Sequence[Spec], cost: Sequence[Spec], names: tuple[str, str], palette: Palette
) -> list[tuple[Spec, str, int, str]]:
    """The last point of each line with its name, how far below it that is written, and its ink."""
    known = [row for row in worth if row["value"] is not None]
    if not known or not cost:
        return []
    over = known[-1]["value"] < cost[-1]["value"]
    return [
        (cost[-1], names[1], -12 if over else 14, palette.tints[1]),
        (known[-1], names[0], 14 if over else -12, palette.ink),
    ]


def _days(width: int) -> Spec:
    ticks = 8 if width > NARROW else 4
    return {"field": "on", "type": "temporal", "axis": {"title": None, "grid": False, "tickCount": ticks}}


def _when(month: Month) -> date:
    return month.on
