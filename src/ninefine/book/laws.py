"""The laws of the book: what must hold whatever was entered. A broken one means damage, or a defect of ninefine.

1. Each record carries the digest of the one before, and of itself.
2. What a lot cost is the basis still held of it and the basis that left with what was sold. So too a gift's basis for
   losses.
3. All lots together cost what entries said that they cost, less credits; what left brought what entries said.
4. Pieces and face that came with a lot (or with lots that were split and joined) are held or left, wherever all of them
   were said.
5. Nothing is below zero, and nothing held is nothing. What nobody knows the cost of has none.
6. What was tested was in the book on the day of the test.
"""

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from decimal import Decimal

from ninefine.book.chain import Stored, verify_chain
from ninefine.book.entries import (
    Amount,
    Bought,
    Credited,
    Fact,
    Given,
    Inherited,
    Joined,
    Lost,
    Opened,
    Received,
    Refined,
    Sold,
    Sorted,
    Split,
    Swapped,
)
from ninefine.book.fold import fold
from ninefine.book.holdings import Disposal, Heap, Holdings, Lot
from ninefine.book.share import ZERO, rounded, unit_of
from ninefine.book.standing import Standing, standing
from ninefine.errors import BookError, BrokenLawError
from ninefine.measure.numbers import plain

#: A count or an amount of face, where it is known.
Known = Decimal | int | None


def uphold(records: Sequence[Stored], *, on: date | None = None, currency: str = "USD") -> None:
    """Check every law.

    Raises:
        BrokenLawError: says every law that does not hold, a sentence each.
    """
    broken = broken_laws(records, on=on, currency=currency)
    if broken:
        raise BrokenLawError("\n".join(broken))


def broken_laws(records: Sequence[Stored], *, on: date | None = None, currency: str = "USD") -> tuple[str, ...]:
    """A sentence for each law that does not hold; none where all do."""
    broken: list[str] = []
    try:
        verify_chain(records)
    except BrokenLawError as error:
        broken.append(str(error))
    try:
        holdings = fold(records, on=on, currency=currency)
        facts = [fact for fact in standing(records) if on is None or fact[0] <= on]
    except BookError as error:
        return (*broken, str(error))
    return (*broken, *broken_in(holdings), *_money(facts, holdings, currency), *_amounts(facts, holdings))


def broken_in(holdings: Holdings) -> tuple[str, ...]:
    """The laws that holdings alone can show: costs, and nothing below zero."""
    return (*_costs(holdings), *_signs(holdings))


def _costs(holdings: Holdings) -> Iterator[str]:
    left = _by_lot(holdings.disposals)
    for lot in holdings.lots.values():
        held = sum((heap.basis for heap in lot.heaps), ZERO)
        gone = sum((disposal.basis for disposal in left.get(lot.name, ())), ZERO)
        if lot.cost != held + gone:
            yield (
                f"Lot {lot.name} cost {plain(lot.cost)}, but {plain(held)} of basis is held and {plain(gone)} was "
                f"sold: {plain(abs(lot.cost - held - gone))} is off."
            )
        if lot.cost and not lot.cost_known:
            yield f"Lot {lot.name} cost {plain(lot.cost)}, though nobody knows what it cost."
        yield from _losses(lot, left.get(lot.name, []))


def _losses(lot: Lot, left: list[Disposal]) -> Iterator[str]:
    if lot.loss_cost is None or lot.loss_basis is None:
        return
    gone = sum((disposal.loss_basis or ZERO for disposal in left), ZERO)
    if lot.loss_cost != lot.loss_basis + gone or (not lot.heaps and lot.loss_basis):
        yield (
            f"Lot {lot.name} has {plain(lot.loss_cost)} for losses, but {plain(lot.loss_basis)} is held and "
            f"{plain(gone)} left."
        )


def _signs(holdings: Holdings) -> Iterator[str]:
    for lot in holdings.lots.values():
        if lot.cost < 0 or lot.claim < 0:
            yield f"Lot {lot.name} has a cost of {plain(lot.cost)} and a claim of {plain(lot.claim)}: below zero."
        if lot.loss_basis is not None and lot.loss_basis < 0:
            yield f"Lot {lot.name} has {plain(lot.loss_basis)} for losses: below zero."
        for heap in lot.heaps:
            if heap.basis < 0:
                yield f"A heap of lot {lot.name} ({heap.kind}) has a basis of {plain(heap.basis)}: below zero."
            known = [value for value in (heap.count, heap.face, heap.gross_g) if value is not None]
            if not known or min(known) <= 0:
                yield f"A heap of lot {lot.name} ({heap.kind}) is held and holds nothing."
    for disposal in holdings.disposals:
        if min(disposal.basis, disposal.fees, disposal.proceeds, disposal.loss_basis or ZERO) < 0:
            yield f"Entry {disposal.serial} sold of lot {disposal.lot} with an amount of money below zero."


def _money(facts: Iterable[Standing], holdings: Holdings, currency: str) -> Iterator[str]:
    unit = unit_of(currency)
    paid = credited = proceeds = fees = ZERO
    for _, _, fact in facts:
        paid += _cost_said(fact, unit)
        brought, charged = _brought_said(fact, unit)
        proceeds, fees = proceeds + brought, fees + charged
        if isinstance(fact, Credited):
            credited += rounded(fact.amount, unit)
    cost = sum((lot.cost for lot in holdings.lots.values()), ZERO)
    if cost != paid - credited:
        yield f"All lots cost {plain(cost)}, but {plain(paid)} was paid and {plain(credited)} credited."
    brought = sum((disposal.proceeds for disposal in holdings.disposals), ZERO)
    if brought != proceeds:
        yield f"Sales brought {plain(proceeds)}, but what was sold shows {plain(brought)}."
    charged = sum((disposal.fees for disposal in holdings.disposals), ZERO)
    if charged != fees:
        yield f"Sales cost {plain(fees)} in fees, but what was sold shows {plain(charged)}."


