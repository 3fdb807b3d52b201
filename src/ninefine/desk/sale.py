"""Selling: pieces named one by one or by a rule, priced, shown with basis, gain and term, and booked for good."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from functools import partial

from ninefine.book.basis import SoldPart, chosen, first_in_first_out, highest_basis_first
from ninefine.book.chain import Stored
from ninefine.book.drawing import Drawing
from ninefine.book.entries import Amount, HeapRef, Sold, SoldLine
from ninefine.book.holdings import Heap, Holdings, Lot, gain_of
from ninefine.book.share import share, unit_of
from ninefine.book.term import Term, term_of
from ninefine.catalog.catalog import Catalog
from ninefine.desk.amounts import read_amount, say_amount
from ninefine.desk.averaging import by_average
from ninefine.desk.book_settings import Method, settings
from ninefine.desk.fields import Fields
from ninefine.desk.goods import Named, quoted, read_named
from ninefine.desk.heaps import read_heap
from ninefine.desk.kit import Kit
from ninefine.desk.tables import exit_named
from ninefine.errors import Fault, Faults, InputError, NotFoundError, RangeError, UnreadableError
from ninefine.market.paid import PaidKind, pays
from ninefine.market.read_quote import read_quote
from ninefine.measure.money import cents, read_money, spread
from ninefine.measure.numbers import EXACT
from ninefine.worth.ounces import ounces_of
from ninefine.worth.ways_out import goods_of

#: Which lots go first, when an amount is sold by a rule.
RULES: dict[str, Callable[..., list[SoldPart]]] = {
    "first-in": first_in_first_out,
    "highest-basis": highest_basis_first,
    "long-highest-basis": highest_basis_first,
}
#: Rules that leave alone what is not held for long on the day of the sale.
LONG_ONLY = frozenset({"long-highest-basis"})
RULE_WORDS = {
    "first-in": "first in, first out",
    "highest-basis": "highest basis first",
    "long-highest-basis": "highest basis first, long term only",
    "chosen": "chosen",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class SaleRow:
    """What is sold of one heap: proceeds before fees, its share of fees, basis, gain and term.

    `acquired` is none where nobody knows the day; with `cost_known` false nobody knows the basis. `loss_basis` is a
    gift's lower basis, from which a loss is reckoned.
    """

    lot: str
    heap: Heap
    amount: Amount
    acquired: date | None
    proceeds: Decimal
    fees: Decimal
    basis: Decimal
    term: Term
    loss_basis: Decimal | None = None
    cost_known: bool = True

    @property
    def amount_words(self) -> str:
        """How much, in words."""
        return say_amount(self.amount)

    @property
    def gain(self) -> Decimal | None:
        """Proceeds less fees less basis; may be negative. None where nobody knows the basis."""
        return gain_of(self.proceeds - self.fees, self.basis, self.loss_basis) if self.cost_known else None

    @property
    def basis_per_face(self) -> Decimal | None:
        """Basis for each face dollar, to 40 digits; none where the face is not known."""
        return None if not self.amount.face else EXACT.divide(self.basis, self.amount.face)


@dataclass(frozen=True, slots=True, kw_only=True)
class SalePlan:
    """A sale worked out and not yet booked.

    Attributes:
        entry: what would be booked.
        rule: how lots are chosen: one of `RULES`, or `chosen`.
        method: how their cost is counted.
        rows: what is sold of each heap.
        cautions: what the exit's own limits say of it.
    """

    entry: Sold
    rule: str
    method: Method
    rows: tuple[SaleRow, ...]
    cautions: tuple[str, ...] = ()

    @property
    def proceeds(self) -> Decimal:
        """Before fees."""
        return sum((row.proceeds for row in self.rows), Decimal(0))

    @property
    def fees(self) -> Decimal:
        """All that is taken off."""
        return self.entry.fees

    @property
    def basis(self) -> Decimal:
        """What the pieces cost."""
        return sum((row.basis for row in self.rows), Decimal(0))

    @property
    def gain(self) -> Decimal:
        """What was gained on all pieces of which the cost is known; `untold` holds the others."""
        return sum((row.gain for row in self.rows if row.gain is not None), Decimal(0))

    @property
    def untold(self) -> tuple[SaleRow, ...]:
        """The rows whose cost nobody knows: they are in no gain."""
        return tuple(row for row in self.rows if not row.cost_known)


def read_sale(kit: Kit, form: Mapping[str, str], *, method: Method | None = None) -> SalePlan:
    """Work a sale out from its form, without booking it.

    Fields: `on`, `exit`, `buyer`, `price` (a sum for all, or a quote; the exit's bid if empty), `fees` (the exit's own
    if empty), `spot`, `paper`, `note`; and either `kind`, `amount` and `rule` (one of `RULES`; the book's own if
    empty), or for each heap n: `heap-n`, `amount-n` (all of it if empty). `method` counts the cost; the book's own if
    none.

    Raises:
        Faults: every fault, each at its field.
        NotEnoughError: less is held than is to be sold.
    """
    fields = Fields(form, source="the sale")
    on = fields.past_day("on", kit.today())
    held = kit.holdings(on if on < kit.today() else None)
    rule = (fields.raw("rule") or settings(kit).rule.value) if fields.raw("amount") else "chosen"
    parts = _by_name(kit, fields, form, held) if rule == "chosen" else _by_rule(kit, fields, held, rule)
    fields.read("fees", read_money, None)
    fields.positive("spot")
    fields.done()
    return _plan(kit, fields, held, parts, (rule, method or settings(kit).method))


def first_in_beside(kit: Kit, form: Mapping[str, str], plan: SalePlan) -> SalePlan:
    """The same sale with the pieces that first in, first out would take: what one compares a choice with.

    Raises:
        Faults, NotEnoughError: as `read_sale` does.
    """
    return by_rule_beside(kit, form, plan, "first-in")


def by_rule_beside(kit: Kit, form: Mapping[str, str], plan: SalePlan, rule: str) -> SalePlan:
    """The same sale with the pieces that another rule would take, each at its lot's own cost.

    An amount sold by a rule is taken again by this one. Of heaps that were chosen, as much of each kind and issue.

    Raises:
        Faults, NotEnoughError: as `read_sale` does.
    """
    fields = Fields(form, source="the sale")
    held = kit.holdings(plan.entry.on if plan.entry.on < kit.today() else None)
    if fields.raw("amount"):
        return _plan(kit, fields, held, _by_rule(kit, fields, held, rule), (rule, Method.LOTS))
    parts: list[SoldPart] = []
    for (kind, issue), amount in _wanted_of(plan).items():
        pick = partial(_is_of, frozenset({kind}), issue, rule, plan.entry.on)
        parts += RULES[rule](held, pick, amount, currency=kit.journal.currency)
    return _plan(kit, fields, held, parts, (rule, Method.LOTS))


def _is_of(kinds: frozenset[str], issue: str | None, rule: str, on: date, lot: Lot, heap: Heap) -> bool:
    """Whether a rule may take a heap on a day; any issue where none is said."""
    if rule in LONG_ONLY and term_of(lot, on) is not Term.LONG:
        return False
    return heap.kind in kinds and issue in (None, heap.issue)


def _wanted_of(plan: SalePlan) -> dict[tuple[str, str], Amount]:
    """How much of each kind and issue a plan sells, in one measure that all its heaps know."""
    rows: dict[tuple[str, str], list[Amount]] = {}
    for row in plan.rows:
        rows.setdefault((row.heap.kind, row.heap.issue), []).append(row.amount)
    return {goods: _summed(amounts) for goods, amounts in rows.items()}


def _summed(amounts: list[Amount]) -> Amount:
    faces = [amount.face for amount in amounts if amount.face is not None]
    counts = [amount.count for amount in amounts if amount.count is not None]
    if len(faces) == len(amounts):
        return Amount(face=sum(faces, Decimal(0)))
    if len(counts) == len(amounts):
        return Amount(count=sum(counts))
    return Amount(gross_g=sum((amount.gross_g or Decimal(0) for amount in amounts), Decimal(0)))


def _plan(kit: Kit, fields: Fields, held: Holdings, parts: list[SoldPart], how: tuple[str, Method]) -> SalePlan:
    """Price the parts and make the entry of them."""
    rule, method = how
    on = fields.day("on", kit.today())
    fees = fields.read("fees", read_money, None)
    spot = fields.positive("spot") or kit.spot_or_none(on)
    try:
        proceeds, exit_fees, cautions = _priced(kit, kit.catalog(), fields, parts, spot)
    except InputError as error:
        if not fields.raw("price"):
            raise
        raise Faults([Fault(where="price", wrong=str(error))], source="the sale") from error
    entry = Sold(
        on=on,
        buyer=fields.raw("buyer"),
        exit=fields.raw("exit"),
        rule=RULE_WORDS[rule],
        lines=tuple(
            SoldLine(heap=part.heap.ref, amount=_of_heap(part), proceeds=amount)
            for part, amount in zip(parts, proceeds, strict=True)
        ),
        fees=exit_fees if fees is None else fees,
        paper=fields.raw("paper"),
        note=fields.raw("note"),
    )
    averaged = by_average(kit, held, on, parts) if method is Method.AVERAGE else {}
    rows = _rows(held, entry, parts, averaged, kit.journal.currency)
    return SalePlan(entry=entry, rule=rule, method=method, rows=tuple(rows), cautions=cautions)


def sell(kit: Kit, plan: SalePlan) -> Stored:
    """Book a sale as it was worked out.

    Raises:
        BookError: the book has changed meanwhile and no longer holds the pieces.
    """
    return kit.journal.append(plan.entry)


def kinds_of(catalog: Catalog, named: Named) -> frozenset[str]:
    """The kinds that goods so named may be held as: `90%` is every 90% small coin, told apart or not."""
    family = {kind.slug for kind in catalog.family(named.kind.slug)}
    heaps = {
        kind.slug
        for kind in catalog.kinds
        if kind.by_face and {member.slug for member in catalog.family(kind.slug)} <= family and kind.slug not in family
    }
    return frozenset({named.kind.slug} | family | heaps)


def _by_rule(kit: Kit, fields: Fields, held: Holdings, rule: str) -> list[SoldPart]:
    named = fields.read("kind", partial(read_named, kit.catalog()), None, needed=True)
    if rule not in RULES:
        fields.fault("rule", f"Lots go {' or '.join(RULES)}.")
    if named is None or rule not in RULES:
        return []
    amount = fields.read("amount", partial(read_amount, kind=named.kind), None, needed=True)
    if amount is None:
        return []
    kinds = kinds_of(kit.catalog(), named)
    wanted = partial(_is_of, kinds, named.issue or None, rule, fields.day("on", kit.today()))
    return RULES[rule](held, wanted, _deciding(amount), currency=kit.journal.currency)


def _by_name(kit: Kit, fields: Fields, form: Mapping[str, str], held: Holdings) -> list[SoldPart]:
    picks: list[tuple[HeapRef, Amount | None]] = []
    numbers = {name.removeprefix("heap-") for name in form if name.startswith("heap-")}
    for number in sorted(numbers, key=lambda number: (len(number), number)):  # 2 before 10
        if not fields.raw(f"heap-{number}"):
            continue
        heap = fields.read(f"heap-{number}", partial(read_heap, held), None, needed=True)
        kind = None if heap is None else kit.kind_or_none(heap.kind)
        if heap is None or kind is None:
            continue
        amount = fields.read(f"amount-{number}", partial(read_amount, kind=kind), None)
        picks.append((heap.ref, None if amount is None else _in_heap(heap, amount)))
    if not picks and fields.sound:
        fields.fault("heap-1", "Say which heap, or an amount of a kind to sell by a rule.")
    return chosen(held, picks, currency=kit.journal.currency) if fields.sound else []


def _deciding(amount: Amount) -> Amount:
    """An amount by one measure alone: face, else pieces, else grams."""
    if amount.face is not None:
        return Amount(face=amount.face)
    return Amount(count=amount.count) if amount.count is not None else Amount(gross_g=amount.gross_g)


def _in_heap(heap: Heap, amount: Amount) -> Amount:
    """An amount by the measure that decides in a heap, where both know it."""
    if heap.count is not None and amount.count is not None:
        return Amount(count=amount.count)
    return _deciding(amount)


def _of_heap(part: SoldPart) -> Amount | None:
    """What the entry says of a part: nothing where all of the heap goes."""
    return None if part.amount == part.heap.amount else _in_heap(part.heap, part.amount)


def _priced(
    kit: Kit, catalog: Catalog, fields: Fields, parts: list[SoldPart], spot: Decimal | None
) -> tuple[list[Decimal], Decimal, tuple[str, ...]]:
    """What each part brings before fees, the exit's own fees, and its cautions."""
    currency = kit.journal.currency
    goods = [goods_of(catalog.kind(part.heap.kind), part.amount) for part in parts]
    price = fields.raw("price")
    if not price:
        if spot is None:
            raise NotFoundError("No price of silver is known for that day.", instead=("give spot", "give a price"))
        settled = pays(exit_named(kit, fields.raw("exit")), goods, spot)
        if settled.unsold:
            names = ", ".join(item.content.name for item in settled.unsold)
            raise RangeError(
                f"{settled.exit.name} has no bid for {names}.", expected="Give a price, or leave them out."
            )
        lines = [line.amount for line in settled.lines if line.kind is PaidKind.GOODS]
        return lines, settled.taken_off, settled.cautions
    try:
        total = read_money(price)
    except UnreadableError:
        quote = read_quote(price)
        return [cents(quoted(quote, item, spot), currency) for item in goods], Decimal(0), ()
    fine = [ounces_of(part.amount, catalog.kind(part.heap.kind)).trade for part in parts]
    return spread(cents(total, currency), fine, currency), Decimal(0), ()


def _rows(
    held: Holdings, entry: Sold, parts: list[SoldPart], averaged: Mapping[int, Decimal], currency: str
) -> list[SaleRow]:
    proceeds = [line.proceeds for line in entry.lines]
    unit = unit_of(currency)
    fees = share(entry.fees, proceeds, unit)
    drawing = Drawing(held.lots.values(), unit)
    rows = []
    for place, (part, brings, fee) in enumerate(zip(parts, proceeds, fees, strict=True)):
        lot = held.lots[part.heap.lot]
        out = drawing.draw(part.heap, _of_heap(part))
        loss_basis = None if place in averaged else out.loss_basis
        rows.append(
            SaleRow(
                lot=lot.name,
                heap=part.heap,
                amount=part.amount,
                acquired=lot.acquired,
                proceeds=brings,
                fees=fee,
                basis=averaged.get(place, part.basis),
                loss_basis=loss_basis,
                cost_known=lot.cost_known,
                term=term_of(lot, entry.on, by_value=loss_basis is not None and brings - fee < loss_basis),
            )
        )
    return rows
