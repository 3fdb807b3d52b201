"""How a free disc rings: frequencies of a thin, flat, round plate with nothing holding its edge.

A partial is named by its nodal diameters n and nodal circles s. Its frequency is

    f = lambda^2 / (2 pi a^2) * sqrt(D / (rho h)),    D = E h^3 / (12 (1 - nu^2)),

with radius a, thickness h, modulus E, density rho and Poisson's ratio nu; lambda is a root of the determinant that says
that neither a bending moment nor a shear force acts at the edge (Kirchhoff's thin plate). Lengths in metres, modulus in
pascal, density in kg/m3, frequencies in hertz.

A coin is no flat disc: its rim and relief move these figures by a tenth or so. They are a wide expectation, never a
measurement to hold a piece against by itself.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from math import pi, sqrt

import numpy as np
import numpy.typing as npt
from scipy import optimize, special

#: Step in lambda of the search for changes of sign; two roots of one n lie about pi apart.
_STEP = 0.05
#: Rigid movements have lambda near nought and are no partials.
_LEAST = 0.5


@dataclass(frozen=True, slots=True, order=True)
class Mode:
    """A way of bending: n nodal diameters, s nodal circles."""

    n: int
    s: int

    def __str__(self) -> str:
        return f"({self.n},{self.s})"


#: The partials of a coin, lowest first, as they lie for the Poisson's ratios of metals.
LOWEST = (Mode(2, 0), Mode(0, 1), Mode(3, 0), Mode(1, 1), Mode(4, 0), Mode(5, 0), Mode(2, 1), Mode(0, 2))


@dataclass(frozen=True, slots=True, kw_only=True)
class Disc:
    """A flat disc: diameter and thickness in metres."""

    diameter: float
    thickness: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Stuff:
    """What a disc is made of: modulus in pascal, Poisson's ratio, density in kg/m3."""

    modulus: float
    poisson: float
    density: float


def determinant(value: npt.ArrayLike, n: int, poisson: float) -> npt.NDArray[np.float64]:
    """The free-edge determinant of n nodal diameters at lambda, scaled so that it neither grows nor vanishes.

    The edge is free where moment and shear of J_n(lambda r) and I_n(lambda r) cancel at r = 1. The functions are
    differentiated by Bessel's equation; I_n and its derivative come scaled by exp(-lambda).
    """
    x = np.asarray(value, dtype=np.float64)
    keep = 1.0 - poisson
    bessel, slope = special.jv(n, x), special.jvp(n, x)
    grown = special.ive(n, x)
    grown_slope = 0.5 * (special.ive(abs(n - 1), x) + special.ive(n + 1, x))
    moment_j = x**2 * bessel + keep * (x * slope - n**2 * bessel)
    moment_i = -(x**2) * grown + keep * (x * grown_slope - n**2 * grown)
    shear_j = x**3 * slope + keep * n**2 * (x * slope - bessel)
    shear_i = -(x**3) * grown_slope + keep * n**2 * (x * grown_slope - grown)
    scale = (x**5 + n**4 + 1.0) * np.hypot(grown, grown_slope)
    return np.asarray((moment_j * shear_i - moment_i * shear_j) / scale, dtype=np.float64)


@cache
def roots(n: int, poisson: float, count: int) -> tuple[float, ...]:
    """The first values of lambda for n nodal diameters, lowest first, rigid movements left out."""
    found: list[float] = []
    start = _LEAST
    while len(found) < count:
        grid = np.arange(start, start + 10.0 + _STEP, _STEP)
        signs = np.sign(determinant(grid, n, poisson))
        for (left, right), (low, high) in zip(pairwise(grid), pairwise(signs), strict=True):
            if low != high:
                found.append(float(optimize.brentq(determinant, left, right, args=(n, poisson), xtol=1e-12)))
        start = float(grid[-1])
    return tuple(found[:count])


def lambda_squared(mode: Mode, poisson: float) -> float:
    """lambda^2 of a partial; free of the disc's size and stiffness."""
    order = mode.s if mode.n > 1 else mode.s - 1  # without a circle, n = 0 and 1 only move the disc as a whole
    if order < 0 or mode.n < 0:
        raise ValueError(f"{mode} bends nothing")
    return roots(mode.n, poisson, order + 1)[order] ** 2


def frequency(mode: Mode, disc: Disc, stuff: Stuff) -> float:
    """The frequency of a partial of a flat disc, in hertz."""
    stiffness = stuff.modulus * disc.thickness**3 / (12.0 * (1.0 - stuff.poisson**2))
    radius = disc.diameter / 2.0
    return (
        lambda_squared(mode, stuff.poisson)
        / (2.0 * pi * radius**2)
        * sqrt(stiffness / (stuff.density * disc.thickness))
    )


def frequencies(disc: Disc, stuff: Stuff, modes: Sequence[Mode] = LOWEST) -> dict[Mode, float]:
    """The frequencies of several partials, in hertz."""
    return {mode: frequency(mode, disc, stuff) for mode in modes}
