"""Invented problems of selling, drawn from a seed: lots of a few pieces, ways out with every kind of fee and limit."""

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction
from random import Random

from msgspec import structs

from ninefine.book.entries import Amount
from ninefine.book.holdings import Heap, Lot, Origin
from ninefine.book.how import How
from ninefine.catalog.catalog import Catalog
from ninefine.market.exits import Bid, Exit, Parcels, Treatment
from ninefine.market.goods import Limit, Travel
from ninefine.market.read_quote import read_quote
from ninefine.plan.selling import Goal, Need, Problem, Stock
from ninefine.plan.selling_stock import ozt_per_step, stock_of
from ninefine.plan.taxed import Rates

D = Decimal
DAY = date(2026, 6, 12)
SPOT = D("66.00")
KINDS = ("us-90", "us-quarter-90", "us-half-90", "xag-generic-round-1oz", "us-half-40")


def a_stock(
    catalog: Catalog, name: str, kind: str, steps: int, basis: Decimal, *, days: int = 900, cost_known: bool = True
) -> Stock:
    """A lot of one heap, of so many pieces or face dollars, bought so many days before the sale."""
    found = catalog.kind(kind)
    counted = kind != "us-90"
    face = found.face * steps if counted and found.face else D(steps)
    heap = Heap(
        lot=name,
        kind=kind,
        issue="",
        place="",
        amount=Amount(count=steps if counted else None, face=None if kind.startswith("xag") else face),
        basis=basis if cost_known else D(0),
        cost_known=cost_known,
    )
    bought = DAY - timedelta(days=days)
    lot = Lot(
        name=name,
        serial=1,
        origin=Origin(bought, bought, cost_known=cost_known),
        kind=kind,
        ordered=Amount(count=steps),
        quote="",
        cost=heap.basis,
        awaited=False,
        received=bought,
        claim=D(0),
        heaps=(heap,),
    )
    stock = stock_of(f"{name}/{kind}", heap, lot, found)
    assert stock is not None
    return stock


def a_problem(catalog: Catalog, seed: int) -> Problem:
    """A small problem: two to three lots, one to two ways out, at most some hundreds of plans."""
    draw = Random(seed)
    lots = draw.choice((2, 2, 3))
    most = 5 if lots == 2 else 3
    stocks = tuple(_stock(catalog, draw, number, draw.randint(1, most)) for number in range(lots))
    ways = tuple(_way(draw, number) for number in range(draw.choice((1, 1, 2))))
    return Problem(stocks=stocks, ways=ways, spot=SPOT, on=DAY, need=_need(draw, stocks), rates=_rates(draw))


def a_problem_with_gifts(catalog: Catalog, seed: int) -> Problem:
    """A small problem in which lots are gifts that were worth less than they had cost, given before a year or after."""
    problem, draw = a_problem(catalog, seed), Random(seed)
    stocks = tuple(_given(draw, stock) if draw.random() < 0.7 else stock for stock in problem.stocks)
    return replace(problem, stocks=stocks)


def _given(draw: Random, stock: Stock) -> Stock:
    if not stock.lot.cost_known:
        return stock
    value = (stock.lot.cost * D(draw.randint(30, 98)) / 100).quantize(D("0.01"))
    came = DAY - timedelta(days=draw.choice((20, 366, 367, 900)))
    acquired = stock.lot.acquired
    origin = Origin(min(came, acquired or came), came, how=How.GIVEN)
    lot = structs.replace(stock.lot, origin=origin, loss_cost=value, loss_basis=value)
    return replace(stock, lot=lot)


def a_shared_fee(catalog: Catalog, seed: int) -> Problem:
    """One way out whose flat fee is shared by coin of both terms, at rates far apart: what bends a plan's tax most."""
    draw = Random(seed)
    stocks = tuple(
        a_stock(
            catalog,
            f"L{number}",
            "us-90",
            draw.randint(2, 6),
            D(draw.randint(20, 200)),
            days=draw.choice((30, 900)),
        )
        for number in range(3)
    )
    way = Exit(name="w", bids=(Bid(what="90", quote=read_quote("44.83x")),), costs=D(draw.randint(10, 60)))
    need = Need(sum=D(draw.randint(80, 300)), goal=Goal.MOST_KEPT)
    rates = Rates(short=D(60), long=D(5))
    return Problem(stocks=stocks, ways=(way,), spot=SPOT, on=DAY, need=need, rates=rates, bother=D(0))


