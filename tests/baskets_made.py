"""Invented offers for tests of plans: small ones whose every basket can be tried, and large ones for other solvers."""

import random
from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from itertools import product
from math import ceil, lcm

import numpy as np
import numpy.typing as npt

from ninefine.catalog.kinds import Basis
from ninefine.market.content import content
from ninefine.market.exits import Bid, Exit, Parcels
from ninefine.market.goods import Limit, Travel, measured
from ninefine.market.landed import CostKind, landed
from ninefine.market.offers import Carriage, Charged, Offer, OfferLine, Taxed, TaxRule, Tier, Way
from ninefine.market.paid import pays
from ninefine.market.read_quote import read_quote
from ninefine.plan.wishes import Goal, Wishes

SPOT = Decimal("31.50")
#: Kinds with a price a unit about which quotes are drawn.
PRICES = {"90": 23.0, "quarters": 23.1, "halves": 23.3, "dollars": 27.0, "40": 9.2, "ozt": 33.0}


def quote_for(dice: random.Random, kind: str, less: float = 1.0) -> str:
    """A quote in one of the trade's ways; some come to whole cents a unit, others do not."""
    price = PRICES[kind] * dice.uniform(0.94, 1.05) * less
    ways = [f"{price:.2f}x" if kind != "ozt" else f"{price:.2f} each"]
    ways.append(f"{price / PRICES[kind] * 102:.1f}% of melt")
    ways.append(f"spot{dice.uniform(-1, 2) - (1 - less) * 30:+.2f}")
    return dice.choice(ways)


def small_offer(dice: random.Random, name: str) -> Offer:
    """An offer of one or two lines of a few units, with any of the things that are added to a price."""
    lines = []
    for kind in dice.sample(list(PRICES), dice.choice([1, 1, 2])):
        tiers = []
        if dice.random() < 0.5:
            text = quote_for(dice, kind, 0.96)
            tiers.append(Tier(start=Decimal(dice.randint(2, 5)), quote=read_quote(text), said=text))
        said, count = quote_for(dice, kind), dice.randint(1, 4)
        weighed = Decimal(count) * Decimal("24.4") if kind in {"90", "halves"} and dice.random() < 0.3 else None
        amount = {"count": count} if kind == "ozt" else {"face": Decimal(count)}
        lines.append(
            OfferLine(kind=kind, quote=read_quote(said), said=said, tiers=tuple(tiers), gross_g=weighed, **amount)
        )
    ways = [Way(name="check", fee=Decimal(dice.choice(["0", "0", "1.10"])))]
    if dice.random() < 0.4:
        on = dice.choice(list(Charged))
        ways.append(Way(name="card", surcharge_pct=Decimal(dice.choice(["3", "3.75"])), surcharge_on=on))
        if dice.random() < 0.5:
            ways[0] = replace(ways[0], fee=Decimal(3))
    return Offer(
        name=name,
        seller=dice.choice(["", "Mill Lane", "Cattail Post"]),
        lines=tuple(lines),
        ways=tuple(ways),
        carriage=_carriage(dice),
        tax=_tax(dice),
        travel=Travel(miles=Decimal(dice.randint(2, 12)), per_mile=Decimal("0.67")) if dice.random() < 0.3 else None,
        minimum=dice.choice(
            [None, None, Limit(amount=Decimal(40), unit="money"), Limit(amount=Decimal(2), unit="face")]
        ),
        stock=dice.choice([None, None, Limit(amount=Decimal(80), unit="money")]),
        discount=Decimal(dice.choice(["0", "0", "0", "1.25"])),
        discount_pct=Decimal(dice.choice(["0", "0", "0", "1.5"])),
    )


def _carriage(dice: random.Random) -> Carriage | None:
    if dice.random() < 0.4:
        return None
    free = Decimal(dice.choice([45, 60, 90])) if dice.random() < 0.6 else None
    return Carriage(
        flat=Decimal(dice.choice(["1.95", "4.5"])), pct=Decimal(dice.choice(["0", "0", "1.1"])), free_from=free
    )


def _tax(dice: random.Random) -> TaxRule | None:
    if dice.random() < 0.45:
        return None
    taxed = dice.choice(list(Taxed))
    return TaxRule(
        rate_pct=Decimal(dice.choice(["5", "6.25", "7"])),
        taxed=taxed,
        threshold=None if taxed is Taxed.ALWAYS else Decimal(dice.choice([50, 75, 110])),
        counts=dice.choice(list(Charged)),
        exempt_fineness=dice.choice([None, None, Decimal("0.9"), Decimal("0.95")]),
    )


def large_offers(seed: int, sellers: int, lines: int) -> list[Offer]:
    """Sellers with whole-cent prices a unit, two tiers over the whole basket, free carriage and tax lines."""
    dice = random.Random(seed)
    return [_large_offer(dice, f"S{number}", lines) for number in range(sellers)]


