"""The lines of a person's own list as goods and money: what each names, how much of it, what it cost or brought."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from ninefine.book.entries import Amount
from ninefine.catalog.catalog import Catalog
from ninefine.catalog.kinds import Kind
from ninefine.catalog.lookup import look
from ninefine.desk.amounts import read_amount
from ninefine.desk.goods import CLEAR_LEAD, Named, read_named, read_price
from ninefine.desk.kit import Kit
from ninefine.errors import Fault, InputError, NotFoundError, RangeError
from ninefine.intake.book_columns import COSTS, PRICE_OR_EACH
from ninefine.intake.book_sheet import SheetRow
from ninefine.intake.columns import tidied
from ninefine.measure.mass import TROY_OUNCE_G
from ninefine.measure.money import cents
from ninefine.measure.numbers import as_price, plain

ZERO = Decimal(0)
_HALF_CENT = Decimal("0.005")
#: What a price over a column may be, by what it is multiplied with.
_WAYS = {"price": "the line", "each": "one piece", "per face": "a face dollar"}


@dataclass(frozen=True, slots=True, kw_only=True)
class RowGoods:
    """What a line names, how much of it, and what of its words the catalog could not take up."""

    named: Named
    amount: Amount
    remark: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class RowMoney:
    """What a line cost or brought: the goods alone, the other costs by name, and a quote in the trade's words."""

    price: Decimal
    costs: Mapping[str, Decimal]
    quote: str = ""

    @property
    def others(self) -> Decimal:
        """All other costs."""
        return sum(self.costs.values(), ZERO)


class Goods:
    """Reads goods, each set of words once.

    Args:
        catalog: what there is, the person's own kinds among it.
        words: what the person means by words that the catalog does not know, or knows otherwise.
    """

    def __init__(self, catalog: Catalog, words: Mapping[str, str]) -> None:
        self._catalog = catalog
        self._words = {tidied(said): meant for said, meant in words.items()}
        self._known: dict[tuple[str, str], Named | InputError] = {}
        #: Words that mean no kind, in the order in which they came.
        self.unknown: list[str] = []

    def named(self, row: SheetRow, faults: list[Fault]) -> Named | None:
        """What a line names; none where that is at fault."""
        words = row.words.get("kind", "")
        if not words:
            faults.append(Fault(where=row.where("kind"), wrong="It does not say what it is."))
            return None
        found = self._found(words, self._issue(row))
        if isinstance(found, InputError):
            if words not in self.unknown:
                self.unknown.append(words)
            faults.append(Fault(where=row.where("kind"), wrong=str(found)))
            return None
        return found

    def read(self, row: SheetRow, faults: list[Fault]) -> RowGoods | None:
        """The goods of a line; none where they are at fault."""
        found = self.named(row, faults)
        if found is None:
            return None
        try:
            amount = _amount(row, found.kind)
        except InputError as error:
            faults.append(Fault(where=row.where(_measure(row)), wrong=str(error)))
            return None
        words, issue = row.words["kind"], self._issue(row)
        lost = not found.issue and (issue or any(part.isdigit() and len(part) == 4 for part in words.split()))
        return RowGoods(named=found, amount=amount, remark=f"as listed: {words} {issue}".strip() if lost else "")

    @staticmethod
    def _issue(row: SheetRow) -> str:
        if "issue" in row.words:
            return row.words["issue"]
        year, mint = row.words.get("year", ""), row.words.get("mint", "")
        return f"{year}-{mint.upper()}" if year and mint else year

    def _found(self, words: str, issue: str) -> Named | InputError:
        if (words, issue) not in self._known:
            try:
                self._known[words, issue] = self._read(self._words.get(tidied(words), words), issue)
            except InputError as error:
                self._known[words, issue] = error
        return self._known[words, issue]

    def _read(self, words: str, issue: str) -> Named:
        if words in self._catalog.by_slug:
            return read_named(self._catalog, f"{words}#{issue}" if issue and "-" in issue else words)
        said = f"{words} {issue}".strip()
        try:
            return read_named(self._catalog, said)
        except NotFoundError:
            hits = look(self._catalog, said).hits
            near = {hit.kind.slug for hit in hits if hit.score > hits[0].score - CLEAR_LEAD}
            if len(near) != 1:  # a year alone leaves the mint open, and so the issue, but not the kind
                raise
            return Named(kind=hits[0].kind)


