"""A person's list as entries of the book: purchases, opening balances and sales, each checked as the book checks it."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from functools import partial

from ninefine.book.basis import SoldPart
from ninefine.book.codec import settled
from ninefine.book.draft import Draft
from ninefine.book.entries import Amount, Bought, BoughtLine, Fact, Opened, OpenedLine, Sold, SoldLine
from ninefine.book.holdings import Heap, Holdings, Lot
from ninefine.book.term import Term, term_of
from ninefine.desk.bring_rows import Goods, RowGoods, RowMoney, Ways, read_money_of
from ninefine.desk.came import HOW
from ninefine.desk.kit import Kit
from ninefine.desk.picks import next_lot
from ninefine.desk.sale import LONG_ONLY, RULE_WORDS, RULES, kinds_of
from ninefine.errors import BookError, Fault, InputError
from ninefine.intake.book_columns import Purpose
from ninefine.intake.book_sheet import SheetRow
from ninefine.measure.money import spread
from ninefine.worth.ounces import ounces_of

ZERO = Decimal(0)
_BOUGHT = frozenset({"buy", "b", "bought", "purchase", "purchased", "in", "buying"})
_SOLD = frozenset({"sell", "s", "sold", "sale", "out", "selling"})
_HOW = {"purchase": "bought", "purchased": "bought", "gift": "given", "inheritance": "inherited", "unknown": ""}
_YES = {"yes": True, "y": True, "true": True, "x": True, "1": True, "no": False, "n": False, "false": False, "0": False}


@dataclass(frozen=True, slots=True, kw_only=True)
class Booked:
    """One entry to be, with the lines that it says: of opening balances several go into one entry."""

    fact: Fact
    lines: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Terms:
    """What holds for a whole list.

    Attributes:
        purpose: what the list is of.
        on: the day from which opening balances count.
        rule: which lots go first in a sale that names none.
        ways: how its money is meant.
    """

    purpose: Purpose
    on: date
    rule: str
    ways: Ways = field(default_factory=Ways)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Told:
    """A line with everything read of it; a sale's pieces are picked later, in the order of days."""

    row: SheetRow
    goods: RowGoods
    money: RowMoney | None
    sold: bool

    @property
    def note(self) -> str:
        """The line's remark, and what of its words the catalog could not take up."""
        return "; ".join(part for part in (self.goods.remark, self.row.words.get("note", "")) if part)


def facts_of(kit: Kit, rows: Sequence[SheetRow], goods: Goods, terms: Terms, faults: list[Fault]) -> list[Booked]:
    """The entries that a list comes to, in the order of their days; every fault is set down with its line.

    Args:
        kit: the book, the catalog and the day.
        rows: the lines that tell something.
        goods: reads what the lines name.
        terms: what holds for all of them.
        faults: where faults are set down; what is answered is of use only if there are none.
    """
    told = [one for row in rows if (one := _told(kit, row, goods, terms, faults)) is not None]
    if terms.purpose is Purpose.HOLDINGS:
        booked = _opened(kit, told, terms, faults)
    else:
        booked = [_bought(one, name) for one, name in _lots(kit, [one for one in told if not one.sold], faults)]
    sales = sorted((one for one in told if one.sold), key=lambda one: _day(one.row))
    booked = [each for each in booked if _sound(each, faults)]
    if faults:
        return booked
    return _in_order(kit, booked, sales, terms, faults)


def _told(kit: Kit, row: SheetRow, goods: Goods, terms: Terms, faults: list[Fault]) -> _Told | None:
    before = len(faults)
    sold = is_sale(row, terms.purpose)
    if terms.purpose is Purpose.DEALINGS and row.words.get("deed", "").lower() not in _BOUGHT | _SOLD:
        wrong = f"{row.words.get('deed', '')[:20]!r} is neither bought nor sold."
        faults.append(Fault(where=row.where("deed"), wrong=wrong))
    dated = terms.purpose is not Purpose.HOLDINGS
    faults += _plain_faults(kit, row, dated=dated)
    if not row.sound:  # of a line with a cell at fault, what it names is still looked up
        goods.named(row, faults)
        return None
    found = goods.read(row, faults)
    if found is None:
        return None
    money = read_money_of(kit, row, found, terms.ways, faults, sold=sold)
    if money is None and dated and len(faults) == before:
        faults.append(Fault(where=row.where("price"), wrong="It does not say what it cost or brought."))
    return None if len(faults) > before else _Told(row=row, goods=found, money=money, sold=sold)


