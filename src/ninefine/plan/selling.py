"""What a plan of selling is made of: pieces, ways out, what is needed; and a plan reckoned exactly, as it is booked.

A plan says how many steps (whole pieces, or whole face dollars of coin not told apart) of each heap go by each way out.
`reckon` turns that into money with the very functions that price and book a sale, trip after trip.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction

from ninefine.book.drawing import Drawing, Drawn
from ninefine.book.entries import Amount
from ninefine.book.holdings import Heap, Lot, gain_of
from ninefine.book.share import share, unit_of
from ninefine.book.term import Term, term_of
from ninefine.catalog.kinds import Basis, Kind
from ninefine.market.exits import Exit
from ninefine.market.goods import Goods, Limit, measured
from ninefine.market.paid import PaidKind, pays
from ninefine.measure.money import cents
from ninefine.plan.taxed import Rates, added_tax
from ninefine.worth.ways_out import goods_of

ZERO = Decimal(0)


class Goal(StrEnum):
    """What a plan makes best."""

    LEAST_SILVER = "least silver"
    """The fewest fine ounces go, each line's bother counted in; of equal plans the one that keeps the most."""
    MOST_KEPT = "most kept"
    """The most is left after tax: money in hand, and the melt of what stays on the shelf."""
    FEWEST_TRIPS = "fewest trips"
    """The fewest ways out are used; of plans that are equal in that, the one that keeps the most after tax."""
    MOST_MONEY = "most money"
    """The most money in hand."""
    MOST_OF_AMOUNT = "most of the amount"
    """As much of the amount as can go, and no more than it; the amount is then an upper limit."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock:
    """A heap that may be sold from, in steps: pieces, or a sum of face where pieces are not told apart.

    Attributes:
        name: the heap's whole name.
        heap, lot, kind: as the book and the catalog hold them.
        steps: how many steps it holds. step: one of them; none where all of it goes or nothing.
    """

    name: str
    heap: Heap
    lot: Lot
    kind: Kind
    steps: int
    step: Amount | None

    def amount(self, steps: int) -> Amount | None:
        """So many steps as a sale says them; none for all of it."""
        if self.step is None or steps == self.steps:
            return None
        if self.step.count is not None:
            return Amount(count=self.step.count * steps)
        return Amount(face=(self.step.face or ZERO) * steps)


@dataclass(frozen=True, slots=True, kw_only=True)
class HeldBack:
    """A stock that a plan leaves alone: the limit that holds it back, and why in words."""

    stock: Stock
    limit: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Need:
    """What is wanted of a plan.

    Attributes:
        sum: at least so much money in hand, after all that ways out take off. after_tax: and after tax too.
        amount: or sell exactly so much: face, pieces or ozt (trade).
        goal: what is made best.
        days: days until the money must be there; any where none.
        most_trips: ways out used at most.
    """

    sum: Decimal | None = None
    after_tax: bool = False
    amount: Limit | None = None
    goal: Goal = Goal.LEAST_SILVER
    days: int | None = None
    most_trips: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """All that a plan of selling rests on.

    Attributes:
        stocks: what may be sold. ways: the ways out, in the order in which they would be gone to.
        spot: dollars per fine troy ounce. on: the day of the sale.
        rates: typed tax rates, and where the year stands.
        held_back: what is not to be sold, and by which limit.
        bother: what each line of a sale counts as costing, in money: so no plan picks from one lot more for pennies,
            nor parts a sale in lines for their roundings. It is in no sum that is shown.
    """

    stocks: tuple[Stock, ...]
    ways: tuple[Exit, ...]
    spot: Decimal
    on: date
    need: Need
    rates: Rates = field(default_factory=Rates)
    held_back: tuple["HeldBack", ...] = ()
    bother: Decimal = Decimal(1)
    currency: str = "USD"


#: Steps by way out and stock, each by its place in the problem.
Takes = Mapping[tuple[int, int], int]


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """What goes of one heap by one way out: as a line of a sale."""

    stock: Stock
    steps: int
    amount: Amount
    asked: Amount | None
    proceeds: Decimal
    fees: Decimal
    basis: Decimal
    gain: Decimal
    term: Term


@dataclass(frozen=True, slots=True, kw_only=True)
class Trip:
    """One sale: what goes by one way out."""

    way: Exit
    parts: tuple[Part, ...]
    gross: Decimal
    fees: Decimal
    goods: tuple[Goods, ...]
    cautions: tuple[str, ...]

    @property
    def net(self) -> Decimal:
        """What reaches the pocket."""
        return self.gross - self.fees


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """A plan reckoned exactly.

    Attributes:
        takes: what it is.
        trips: the sales, in order.
        short, long: gains by term, losses taken off; what nobody knows the term of counts as the dearer.
        tax: what they add to the year's tax at the typed rates.
        ozt: fine troy ounces (trade) that go. melt: what those would melt at.
    """

    takes: Takes
    trips: tuple[Trip, ...]
    short: Decimal
    long: Decimal
    tax: Decimal
    ozt: Fraction
    melt: Fraction

    @property
    def net(self) -> Decimal:
        """What reaches the pocket before tax."""
        return sum((trip.net for trip in self.trips), ZERO)

    @property
    def kept(self) -> Decimal:
        """What is left of it after tax."""
        return self.net - self.tax

    @property
    def lines(self) -> int:
        """Lines of all its sales."""
        return sum(len(trip.parts) for trip in self.trips)

    @property
    def left_over(self) -> Fraction:
        """Money kept less the melt that went for it: the higher, the more is left in all."""
        return Fraction(self.kept) - self.melt


def reckon(problem: Problem, takes: Takes) -> Outcome:
    """Reckon a plan exactly, as the book would: each way out is one sale, in the order of the problem's ways."""
    drawing = Drawing((stock.lot for stock in problem.stocks), unit_of(problem.currency))
    trips = []
    for place, way in enumerate(problem.ways):
        picked = [(at, takes[place, at]) for at in range(len(problem.stocks)) if takes.get((place, at))]
        if picked:
            trips.append(_trip(problem, way, picked, drawing))
    gains = {True: ZERO, False: ZERO}
    for trip in trips:
        for part in trip.parts:
            gains[counts_short(part.term, problem.rates)] += part.gain
    ozt = sum((item.ozt(Basis.TRADE) for trip in trips for item in trip.goods), Fraction(0))
    return Outcome(
        takes={key: steps for key, steps in takes.items() if steps},
        trips=tuple(trips),
        short=gains[True],
        long=gains[False],
        tax=added_tax(gains[True], gains[False], problem.rates),
        ozt=ozt,
        melt=ozt * Fraction(problem.spot),
    )