def _large_offer(dice: random.Random, name: str, lines: int) -> Offer:
    level = dice.uniform(0.96, 1.04)
    made = []
    for _ in range(lines):
        kind = dice.choice(list(PRICES))
        price = PRICES[kind] * level * dice.uniform(0.97, 1.03)
        said = [f"{price * less:.2f}" + (" each" if kind == "ozt" else "x") for less in (1, 0.985, 0.97)]
        starts = Decimal(dice.choice([20, 40])), Decimal(dice.choice([60, 100]))
        units = dice.randint(5, 40)
        made.append(
            OfferLine(
                kind=kind,
                count=units if kind == "ozt" else None,
                face=None if kind == "ozt" else Decimal(units),
                quote=read_quote(said[0]),
                said=said[0],
                tiers=tuple(
                    Tier(start=start, quote=read_quote(text), said=text)
                    for start, text in zip(starts, said[1:], strict=True)
                ),
            )
        )
    taxed = dice.random() < 0.5
    return Offer(
        name=name,
        seller=name,
        lines=tuple(made),
        carriage=Carriage(
            flat=Decimal(dice.choice(["5.95", "9.95", "14.5"])), free_from=Decimal(dice.choice([299, 500, 999]))
        ),
        tax=TaxRule(
            rate_pct=Decimal(dice.choice(["6", "6.25"])), taxed=Taxed.UNDER, threshold=Decimal(dice.choice([500, 1000]))
        )
        if taxed
        else None,
    )


def shop(dice: random.Random) -> Exit:
    """A way out that bids for all silver, with a fee, parcels or neither."""
    return Exit(
        name="Brook Street",
        bids=(
            Bid(what="silver", quote=read_quote(f"{dice.uniform(88, 96):.1f}% of melt")),
            Bid(what="ozt", quote=read_quote("spot-0.85")),
        ),
        fee_pct=Decimal(dice.choice(["0", "0", "2.5"])),
        parcels=Parcels(face=Decimal(5), postage=Decimal("1.15")) if dice.random() < 0.2 else None,
        costs=Decimal(dice.choice(["0", "2.2"])),
    )


def small_wishes(dice: random.Random, offers: Sequence[Offer], goal: Goal) -> Wishes:
    """Some wishes, few of which clash."""
    names = [offer.name for offer in offers]
    budget = Decimal(dice.randint(4000, 30000)) / 100
    weight = Decimal(dice.randint(20, 60)) / 10
    return Wishes(
        goal=goal,
        budget=budget if goal is Goal.MOST_SILVER or dice.random() < 0.2 else None,
        weight=weight if goal is not Goal.MOST_SILVER else None,
        basis=dice.choice([None, None, Basis.TRADE, Basis.UNWORN]),
        share_least=Decimal(40) if dice.random() < 0.2 else None,
        share_most=Decimal(75) if dice.random() < 0.2 else None,
        sellers=2 if dice.random() < 0.25 else None,
        each=Decimal(dice.randint(6000, 12000)) / 100 if dice.random() < 0.2 else None,
        whole=frozenset(names[:1]) if dice.random() < 0.25 else frozenset(),
        together=(frozenset(names),) if dice.random() < 0.2 else (),
        must=frozenset(names[-1:]) if dice.random() < 0.1 else frozenset(),
    )


@dataclass(frozen=True, kw_only=True)
class Choice:
    """One way to take an offer: how many units of each line, paid how; what that costs and holds."""

    offer: Offer
    cents: int
    ozt: Fraction
    constitutional: Fraction
    bought: Offer


def choices(offer: Offer, wishes: Wishes) -> list[Choice]:
    """Every way to take an offer, priced by the market; made without the plan's own code."""
    found = []
    for units in product(*(_amounts(offer, line, wishes) for line in offer.lines)):
        lines = tuple(_for(line, amount) for line, amount in zip(offer.lines, units, strict=True) if amount)
        if not lines:
            continue
        bought = replace(offer, lines=lines, travel=None)
        best = None
        for way in offer.ways:
            cost = landed(bought, SPOT, way=way.name)
            net = cost.sum_of(CostKind.GOODS, CostKind.DISCOUNT)
            if offer.minimum and measured(cost.goods, net, offer.minimum.unit) < offer.minimum.amount:
                continue
            if offer.stock and measured(cost.goods, net, offer.stock.unit) > offer.stock.amount:
                continue
            if wishes.each is not None and cost.total > wishes.each:
                continue
            best = cost if best is None or cost.total < best.total else best
        if best is not None:
            held = [(goods.ozt(_basis(line, wishes)), goods) for line, goods in zip(lines, best.goods, strict=True)]
            coin = [ozt for ozt, goods in held if "constitutional" in goods.content.names]
            whole = sum((ozt for ozt, _ in held), Fraction(0))
            cents = int(best.total * 100)
            found.append(
                Choice(offer=offer, cents=cents, ozt=whole, constitutional=sum(coin, Fraction(0)), bought=bought)
            )
    return found


def _basis(line: OfferLine, wishes: Wishes) -> Basis:
    return wishes.basis or (Basis.SCALE if line.gross_g is not None or line.kind == "ozt" else Basis.TRADE)


def _amounts(offer: Offer, line: OfferLine, wishes: Wishes) -> list[int]:
    most = int(line.face if line.face is not None else line.count or 0)
    return [most] if offer.name in wishes.whole else list(range(most + 1))