def _cost_said(fact: Fact, unit: Decimal) -> Decimal:
    """What an entry says that new lots cost."""
    costs: list[Decimal | None] = []
    if isinstance(fact, Bought):
        costs = [*(line.price for line in fact.lines)]
    elif isinstance(fact, Given):
        costs = [line.basis for line in fact.lines]
    elif isinstance(fact, Inherited):
        costs = [line.value for line in fact.lines]
    elif isinstance(fact, Opened):
        costs = [line.cost for line in fact.lines]
    elif isinstance(fact, Swapped):
        costs = [*(line.value for line in fact.into)]
    others = sum(fact.other_costs.values(), ZERO) if isinstance(fact, Bought | Swapped) else ZERO
    return sum((rounded(cost, unit) for cost in costs if cost is not None), rounded(others, unit))


def _brought_said(fact: Fact, unit: Decimal) -> tuple[Decimal, Decimal]:
    """What an entry says that silver brought, and what was taken off."""
    if isinstance(fact, Sold):
        return _sum(unit, [line.proceeds for line in fact.lines]), rounded(fact.fees, unit)
    if isinstance(fact, Swapped):
        return _sum(unit, [line.value for line in fact.out]), ZERO
    if isinstance(fact, Lost):
        return _sum(unit, [line.paid for line in fact.lines]), ZERO
    if isinstance(fact, Refined):
        return rounded(fact.proceeds, unit), rounded(sum(fact.fees.values(), ZERO), unit)
    return ZERO, ZERO


def _sum(unit: Decimal, amounts: list[Decimal]) -> Decimal:
    return sum((rounded(amount, unit) for amount in amounts), ZERO)


def _amounts(facts: Iterable[Standing], holdings: Holdings) -> Iterator[str]:
    came, whole = _came(facts)
    left = _by_lot(holdings.disposals)
    parts: dict[str, list[Heap | Amount]] = {}
    for lot in holdings.lots.values():
        first = whole.get(lot.name, lot.name)
        parts.setdefault(first, []).extend(lot.heaps)
        parts[first] += [disposal.amount for disposal in left.get(lot.name, ())]
    for name, (counted, faced) in came.items():
        yield from _all_there(name, "pieces", counted, [part.count for part in parts.get(name, [])])
        yield from _all_there(name, "face", faced, [part.face for part in parts.get(name, [])])


def _came(facts: Iterable[Standing]) -> tuple[dict[str, tuple[Known, Known]], dict[str, str]]:
    """How many pieces and how much face came with each lot, where said; and under which name a lot's silver counts.

    Lots that were split off or joined count under one name. A sorting line that does not say a measure leaves it open
    how much of the whole has it.
    """
    came: dict[str, Amount] = {}
    untold: set[tuple[str, str]] = set()
    whole: dict[str, str] = {}
    for _, _, fact in facts:
        if isinstance(fact, Bought | Received | Given | Inherited | Opened):
            came.update({line.lot: line.amount for line in fact.lines})
        elif isinstance(fact, Swapped):
            came.update({line.lot: line.amount for line in fact.into})
        elif isinstance(fact, Split | Joined):
            names = (fact.heap.lot, fact.lot) if isinstance(fact, Split) else fact.lots
            _as_one(whole, names)
        elif isinstance(fact, Sorted):
            lines = [line.amount for line in fact.lines]
            untold |= {(fact.heap.lot, "count") for line in lines if line.count is None}
            untold |= {(fact.heap.lot, "face") for line in lines if line.face is None}
    groups: dict[str, list[str]] = {}
    for name in came:
        groups.setdefault(whole.get(name, name), []).append(name)
    unknown = {(whole.get(name, name), measure) for name, measure in untold}
    sums = {
        first: (
            None if (first, "count") in unknown else _all([came[name].count for name in names]),
            None if (first, "face") in unknown else _all([came[name].face for name in names]),
        )
        for first, names in groups.items()
    }
    return sums, whole


def _as_one(whole: dict[str, str], names: tuple[str, ...]) -> None:
    """Count the silver of some lots, and of all that counts with them, under the first one's name."""
    firsts = {whole.get(name, name) for name in names}
    first = whole.get(names[0], names[0])
    for name, under in whole.items():
        if under in firsts:
            whole[name] = first
    whole.update(dict.fromkeys((*names, *firsts), first))


def _all(values: Sequence[Known]) -> Known:
    known = [value for value in values if value is not None]
    return sum(known, ZERO) if len(known) == len(values) else None


def _all_there(lot: str, unit: str, came: Known, parts: Sequence[Known]) -> Iterator[str]:
    known = [part for part in parts if part is not None]
    if came is not None and len(known) == len(parts) and sum(known) != came:
        yield (
            f"Lot {lot} came with {plain(Decimal(came))} {unit}, but {plain(Decimal(sum(known)))} {unit} are held "
            "or were sold."
        )


def _by_lot(disposals: Iterable[Disposal]) -> dict[str, list[Disposal]]:
    left: dict[str, list[Disposal]] = {}
    for disposal in disposals:
        left.setdefault(disposal.lot, []).append(disposal)
    return left
