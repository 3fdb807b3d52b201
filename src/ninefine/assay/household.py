"""Household silver on the bench: what a mark claims, what the build leaves of the weight, and what a magnet does.

Weighted and hollow ware holds silver only in its shell, so its silver is a range. Nothing is cut open to find out.
"""

from dataclasses import dataclass
from decimal import Decimal

from ninefine.assay.evidence import Evidence, Figure, Ground, Outcome
from ninefine.assay.looks import Magnet
from ninefine.catalog.household import Construction, FineRange, Standard, built_as, fine_range, kind_of, read_mark
from ninefine.catalog.kinds import Kind
from ninefine.measure.numbers import to_places

CAUTIONS = (
    (
        "Do not cut, bend, drill or heat weighted ware to see inside: the filling is pitch, cement or lead, and old "
        "solder may hold cadmium."
    ),
    "Do not polish or dip it before it was looked at.",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Ware:
    """What the bench says of a household piece.

    Attributes:
        standards: what its mark claims; more than one where it can be read in several ways.
        kind: the standard as it is built, if the mark claims just one.
        fine: fine ounces by scale and mark, low and high; none where no single standard is claimed.
        cautions: sentences to read before believing the mark.
        evidence: mark, magnet and weight.
    """

    standards: tuple[Standard, ...]
    kind: Kind | None
    fine: FineRange | None
    cautions: tuple[str, ...]
    evidence: tuple[Evidence, ...]


def look_at_ware(
    mark: str, *, built: Construction | None = None, gross_g: Decimal | None = None, seen: Magnet | None = None
) -> Ware:
    """Read a household piece.

    Args:
        mark: what is struck on it; empty where it bears none.
        built: how it is built; taken as solid where not said.
        gross_g: its weight on the scale.
        seen: what a magnet does.
    """
    reading = read_mark(mark)
    plate = [one for one in reading.plate if one.solid == "no"]
    kind = fine = None
    if len(reading.standards) == 1 and not plate:
        kind = kind_of(reading.standards[0])
        kind = kind if built is None else built_as(kind, built)
        fine = None if gross_g is None else fine_range(kind, gross_g)
    evidence = [_mark(mark, reading.standards, [one.meaning for one in plate])]
    if gross_g is not None:
        evidence.append(_weight(gross_g, kind, fine, built))
    if seen is not None:
        evidence.append(_magnet(seen, built))
    return Ware(
        standards=reading.standards,
        kind=kind,
        fine=fine,
        cautions=(*reading.caution, *CAUTIONS),
        evidence=tuple(evidence),
    )


def _mark(mark: str, standards: tuple[Standard, ...], plate: list[str]) -> Evidence:
    settle = "A test of the metal by somebody with an instrument that reads through the surface."
    if plate:
        outcome, words = Outcome.FAILED, f"The mark means {plate[0]}: no silver to count."
    elif len(standards) == 1:
        outcome, words = (
            Outcome.PASSED,
            f"The mark claims {standards[0].name}. A mark is a claim, and marks are copied.",
        )
    elif standards:
        names = ", ".join(one.name for one in standards)
        outcome, words = Outcome.UNSURE, f"The mark can be read as {names}."
    else:
        words = "It bears no mark." if not mark.strip() else "The mark is not held here."
        outcome = Outcome.UNSURE
    return Evidence(
        test="mark",
        ground=Ground.LOOK,
        outcome=outcome,
        against=mark.strip() or "no mark",
        says=words,
        would_settle="" if plate else settle,
    )


def _weight(gross_g: Decimal, kind: Kind | None, fine: FineRange | None, built: Construction | None) -> Evidence:
    gross = Figure(name="weight", value=gross_g, unit="g")
    if kind is None or fine is None:
        return Evidence(
            test="ware-weight",
            ground=Ground.WEIGHT,
            outcome=Outcome.UNSURE,
            says=f"{to_places(gross_g, 1):,} g; without a standard nothing is counted for it.",
            figures=(gross,),
        )
    low, high = to_places(fine.low_ozt, 3), to_places(fine.high_ozt, 3)
    how = "taken as solid" if built is None else built.name
    words = f"{to_places(gross_g, 1):,} g of {kind.name}: "
    words += (
        f"{low} ozt fine by scale, {how}." if low == high else f"{low} to {high} ozt fine by scale. Count the low end."
    )
    return Evidence(
        test="ware-weight",
        ground=Ground.WEIGHT,
        outcome=Outcome.UNSURE,
        against=kind.slug,
        says=words,
        figures=(
            gross,
            Figure(name="fine ounces by scale, low", value=low, unit="ozt"),
            Figure(name="fine ounces by scale, high", value=high, unit="ozt"),
        ),
        would_settle="A refiner's statement; the weight of the silver alone is never known from outside.",
        cautions=CAUTIONS,
    )


def _magnet(seen: Magnet, built: Construction | None) -> Evidence:
    partly = built is not None and built.share_high < 1
    if seen is Magnet.PULLS:
        outcome = Outcome.UNSURE if partly else Outcome.FAILED
        words = "A magnet pulls it: there is steel in it."
        words += " Blades, rods and fillings are often steel." if partly else " Solid silver is never pulled."
    else:
        outcome, words = Outcome.PASSED, "No magnet pulls it; brass, copper and nickel silver pass as well."
    return Evidence(test="magnet", ground=Ground.MAGNET, outcome=outcome, against="silver ware", says=words)