def _plain_faults(kit: Kit, row: SheetRow, *, dated: bool) -> Iterator[Fault]:
    """What is wrong with a line's day, currency, yes and no."""
    if row.day is None and dated and row.sound:
        yield Fault(where=row.where("date"), wrong="It does not say when. Write a day such as 2024-03-01.")
    currency = row.words.get("currency", "")
    if currency and currency.upper() != kit.journal.currency:
        wrong = f"{currency[:12]!r} is not {kit.journal.currency}, the currency of this book."
        yield Fault(where=row.where("currency"), wrong=wrong)
    for name in ("on its way", "own use"):
        if row.words.get(name, "no").lower() not in _YES:
            yield Fault(where=row.where(name), wrong="Say yes or no.")


def is_sale(row: SheetRow, purpose: Purpose) -> bool:
    """Whether a line is of a sale: by what the list is of, or by its own word."""
    return purpose is Purpose.SALES or (purpose is Purpose.DEALINGS and row.words.get("deed", "").lower() in _SOLD)


def _day(row: SheetRow) -> date:
    return row.day or date.min


def _lots(kit: Kit, told: Sequence[_Told], faults: list[Fault]) -> list[tuple[_Told, str]]:
    """Every line with the name of its lot: its own, else the next that is free. One that is taken is a fault."""
    held, found, taken = kit.holdings(), [], set[str]()
    asked = [one.row.words.get("lot", "") for one in told]
    for one, name in zip(told, asked, strict=True):
        if name and (name in held.lots or name in taken):
            free = next_lot(held, [*taken, *asked])
            faults.append(Fault(where=one.row.where("lot"), wrong=f"There is already a lot {name!r}. Try: {free}."))
        lot = name or next_lot(held, [*taken, *(each for each in asked if each)])
        taken.add(lot)
        found.append((one, lot))
    return found


def _bought(one: _Told, lot: str) -> Booked:
    row, money = one.row, one.money
    assert money is not None  # a purchase without a price was at fault
    line = BoughtLine(
        lot=lot,
        kind=one.goods.named.kind.slug,
        issue=one.goods.named.issue,
        amount=one.goods.amount,
        price=money.price,
        quote=money.quote,
    )
    fact = Bought(
        on=_day(row),
        seller=row.words.get("whom", ""),
        lines=(line,),
        other_costs=dict(money.costs),
        arrived=not _YES.get(row.words.get("on its way", "no").lower(), False),
        place=row.words.get("place", ""),
        paper=row.words.get("paper", ""),
        note=one.note,
    )
    return Booked(fact=fact, lines=(row.line,))


def _opened(kit: Kit, told: Sequence[_Told], terms: Terms, faults: list[Fault]) -> list[Booked]:
    """Opening balances: one entry for all lines that share a receipt and a remark, mostly neither."""
    groups: dict[tuple[str, str], list[tuple[int, OpenedLine]]] = {}
    for one, lot in _lots(kit, told, faults):
        words = one.row.words
        how = words.get("how", "").lower()
        how = _HOW.get(how, how)
        if how not in {*HOW, ""}:
            faults.append(Fault(where=one.row.where("how"), wrong=f"It was {' or '.join(HOW)}; or leave it empty."))
            continue
        if one.row.day is not None and one.row.day > terms.on:
            faults.append(Fault(where=one.row.where("date"), wrong=f"That is after {terms.on.isoformat()}."))
            continue
        line = OpenedLine(
            lot=lot,
            kind=one.goods.named.kind.slug,
            issue=one.goods.named.issue,
            amount=one.goods.amount,
            cost=None if one.money is None else one.money.price + one.money.others,
            acquired=one.row.day,
            how=how,
            seller=words.get("whom", ""),
            place=words.get("place", ""),
            own_use=_YES.get(words.get("own use", "no").lower(), False),
        )
        groups.setdefault((words.get("paper", ""), one.note), []).append((one.row.line, line))
    return [
        Booked(
            fact=Opened(on=terms.on, lines=tuple(line for _, line in lines), paper=paper, note=note),
            lines=tuple(number for number, _ in lines),
        )
        for (paper, note), lines in groups.items()
    ]


