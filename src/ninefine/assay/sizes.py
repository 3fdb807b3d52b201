"""Diameter and thickness by calipers, held against a kind's sizes."""

from dataclasses import dataclass

from ninefine.assay.evidence import Evidence, Ground, Outcome, figure
from ninefine.assay.wear import Band, loss_of
from ninefine.catalog.kinds import Kind
from ninefine.errors import RangeError
from ninefine.measure.numbers import plain
from ninefine.measure.reading import Reading

#: How far a sound piece's diameter may be off the catalog's, mm (common practice, no source).
DIAMETER_WITHIN_MM = 0.12
#: The same for thickness over the rim: strike and rim differ more (common practice, no source).
THICKNESS_WITHIN_MM = 0.15


@dataclass(frozen=True, slots=True, kw_only=True)
class Size:
    """What the calipers say: `between` is what a sound or worn piece of the kind may measure, in millimetres."""

    what: str
    reading: Reading
    between: tuple[float, float]
    evidence: Evidence


def diameter(reading: Reading, kind: Kind) -> Size:
    """A diameter held against its kind's.

    Raises:
        RangeError: no diameter of the kind is held.
    """
    if kind.diameter_mm is None:
        raise RangeError(f"No diameter of {kind.name} is held.", expected="Name the coin itself, or leave this out.")
    size = float(kind.diameter_mm)
    return _size("diameter", reading, kind, (size - DIAMETER_WITHIN_MM, size + DIAMETER_WITHIN_MM))


def thickness(reading: Reading, kind: Kind, band: Band = Band.UNSAID) -> Size:
    """A thickness over the rim held against its kind's; wear makes a piece thinner in proportion to what it lost.

    Raises:
        RangeError: no thickness of the kind is held.
    """
    if kind.thickness_mm is None:
        raise RangeError(f"No thickness of {kind.name} is held.", expected="Leave this out.")
    size = float(kind.thickness_mm)
    worn = size * loss_of(kind, band).most
    return _size("thickness", reading, kind, (size - THICKNESS_WITHIN_MM - worn, size + THICKNESS_WITHIN_MM))


def _size(what: str, reading: Reading, kind: Kind, between: tuple[float, float]) -> Size:
    low, high = reading.interval()
    size = kind.diameter_mm if what == "diameter" else kind.thickness_mm
    outcome, settle = Outcome.UNSURE, "Measure at four places with calipers that read 0.01 mm."
    words = "it lies at the edge of what its kind measures, so the calipers cannot tell"
    if low >= between[0] and high <= between[1]:
        outcome, settle, words = Outcome.PASSED, "", "it fits its kind"
    elif low > between[1]:
        outcome, settle, words = Outcome.FAILED, "", f"that is more than its kind measures, {between[1]:.2f} mm at most"
    elif high < between[0]:
        outcome, settle, words = (
            Outcome.FAILED,
            "",
            f"that is less than its kind measures, {between[0]:.2f} mm at least",
        )
    return Size(
        what=what,
        reading=reading,
        between=between,
        evidence=Evidence(
            test=what,
            ground=Ground.SIZE,
            outcome=outcome,
            against=kind.slug,
            says=(
                f"{what.capitalize()} {reading.value:.2f} ± {reading.half_width():.2f} mm (95%) against "
                f"{plain(size) if size is not None else '?'} mm: {words}."
            ),
            figures=(figure(what, reading.value, reading.u, "mm"),),
            would_settle=settle,
        ),
    )
