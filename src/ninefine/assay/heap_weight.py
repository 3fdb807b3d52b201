"""A heap of one fineness on the scale: its fine ounces, and its wear against specification and trade count."""

from dataclasses import dataclass
from math import sqrt

from ninefine.assay.evidence import Evidence, Figure, Ground, Outcome, figure
from ninefine.assay.instruments import Scale
from ninefine.assay.wear import Band, loss_of
from ninefine.catalog.kinds import Kind
from ninefine.errors import RangeError
from ninefine.measure.mass import TROY_OUNCE_G
from ninefine.measure.reading import Reading, propagate, rectangular

#: How far the mean fineness of a heap of struck coin may be off its standard, as parts of one (assumed, no source).
FINENESS_WITHIN = 0.001
#: How many standard deviations a heap may be off what its sort loses before it speaks against it: 99 in 100.
_NEARLY_ALL = 2.576


@dataclass(frozen=True, slots=True, kw_only=True)
class HeapWeight:
    """What the scale says of a heap.

    Attributes:
        weight: grams.
        fine_ozt: fine troy ounces by scale.
        unworn_g: what it weighed as struck; none where pieces or face are not known.
        trade_g: what it would weigh if the trade's count were exact; none where the trade has none.
        from_spec: its weight against specification, as a part of one: below zero is lighter.
        from_trade: its ounces by scale against the trade's count; none where the trade has none.
        expected: between which weights 99 heaps in 100 of its sort lie, grams; none where not known.
        evidence: what it comes to.
    """

    weight: Reading
    fine_ozt: Reading
    unworn_g: float | None
    trade_g: float | None
    from_spec: Reading | None
    from_trade: Reading | None
    expected: tuple[float, float] | None
    evidence: Evidence


def weigh_heap(
    scale: Scale, portions: list[list[float]], kind: Kind, *, count: float | None, band: Band = Band.UNSAID
) -> HeapWeight:
    """Hold a heap's weight against its kind.

    Args:
        scale: the scale.
        portions: what it showed for each portion of the heap, once or several times, in grams.
        kind: the one kind, or the one fineness, that the heap is of.
        count: how many pieces; for a heap known by face alone, its face over that of one piece. None where not known.
        band: how worn the pieces look.

    Raises:
        RangeError: a kind of no fineness.
    """
    if not kind.fineness:
        raise RangeError(
            f"{kind.name} holds no silver, so its ounces cannot be weighed.", expected="Name what it is of."
        )
    fineness = rectangular("fineness of the heap", float(kind.fineness), FINENESS_WITHIN)
    inputs = (*scale.inputs("weight", portions), *scale.gain_inputs(), fineness)
    ounce = float(TROY_OUNCE_G)

    def grams(values: dict[str, complex]) -> complex:
        return scale.shown("weight", values) * scale.gain(values)

    def fine(values: dict[str, complex]) -> complex:
        return grams(values) * values[fineness.name] / ounce

    weight = propagate(lambda values: grams(dict(values)), inputs[:-1], "g")
    ounces = propagate(lambda values: fine(dict(values)), inputs, "ozt")
    unworn = None if count is None or kind.gross_g is None else count * float(kind.gross_g)
    spec = trade = trade_g = None
    if unworn is not None:
        spec = propagate(lambda values: grams(dict(values)) / unworn - 1, inputs[:-1])
    if count is not None and kind.trade_ozt is not None:
        counted = count * float(kind.trade_ozt)
        trade_g = counted * ounce / float(kind.fineness)
        trade = propagate(lambda values: fine(dict(values)) / counted - 1, inputs)
    expected = None if unworn is None or count is None else _expected(kind, count, unworn, band)
    return HeapWeight(
        weight=weight,
        fine_ozt=ounces,
        unworn_g=unworn,
        trade_g=trade_g,
        from_spec=spec,
        from_trade=trade,
        expected=expected,
        evidence=_evidence(kind, weight, ounces, spec, expected),
    )


def _expected(kind: Kind, count: float, unworn: float, band: Band) -> tuple[float, float]:
    loss = loss_of(kind, band)
    likely = unworn * (1 - loss.mean)
    spread = _NEARLY_ALL * unworn * sqrt(loss.roll**2 + loss.piece**2 / count)
    return likely - spread, likely + spread


def _evidence(
    kind: Kind, weight: Reading, ounces: Reading, spec: Reading | None, expected: tuple[float, float] | None
) -> Evidence:
    low, high = weight.interval()
    says = f"{weight.value:,.2f} g ± {weight.half_width():.2f} (95%): {ounces.value:,.4f} ozt fine by scale"
    says += f" ± {ounces.half_width():.4f}."
    figures: tuple[Figure, ...] = (
        figure("weight", weight.value, weight.u, "g"),
        figure("fine ounces by scale", ounces.value, ounces.u, "ozt"),
    )
    outcome, settle = Outcome.UNSURE, "Count the pieces: a weight alone is held against nothing."
    if spec is not None and expected is not None:
        side = "lighter" if spec.value < 0 else "heavier"
        says += f" That is {abs(spec.value) * 100:.2f}% {side} than as struck"
        figures = (*figures, figure("off specification", spec.value * 100, spec.u * 100, "%"))
        outcome, settle = _outcome((low, high), expected)
        says += f"; 99 heaps in 100 of its sort weigh {expected[0]:,.2f} to {expected[1]:,.2f} g."
    return Evidence(
        test="heap-weight",
        ground=Ground.WEIGHT,
        outcome=outcome,
        against=kind.slug,
        says=says,
        figures=figures,
        would_settle=settle,
    )


def _outcome(interval: tuple[float, float], expected: tuple[float, float]) -> tuple[Outcome, str]:
    low, high = interval
    if high < expected[0]:
        return Outcome.FAILED, "Look at every edge for a copper stripe, then weigh the odd ones one by one."
    if low > expected[1]:
        return Outcome.FAILED, "Count again: a piece too many is the usual cause. Then look for pieces of another kind."
    if low >= expected[0] and high <= expected[1]:
        return Outcome.PASSED, "Look at every edge: a copper stripe tells clad at once."
    return Outcome.UNSURE, "Weigh it on a scale with a finer step, or in smaller portions."