def _for(line: OfferLine, units: int) -> OfferLine:
    held = line.face if line.face is not None else Decimal(line.count or 0)
    weight = None if line.gross_g is None else line.gross_g * units / held
    if line.face is not None:
        return replace(line, face=Decimal(units), gross_g=weight)
    return replace(line, count=units, gross_g=weight)


Ints = npt.NDArray[np.int64]


def best_by_trying(
    offers: Sequence[Offer], wishes: Wishes, way_out: Exit | None = None
) -> tuple[Fraction, Decimal] | None:
    """The best value by the goal and what is spent for it, by trying every basket; none where none fits."""
    rows: list[list[Choice | None]] = [
        [*([] if offer.name in wishes.must else [None]), *choices(offer, wishes)] for offer in offers
    ]
    if not all(rows):
        return None
    scale = lcm(*(one.ozt.denominator for row in rows for one in row if one is not None))
    ozt = _sums([[0 if one is None else int(one.ozt * scale) for one in row] for row in rows])
    coin = _sums([[0 if one is None else int(one.constitutional * scale) for one in row] for row in rows])
    cents = _sums([[0 if one is None else one.cents for one in row] for row in rows]) + _travel(offers, rows, wishes)
    fits = (ozt > 0) & _shares_kept(coin, ozt, wishes)
    if wishes.budget is not None:
        fits &= cents <= int(wishes.budget * 100)
    if wishes.weight is not None:
        fits &= ozt >= ceil(Fraction(wishes.weight) * scale)
    if wishes.sellers is not None:
        fits &= _sellers(offers, rows) <= wishes.sellers
    if not fits.any():
        return None
    if wishes.goal is Goal.MOST_SILVER:
        top = ozt[fits].max()
        return Fraction(int(top), scale), Decimal(int(cents[fits & (ozt == top)].min())) / 100
    if wishes.goal is Goal.LEAST_SPEND:
        least = int(cents[fits].min())
        return Fraction(least, 100), Decimal(least) / 100
    assert way_out is not None
    return _least_loss(rows, cents, fits, way_out)


def _shares_kept(coin: Ints, ozt: Ints, wishes: Wishes) -> npt.NDArray[np.bool_]:
    kept = np.ones(ozt.shape, dtype=np.bool_)
    if wishes.share_least is not None:
        kept &= coin * 100 >= int(wishes.share_least) * ozt
    if wishes.share_most is not None:
        kept &= coin * 100 <= int(wishes.share_most) * ozt
    return kept


def _least_loss(
    rows: Sequence[Sequence[Choice | None]], cents: Ints, fits: npt.NDArray[np.bool_], way_out: Exit
) -> tuple[Fraction, Decimal] | None:
    best: tuple[Decimal, Decimal] | None = None
    for place in np.argwhere(fits):
        taken = [row[at] for row, at in zip(rows, place, strict=True)]
        goods = [line.goods(content) for one in taken if one is not None for line in one.bought.lines]
        back = pays(way_out, goods, SPOT).net
        spent = Decimal(int(cents[tuple(place)])) / 100
        key = spent - back, spent
        best = key if best is None or key < best else best
    return None if best is None else (Fraction(best[0]), best[1])


def _sums(rows: Sequence[Sequence[int]]) -> Ints:
    total: Ints = np.zeros((), dtype=np.int64)
    for row in rows:
        total = np.add.outer(total, np.array(row, dtype=np.int64))
    return total


def _travel(offers: Sequence[Offer], rows: Sequence[Sequence[Choice | None]], wishes: Wishes) -> Ints:
    """Miles by trip: offers said to go together, those of one seller, else each alone; the longest of those taken."""
    trips: dict[str, list[int]] = {}
    for at, offer in enumerate(offers):
        if offer.travel is not None:
            group = next((f"group {n}" for n, names in enumerate(wishes.together) if offer.name in names), "")
            trips.setdefault(group or f"seller {offer.seller or offer.name}", []).append(at)
    shape = [len(row) for row in rows]
    total: Ints = np.zeros(shape, dtype=np.int64)
    for members in trips.values():
        longest: Ints = np.zeros(shape, dtype=np.int64)
        for at in members:
            travel = offers[at].travel
            assert travel is not None
            one = [0 if row is None else round(float(travel.cost) * 100) for row in rows[at]]
            side = [1] * len(shape)
            side[at] = shape[at]
            longest = np.maximum(longest, np.array(one, dtype=np.int64).reshape(side))
        total = total + longest
    return total


def _sellers(offers: Sequence[Offer], rows: Sequence[Sequence[Choice | None]]) -> Ints:
    shape = [len(row) for row in rows]
    total: Ints = np.zeros(shape, dtype=np.int64)
    for seller in {offer.seller or offer.name for offer in offers}:
        any_of: Ints = np.zeros(shape, dtype=np.int64)
        for at, offer in enumerate(offers):
            if (offer.seller or offer.name) == seller:
                side = [1] * len(shape)
                side[at] = shape[at]
                any_of = np.maximum(
                    any_of, np.array([row is not None for row in rows[at]], dtype=np.int64).reshape(side)
                )
        total = total + any_of
    return total
