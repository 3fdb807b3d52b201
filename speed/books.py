"""How long the books of a long-lived household take: gains of a year, worth by month over thirty years, returns.

    python speed/books.py [entries]

The journal is the mixed one of `fold.py`, spread over thirty years, with a price every other day of the last five.
"""

import sys
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal

import msgspec
from _machine import describe
from fold import journal

from ninefine.book.entries import Entry, Priced
from ninefine.desk.book_settings import Method
from ninefine.desk.gains import gains
from ninefine.desk.kit import Kit
from ninefine.desk.performance import performance, worth_by_month
from ninefine.testing import kit_in_memory

ENTRIES = 20_000
FIRST, LAST = date(1996, 1, 2), date(2025, 12, 30)


def spread_out(entries: Iterator[Entry], size: int) -> Iterator[Entry]:
    """The same entries in the same order, over thirty years instead of one day after another."""
    days = (LAST - FIRST).days
    for number, entry in enumerate(entries):
        on = FIRST + timedelta(days=number * days // size)
        if isinstance(entry, Priced) and number % 2:
            continue
        yield msgspec.structs.replace(entry, on=on)


def timed(words: str, work: Callable[[], object]) -> None:
    started, wall = time.process_time(), time.perf_counter()
    work()
    print(f"{words:<58} {time.process_time() - started:6.2f} s  ({time.perf_counter() - wall:.2f} s by the clock)")


def fresh(kit: Kit) -> Kit:
    """The same book with nothing kept."""
    return replace(kit, _kept={}, _kept_for=None)


def main(size: int) -> None:
    print(describe())
    kit = kit_in_memory(today=date(2026, 1, 1))
    for entry in spread_out(journal(size), size):
        kit.journal.append(entry)
    for number in range(900):
        on = date(2021, 1, 1) + timedelta(days=2 * number)
        kit.journal.append(Priced(on=on, per_ozt=Decimal(20) + Decimal(number) / 20, whose="Quay Coin"))
    kit.holdings()
    left = len(kit.holdings().disposals)
    print(f"{len(kit.journal.records()):,} entries, {len(kit.holdings().lots):,} lots, {left:,} disposals")
    timed("gains of a year", lambda: gains(fresh(kit), 2024))
    timed("gains of a year, by average cost", lambda: gains(fresh(kit), 2024, method=Method.AVERAGE))
    timed("worth by month through thirty years", lambda: worth_by_month(fresh(kit)))
    timed("returns, with every flow since the first", lambda: performance(fresh(kit), {"ask": "spot+2.50"}))


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else ENTRIES)
