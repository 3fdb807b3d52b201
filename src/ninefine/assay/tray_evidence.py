"""What a piece's diameter on a tray says for or against a kind: a size, never a metal."""

from ninefine.assay.evidence import Evidence, Ground, Outcome, figure
from ninefine.assay.tray import COVER, Piece
from ninefine.assay.tray_sizes import ALLOWED_MM
from ninefine.catalog.kinds import Kind

SETTLES = "Calipers, and the piece's weight."


def diameter_evidence(piece: Piece, kind: Kind) -> Evidence:
    """A piece's measured diameter held against a kind's."""
    if piece.diameter is None or piece.uncertainty is None or kind.diameter_mm is None:
        lacks = "the catalog has no diameter of it" if kind.diameter_mm is None else "it was not measured"
        return Evidence(
            test="tray",
            ground=Ground.SIZE,
            outcome=Outcome.NOT_DONE,
            against=kind.slug,
            says=f"Piece {piece.number} is not held against {kind.name}: {lacks}.",
            would_settle=SETTLES,
        )
    should, off = float(kind.diameter_mm), piece.diameter - float(kind.diameter_mm)
    wide = COVER * piece.uncertainty
    if abs(off) <= ALLOWED_MM + wide:
        outcome, words = Outcome.PASSED, "fits"
    elif abs(off) <= ALLOWED_MM + 2 * wide:
        outcome, words = Outcome.UNSURE, "is at the edge of what fits"
    else:
        outcome, words = Outcome.FAILED, "does not fit"
    return Evidence(
        test="tray",
        ground=Ground.SIZE,
        outcome=outcome,
        against=kind.slug,
        says=(
            f"Piece {piece.number} measures {piece.diameter:.2f} mm, 95% within {wide:.2f} mm, and {words} {kind.name} "
            f"of {should:g} mm. A diameter says nothing of the metal."
        ),
        figures=(figure("diameter", piece.diameter, piece.uncertainty, "mm"),),
        would_settle="" if outcome is Outcome.FAILED else SETTLES,
    )
