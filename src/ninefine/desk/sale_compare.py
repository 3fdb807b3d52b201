"""The same sale by every way of choosing lots and of counting their cost: what each gains, and what is kept after tax.

Shown before the sale, since it is fixed by it. Rates are the person's own, typed; which ways the place allows is for
its law and a preparer. Whatever is not gained now is only put off: the coin that is left carries it.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from ninefine.book.term import Term
from ninefine.desk.book_settings import Method, settings
from ninefine.desk.kit import Kit
from ninefine.desk.sale import RULE_WORDS, RULES, SalePlan, SaleRow, by_rule_beside, read_sale
from ninefine.errors import NotEnoughError
from ninefine.measure.money import cents
from ninefine.measure.numbers import EXACT

ZERO = Decimal(0)
AVERAGE = "average"
AVERAGE_WORDS = "average cost"


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """One way of choosing lots and counting their cost.

    Attributes:
        rule: its name: one of `RULES`, `chosen` or `average`.
        words: the same in words.
        asked: whether it is the one that the form asks for.
        plan: the sale by it; none where the lots that it may take hold too little.
        why: why there is no plan.
        short: gain over lots held short, losses taken off. long: the same over lots held long.
        untold: gain of which the term is not known.
        tax: at the typed rates, each row to the cent; a loss counts against it. None where no rate was typed, or a term
            or a cost is not known.
    """

    rule: str
    words: str
    asked: bool
    plan: SalePlan | None
    why: str = ""
    short: Decimal = ZERO
    long: Decimal = ZERO
    untold: Decimal = ZERO
    tax: Decimal | None = None

    @property
    def kept(self) -> Decimal | None:
        """What reaches the pocket after fees and tax; none where the tax cannot be told."""
        if self.plan is None or self.tax is None:
            return None
        return self.plan.proceeds - self.plan.fees - self.tax


@dataclass(frozen=True, slots=True, kw_only=True)
class Rates:
    """Typed tax rates in per cent; none where one was not typed."""

    short: Decimal | None = None
    long: Decimal | None = None


def compare_ways(kit: Kit, form: Mapping[str, str], *, rates: Rates | None = None) -> tuple[Way, ...]:
    """The sale of a form by every way, the one asked for first; rates are those settled for the book unless given.

    Raises:
        Faults, NotEnoughError, NotFoundError: as `read_sale` does for the form itself.
    """
    settled = settings(kit)
    known = rates or Rates(short=settled.short_rate, long=settled.long_rate)
    own = read_sale(kit, form, method=Method.LOTS)
    average = read_sale(kit, form, method=Method.AVERAGE)
    by_lots = settled.method is Method.LOTS
    ways = [
        _way(own.rule, RULE_WORDS[own.rule], own, known, asked=by_lots),
        _way(AVERAGE, AVERAGE_WORDS, average, known, asked=not by_lots),
        *(_other(kit, form, own, rule, known) for rule in RULES if rule != own.rule),
    ]
    return tuple(sorted(ways, key=lambda way: (not way.asked, way.rule == AVERAGE)))


def _other(kit: Kit, form: Mapping[str, str], plan: SalePlan, rule: str, rates: Rates) -> Way:
    try:
        other = by_rule_beside(kit, form, plan, rule)
    except NotEnoughError as error:
        return Way(rule=rule, words=RULE_WORDS[rule], asked=False, plan=None, why=str(error))
    return _way(rule, RULE_WORDS[rule], other, rates)


def _way(rule: str, words: str, plan: SalePlan, rates: Rates, *, asked: bool = False) -> Way:
    return Way(
        rule=rule,
        words=words,
        asked=asked,
        plan=plan,
        short=_gain_of(plan.rows, Term.SHORT),
        long=_gain_of(plan.rows, Term.LONG),
        untold=_gain_of(plan.rows, Term.UNKNOWN),
        tax=_tax(plan.rows, rates),
    )


def _gain_of(rows: tuple[SaleRow, ...], term: Term) -> Decimal:
    return sum((row.gain for row in rows if row.term is term and row.gain is not None), ZERO)


def _tax(rows: tuple[SaleRow, ...], rates: Rates) -> Decimal | None:
    by_term = {Term.SHORT: rates.short, Term.LONG: rates.long, Term.UNKNOWN: None}
    whole = ZERO
    for row in rows:
        rate, gain = by_term[row.term], row.gain
        if rate is None or gain is None:
            return None
        whole += cents(EXACT.divide(EXACT.multiply(gain, rate), Decimal(100)))
    return whole