def _measure(row: SheetRow) -> str:
    """The column that a fault of the amount stands at."""
    said = [
        name for name in ("pieces", "face", "grams", "gross ozt", "amount") if name in row.numbers or name in row.words
    ]
    return said[0] if said else "kind"


def _amount(row: SheetRow, kind: Kind) -> Amount:
    parts = []
    if "pieces" in row.numbers:
        if row.numbers["pieces"] % 1:
            raise RangeError(f"{plain(row.numbers['pieces'])} pieces.", expected="Pieces are counted in whole numbers.")
        parts.append(f"{plain(row.numbers['pieces'])} pieces")
    if "face" in row.numbers:
        parts.append(f"{plain(row.numbers['face'])} face")
    if "grams" in row.numbers:
        parts.append(f"{plain(row.numbers['grams'])} g")
    elif "gross ozt" in row.numbers:
        parts.append(f"{plain(row.numbers['gross ozt'] * TROY_OUNCE_G)} g")
    parts += [row.words[name] for name in ("pieces", "face", "grams", "gross ozt", "amount") if name in row.words]
    if not parts:
        raise RangeError("It does not say how much.", expected="Pieces, face or a weight, each in a column of its own.")
    amount = read_amount(", ".join(parts), kind)
    if kind.by_face and kind.face is None and amount.face is None and amount.gross_g is None:
        raise RangeError(
            f"{amount.count} pieces of {kind.name} may be any face.",
            expected="Say how much face in a column of its own, or name the coin.",
        )
    return amount


@dataclass(frozen=True, slots=True, kw_only=True)
class Ways:
    """How the money of a list is meant, decided over all its lines.

    Attributes:
        price: what a column headed `Price` is: `price` (for the line), `each`, or `per face`.
        all_in: whether a total has the other costs in it.
    """

    price: str = "price"
    all_in: bool = True


def decide_ways(rows: Sequence[SheetRow], sold: Callable[[SheetRow], bool], faults: list[Fault]) -> Ways:
    """How the money of a list is meant: told by its totals, which must come out on every line.

    A `Price` that no total tells is a fault, unless every line is one piece: the person is to say what it is.
    """
    asked = [row for row in rows if PRICE_OR_EACH in row.numbers]
    totalled = [row for row in rows if "total" in row.numbers]
    every = [Ways(price=way, all_in=all_in) for all_in in (True, False) for way in (_WAYS if asked else ("price",))]
    fits = [ways for ways in every if all(_fits(row, ways, sold=sold(row)) for row in totalled)]
    if not asked:
        return fits[0] if fits else Ways()
    if not totalled:
        one_each = all(row.numbers.get("pieces") == 1 and "face" not in row.numbers for row in asked)
        fits = [Ways()] if one_each else []
    if not fits or any(_times(row, each.price) != _times(row, fits[0].price) for each in fits for row in asked):
        ways = ", ".join(f"{way} ({words})" for way, words in _WAYS.items())
        wrong = f"It may be money for the line or for a piece, and the figures do not tell. Say which it is: {ways}."
        faults.append(Fault(where=asked[0].where(PRICE_OR_EACH), wrong=wrong))
        return Ways()
    return fits[0]


def _fits(row: SheetRow, ways: Ways, *, sold: bool) -> bool:
    """Whether every price of a line comes to its total."""
    goods = _of_total(row.numbers["total"], _costs(row), ways, sold=sold)
    for name in (*_WAYS, PRICE_OR_EACH):
        if name in row.numbers:
            times = _times(row, ways.price if name == PRICE_OR_EACH else name)
            if times is None or abs(row.numbers[name] * times - goods) > _tolerance(times):
                return False
    return True


def _of_total(total: Decimal, costs: Mapping[str, Decimal], ways: Ways, *, sold: bool) -> Decimal:
    """What a total leaves for the goods: costs are on top of what was bought, and off what was sold."""
    others = sum(costs.values(), ZERO) if ways.all_in else ZERO
    return total + others if sold else total - others


