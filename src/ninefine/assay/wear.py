"""How much silver coin loses in use, by design, size and grade: what a weight is held against.

Measured: 40 pre-1964 quarters (Triola, Elementary Statistics, 12th ed. 2014, data set 21) lost 0.917% on average, one
piece differing from the next by 1.39%, mint variation included; 40 clad quarters 0.54% and 1.09%. Half dollars of four
designs, weighed in heaps of 20 (a forum's figures of 2010): +0.4% at EF to AU, -2.4% at VF to F, -5.6% at VG to G. All
else here is common practice, no source. Smaller coins lose more (Newton's mint papers; Shannon News, 1923): for one
depth of wear, in proportion to their thinness.
"""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from ninefine.catalog.catalog import Catalog
from ninefine.catalog.kinds import Form, Kind
from ninefine.catalog.rolls import denomination_of_kind


class Band(StrEnum):
    """How worn a piece looks, as a household can tell it."""

    UNSAID = ""
    NEW = "uncirculated"
    LIGHT = "AU to EF"
    MIDDLE = "VF to F"
    HEAVY = "VG to G"
    FLAT = "worn flat"


@dataclass(frozen=True, slots=True, kw_only=True)
class Loss:
    """What pieces of a sort lose, as parts of their weight as struck.

    Attributes:
        mean: what they lose on average.
        piece: one standard deviation from piece to piece, mint variation included.
        roll: one standard deviation of the average from roll to roll.
        most: more than this no wear explains.
        note: what the figures rest on.
    """

    mean: float
    piece: float
    roll: float
    most: float
    note: str


_MEASURED = "40 quarters weighed for a textbook (Triola 2014); other sizes by their thinness"
_FORUM = "half dollars weighed in heaps of 20 (a forum, 2010); other sizes by their thinness; common practice"
_PRACTICE = "common practice, no source"
#: By band: mean, from piece to piece, from roll to roll, most; for a half dollar, in parts of weight.
_BANDS = {
    Band.NEW: (0.000, 0.006, 0.001, 0.010),
    Band.LIGHT: (0.003, 0.008, 0.003, 0.025),
    Band.MIDDLE: (0.024, 0.012, 0.007, 0.060),
    Band.HEAVY: (0.056, 0.016, 0.010, 0.110),
    Band.FLAT: (0.090, 0.025, 0.015, 0.150),
}
#: By the last year of a design, where no band is said: the same figures.
_ERAS = (
    (1916, (0.050, 0.025, 0.012, 0.150)),
    (1947, (0.020, 0.016, 0.008, 0.110)),
    (1964, (0.00917, 0.01392, 0.005, 0.055)),
)
#: Thinness beside a half dollar, from the catalog's thicknesses; the quarter is the one that was measured.
_THIN = {"dime": 1.35, "half-dime": 1.7, "quarter": 1.0, "twenty-cent": 1.1, "half": 1.0, "dollar": 0.75}
#: Two clad quarters in three differ by no more than this, and lost this much (Triola, the same data set).
_CLAD = Loss(mean=0.0054, piece=0.01092, roll=0.002, most=0.06, note="40 clad quarters weighed for a textbook (Triola)")
_UNWORN = Loss(mean=0.0, piece=0.002, roll=0.001, most=0.01, note="bullion is not worn; common practice, no source")
_FORTY = Loss(mean=0.003, piece=0.010, roll=0.003, most=0.05, note=_PRACTICE)


def loss_of(kind: Kind, band: Band = Band.UNSAID) -> Loss:
    """What pieces of a kind lose, by how worn they look; by their design's years where that is not said."""
    if band is not Band.UNSAID:
        return _scaled(_BANDS[band], _thinness(kind), _FORUM)
    if kind.form is Form.BULLION or not kind.fineness:
        return _UNWORN if kind.fineness else _CLAD
    if kind.first_year is not None and kind.last_year is not None and kind.last_year - kind.first_year > 80:
        late, early = _ERAS[-1][1], _ERAS[0][1]  # a heap of several designs, mostly late ones
        return _scaled((*late[:3], early[3]), _thinness(kind), _MEASURED)
    for last_year, figures in _ERAS:
        if (kind.last_year or 1964) <= last_year:
            note = _MEASURED if last_year == 1964 else _FORUM
            return _scaled(figures, _thinness(kind), note)
    return _FORTY


def _thinness(kind: Kind) -> float:
    coin = denomination_of_kind(kind)
    return 1.0 if coin is None else _THIN.get(coin.key, 1.0)


def _scaled(figures: tuple[float, ...], by: float, note: str) -> Loss:
    mean, piece, roll, most = (figure * by for figure in figures)
    return Loss(mean=mean, piece=piece, roll=roll, most=most, note=note)


def tolerance_of(kind: Kind, catalog: Catalog) -> Decimal | None:
    """What the law let a new piece differ, grams: of a heap of several kinds the widest; none where no law is held."""
    if kind.tolerance_g is not None:
        return kind.tolerance_g
    known = [one.tolerance_g for one in catalog.family(kind.slug) if one.tolerance_g is not None]
    return max(known) if known else None
