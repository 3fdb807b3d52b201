"""The fold: stored entries in, what the book holds out. Pure: the same entries always give the same holdings."""

import gc
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from datetime import date
from decimal import DecimalException
from typing import Any

from ninefine.book.chain import Stored
from ninefine.book.coming import bought, credited, given, inherited, opened, received
from ninefine.book.entries import (
    Bought,
    Credited,
    Fact,
    Given,
    Inherited,
    Joined,
    Listed,
    Lost,
    Moved,
    Noted,
    Opened,
    Priced,
    Received,
    Refined,
    Sold,
    Sorted,
    Split,
    Swapped,
    Tested,
    Used,
    Weighed,
)
from ninefine.book.holdings import Holdings, PriceMark
from ninefine.book.inside import moved, sorted_out, tested, weighed
from ninefine.book.leaving import lost, refined, sold, swapped
from ninefine.book.lotting import joined, split, used
from ninefine.book.standing import Standing, standing
from ninefine.book.working import Working
from ninefine.errors import BookError


def fold(records: Iterable[Stored], *, on: date | None = None, currency: str = "USD") -> Holdings:
    """What the book holds after all entries, or held at the end of a date.

    Entries count in the order of the dates on which things happened, and of serials within a date; those after `on`
    are left out. Mends and withdrawals count whatever their own date (see `standing`).

    Args:
        records: the book's records in the order of serials.
        on: the date asked for; all entries where none.
        currency: decides the smallest unit of money.

    Raises:
        BookError: an entry that the book cannot hold; names it.
    """
    kept = records if isinstance(records, list | tuple) else list(records)
    working = _at_serial(kept, currency)
    if on is None:
        with _no_garbage_sought():
            if _counted_as_said(working, kept):
                return working.freeze(None)
    working = _at_serial(kept, currency)
    facts = standing(kept)
    if on is not None:
        facts = [fact for fact in facts if fact[0] <= on]
    apply_all(working, facts)
    return working.freeze(on)


@contextmanager
def _no_garbage_sought() -> Iterator[None]:
    """Leave the collector of circles at rest: a fold makes none, and a long book's records take it long to walk."""
    at_work = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if at_work:
            gc.enable()


def _at_serial(records: Sequence[Stored], currency: str) -> Working:
    working = Working(currency)
    working.serial = records[-1].serial if records else 0
    return working


def _counted_as_said(working: Working, records: Sequence[Stored]) -> bool:
    """Count records just as they were said, in one pass; false where that will not do, the state then of no use.

    It will not do where an entry reaches back behind others, is a correction, or stands only because a later one
    corrects it.
    """
    effect_of = _EFFECTS.get
    latest = date.min
    try:
        for record in records:
            entry = record.entry
            effect = effect_of(type(entry))  # a correction has none
            if effect is None or entry.on < latest:
                return False
            latest = entry.on
            effect(working, record.serial, entry)
    except (BookError, DecimalException):
        return False
    return True


def apply_all(working: Working, facts: Iterable[Standing]) -> None:
    """Count facts into a working state, in the order given.

    Raises:
        BookError: names the entry that could not be counted; the state is then of no use.
    """
    effects = _EFFECTS
    serial = 0
    fact: Fact | None = None
    try:
        for _, serial, fact in facts:
            effects[type(fact)](working, serial, fact)
    except BookError as error:
        if fact is not None:
            name_entry(error, serial, fact)
        raise
    except DecimalException as error:
        raise BookError(f"Entry {serial} holds an amount that cannot be reckoned with.") from error


def apply(working: Working, serial: int, fact: Fact) -> None:
    """Count one more fact, without naming it in an error: it is the one being said.

    Raises:
        BookError: it cannot be counted; the state is then of no use.
    """
    try:
        _EFFECTS[type(fact)](working, serial, fact)
    except DecimalException as error:
        raise BookError("The entry holds an amount that cannot be reckoned with.") from error


def name_entry(error: BookError, serial: int, fact: Fact) -> None:
    """Say in an error which entry it is about, keeping its type and its facts."""
    error.args = (f"Entry {serial} ({type(fact).__name__.lower()}, {fact.on}): {error}",)


def _priced(working: Working, serial: int, entry: Priced) -> None:
    working.prices.append(
        PriceMark(
            serial=serial,
            on=entry.on,
            at=entry.at,
            metal=entry.metal,
            per_ozt=entry.per_ozt,
            side=entry.side,
            whose=entry.whose,
        )
    )


def _listed(working: Working, serial: int, entry: Listed) -> None:  # noqa: ARG001 - effects share one shape
    working.row(entry.table, entry.key, entry.body)


def _noted(working: Working, serial: int, entry: Noted) -> None:
    """A remark changes nothing that is held; it may only be about an entry that was said."""
    if entry.about is not None and (entry.about > working.serial or entry.about == serial):
        raise BookError(f"There is no other entry {entry.about} for the note to be about.")


#: What each fact does to the working state.
_EFFECTS: dict[type[Any], Callable[[Working, int, Any], None]] = {
    Bought: bought,
    Received: received,
    Credited: credited,
    Weighed: weighed,
    Sorted: sorted_out,
    Moved: moved,
    Sold: sold,
    Priced: _priced,
    Listed: _listed,
    Noted: _noted,
    Given: given,
    Inherited: inherited,
    Opened: opened,
    Swapped: swapped,
    Lost: lost,
    Refined: refined,
    Split: split,
    Joined: joined,
    Used: used,
    Tested: tested,
}