def _times(row: SheetRow, way: str) -> Decimal | None:
    """What a price of that way is multiplied with, to come to the line."""
    if way == "price":
        return Decimal(1)
    return row.numbers.get("pieces" if way == "each" else "face")


def _tolerance(times: Decimal) -> Decimal:
    """How far rounded prices for one may lead away from the line."""
    return _HALF_CENT * (times + 1)


def read_money_of(
    kit: Kit, row: SheetRow, goods: RowGoods, ways: Ways, faults: list[Fault], *, sold: bool
) -> RowMoney | None:
    """What a line cost or brought; none where it does not say, or where its figures contradict each other (a fault)."""
    currency, before = kit.journal.currency, len(faults)
    costs = {name: cents(value, currency) for name, value in _costs(row).items()}
    numbers = dict(row.numbers)
    if PRICE_OR_EACH in numbers:
        numbers[ways.price] = numbers.pop(PRICE_OR_EACH)
    if "total" in numbers:
        numbers["total"] = _of_total(numbers["total"], costs, ways, sold=sold)
    found = _said_prices(row, goods, numbers, faults)
    quote = _quote(kit, row, goods, numbers, found, faults)
    if not found or len(faults) > before:
        return None
    first, price, _ = found[0]
    for name, other, tolerance in found[1:]:
        if abs(other - price) > tolerance:
            wrong = f"It comes to {plain(cents(other, currency))} for the goods, but {row.head(first)!r} to"
            faults.append(Fault(where=row.where(name), wrong=f"{wrong} {plain(cents(price, currency))}."))
    if price < 0:
        faults.append(Fault(where=row.where(first), wrong="The other costs are more than the total."))
    return None if len(faults) > before else RowMoney(price=cents(price, currency), costs=costs, quote=quote)


def _said_prices(
    row: SheetRow, goods: RowGoods, numbers: Mapping[str, Decimal], faults: list[Fault]
) -> list[tuple[str, Decimal, Decimal]]:
    """What each column of money comes to for the goods alone, and how far rounding may lead it away."""
    found: list[tuple[str, Decimal, Decimal]] = []
    if "price" in numbers:
        found.append(("price", numbers["price"], _HALF_CENT))
    if "total" in numbers:
        found.append(("total", numbers["total"], _HALF_CENT))
    for name, measure in (("each", goods.amount.count), ("per face", goods.amount.face)):
        if name in numbers and measure is None:
            wrong = f"It is money for {_WAYS[name]}, and the line does not say how many."
            faults.append(Fault(where=row.where(name), wrong=wrong))
        elif name in numbers and measure is not None:
            times = Decimal(measure)
            found.append((name, numbers[name] * times, _tolerance(times)))
    return found


def _quote(
    kit: Kit,
    row: SheetRow,
    goods: RowGoods,
    numbers: Mapping[str, Decimal],
    found: list[tuple[str, Decimal, Decimal]],
    faults: list[Fault],
) -> str:
    """The line's quote in words, which is the price too where nothing else says it."""
    name = next((name for name in ("quote", "price", "each", PRICE_OR_EACH) if name in row.words), "")
    if not name:
        if "per face" in numbers:
            return f"{plain(numbers['per face'])}x"
        return f"{as_price(numbers['each'])} each" if "each" in numbers else ""
    said = row.words[name] + (" each" if name == "each" and "each" not in row.words[name] else "")
    if found:
        return said
    spot = None if row.day is None else kit.spot_or_none(row.day)
    try:
        price = read_price(said, goods.named.kind, goods.amount, spot=spot, currency=kit.journal.currency)
    except InputError as error:
        faults.append(Fault(where=row.where(name), wrong=str(error)))
        return ""
    found.append((name, price.total, _HALF_CENT))
    return said


def _costs(row: SheetRow) -> dict[str, Decimal]:
    """The other costs of a line by name, a discount taken off; those of nothing left out."""
    costs = {name: row.numbers[name] for name in COSTS if row.numbers.get(name)}
    return {name: -abs(value) if name == "discount" else value for name, value in costs.items()}
