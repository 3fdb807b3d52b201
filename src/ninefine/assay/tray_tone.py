"""The colour of pieces against each other: a piece that differs from the rest is pointed out, and no more is said."""

from collections.abc import Sequence

import numpy as np

from ninefine.assay.tray_picture import Floats, Greys

#: A piece differs where its hue is this far from the middle of all, as the logarithm of ratios of its colours, and so
#: many robust standard deviations. A red copper is about 0.4 from silver; toning seldom passes 0.15 (from memory).
LEAST_APART, DEVIATIONS = 0.15, 5.0
#: Fewer pieces have no middle to differ from.
FEWEST = 4
#: The part of a piece that is looked at: inside its rim.
INSIDE = 0.85


def odd_colours(colour: Greys, places: Sequence[tuple[float, float, float]]) -> dict[int, str]:
    """Which of the pieces differ in colour, and how, in words.

    Args:
        colour: red, green and blue, rows by columns.
        places: middle and radius of each piece, in dots.
    """
    if len(places) < FEWEST:
        return {}
    hues = np.array([_hue(colour, *place) for place in places])
    away = hues - np.median(hues, axis=0)
    apart = np.hypot(away[:, 0], away[:, 1])
    spread = 1.4826 * float(np.median(apart))
    odd = np.flatnonzero(apart > max(LEAST_APART, DEVIATIONS * spread))
    return {int(place): _words(float(away[place, 0]), float(away[place, 1])) for place in odd}


def _hue(colour: Greys, x: float, y: float, radius: float) -> Floats:
    """How red and how blue a piece is against its green, as logarithms."""
    reach = INSIDE * radius
    top, left = max(0, int(y - reach)), max(0, int(x - reach))
    patch = colour[top : int(y + reach) + 1, left : int(x + reach) + 1]
    step = max(1, patch.shape[0] // 80)
    patch = patch[::step, ::step].astype(np.float64)
    rows = np.arange(patch.shape[0])[:, None] * step + top - y
    columns = np.arange(patch.shape[1]) * step + left - x
    red, green, blue = patch[rows**2 + columns**2 <= reach**2].mean(axis=0) + 4.0
    return np.array([np.log(red / green), np.log(blue / green)])


def _words(red: float, blue: float) -> str:
    if red > abs(blue) / 2 and red > 0.07:
        return "redder" if blue > -0.12 else "redder and yellower"
    if blue < 0:
        return "yellower"
    return "bluer" if blue > 0.07 else "greener"
