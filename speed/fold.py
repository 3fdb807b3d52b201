"""How long a book of many entries takes: building, writing, reading back and folding, apart.

    python speed/fold.py [entries ...]

The journal is a mixed one: purchases on their way, countings, sortings, moves, weighings, sales and prices. "fold"
counts it at once, "add" entry by entry as a window does; time for each entry that stays the same as books grow shows
that both are linear.
"""

import random
import resource
import sys
import time
from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

from _machine import describe, pace

from ninefine.book.chain import Stored, store
from ninefine.book.codec import decode, encode
from ninefine.book.entries import (
    Amount,
    Bought,
    BoughtLine,
    Entry,
    HeapRef,
    Moved,
    Priced,
    Received,
    ReceivedLine,
    Sold,
    SoldLine,
    Sorted,
    SortedLine,
    Weighed,
    WeighedLine,
)
from ninefine.book.fold import fold
from ninefine.book.ledger import Ledger

SIZES = (100_000, 300_000, 1_000_000)
KIND = "us-dime-90"


def journal(size: int, seed: int = 9) -> Iterator[Entry]:
    """Entries of an invented household, about three for each lot."""
    chance = random.Random(seed)
    day, said, number = date(1990, 1, 1), 0, 0
    while said < size:
        number += 1
        if number % 40 == 0:
            day += timedelta(days=1)
        for entry in _life_of_a_lot(f"L{number}", day, chance):
            if said < size:
                yield entry
                said += 1


def _life_of_a_lot(lot: str, day: date, chance: random.Random) -> Iterator[Entry]:
    face = Decimal(chance.randrange(10, 500))
    count = int(face * 10)
    awaited = chance.random() < 0.3
    other = {"carriage": Decimal("18.00")} if chance.random() < 0.4 else {}
    amount = Amount(count=count, face=face)
    line = BoughtLine(lot=lot, kind=KIND, amount=amount, price=face * Decimal("22.40"), quote="22.4x")
    yield Bought(on=day, seller="Quay Coin", lines=(line,), other_costs=other, arrived=not awaited, place="A1")
    heap = HeapRef(lot=lot, kind=KIND, place="A1")
    if awaited:
        yield Received(on=day, lines=(ReceivedLine(lot=lot, amount=amount),), place="A1")
    fate = chance.random()
    if fate < 0.25:
        third = count // 3
        lines = (
            SortedLine(kind=KIND, issue="1964-D", amount=_dimes(third), weight=Decimal(1)),
            SortedLine(kind=KIND, issue="1942", amount=_dimes(count - third), weight=Decimal(2)),
        )
        yield Sorted(on=day, heap=heap, lines=lines)
        yield Sold(on=day, lines=(SoldLine(heap=HeapRef(lot=lot, kind=KIND, issue="1942", place="A1"), proceeds=face),))
    elif fate < 0.55:
        yield Sold(on=day, lines=(SoldLine(heap=heap, amount=_dimes(count // 4), proceeds=face * 5),), fees=Decimal(3))
    elif fate < 0.7:
        yield Moved(on=day, heap=heap, to="B2")
    elif fate < 0.85:
        yield Weighed(on=day, lines=(WeighedLine(heap=heap, gross_g=face * Decimal("24.8")),))
    else:
        yield Priced(on=day, per_ozt=Decimal("31.20"), whose="Quay Coin")


def _dimes(count: int) -> Amount:
    return Amount(count=count, face=Decimal(count) / 10)


def chained(entries: Iterator[Entry]) -> list[Stored]:
    """The entries as records, each sealed onto the one before."""
    records: list[Stored] = []
    said_at = datetime(2026, 1, 1, tzinfo=UTC)
    last: Stored | None = None
    for entry in entries:
        last = store(entry, said_at=said_at, after=last)
        records.append(last)
    return records


def main(sizes: tuple[int, ...]) -> None:
    print(describe())
    print(
        "pace: ten million plain additions, timed before and after the fold; it says how fast the machine was just then"
    )
    print(
        f"{'entries':>10} {'build':>8} {'seal':>8} {'write':>8} {'read':>8} {'fold':>8} {'us each':>8} {'pace':>11} "
        f"{'add':>8} {'us each':>8} {'lots':>9}"
    )
    for size in sizes:
        started = time.process_time()
        entries = list(journal(size))
        built = time.process_time()
        records = chained(iter(entries))
        sealed = time.process_time()
        bodies = [encode(entry) for entry in entries]
        written = time.process_time()
        for body in bodies:
            decode(body)
        read = time.process_time()
        pace_before = pace()
        folding = time.process_time()
        held = fold(records)
        fold_took = time.process_time() - folding
        pace_after = pace()
        folded = time.process_time()
        ledger = Ledger()
        for record in records:
            ledger.add(record)
        added = time.process_time()
        if ledger.holdings() != held:
            raise AssertionError("adding one by one came to something else")
        print(
            f"{size:>10,} {built - started:>8.2f} {sealed - built:>8.2f} {written - sealed:>8.2f} "
            f"{read - written:>8.2f} {fold_took:>8.2f} {fold_took / size * 1e6:>8.2f} "
            f"{pace_before:>5.2f} {pace_after:>5.2f} "
            f"{added - folded:>8.2f} {(added - folded) / size * 1e6:>8.2f} {len(held.lots):>9,}",
            flush=True,
        )
    print(
        f"largest memory {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:,.0f} MB; processor time in seconds"
    )


if __name__ == "__main__":
    main(tuple(int(size) for size in sys.argv[1:]) or SIZES)
