"""Offers: weighing what is on the table, booking one, and what a way out would pay back for it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from itertools import combinations

from ninefine.book.chain import Stored
from ninefine.book.entries import Amount, Bought, BoughtLine
from ninefine.desk.fields import Fields
from ninefine.desk.goods import read_named
from ninefine.desk.kit import Kit
from ninefine.desk.picks import next_lot
from ninefine.desk.tables import exit_named, offer_named, offers, resolve_with
from ninefine.errors import InputError, NotFoundError
from ninefine.market.budget import Affordable, affordable
from ninefine.market.compare import Ranked, compare
from ninefine.market.exits import Exit
from ninefine.market.hints import Hint, crossover, hints
from ninefine.market.landed import CostKind, Landed, landed
from ninefine.market.offers import Offer, Way
from ninefine.measure.numbers import to_places


@dataclass(frozen=True, slots=True, kw_only=True)
class SideBySide:
    """Offers side by side at one spot, ranked by cost per fine ounce.

    Attributes:
        spot, spot_words: dollars per fine troy ounce, and whose price that is.
        exit: what they would be sold back to.
        ranked: cheapest first.
        unpriced: offers that cannot be priced as they stand, with what is wrong.
    """

    spot: Decimal
    spot_words: str
    exit: Exit | None
    ranked: tuple[Ranked, ...]
    unpriced: tuple[tuple[str, str], ...] = ()


def weigh(
    kit: Kit, *, spot: Decimal | None = None, exit_name: str = "", given: tuple[Offer, ...] | None = None
) -> SideBySide:
    """Compare the offers on the table, or others that are given.

    Raises:
        NotFoundError: no spot is known and none given, or no such way out.
        InputError: an offer that cannot be priced as it stands.
    """
    stamp = None if spot is not None else kit.stamp()
    price = spot if spot is not None else kit.stamp().per_ozt
    try:
        way: Exit | None = exit_named(kit, exit_name)
    except NotFoundError:
        if exit_name:
            raise
        way = None
    ranked = compare(offers(kit) if given is None else given, price, way, resolve=resolve_with(kit))
    words = "as you gave it" if stamp is None else stamp.note
    return SideBySide(spot=price, spot_words=words, exit=way, ranked=tuple(ranked))


def side_by_side(kit: Kit, *, spot: Decimal | None = None, exit_name: str = "") -> SideBySide:
    """The offers on the table, those that cannot be priced told apart with what is wrong.

    Raises:
        NotFoundError: no spot is known and none given, or no such way out.
    """
    sound: list[Offer] = []
    unpriced: list[tuple[str, str]] = []
    empty = weigh(kit, spot=spot, exit_name=exit_name, given=())
    for offer in offers(kit):
        try:
            compare([offer], empty.spot, empty.exit, resolve=resolve_with(kit))
        except InputError as error:
            unpriced.append((offer.name, str(error)))
        else:
            sound.append(offer)
    found = weigh(kit, spot=spot, exit_name=exit_name, given=tuple(sound))
    return replace(found, unpriced=tuple(unpriced))


@dataclass(frozen=True, slots=True, kw_only=True)
class Closer:
    """One offer looked at closely.

    Attributes:
        ways: each way to pay, cheapest first.
        ahead: what buying up to the next tier, the tax line or free carriage would do, by the cheapest way.
        crossings: pairs of ways to pay, with the amount of goods at which they cost the same.
    """

    side_by_side: SideBySide
    ways: tuple[Ranked, ...]
    ahead: tuple[Hint, ...]
    crossings: tuple[tuple[Way, Way, Decimal], ...]

    @property
    def best(self) -> Ranked:
        """By the cheapest way to pay."""
        return self.ways[0]


def closer(kit: Kit, name: str, *, spot: Decimal | None = None, exit_name: str = "") -> Closer:
    """One offer with every way to pay it and every line ahead of it.

    Raises:
        NotFoundError: no such offer or way out, or no spot is known.
        InputError: it cannot be priced as it stands.
    """
    offer = offer_named(kit, name)
    found = weigh(kit, spot=spot, exit_name=exit_name, given=(offer,))
    crossings = [(one, other, crossover(one, other)) for one, other in combinations(offer.ways, 2)]
    return Closer(
        side_by_side=found,
        ways=found.ranked,
        ahead=tuple(hints(found.ranked[0].landed, resolve=resolve_with(kit))),
        crossings=tuple((one, other, at) for one, other, at in crossings if at is not None),
    )


def how_far(kit: Kit, name: str, budget: Decimal, *, spot: Decimal | None = None, way: str = "") -> Affordable:
    """How much of an offer a sum of money buys; whole face dollars or pieces, rounded down."""
    price = spot if spot is not None else kit.stamp().per_ozt
    return affordable(offer_named(kit, name), budget, price, way=way, resolve=resolve_with(kit))


def under_limit(kit: Kit) -> tuple[str, ...]:
    """Offers that cost no more today than the usual way out would pay back for them."""
    if not kit.holdings().tables.get("offer") or kit.spot_or_none() is None:
        return ()
    ranked = side_by_side(kit).ranked  # an offer that cannot be priced is told about at the offers themselves
    names = [row.landed.offer.name for row in ranked if row.loss is not None and row.loss <= 0]
    return tuple(dict.fromkeys(names))


def book(kit: Kit, name: str, form: Mapping[str, str]) -> Stored:
    """Book an offer as bought, as it stands.

    Fields: `on`, `way` (of paying), `spot`, `place`, `arrived` (`no` while on its way), `paper`, `note`.

    Raises:
        Faults: every fault of the form.
        NotFoundError: no such offer, way to pay, or spot.
    """
    fields = Fields(form, source="the purchase")
    on = fields.past_day("on", kit.today())
    spot = fields.positive("spot")
    fields.done()
    offer = offer_named(kit, name)
    price = spot if spot is not None else kit.stamp(on).per_ozt
    cost = landed(offer, price, way=fields.raw("way"), resolve=resolve_with(kit))
    return kit.journal.append(bought_of(kit, cost, on, fields))


def bought_of(kit: Kit, cost: Landed, on: date, fields: Fields, taken: Sequence[str] = ()) -> Bought:
    """The entry that books an offer as it was priced: a lot for each line, and what was added to their price.

    `taken`: names of lots that are about to be booked before it.
    """
    goods = [line.amount for line in cost.lines if line.kind is CostKind.GOODS]
    lines: list[BoughtLine] = []
    for line, amount in zip(cost.offer.lines, goods, strict=True):
        named = read_named(kit.catalog(), line.kind)
        lines.append(
            BoughtLine(
                lot=next_lot(kit.holdings(), [*taken, *(one.lot for one in lines)]),
                kind=named.kind.slug,
                issue=named.issue,
                amount=Amount(count=line.count, face=line.face, gross_g=line.gross_g),
                price=amount,
                quote=line.said,
            )
        )
    added: dict[str, Decimal] = {}
    for cost_line in cost.lines:
        if cost_line.kind is not CostKind.GOODS and cost_line.amount:
            added[cost_line.kind.value] = added.get(cost_line.kind.value, Decimal(0)) + cost_line.amount
    return Bought(
        on=on,
        seller=cost.offer.seller or cost.offer.name,
        lines=tuple(lines),
        other_costs=added,
        arrived=fields.raw("arrived") != "no",
        place=fields.raw("place"),
        paper=fields.raw("paper"),
        note=fields.raw("note"),
    )


def sentence(side_by_side: SideBySide) -> str:
    """What the comparison comes to, in words."""
    if not side_by_side.ranked:
        return "No offers are on the table."
    best = side_by_side.ranked[0]
    side = "over" if best.premium_pct >= 0 else "under"
    words = (
        f"The cheapest silver is {best.name}: {to_places(best.cost_per_ozt, 2)} a fine ounce by {best.basis.value}, "
        f"{to_places(abs(best.premium_pct), 2)}% {side} spot {to_places(side_by_side.spot, 2)}"
    )
    if best.paid is not None and best.loss is not None and side_by_side.exit is not None:
        lost = f"lose {to_places(best.loss, 2):,f}" if best.loss > 0 else f"bring {to_places(-best.loss, 2):,f} more"
        words += f"; sold back to {side_by_side.exit.name} today it would {lost}"
    return words + "."
