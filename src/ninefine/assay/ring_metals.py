"""What other metals would make of the same disc: moduli, Poisson's ratios and densities, and where each would ring.

Moduli of the pure metals Ag 83, Cu 130, Zn 108, Ni 200, Fe 211, Sn 50 GPa were read in an encyclopaedia's data page
that cites two handbooks; Poisson's ratios, and all figures of mixed metals but the silver alloys, are from memory. No
table of moduli of silver-copper alloys was found: theirs are mixed by volume between a soft and a stiff end.

The disc is thought flat: its thickness is what its weight spread evenly gives. A rim and relief move the partials by a
tenth or so, which `SHAPE` allows for.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from math import log, pi, sqrt

from ninefine.assay.plate import LOWEST, Disc, Mode, Stuff, frequencies
from ninefine.catalog.kinds import Kind

#: One standard deviation of all partials together, by rim and relief, as a share; no source.
SHAPE = 0.10
#: One standard deviation of each partial by itself about the flat disc's ratios; no source.
EACH = 0.04
#: Soft and stiff end of silver and of copper, GPa.
_SILVER, _COPPER = (72.0, 83.0), (110.0, 130.0)
_SILVER_DENSITY, _COPPER_DENSITY = 10490.0, 8960.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Metal:
    """A metal as a disc rings in it: modulus from a soft to a stiff end in GPa, Poisson's ratio, density in kg/m3."""

    name: str
    soft: float
    stiff: float
    poisson: float
    density: float

    @property
    def stuff(self) -> Stuff:
        """With the modulus in the middle of its ends."""
        return Stuff(modulus=sqrt(self.soft * self.stiff) * 1e9, poisson=self.poisson, density=self.density)

    @property
    def spread(self) -> float:
        """One standard deviation of the frequency by what is not known of the modulus, as a share.

        Between the ends every modulus is as likely; a frequency goes with its root.
        """
        return log(self.stiff / self.soft) / 2.0 / sqrt(12.0)


#: What pieces are made of that are sold for silver: common practice, no source.
OTHERS = (
    Metal(name="copper", soft=110, stiff=130, poisson=0.34, density=8960),
    Metal(name="brass", soft=97, stiff=112, poisson=0.34, density=8500),
    Metal(name="nickel silver", soft=115, stiff=135, poisson=0.33, density=8730),
    Metal(name="cupronickel on copper", soft=120, stiff=150, poisson=0.34, density=8920),
    Metal(name="steel", soft=195, stiff=215, poisson=0.29, density=7850),
    Metal(name="zinc", soft=85, stiff=108, poisson=0.25, density=7130),
    Metal(name="pewter", soft=42, stiff=55, poisson=0.36, density=7300),
    Metal(name="lead", soft=14, stiff=18, poisson=0.44, density=11340),
)


def silver(fineness: float) -> Metal:
    """Silver of a fineness, the rest copper. Densities by the mixing rule, moduli by volume between their ends."""
    density = 1.0 / (fineness / _SILVER_DENSITY + (1.0 - fineness) / _COPPER_DENSITY)
    share = fineness * density / _SILVER_DENSITY
    soft, stiff = (share * one + (1.0 - share) * other for one, other in zip(_SILVER, _COPPER, strict=True))
    name = f"silver .{round(fineness * 1000):03d}" if fineness < 1.0 else "silver"
    return Metal(name=name, soft=soft, stiff=stiff, poisson=0.37 * share + 0.34 * (1.0 - share), density=density)


def disc_of(kind: Kind) -> Disc | None:
    """The flat disc of a kind of silver piece, as thick as its weight makes it; none without weight and diameter."""
    if kind.gross_g is None or kind.diameter_mm is None or kind.metal != "XAG" or kind.fineness <= 0:
        return None
    diameter = float(kind.diameter_mm) / 1000.0
    density = silver(float(kind.fineness)).density
    return Disc(diameter=diameter, thickness=float(kind.gross_g) / 1000.0 / (density * pi * diameter**2 / 4.0))


def expected(kind: Kind) -> Mapping[Mode, float] | None:
    """Where the lowest partials of a kind would lie were it a flat disc, in hertz; none where its size is not known."""
    disc = disc_of(kind)
    return None if disc is None else frequencies(disc, silver(float(kind.fineness)).stuff, LOWEST)


@cache
def beside(metal: Metal, fineness: float) -> Mapping[Mode, float]:
    """How many times as high each partial lies in another metal as in silver of a fineness, at equal size."""
    disc = Disc(diameter=0.04, thickness=0.002)  # any: the ratios are free of it
    own, other = frequencies(disc, silver(fineness).stuff, LOWEST), frequencies(disc, metal.stuff, LOWEST)
    return {mode: other[mode] / own[mode] for mode in LOWEST}
