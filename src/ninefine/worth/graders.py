"""Whether having a piece graded by a third party pays: outcomes with their chances, against selling it as it is.

Every chance, fee and price is the person's own. What grading is expected to net is the sum of each outcome's chance
times what it nets; the gain is that, less what grading costs, less what the piece nets ungraded.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from ninefine.errors import Fault, Faults, RangeError
from ninefine.market.quote import exact_decimal
from ninefine.market.table import Table
from ninefine.measure.money import cents
from ninefine.measure.numbers import plain, read_decimal
from ninefine.worth.band import Band, read_band
from ninefine.worth.collectors import NO_SHARES, CollectorExit, FlawShares, sell
from ninefine.worth.grader_fees import CostLine, GraderFees
from ninefine.worth.guide import Guide
from ninefine.worth.span import ZERO, End, Span


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """What may come back.

    Attributes:
        band: what the holder would say; with details where the grader finds something wrong.
        chance: from 0 to 1.
        price: one's own figure for it; by the sheet where none.
    """

    band: Band
    chance: Decimal
    price: Decimal | None = None


def outcomes_from(row: Mapping[str, object]) -> tuple[Outcome, ...]:
    """Read outcomes from plain values: `outcomes`, each with `band`, `chance` (`0.35` or `35%`) and perhaps `price`.

    Raises:
        Faults: every fault, each at its field, and chances that do not sum to 1.
    """
    faults: list[Fault] = []
    table = Table(row, faults)
    found = []
    for part in table.parts("outcomes", needed=True):
        band = part.read("band", read_band, None, needed=True)
        chance = part.read("chance", read_chance, ZERO, needed=True)
        price = part.decimal("price", zero=True)
        part.done()
        if band is not None:
            found.append(Outcome(band=band, chance=chance, price=price))
    table.done()
    if faults:
        raise Faults(faults, source="the outcomes")
    _check(found)
    return tuple(found)


def read_chance(said: str) -> Decimal:
    """Read a chance: `0.35`, `35%`, `35 %`.

    Raises:
        UnreadableError: not a number.
        RangeError: not from 0 to 1.
    """
    number = read_decimal(said.strip().removesuffix("%").strip(), what="chance")
    chance = number / 100 if said.strip().endswith("%") else number
    if not 0 <= chance <= 1:
        raise RangeError(f"A chance of {said.strip()[:20]} cannot be.", expected="It lies from 0 to 1, or 0% to 100%.")
    return chance


@dataclass(frozen=True, slots=True, kw_only=True)
class GradingCase:
    """One piece that might be sent in.

    Attributes:
        kind, issue: what it is, by the catalog.
        raw: its grade as it would be sold ungraded.
        outcomes: what may come back; their chances sum to 1.
        declared: the value declared for it, which may set the fee and the insurance.
        pieces: how many share the parcel.
        raw_exit, graded_exit: how it would be sold ungraded, and in a holder.
        metal: what it brings as metal, wherever a sale to a collector brings less.
        hourly: what an hour of one's own time is worth.
        shares: what a piece brings that is not sound.
    """

    kind: str
    issue: str
    raw: Band
    outcomes: tuple[Outcome, ...]
    declared: Decimal
    pieces: int = 1
    raw_exit: CollectorExit
    graded_exit: CollectorExit
    metal: Decimal = ZERO
    hourly: Decimal = ZERO
    shares: FlawShares = NO_SHARES


@dataclass(frozen=True, slots=True, kw_only=True)
class BreakEven:
    """The chance of something at which grading neither gains nor loses, all else keeping its proportions.

    `above` says on which side it pays: at a higher chance, or else at a lower.
    """

    chance: Decimal
    above: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class OutcomeNet:
    """An outcome with its price, what it nets, and its break-even chance (none where no chance breaks even)."""

    outcome: Outcome
    price: Decimal
    net: Decimal
    break_even: BreakEven | None


@dataclass(frozen=True, slots=True, kw_only=True)
class GradingAnswer:
    """Whether it pays, on average.

    Attributes:
        raw: what the piece nets ungraded.
        outcomes: each with its net.
        costs: what grading costs, line by line; they sum to `cost`.
        expected: the mean of the outcomes' nets, before the cost.
        gain: `expected` less `cost` less `raw`; below zero where grading loses.
        details: the chance of all outcomes with details together.
        details_break_even: the chance of them at which grading stops paying; none where there are none, or where no
            chance breaks even.
        cautions: what to know of the prices.
    """

    raw: Decimal
    outcomes: tuple[OutcomeNet, ...]
    costs: tuple[CostLine, ...]
    cost: Decimal
    expected: Decimal
    gain: Decimal
    details: Decimal
    details_break_even: BreakEven | None
    cautions: tuple[str, ...]

    @property
    def pays(self) -> bool:
        """Whether grading gains anything on average."""
        return self.gain > 0


def grading_pays(case: GradingCase, guide: Guide, fees: GraderFees, end: End = End.MID) -> GradingAnswer:
    """What grading a piece gains on average, by the sheet's low, middle or high prices.

    Raises:
        Faults: chances that are not from 0 to 1, or do not sum to 1.
        NotFoundError: no sheet lists the piece, or no share is set for what may be wrong with it.
        RangeError: the sheet does not reach a grade, or the fees do not reach the declared value.
    """
    _check(case.outcomes)
    pricer = _Pricer(case, guide, end)
    raw = pricer.net(pricer.price(case.raw), case.raw_exit)
    prices = [pricer.price(one.band) if one.price is None else one.price for one in case.outcomes]
    nets = [pricer.net(price, case.graded_exit) for price in prices]
    costs = fees.costs(case.declared, pieces=case.pieces, hourly=case.hourly, currency=guide.currency)
    cost = sum((line.amount for line in costs), ZERO)
    chances = [Fraction(one.chance) for one in case.outcomes]
    need = Fraction(raw + cost)
    exact = sum((chance * Fraction(net) for chance, net in zip(chances, nets, strict=True)), Fraction(0))
    flawed = [bool(one.band.details) for one in case.outcomes]
    expected = cents(exact_decimal(exact), guide.currency)
    return GradingAnswer(
        raw=raw,
        outcomes=tuple(
            OutcomeNet(
                outcome=outcome,
                price=prices[at],
                net=nets[at],
                break_even=_break_even(chances, nets, [place == at for place in range(len(nets))], need),
            )
            for at, outcome in enumerate(case.outcomes)
        ),
        costs=costs,
        cost=cost,
        expected=expected,
        gain=expected - cost - raw,
        details=sum((one.chance for one in case.outcomes if one.band.details), ZERO),
        details_break_even=_break_even(chances, nets, flawed, need),
        cautions=tuple(dict.fromkeys(pricer.cautions)),
    )


class _Pricer:
    """Prices and nets of one case; it gathers the cautions of the prices that it looks up."""

    def __init__(self, case: GradingCase, guide: Guide, end: End) -> None:
        self._case = case
        self._guide = guide
        self._end = end
        self.cautions: list[str] = []

    def price(self, band: Band) -> Decimal:
        """A piece's price by the sheet, its share taken; zero where such a piece is sold as metal."""
        share = self._case.shares.share(band)
        if not share:
            return ZERO
        found = self._guide.price(self._case.kind, self._case.issue, band.sound)
        self.cautions += found.cautions
        return found.worth.share(share, self._guide.currency).at(self._end)

    def net(self, price: Decimal, way: CollectorExit) -> Decimal:
        """What it nets by a way out, or as metal where that is more or the way out does not take it."""
        worth = Span(low=price, mid=price, high=price)
        sale = sell(way, worth, hourly=self._case.hourly, currency=self._guide.currency)
        return max(sale.net.mid, self._case.metal) if sale.taken else self._case.metal