def counts_short(term: Term, rates: Rates) -> bool:
    """Whether a gain is taxed as short term; where nobody knows its term, at the dearer rate."""
    return term is Term.SHORT or (term is Term.UNKNOWN and rates.short >= rates.long)


def fits(problem: Problem, outcome: Outcome) -> bool:
    """Whether a plan keeps every limit and meets the need, exactly."""
    need = problem.need
    if need.sum is not None and (outcome.kept if need.after_tax else outcome.net) < need.sum:
        return False
    if need.most_trips is not None and len(outcome.trips) > need.most_trips:
        return False
    if need.amount is not None:
        goods = [item for trip in outcome.trips for item in trip.goods]
        sold, wanted = measured(goods, ZERO, need.amount.unit), Fraction(need.amount.amount)
        if sold > wanted or (sold < wanted and need.goal is not Goal.MOST_OF_AMOUNT):
            return False
    return all(_in_limits(trip) for trip in outcome.trips)


def _in_limits(trip: Trip) -> bool:
    least, most = trip.way.minimum, trip.way.capacity
    if least is not None and measured(trip.goods, trip.gross, least.unit) < Fraction(least.amount):
        return False
    return most is None or measured(trip.goods, trip.gross, most.unit) <= Fraction(most.amount)


def _trip(problem: Problem, way: Exit, picked: Sequence[tuple[int, int]], drawing: Drawing) -> Trip:
    currency = problem.currency
    taken: list[tuple[Stock, int, Amount | None, Drawn]] = []
    for at, steps in picked:
        stock = problem.stocks[at]
        asked = stock.amount(steps)
        taken.append((stock, steps, asked, drawing.draw(stock.heap, asked)))
    goods = tuple(goods_of(stock.kind, out.amount) for stock, _, _, out in taken)
    paid = pays(way, goods, problem.spot)
    proceeds = [line.amount for line in paid.lines if line.kind is PaidKind.GOODS]
    fees = share(paid.taken_off, proceeds, unit_of(currency))
    parts = tuple(_part(problem, one, brings, fee) for one, brings, fee in zip(taken, proceeds, fees, strict=True))
    return Trip(
        way=way, parts=parts, gross=cents(paid.gross, currency), fees=paid.taken_off, goods=goods,
        cautions=paid.cautions,
    )  # fmt: skip


def _part(problem: Problem, taken: tuple[Stock, int, Amount | None, Drawn], proceeds: Decimal, fees: Decimal) -> Part:
    stock, steps, asked, out = taken
    lot, net = stock.lot, proceeds - fees
    # what nobody knows the cost of is taken to have cost nothing: the most tax that it could bring
    gain = gain_of(net, out.basis, out.loss_basis) if lot.cost_known else net
    by_value = out.loss_basis is not None and net < out.loss_basis
    return Part(
        stock=stock,
        steps=steps,
        amount=out.amount,
        asked=asked,
        proceeds=proceeds,
        fees=fees,
        basis=out.basis,
        gain=gain,
        term=term_of(lot, problem.on, by_value=by_value),
    )