def _sound(booked: Booked, faults: list[Fault]) -> bool:
    """Whether the book takes the entry's words and amounts; else a fault."""
    try:
        settled(booked.fact)
    except BookError as error:
        faults.append(Fault(where=f"line {booked.lines[0]}", wrong=str(error)))
        return False
    return True


def _in_order(
    kit: Kit, booked: Sequence[Booked], sales: Sequence[_Told], terms: Terms, faults: list[Fault]
) -> list[Booked]:
    """Lay everything down day by day, purchases before sales: each sale picks of what was held on its day."""
    draft = Draft(kit.journal.records(), kit.journal.currency)
    waiting = sorted([(each.fact.on, 0, each) for each in booked], key=lambda one: one[:2])
    queue: list[tuple[date, int, Booked | _Told]] = [*waiting, *((_day(one.row), 1, one) for one in sales)]
    found: list[Booked] = []
    for on, _, each in sorted(queue, key=lambda one: one[:2]):
        where = f"line {each.lines[0] if isinstance(each, Booked) else each.row.line}"
        try:
            ready = each if isinstance(each, Booked) else _sold(kit, each, draft.holdings(on), terms)
        except (BookError, InputError) as error:
            faults.append(Fault(where=where, wrong=str(error)))
            continue
        try:
            settled(ready.fact)
            draft.lay_down(ready.fact)
        except BookError as error:
            faults.append(Fault(where=where, wrong=str(error)))
            return found
        found.append(ready)
    if not faults:
        try:
            draft.finish()
        except BookError as error:
            faults.append(Fault(where="", wrong=f"The book would not hold with these lines: {error}"))
    return found


def _sold(kit: Kit, one: _Told, held: Holdings, terms: Terms) -> Booked:
    """A sale: pieces of the lot that the line names, else by the rule, each with its part of what it brought.

    Raises:
        NotEnoughError: less is held.
        InputError: what it brought cannot be shared out.
    """
    row, money, currency = one.row, one.money, kit.journal.currency
    assert money is not None  # a sale that brought nothing was at fault
    lot, named = row.words.get("lot", ""), one.goods.named
    kinds = kit.keep(("kinds of", named.kind.slug), lambda: kinds_of(kit.catalog(), named))
    wanted = partial(_may_go, kinds, named.issue, lot, terms.rule, row.day or terms.on)
    parts = RULES[terms.rule](held, wanted, _deciding(one.goods.amount), currency=currency)
    fine = [ounces_of(part.amount, kit.catalog().kind(part.heap.kind)).trade for part in parts]
    fact = Sold(
        on=_day(row),
        buyer=row.words.get("whom", ""),
        exit=row.words.get("exit", ""),
        rule=RULE_WORDS["chosen"] if lot else RULE_WORDS[terms.rule],
        lines=tuple(
            SoldLine(heap=part.heap.ref, amount=_of_heap(part), proceeds=brought)
            for part, brought in zip(parts, spread(money.price, fine, currency), strict=True)
        ),
        fees=money.others,
        paper=row.words.get("paper", ""),
        note=one.note,
    )
    return Booked(fact=fact, lines=(row.line,))


def _may_go(  # noqa: PLR0913, PLR0917 - filled in but for the last two
    kinds: frozenset[str], issue: str, lot_name: str, rule: str, on: date, lot: Lot, heap: Heap
) -> bool:
    if lot_name:
        return lot.name == lot_name and heap.kind in kinds and issue in {"", heap.issue}
    if rule in LONG_ONLY and term_of(lot, on) is not Term.LONG:
        return False
    return heap.kind in kinds and issue in {"", heap.issue}


def _deciding(amount: Amount) -> Amount:
    """An amount by one measure alone: face, else pieces, else grams."""
    if amount.face is not None:
        return Amount(face=amount.face)
    return Amount(count=amount.count) if amount.count is not None else Amount(gross_g=amount.gross_g)


def _of_heap(part: SoldPart) -> Amount | None:
    """What the entry says of a part: nothing where all of the heap goes, else the measure that the heap is kept by."""
    if part.amount == part.heap.amount:
        return None
    if part.heap.count is not None and part.amount.count is not None:
        return Amount(count=part.amount.count)
    return _deciding(part.amount)