def _break_even(
    chances: Sequence[Fraction], nets: Sequence[Decimal], within: Sequence[bool], need: Fraction
) -> BreakEven | None:
    """The chance of some outcomes together at which the mean net meets a need, each side keeping its proportions."""
    inside = _mean([(chance, net) for chance, net, one in zip(chances, nets, within, strict=True) if one])
    outside = _mean([(chance, net) for chance, net, one in zip(chances, nets, within, strict=True) if not one])
    if inside is None or outside is None or inside == outside:
        return None
    chance = (need - outside) / (inside - outside)
    return BreakEven(chance=exact_decimal(chance), above=inside > outside) if 0 <= chance <= 1 else None


def _mean(pairs: Sequence[tuple[Fraction, Decimal]]) -> Fraction | None:
    """The mean of nets by their chances; evenly where none has any chance, and none where there are none."""
    if not pairs:
        return None
    weights = [chance for chance, _ in pairs] if any(chance for chance, _ in pairs) else [Fraction(1)] * len(pairs)
    products = (weight * Fraction(net) for weight, (_, net) in zip(weights, pairs, strict=True))
    return sum(products, Fraction(0)) / sum(weights, Fraction(0))


def _check(outcomes: Sequence[Outcome]) -> None:
    faults = [
        Fault(where=f"outcome {number}", wrong=f"A chance of {plain(one.chance)} cannot be; it lies from 0 to 1.")
        for number, one in enumerate(outcomes, start=1)
        if not 0 <= one.chance <= 1
    ]
    whole = sum((one.chance for one in outcomes), ZERO)
    if whole != 1:
        wrong = f"The chances sum to {plain(whole)}; everything that may come back sums to 1."
        faults.append(Fault(where="outcomes", wrong=wrong))
    if faults:
        raise Faults(faults, source="the outcomes")
