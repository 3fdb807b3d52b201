"""What a way out would pay for a basket, as a sum over unknowns in cents: what `market.paid` reckons."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from math import ceil

from ninefine.market.exits import Exit
from ninefine.market.paid import bid_on
from ninefine.market.quote import per_unit
from ninefine.measure.money import cents
from ninefine.plan.buying import Item
from ninefine.plan.buying_bill import Sum, roughly
from ninefine.plan.buying_cents import Exactly, TooFineError, highest, lowest, most_of, terms_of, whole_cents
from ninefine.plan.model import Model, Values


@dataclass(kw_only=True)
class _Part:
    """What comes back for one stretch of one offer."""

    items: tuple[Item, ...]
    taken: int
    steps: tuple[int, ...]
    gross: Sum
    exact: bool


class Back:
    """The sum of what comes back. Add every stretch, then `close`.

    What is taken off is said so that no basket seems to bring less than it does; `say_exactly` says the bids' own
    rounding to the cent where it has mattered.
    """

    def __init__(self, model: Model, way_out: Exit, spot: Decimal) -> None:
        self._model = model
        self._exit = way_out
        self._spot = spot
        self._parts: list[_Part] = []
        self._net: dict[int, Fraction] = {}

    def add(self, items: Sequence[Item], taken: int, steps: Sequence[int]) -> None:
        """Add what one stretch brings before anything is taken off; what nobody bids for is not bought at all."""
        bids = [self._bid(item) for item in items]
        for at, bid in zip(steps, bids, strict=True):
            if bid is None:
                self._model.row({at: 1}, most=0, because=f"{self._exit.name} has no bid for it")
        gross = self._gross(bids, steps, exactly=None)
        part = _Part(
            items=tuple(items),
            taken=taken,
            steps=tuple(steps),
            gross=whole_cents(self._model, gross, taken, up=True),
            exact=gross.whole or self._as_one,
        )
        self._parts.append(part)

    @property
    def _as_one(self) -> bool:
        """Goods are settled as one melt, with one rounding for all of them."""
        return self._exit.payable_pct is not None

    def _bid(self, item: Item) -> Fraction | None:
        """Cents for one step of a line."""
        quote = bid_on(self._exit, item.goods)
        if quote is None:
            return None
        return per_unit(quote, item.goods.terms(self._spot)) * item.step * 100

    def _gross(self, bids: Sequence[Fraction | None], steps: Sequence[int], exactly: Exactly | None) -> Sum:
        total = Sum()
        for at, bid in zip(steps, bids, strict=True):
            if bid is not None:
                one = Sum(terms={at: bid})
                if exactly is not None:
                    one = exactly(one)
                elif not self._as_one:
                    one = roughly(one)
                total = total.plus(one)
        return total

    def close(self) -> None:
        """Say what is left when fees, parcels, treatment, costs and travel are taken off, each rounded by itself."""
        model = self._model
        always = model.unknown(1, low=1, name="always")
        exactly = Exactly(model, always)
        gross = Sum(terms=self._gross_terms())
        if self._as_one:
            gross = _said(exactly, gross)
        kept = [Sum(fixed=-Fraction(cents(cost)) * 100) for cost in self._flat()]
        kept += [_said(exactly, gross.times(rate)).times(Fraction(-1)) for rate in self._rates()]
        kept += [self._parcels().times(Fraction(-1)), self._treatment().times(Fraction(-1))]
        total = gross
        for one in kept:
            total = total.plus(one)
        net = model.unknown(self._reach(), low=-self._reach(), name="what comes back")
        terms = {at: -factor for at, factor in terms_of(highest(total), always).items()}
        model.row({**terms, net: Fraction(1)}, most=0, because="what comes back")
        self._net = {net: Fraction(1)}

    def _gross_terms(self) -> dict[int, Fraction]:
        terms: dict[int, Fraction] = {}
        for part in self._parts:
            for at, factor in terms_of(part.gross, part.taken).items():
                terms[at] = terms.get(at, Fraction(0)) + factor
        return terms

    def _rates(self) -> list[Fraction]:
        """Shares of what is paid that are taken off, each rounded by itself."""
        rates = [Fraction(self._exit.fee_pct) / 100]
        if self._exit.payable_pct is not None:
            rates.append(1 - Fraction(self._exit.payable_pct) / 100)
        return [rate for rate in rates if rate]

    def _reach(self) -> int:
        gross = self._gross_terms().items()
        return ceil(sum((factor * self._model.unknowns[at].high for at, factor in gross), Fraction(0))) + 10**7

    def _flat(self) -> list[Decimal]:
        travel = self._exit.travel
        return [self._exit.costs, Decimal(0) if travel is None else travel.cost]

    def _parcels(self) -> Sum:
        """Parcels as an unknown: enough of them for all the face that is sent."""
        found = self._exit.parcels
        if found is None:
            return Sum()
        each = [Fraction(found.fee) * 100, Fraction(found.postage) * 100]
        if found.count is not None:
            fixed = [Fraction(cents(found.count * one)) * 100 for one in (found.fee, found.postage)]
            return Sum(fixed=sum(fixed, Fraction(0)))
        size = Fraction(found.face or 1)
        face = {
            at: item.step * (item.goods.content.face or 0)
            for part in self._parts
            for at, item in zip(part.steps, part.items, strict=True)
        }
        most = sum((step * self._model.unknowns[at].high for at, step in face.items()), Fraction(0))
        parcels = self._model.unknown(max(1, ceil(most / size)), low=1, name="parcels")
        self._model.row({**{at: -step for at, step in face.items()}, parcels: size}, least=0, because="parcels")
        total = Sum()
        for one in each:
            total = total.plus(roughly(Sum(terms={parcels: one})))
        return total

    def _treatment(self) -> Sum:
        """A refiner's charge as an unknown of whole cents: by gross weight, and no less than the least."""
        found = self._exit.treatment
        if found is None:
            return Sum()
        by_weight = Sum(
            terms={
                at: item.goods.gross_ozt / item.goods.units * item.step * Fraction(found.per_gross_ozt) * 100
                for part in self._parts
                for at, item in zip(part.steps, part.items, strict=True)
            }
        )
        least = int(cents(found.minimum) * 100)
        charge = self._model.unknown(most_of(by_weight, self._model) + least, low=least, name="treatment")
        terms = {at: -factor for at, factor in lowest(roughly(by_weight)).terms.items()}
        fixed = lowest(roughly(by_weight)).fixed
        self._model.row({**terms, charge: 1}, least=fixed, because="treatment")
        return Sum(terms={charge: Fraction(1)})

    def terms(self) -> dict[int, Fraction]:
        """Cents that come back, as the terms of a row."""
        return self._net

    def say_exactly(self, values: Values) -> bool:
        """Say the bids' rounding exactly for the stretches taken; whether anything was said."""
        said = False
        rough = [part for part in self._parts if values[part.taken] and not part.exact]
        for part in rough:
            part.exact = True
            bids = [self._bid(item) for item in part.items]
            try:
                gross = self._gross(bids, part.steps, Exactly(self._model, part.taken))
            except TooFineError:
                continue
            terms = terms_of(part.gross, part.taken)
            for at, factor in terms_of(gross, part.taken).items():
                terms[at] = terms.get(at, Fraction(0)) - factor
            self._model.row(terms, most=0, because="bids to the cent")
            said = True
        return said


def _said(exactly: Exactly, amount: Sum) -> Sum:
    """A rounded sum, said exactly where that can be done, else roughly."""
    try:
        return exactly(amount)
    except TooFineError:
        return roughly(amount)
