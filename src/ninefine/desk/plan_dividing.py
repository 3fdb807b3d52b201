"""Sharing out what lies here among people: their shares, their wishes, and by what value it is evened out."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from ninefine.book.share import share
from ninefine.desk.fields import Fields
from ninefine.desk.heaps import heap_name, say_heap
from ninefine.desk.kit import Kit
from ninefine.desk.tables import exit_named
from ninefine.errors import InputError, NotFoundError, UnreadableError
from ninefine.measure.money import cents
from ninefine.measure.numbers import read_count, read_positive, to_places
from ninefine.plan.division import Estate, First, Person, Sharing, Thing
from ninefine.plan.division_search import share_out
from ninefine.plan.selling import Stock
from ninefine.plan.selling_stock import ozt_per_step, price_per_step, stock_of

ZERO = Decimal(0)
#: What may come first, by the word that is typed for it, and the same in words.
FIRSTS: Mapping[str, tuple[First, str]] = {
    "least-cash": (First.LEAST_CASH, "the least cash changes hands"),
    "wishes": (First.WISHES, "wishes are met"),
    "no-envy": (First.NO_ENVY, "nobody envies another, where that can be"),
}
#: Points that each person may spread over the things.
MOST_POINTS = 100
MOST_PEOPLE = 12
MELT = "melt"
SECONDS = 8.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Dividing:
    """A sharing out of what lies here.

    Attributes:
        estate: what was shared out, among whom. stocks: the heap behind each thing, in the same order.
        by: by what value it was evened out, in words.
        sharing: what each gets; none where the cash allowed does not do.
    """

    estate: Estate
    stocks: tuple[Stock, ...]
    by: str
    sharing: Sharing | None


def plan_dividing(kit: Kit, form: Mapping[str, str], *, seconds: float = SECONDS) -> Dividing:
    """Plan a sharing out; nothing is booked.

    Fields: `people` (a line or comma for each: `Ada 1/2`, `Ben 1`; shares are in proportion), `wishes` (a line for
    each: `Ada: R 60, L4 40`), `lots` (only these, parted by commas), `whole` (lots that stay in one piece), `value`
    (`melt`, or a way out whose bid counts), `worths` (a line for each: `L4 51.00`, what one piece is worth),
    `first` (one of `FIRSTS`), `most_cash`, `spot`.

    Raises:
        Faults: every fault, each at its field.
    """
    fields = Fields(form, source="the sharing out")
    people = _people(fields)
    stocks = _stocks(kit, fields)
    word = fields.raw("first") or "least-cash"
    if word not in FIRSTS:
        fields.fault("first", f"Say {', '.join(list(FIRSTS)[:-1])} or {list(FIRSTS)[-1]}.")
    most_cash = fields.money("most_cash") if fields.raw("most_cash") else None
    worths, by = _worths(kit, fields, stocks)
    wishes = _wishes(fields, people, stocks, worths)
    fields.done()
    catalog = kit.catalog()
    things = tuple(
        Thing(name=say_heap(stock.heap, catalog), count=stock.steps, worth=worth, wishes=wish)
        for stock, worth, wish in zip(stocks, worths, wishes, strict=True)
    )
    estate = Estate(
        people=people, things=things, first=FIRSTS[word][0], most_cash=most_cash, currency=kit.journal.currency
    )
    return Dividing(estate=estate, stocks=stocks, by=by, sharing=share_out(estate, seconds=seconds))


def _lines(text: str) -> list[str]:
    """Lines, or parts between semicolons, without empty ones."""
    return [line.strip() for line in text.replace(";", "\n").splitlines() if line.strip()]


def _people(fields: Fields) -> tuple[Person, ...]:
    people: list[Person] = []
    for line in _lines(fields.raw("people").replace(",", "\n")):
        name, _, said = line.replace("=", " ").rpartition(" ")
        if not name:
            name, said = said, "1"
        try:
            people.append(Person(name=name.strip(), share=_share(said)))
        except InputError as error:
            fields.fault("people", f"{line[:40]}: {error}")
    names = [person.name for person in people]
    if len(set(names)) < len(names):
        fields.fault("people", "Two people have the same name.")
    if not 2 <= len(people) <= MOST_PEOPLE:
        fields.fault("people", f"Say two to {MOST_PEOPLE} people, each with a share: Ada 1/2.")
    return tuple(people)


def _share(said: str) -> Fraction:
    over, _, under = said.strip().removesuffix("%").partition("/")
    share_ = Fraction(read_positive(over, what="share"))
    return share_ / Fraction(read_positive(under, what="share")) if under else share_


def _stocks(kit: Kit, fields: Fields) -> tuple[Stock, ...]:
    held = kit.holdings()
    names = {name.strip() for name in fields.raw("lots").split(",") if name.strip()}
    whole = {name.strip() for name in fields.raw("whole").split(",") if name.strip()}
    known = set(held.lots) | {heap_name(heap) for heap in held.heaps}
    for field, said in (("lots", names), ("whole", whole)):
        for name in sorted(said - known):
            fields.fault(field, f"No lot or heap {name[:40]!r} is held.")
    found = []
    for lot in held.lots.values():
        for heap in () if lot.awaited else lot.heaps:
            mine = {lot.name, heap_name(heap)}
            kind = kit.kind_or_none(heap.kind)
            if kind is None or (names and not names & mine):
                continue
            stock = stock_of(heap_name(heap), heap, lot, kind)
            if stock is not None:
                found.append(_kept_whole(stock) if whole & mine else stock)
    if not found and fields.sound:
        fields.fault("lots", "Nothing that lies here is of silver and could be shared out.")
    return tuple(found)


def _kept_whole(stock: Stock) -> Stock:
    return Stock(name=stock.name, heap=stock.heap, lot=stock.lot, kind=stock.kind, steps=1, step=None)


def _worths(kit: Kit, fields: Fields, stocks: Sequence[Stock]) -> tuple[list[Decimal], str]:
    """What one piece of each stock is worth to the cent, and by what, in words."""
    spot, by = fields.positive("spot") or kit.spot_or_none(), fields.raw("value") or MELT
    typed = _typed(fields, stocks)
    if spot is None:
        raise NotFoundError("No price of silver is known for today.", instead=("give spot", "set down a price"))
    way = None
    if by != MELT:
        way = fields.read("value", lambda name: exit_named(kit, name), None)
    worths = []
    for stock in stocks:
        if stock.name in typed:
            worths.append(typed[stock.name])
            continue
        each = None if way is None else price_per_step(way, stock, spot)
        if way is not None and each is None:
            fields.fault("value", f"{way.name} has no bid for {stock.kind.name}: give it a worth of its own below.")
        worths.append(cents(to_places(ozt_per_step(stock) * Fraction(spot) if each is None else each, 10)))
    words = f"melt (trade) at spot {spot:f}" if way is None else f"what {way.name} bids at spot {spot:f}"
    return worths, words


def _typed(fields: Fields, stocks: Sequence[Stock]) -> dict[str, Decimal]:
    """Worths that were typed: what one piece of a lot or heap is worth."""
    typed: dict[str, Decimal] = {}
    for line in _lines(fields.raw("worths")):
        name, _, said = line.rpartition(" ")
        meant = _meant(stocks, name.strip())
        if not meant:
            fields.fault("worths", f"{line[:40]!r}: say a lot or heap that is shared out, and what one piece is worth.")
            continue
        try:
            worth = cents(read_positive(said.removeprefix("$"), what="worth", zero=True))
        except InputError as error:
            fields.fault("worths", f"{line[:40]}: {error}")
            continue
        typed |= {stocks[at].name: worth for at in meant}
    return typed


def _meant(stocks: Sequence[Stock], name: str) -> list[int]:
    """The stocks that a name means: a lot's, a heap, or a kind's."""
    return [at for at, one in enumerate(stocks) if name in {one.lot.name, one.name, one.heap.kind, one.kind.name}]


def _wishes(
    fields: Fields, people: Sequence[Person], stocks: Sequence[Stock], worths: Sequence[Decimal]
) -> list[dict[str, int]]:
    """Points of each person for each stock; those for a name that means several are spread by worth."""
    wishes: list[dict[str, int]] = [{} for _ in stocks]
    names = {person.name for person in people}
    for line in _lines(fields.raw("wishes")):
        try:
            who, wanted = _wish(line, names)
            for name, points in wanted:
                meant = _meant(stocks, name)
                if not meant:
                    raise NotFoundError(f"{name[:40]!r} is no lot, heap or kind that is shared out.")
                weights = [worths[at] * stocks[at].steps for at in meant]
                for at, part in zip(meant, share(Decimal(points), weights, Decimal(1)), strict=True):
                    wishes[at][who] = wishes[at].get(who, 0) + int(part)
        except InputError as error:
            fields.fault("wishes", f"{line[:40]}: {error}")
    for name in sorted(names):
        given = sum(wish.get(name, 0) for wish in wishes)
        if given > MOST_POINTS:
            fields.fault("wishes", f"{name} gives {given} points; each has {MOST_POINTS} to spread.")
    return wishes


def _wish(line: str, names: set[str]) -> tuple[str, list[tuple[str, int]]]:
    who, colon, rest = line.partition(":")
    if not colon or who.strip() not in names:
        raise UnreadableError("A wish names a person, then lots with points.", instead=("Ada: R 60, L4 40",))
    wanted = []
    for part in rest.split(","):
        name, _, points = part.strip().rpartition(" ")
        if not name:
            raise UnreadableError(f"{part.strip()[:30]!r} says no points.", instead=("Ada: R 60, L4 40",))
        wanted.append((name.strip(), read_count(points, what="number of points")))
    return who.strip(), wanted


def dividing_sentence(found: Dividing) -> str:
    """What a sharing out comes to."""
    sharing, names = found.sharing, [person.name for person in found.estate.people]
    if sharing is None:
        return "With no more cash than that nobody can be given their due: allow more cash, or let more be parted."
    if not sharing.moved:
        cash = "No cash need change hands."
    else:
        pays = "; ".join(f"{one.by} pays {one.to} {one.amount:,.2f}" for one in sharing.payments)
        cash = f"{sharing.moved:,.2f} in cash evens it out: {pays}."
    return f"{', '.join(names[:-1])} and {names[-1]} each get their due by {found.by}. {cash} {envy_words(sharing)}"


def proof_words(found: Dividing) -> str:
    """What is proven of a sharing out."""
    sharing = found.sharing
    if sharing is None or sharing.proven:
        return "" if sharing is None else "Proven: no sharing is better by what you put first, second or third."
    if sharing.aims_proven:
        return (
            "Proven: no sharing is better by cash, wishes and envy in the order you put them. "
            "Whether fewer heaps could be parted was not settled in the time."
        )
    if sharing.first_proven:
        return "What you put first is proven best; by the rest this is the best found in the time."
    return "This is the best found in the time; another may be better by what you put first."


def envy_words(sharing: Sharing) -> str:
    """Who envies whom by their own wishes, and why it is so."""
    if not any(lot.wished for lot in sharing.lots):
        return "Nobody said a wish."
    if not sharing.envies:
        return "By their own wishes nobody envies another."
    said = [
        f"{one.who} would sooner have what {one.whom} has" + (f" ({', '.join(one.things)})" if one.things else "")
        for one in sharing.envies
    ]
    return "; ".join(said) + "."
