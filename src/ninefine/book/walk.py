"""A walk through the book from date to date: what changed on the way, without freezing everything at each stop.

For what must be known of many dates: thirty years by month, or every day on which something was sold.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date

from ninefine.book.chain import Stored
from ninefine.book.entries import Fact
from ninefine.book.fold import apply_all
from ninefine.book.holdings import Disposal, Lot
from ninefine.book.standing import standing
from ninefine.book.working import Working


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """What changed up to the end of a date, since the stop before.

    Attributes:
        on: the date.
        changed: each lot that changed, as it stands at the end of that date.
        left: what left the book on the way, in the order in which it counts.
        alone: the one fact that the step counts, where it is of those that were asked for one by one.
        ends: whether it ends the date; one before a fact that stands alone does not, nor does that fact's own.
    """

    on: date
    changed: Mapping[str, Lot]
    left: tuple[Disposal, ...]
    alone: Fact | None = None
    ends: bool = True


def walk(
    records: Iterable[Stored], stops: Iterable[date], *, currency: str = "USD", alone: tuple[type[Fact], ...] = ()
) -> Iterator[Step]:
    """Walk through the book and stop at some dates, given in rising order. One fold in all, however many stops.

    Facts of the types `alone` make steps of their own on the way, with what came before them in a step ahead.

    Raises:
        BookError: an entry on the way cannot be counted.
        ValueError: a stop lies before the one before it.
    """
    kept = records if isinstance(records, list | tuple) else list(records)
    facts = standing(kept)
    working = Working(currency, tells_changes=True)
    working.serial = kept[-1].serial if kept else 0
    at = left = 0
    before = date.min
    for on in stops:
        if on < before:
            raise ValueError(f"The stop on {on} lies before the one on {before}.")
        before = on
        end = at
        while end < len(facts) and facts[end][0] <= on:
            end += 1
        cuts = [cut for place in range(at, end) if isinstance(facts[place][2], alone) for cut in (place, place + 1)]
        for place, cut in enumerate((*cuts, end)):
            apply_all(working, facts[at:cut])
            disposals = working.disposals
            yield Step(
                on=on,
                changed=working.changed(),
                left=tuple(disposals[left:]),
                alone=facts[at][2] if place % 2 else None,
                ends=place == len(cuts),
            )
            at, left = cut, len(disposals)