def a_large_problem(catalog: Catalog, seed: int) -> Problem:
    """Six lots of twenty to sixty steps and two ways out: some billions of plans."""
    draw = Random(seed)
    stocks = tuple(_stock(catalog, draw, number, draw.randint(20, 60)) for number in range(6))
    ways = tuple(
        replace(_way(draw, number), payable_pct=None, treatment=None, capacity=_limit(draw, 20, 150), minimum=None)
        for number in range(2)
    )
    ounces = sum((ozt_per_step(stock) * stock.steps for stock in stocks), Fraction(0))
    wanted = D(draw.randint(10, 50)) / 100 * D(int(ounces)) * SPOT
    return Problem(stocks=stocks, ways=ways, spot=SPOT, on=DAY, need=Need(sum=wanted.quantize(D("0.01"))))


def _stock(catalog: Catalog, draw: Random, number: int, steps: int) -> Stock:
    kind = draw.choice(KINDS)
    face = catalog.kind(kind).face or D(1)
    worth = D(48) * (face if kind.startswith("us") else D("1.4")) * steps
    basis = (worth * D(draw.randint(20, 140)) / 100).quantize(D("0.01"))
    return a_stock(
        catalog,
        f"L{number + 1}",
        kind,
        steps,
        basis,
        days=draw.choice((30, 200, 366, 367, 2000)),
        cost_known=draw.random() > 0.1,
    )


def _way(draw: Random, number: int) -> Exit:
    for_90 = draw.choice(("44.83x", "95% of melt", "spot - 2.50", "42x", "97.3% melt"))
    bids = [Bid(what="90", quote=read_quote(for_90))]
    bids.append(Bid(what="ozt", quote=read_quote(draw.choice(("spot - 1.50", "64.13 each", "96.7% of melt")))))
    if draw.random() < 0.5:
        bids.append(Bid(what="40", quote=read_quote(draw.choice(("17.5x", "84.5% of melt")))))
    refines = draw.random() < 0.2
    parcels = None
    if draw.random() < 0.4:
        count = draw.choice((None, 1, 3))
        parcels = Parcels(
            count=count, face=None if count else D(draw.choice(("1", "2.5"))), fee=D("0.40"), postage=D("6.20")
        )
    return Exit(
        name=f"way {number + 1}",
        bids=tuple(bids),
        fee_pct=D(draw.choice(("0", "0", "2.9", "13.25"))),
        parcels=parcels,
        payable_pct=D("95") if refines else None,
        treatment=Treatment(per_gross_ozt=D("0.30"), minimum=D("2.00")) if refines else None,
        costs=D(draw.choice(("0", "0", "5.00"))),
        travel=Travel(miles=D("12"), per_mile=D("0.705")) if draw.random() < 0.3 else None,
        minimum=_limit(draw, 1, 3) if draw.random() < 0.2 else None,
        capacity=_limit(draw, 2, 8) if draw.random() < 0.3 else None,
        days=draw.choice((0, 3, 10)),
    )


def _limit(draw: Random, low: int, high: int) -> Limit:
    unit = draw.choice(("face", "pieces", "ozt", "money"))
    return Limit(amount=D(draw.randint(low, high)) * (48 if unit == "money" else 1), unit=unit)


def _need(draw: Random, stocks: tuple[Stock, ...]) -> Need:
    goal = draw.choice((Goal.LEAST_SILVER, Goal.MOST_KEPT, Goal.FEWEST_TRIPS))
    days = draw.choice((None, None, 3))
    trips = draw.choice((None, None, None, 1))
    ounces = sum((ozt_per_step(stock) * stock.steps for stock in stocks), Fraction(0))
    if draw.random() < 0.25:
        return Need(amount=Limit(amount=D(draw.randint(1, 4)), unit="face"), goal=goal, days=days, most_trips=trips)
    wanted = D(draw.randint(10, 80)) / 100 * (D(ounces.numerator) / D(ounces.denominator)) * SPOT
    return Need(sum=wanted.quantize(D("0.01")), after_tax=draw.random() < 0.3, goal=goal, days=days, most_trips=trips)


def _rates(draw: Random) -> Rates:
    if draw.random() < 0.15:
        return Rates()
    return Rates(
        short=D(draw.choice(("22", "32", "24.5", "10"))),
        long=D(draw.choice(("28", "15", "20"))),
        loss_limit=D(draw.choice(("0", "25", "3000"))),
        before_short=D(draw.choice(("0", "0", "40", "-35.25"))),
        before_long=D(draw.choice(("0", "0", "60.10", "-55"))),
    )
