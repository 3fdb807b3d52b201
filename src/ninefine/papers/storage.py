"""What each place bears: kilograms and pounds by location code, against the limit that the person set for it."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal

from ninefine.measure.mass import Mass
from ninefine.measure.numbers import EXACT
from ninefine.papers.document import (
    NOTHING,
    Column,
    Document,
    Group,
    Ledger,
    Notes,
    Of,
    Prose,
    Row,
    Tells,
)
from ninefine.papers.inventory import About
from ninefine.papers.settings import Place
from ninefine.papers.words import PLACE_UNKNOWN, and_list
from ninefine.papers.written import figure
from ninefine.worth.stack import PileWorth

_METHOD = (
    "Gross weight of the pieces alone: bags, tubes, boxes and the safe come on top.",
    "A shelf's limit is what its maker says, or what you have tried; ninefine knows of none.",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """What lies at one place. `weighed_g` is how much of it the scale has seen."""

    place: str
    gross_g: Decimal
    weighed_g: Decimal
    limit_g: Decimal | None

    @property
    def share(self) -> Decimal | None:
        """The load as a share of the limit; none where no limit is set."""
        return EXACT.divide(self.gross_g, self.limit_g) if self.limit_g else None


def loads(piles: Iterable[PileWorth], places: Mapping[str, Place]) -> tuple[Load, ...]:
    """What lies at each place, in the order of their codes."""
    gross: dict[str, Decimal] = {}
    weighed: dict[str, Decimal] = {}
    for line in piles:
        place = line.pile.place
        gross[place] = gross.get(place, Decimal(0)) + line.ounces.gross_g
        seen = line.ounces.gross_g if line.ounces.gross_weighed else Decimal(0)
        weighed[place] = weighed.get(place, Decimal(0)) + seen
    return tuple(
        Load(
            place=place,
            gross_g=gross[place],
            weighed_g=weighed[place],
            limit_g=places[place].limit_g if place in places else None,
        )
        for place in sorted(gross)
    )


def storage(about: About, found: tuple[Load, ...], *, unknown: int = 0) -> Document:
    """The paper. A place over its limit is said first.

    Args:
        about: whose and when.
        found: what lies where.
        unknown: how many heaps are of kinds without a weight; they are said and not counted.
    """
    whole = Mass(sum((load.gross_g for load in found), Decimal(0)))
    over = [load for load in found if load.share is not None and load.share > 1]
    weight = f"{figure(whole.kilograms, 1)} kg ({figure(whole.pounds, 1)} lb)"
    words = f"The silver weighs {weight} gross, in {len(found)} place{'' if len(found) == 1 else 's'}."
    blocks = [Prose(text=words, answer=True)]
    if over:
        said = and_list(load.place for load in over)
        blocks.append(
            Prose(
                text=f"Over the limit that was set: {said}. Take something away before you add to it.",
                answer=True,
                tells=Tells.PLACES,
            )
        )
    unlimited = [load.place or PLACE_UNKNOWN for load in found if load.limit_g is None]
    notes = [(line, NOTHING) for line in _METHOD]
    if unlimited:
        notes.append((f"No limit is set for {and_list(unlimited)}.", Tells.PLACES))
    if unknown:
        notes.append((f"Not counted, because their kind has no weight here: {unknown} heaps.", NOTHING))
    return Document(
        name="storage",
        title="What the shelves bear",
        on=about.on,
        book=about.book,
        blocks=(*blocks, _ledger(found), Notes(lines=tuple(notes))),
    )


def _ledger(found: tuple[Load, ...]) -> Ledger:
    rows = tuple(
        Row(
            cells=(
                load.place or PLACE_UNKNOWN,
                Mass(load.gross_g).kilograms,
                Mass(load.gross_g).pounds,
                EXACT.divide(load.weighed_g * 100, load.gross_g) if load.gross_g else None,
                None if load.limit_g is None else Mass(load.limit_g).kilograms,
                None if load.limit_g is None else Mass(load.limit_g).pounds,
                None if load.share is None else load.share * 100,
                "over the limit" if load.share is not None and load.share > 1 else "",
            )
        )
        for load in found
    )
    return Ledger(
        caption="Load by place",
        columns=(
            Column(head="Place", tells=Tells.PLACES, wide=True),
            Column(head="Load", of=Of.FIGURE, places=2, unit="kg", summed=True),
            Column(head="Load", of=Of.FIGURE, places=1, unit="lb", summed=True),
            Column(head="Weighed", of=Of.PERCENT, places=0),
            Column(head="Limit", of=Of.FIGURE, places=1, unit="kg"),
            Column(head="Limit", of=Of.FIGURE, places=1, unit="lb"),
            Column(head="Of limit", of=Of.PERCENT, places=0),
            Column(head="Remark"),
        ),
        groups=(Group(rows=rows),) if rows else (),
        empty="Nothing is held.",
        main=True,
    )
