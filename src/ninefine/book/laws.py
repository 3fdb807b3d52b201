"""The laws of the book: what must hold whatever was entered. A broken one means damage, or a defect of ninefine.

1. Each record carries the digest of the one before, and of itself.
2. What a lot cost is the basis still held of it and the basis that left with what was sold.
3. All lots together cost what purchases said, less credits; sales brought what they said.
4. Pieces and face that came with a lot are held or were sold, wherever all of them were said.
5. Nothing is below zero, and nothing held is nothing.
"""

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from decimal import Decimal

from ninefine.book.chain import Stored, verify_chain
from ninefine.book.entries import Amount, Bought, Credited, Received, Sold, Sorted
from ninefine.book.fold import fold
from ninefine.book.holdings import Disposal, Heap, Holdings
from ninefine.book.share import ZERO, rounded, unit_of
from ninefine.book.standing import Standing, standing
from ninefine.errors import BookError, BrokenLawError
from ninefine.measure.numbers import plain


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


def _signs(holdings: Holdings) -> Iterator[str]:
    for lot in holdings.lots.values():
        if lot.cost < 0 or lot.claim < 0:
            yield f"Lot {lot.name} has a cost of {plain(lot.cost)} and a claim of {plain(lot.claim)}: below zero."
        for heap in lot.heaps:
            if heap.basis < 0:
                yield f"A heap of lot {lot.name} ({heap.kind}) has a basis of {plain(heap.basis)}: below zero."
            known = [value for value in (heap.count, heap.face, heap.gross_g) if value is not None]
            if not known or min(known) <= 0:
                yield f"A heap of lot {lot.name} ({heap.kind}) is held and holds nothing."
    for disposal in holdings.disposals:
        if min(disposal.basis, disposal.fees, disposal.proceeds) < 0:
            yield f"Entry {disposal.serial} sold of lot {disposal.lot} with an amount of money below zero."


def _money(facts: Iterable[Standing], holdings: Holdings, currency: str) -> Iterator[str]:
    unit = unit_of(currency)
    paid = credited = proceeds = fees = ZERO
    for _, _, fact in facts:
        if isinstance(fact, Bought):
            paid += sum((rounded(line.price, unit) for line in fact.lines), ZERO)
            paid += rounded(sum(fact.other_costs.values(), ZERO), unit)
        elif isinstance(fact, Credited):
            credited += rounded(fact.amount, unit)
        elif isinstance(fact, Sold):
            proceeds += sum((rounded(line.proceeds, unit) for line in fact.lines), ZERO)
            fees += rounded(fact.fees, unit)
    cost = sum((lot.cost for lot in holdings.lots.values()), ZERO)
    if cost != paid - credited:
        yield f"All lots cost {plain(cost)}, but {plain(paid)} was paid and {plain(credited)} credited."
    brought = sum((disposal.proceeds for disposal in holdings.disposals), ZERO)
    if brought != proceeds:
        yield f"Sales brought {plain(proceeds)}, but what was sold shows {plain(brought)}."
    charged = sum((disposal.fees for disposal in holdings.disposals), ZERO)
    if charged != fees:
        yield f"Sales cost {plain(fees)} in fees, but what was sold shows {plain(charged)}."


def _amounts(facts: Iterable[Standing], holdings: Holdings) -> Iterator[str]:
    came: dict[str, tuple[Amount | None, Amount | None]] = {}
    for _, _, fact in facts:
        if isinstance(fact, Bought | Received):
            came.update({line.lot: (line.amount, line.amount) for line in fact.lines})
        elif isinstance(fact, Sorted):
            # a line that does not say a measure leaves it unknown how much of the lot has it
            lines = [line.amount for line in fact.lines]
            counted, faced = came[fact.heap.lot]
            came[fact.heap.lot] = (
                None if any(line.count is None for line in lines) else counted,
                None if any(line.face is None for line in lines) else faced,
            )
    left = _by_lot(holdings.disposals)
    for lot in holdings.lots.values():
        parts: list[Heap | Amount] = [*lot.heaps, *(disposal.amount for disposal in left.get(lot.name, ()))]
        counted, faced = came[lot.name]
        yield from _all_there(
            lot.name, "pieces", None if counted is None else counted.count, [part.count for part in parts]
        )
        yield from _all_there(lot.name, "face", None if faced is None else faced.face, [part.face for part in parts])


def _all_there(lot: str, unit: str, came: Decimal | int | None, parts: Sequence[Decimal | int | None]) -> Iterator[str]:
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
