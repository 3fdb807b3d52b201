"""One piece on the scale, held against the law of a new piece and against wear."""

from dataclasses import dataclass

from ninefine.assay.evidence import Evidence, Ground, Outcome, figure
from ninefine.assay.wear import Band, Loss, loss_of, tolerance_of
from ninefine.catalog.catalog import Catalog
from ninefine.catalog.kinds import Kind
from ninefine.errors import RangeError
from ninefine.measure.reading import Reading

#: Where no law is held: what a new piece may differ, as a part of its weight (common practice, no source).
_NO_LAW = 0.015
#: How many standard deviations from piece to piece hold nearly all pieces: 99 in 100.
_NEARLY_ALL = 2.576


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """Weights in grams between which a piece of a kind may lie.

    Attributes:
        new: between what the law let a new piece weigh.
        usual: between which 99 in 100 of its sort lie.
        least: below this no wear explains the weight, however worn the piece.
        lawful: whether `new` rests on a statute.
    """

    new: tuple[float, float]
    usual: tuple[float, float]
    least: float
    lawful: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceWeight:
    """What the scale says of one piece.

    Attributes:
        reading: its weight in grams.
        kind: what it is taken for.
        span: what it was held against.
        loss: what its sort loses.
        wear: what it lost of its weight as struck, as a part of one; below zero where it is heavier.
        within_law: whether it lies within what the law let a new piece weigh; worn pieces mostly do not.
        also: other kinds of the same denomination that weigh so.
        evidence: what it comes to.
    """

    reading: Reading
    kind: Kind
    span: Span
    loss: Loss
    wear: float
    within_law: bool
    also: tuple[Kind, ...]
    evidence: Evidence


def span_of(kind: Kind, band: Band, catalog: Catalog) -> Span:
    """Between which weights a piece of a kind may lie.

    Raises:
        RangeError: a kind that has no set weight.
    """
    if kind.gross_g is None or not kind.gross_g:
        raise RangeError(
            f"{kind.name} has no set weight, so one piece cannot be held against it.",
            expected="Name the coin or bar itself.",
        )
    struck = float(kind.gross_g)
    law = tolerance_of(kind, catalog)
    differ = struck * _NO_LAW if law is None else float(law)
    loss, widest = loss_of(kind, band), loss_of(kind)
    likely = struck * (1 - loss.mean)
    spread = _NEARLY_ALL * struck * (loss.piece**2 + loss.roll**2) ** 0.5
    most = max(loss.most, widest.most)
    return Span(
        new=(struck - differ, struck + differ),
        usual=(likely - spread, max(likely + spread, struck + differ)),
        least=struck - ((struck * most) ** 2 + differ**2) ** 0.5,
        lawful=law is not None,
    )


def weigh_piece(reading: Reading, kind: Kind, catalog: Catalog, *, band: Band = Band.UNSAID) -> PieceWeight:
    """Hold one piece's weight against its kind.

    Args:
        reading: its weight in grams.
        kind: what it is taken for.
        catalog: for the law's tolerance, and for kinds that weigh alike.
        band: how worn it looks.

    Raises:
        RangeError: a kind that has no set weight.
    """
    span = span_of(kind, band, catalog)
    low, high = reading.interval()
    struck = float(kind.gross_g or 0)
    also = tuple(one for one in beside(kind, catalog) if _may_weigh(one, low, high, catalog))
    outcome, words, beyond, settle = _judge(span, (low, high), kind, band)
    poorer = ", ".join(one.name for one in also if one.fineness < kind.fineness)
    if outcome is Outcome.PASSED and poorer:
        outcome, words = Outcome.UNSURE, f"{words} So may {poorer}."
        settle = "Look at its edge and date, and measure its thickness."
    wear = 1 - reading.value / struck
    half = reading.half_width()
    side = f"{wear * 100:.2f}% less" if wear >= 0 else f"{-wear * 100:.2f}% more"
    by_law = f" By law a new one weighed {law_words(span)}." if span.lawful else ""
    says = (
        f"{reading.value:.{_places(half)}f} g ± {half:.{_places(half)}f} (95%), {side} than as struck. {words}{by_law}"
    )
    return PieceWeight(
        reading=reading,
        kind=kind,
        span=span,
        loss=loss_of(kind, band),
        wear=wear,
        within_law=span.new[0] <= reading.value <= span.new[1],
        also=also,
        evidence=Evidence(
            test="weight",
            ground=Ground.WEIGHT,
            outcome=outcome,
            against=kind.slug,
            says=says,
            figures=(figure("weight", reading.value, reading.u, "g"),),
            would_settle=settle,
            beyond_wear=beyond,
        ),
    )


def beside(kind: Kind, catalog: Catalog) -> tuple[Kind, ...]:
    """Kinds of one denomination with another fineness or weight: what a piece may be instead."""
    own = {one.slug for one in catalog.family(kind.slug)} | {kind.slug}
    found: dict[tuple[object, object], Kind] = {}
    for one in catalog.kinds:
        alike = one.country == kind.country and one.denomination == kind.denomination and one.denomination
        current = (one.last_year or 2100) >= 1916
        if alike and current and one.gross_g and one.slug not in own and one.gross_g != kind.gross_g:
            found.setdefault((one.gross_g, one.fineness), one)
    return tuple(found.values())


def _may_weigh(kind: Kind, low: float, high: float, catalog: Catalog) -> bool:
    span = span_of(kind, Band.UNSAID, catalog)
    return high >= span.usual[0] and low <= span.usual[1]


def _judge(span: Span, interval: tuple[float, float], kind: Kind, band: Band) -> tuple[Outcome, str, bool, str]:
    """How a weight came out, why, whether no wear explains it, and what would settle it."""
    low, high = interval
    if span.usual[0] <= low and high <= span.usual[1]:
        new = span.new[0] <= low and high <= span.new[1]
        return Outcome.PASSED, f"It fits its kind, {'as new or' if new else 'as'} worn.", False, ""
    if low > span.usual[1] or high < span.least:
        by_law = "the law let a new piece weigh" if span.lawful else "new pieces are taken to weigh"
        words = f"That is more than {by_law}, and wear adds nothing."
        if high < span.least:
            words = f"No wear explains so little: worn flat, {kind.name} still weighs more."
        return Outcome.FAILED, words, True, ""
    if high >= span.usual[0]:
        words = "It lies at the edge of what its kind weighs; the scale cannot tell."
        return Outcome.UNSURE, words, False, "Weigh it on a scale with a finer step, checked with a known weight."
    if band is Band.UNSAID:
        words = "That is less than 99 in 100 of its kind; only a very worn piece weighs so."
        return Outcome.UNSURE, words, False, "Say its design and how worn it looks."
    words = f"That is less than a piece that looks {band.value} weighs."
    return Outcome.FAILED, words, False, "Look again how worn it is, and measure its thickness."


def _places(half: float) -> int:
    return 3 if half < 0.01 else 2 if half < 0.5 else 1


def law_words(span: Span) -> str:
    """What the law let a new piece weigh, in words."""
    low, high = span.new
    return f"{low:.2f} to {high:.2f} g" + ("" if span.lawful else " (taken; no law is held)")
