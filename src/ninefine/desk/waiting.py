"""What is waiting: parcels not received, heaps unsorted, claims unpaid, stale prices, lots about to turn long-term."""

from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

from ninefine.book.term import Term, term_of, turns_long
from ninefine.desk.amounts import say_amount
from ninefine.desk.arrivals import parcels
from ninefine.desk.heaps import heap_name, say_goods
from ninefine.desk.holdings import Summary, summary
from ninefine.desk.kit import Kit
from ninefine.desk.offers import under_limit
from ninefine.measure.numbers import as_price, plain, to_places

#: Kinds that are bought by face before anyone has told them apart.
UNSORTED = frozenset({"us-90"})
#: How far ahead the turning of a lot from short to long term is said.
LOOK_AHEAD = timedelta(days=45)
#: A parcel on its way for longer is asked after.
LATE_DAYS = 21


class Stage(StrEnum):
    """Where the thing that is waiting is done."""

    OFFERS = "offers"
    ARRIVALS = "arrivals"
    SORTING = "sorting"
    HOLDINGS = "holdings"
    EXITS = "exits"
    PRICES = "prices"
    BOOK = "book"


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """One thing that is waiting: where it is done, what it is, and whether it is overdue."""

    stage: Stage
    about: str
    words: str
    urgent: bool = False


def waiting(kit: Kit) -> tuple[Item, ...]:
    """Everything that is waiting, in the order of the stages."""
    before = kit.keep("waiting before tallies", lambda: (*_offers(kit), *_parcels(kit), *_claims(kit)))
    after = kit.keep("waiting after tallies", lambda: (*_unsorted(kit), *_prices(summary(kit)), *_turning(kit)))
    return (*before, *_tallies(kit), *after)  # tallies change without an entry in the book


def _offers(kit: Kit) -> list[Item]:
    return [
        Item(stage=Stage.OFFERS, about=name, words=f"The offer {name} is under what its way out would pay today.")
        for name in under_limit(kit)
    ]


def _parcels(kit: Kit) -> list[Item]:
    items = []
    for parcel in parcels(kit):
        goods = ", ".join(
            f"{say_amount(lot.ordered)} of {say_goods(lot.kind, '', kit.catalog())}" for lot in parcel.lots[:3]
        )
        seller = f" from {parcel.seller}" if parcel.seller else ""
        age = "paid today" if not parcel.days else f"paid {parcel.days} day{'s' if parcel.days > 1 else ''} ago"
        items.append(
            Item(
                stage=Stage.ARRIVALS,
                about=str(parcel.serial),
                words=f"On its way{seller}: {goods}; {age}.",
                urgent=parcel.days > LATE_DAYS,
            )
        )
    return items


def _claims(kit: Kit) -> list[Item]:
    return [
        Item(
            stage=Stage.ARRIVALS,
            about=lot.name,
            words=f"Claimed of {lot.seller or 'the seller'} on lot {lot.name} and not paid: {to_places(lot.claim, 2)}.",
        )
        for lot in kit.holdings().lots.values()
        if lot.claim
    ]


def _tallies(kit: Kit) -> list[Item]:
    return [
        Item(stage=Stage.SORTING, about=str(tally.number), words=f"A tally is open: {tally.title}.")
        for tally in kit.tallies.open_tallies()
    ]


def _unsorted(kit: Kit) -> list[Item]:
    held = kit.holdings()
    items = []
    for heap in held.heaps:
        if heap.kind in UNSORTED and not heap.issue and not held.lots[heap.lot].awaited:
            much = f"{plain(heap.face)} face" if heap.face is not None else say_amount(heap.amount)
            weighed = "" if heap.gross_g is not None else ", not weighed"
            words = f"Not sorted{weighed}: {much} of {say_goods(heap.kind, '', kit.catalog())} in lot {heap.lot}."
            items.append(Item(stage=Stage.SORTING, about=heap_name(heap), words=words))
    return items


def _prices(now: Summary) -> list[Item]:
    stamp = now.stamps.get("XAG")
    if stamp is None:
        return [
            Item(stage=Stage.PRICES, about="XAG", words="No price of silver is on record. Set one down.", urgent=True)
        ]
    if not stamp.stale and stamp.kind.value == "own mark":
        return []
    words = f"The price of silver on record is {as_price(stamp.per_ozt)}: {stamp.note}."
    return [Item(stage=Stage.PRICES, about="XAG", words=words, urgent=stamp.stale)]


def _turning(kit: Kit) -> list[Item]:
    today = kit.today()
    turning: dict[date, list[str]] = {}
    for lot in kit.holdings().lots.values():
        if lot.heaps and term_of(lot, today) is not Term.LONG:
            day = turns_long(lot)
            if day is not None and day - today <= LOOK_AHEAD:
                turning.setdefault(day, []).append(lot.name)
    return [
        Item(
            stage=Stage.HOLDINGS,
            about=names[0],
            words=f"Held over a year from {day.isoformat()}: lot{'s' if len(names) > 1 else ''} {', '.join(names)}.",
        )
        for day, names in sorted(turning.items())
    ]
