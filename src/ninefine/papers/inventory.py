"""The inventory for an insurer: what there is by location code, with what it would cost to have again, when and how."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import TypeVar

from ninefine.catalog.kinds import Basis
from ninefine.market.asks import Ask
from ninefine.market.prices import Stamp
from ninefine.papers.document import (
    NOTHING,
    Block,
    Column,
    Document,
    Group,
    Ledger,
    Notes,
    Of,
    Pair,
    Pairs,
    Prose,
    Row,
    Tells,
)
from ninefine.papers.settings import Cover, Place
from ninefine.papers.valued import Line, Valued
from ninefine.papers.words import PLACE_UNKNOWN, as_of, metal_word, money, ounces_words, stamp_lines
from ninefine.papers.written import day_words

T = TypeVar("T")
#: Gross weights are shown to a tenth of a gram.
GRAM_PLACES = 1
_REPLACED = (
    "Replacement value: what each line would cost at the ask that fits it most narrowly, before carriage and tax."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class LotPapers:
    """What is kept of a lot: how many photos, its receipts, and remarks that speak of serials."""

    photos: int = 0
    receipts: tuple[str, ...] = ()
    serials: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class About:
    """What papers of what is held share: whose book, which day, in which currency, at which prices."""

    book: str
    on: date
    currency: str
    stamps: tuple[Stamp, ...] = ()


def inventory(
    about: About,
    held: Valued,
    *,
    kept: Mapping[str, LotPapers] | None = None,
    covers: Sequence[Cover] = (),
    awaited: int = 0,
) -> Document:
    """The inventory.

    Args:
        about: whose, when, at which prices.
        held: what is held, valued.
        kept: photos, receipts and serials by lot.
        covers: insurances and their limits.
        awaited: how many lots are paid for and on their way; they are not listed.
    """
    blocks: list[Block] = [*_answer(about, held), _summary(about, held, kept or {}, covers)]
    several = len(held.metals) > 1
    for metal in held.metals:
        lines = [line for line in held.lines if line.pile.kind.metal == metal]
        caption = f"What is kept, by location code{f': {metal_word(metal)}' if several else ''}"
        blocks.append(_ledger(about, lines, kept or {}, caption))
    blocks.append(_asks(about, held))
    blocks.append(_method(about, held, awaited))
    return Document(name="inventory", title="Inventory of silver", on=about.on, book=about.book, blocks=tuple(blocks))


def _answer(about: About, held: Valued) -> list[Prose]:
    words = f"{ounces_words(held.lines).capitalize()}, by trade count, in {len(held.lines)} lines."
    parts = [Prose(text=words, answer=True)]
    if any(line.replacement is not None for line in held.lines):
        cost = money(held.replacement, about.currency)
        without = sum(1 for line in held.lines if line.replacement is None)
        but = f", {without} line{'s' if without > 1 else ''} without an ask not counted" if without else ""
        words = f"To have it again would have cost {cost} {as_of(about.on)}, at the asks listed below{but}."
        parts.append(Prose(text=words, answer=True, tells=Tells.VALUES))
    return parts


def _summary(about: About, held: Valued, kept: Mapping[str, LotPapers], covers: Sequence[Cover]) -> Pairs:
    unit = about.currency
    pairs = [
        Pair(name="Replacement value", value=held.replacement, of=Of.MONEY, unit=unit, tells=Tells.VALUES, strong=True),
        *(
            Pair(name=f"Cover: {cover.name}", value=cover.limit, of=Of.MONEY, unit=unit, tells=Tells.VALUES)
            for cover in covers
        ),
    ]
    if covers:
        gap = held.replacement - sum((cover.limit for cover in covers), Decimal(0))
        name = "Not covered" if gap > 0 else "Cover to spare"
        pairs.append(Pair(name=name, value=abs(gap), of=Of.MONEY, unit=unit, tells=Tells.VALUES, strong=gap > 0))
    photos = sum(papers.photos for papers in kept.values())
    pairs.append(Pair(name="Photos kept", value=photos, of=Of.COUNT))
    return Pairs(pairs=tuple(pairs))


def _ledger(about: About, lines: Sequence[Line], kept: Mapping[str, LotPapers], caption: str) -> Ledger:
    return Ledger(
        caption=caption,
        groups_are="Place",
        named_by=Tells.PLACES,
        main=True,
        columns=(
            Column(head="Goods", wide=True),
            Column(head="Pieces", of=Of.COUNT),
            Column(head="Face", of=Of.FIGURE),
            Column(head="Gross", of=Of.FIGURE, places=GRAM_PLACES, unit="g", summed=True),
            Column(head="By"),
            Column(head="Fineness", of=Of.FIGURE, places=3),
            Column(head="Fine", of=Of.OUNCE, basis=Basis.TRADE, summed=True),
            Column(head="Replacement", of=Of.MONEY, unit=about.currency, summed=True, tells=Tells.VALUES),
        ),
        groups=by_place(lines, lambda line: line.pile.place, lambda line: _row(line, kept)),
        empty="Nothing is held.",
    )


def by_place(lines: Iterable[T], place_of: Callable[[T], str], row_of: Callable[[T], Row]) -> tuple[Group, ...]:
    """Rows in groups by location code."""
    groups: dict[str, list[Row]] = {}
    for line in lines:
        groups.setdefault(place_of(line) or PLACE_UNKNOWN, []).append(row_of(line))
    return tuple(Group(name=place, rows=tuple(rows)) for place, rows in groups.items())


def _row(line: Line, kept: Mapping[str, LotPapers]) -> Row:
    pile = line.pile
    return Row(
        cells=(
            line.name,
            pile.count,
            pile.face,
            line.ounces.gross_g,
            "scale" if line.ounces.gross_weighed else "as struck",
            pile.kind.fineness,
            line.ozt,
            line.replacement,
        ),
        notes=_kept_words([kept[lot] for lot in line.lots if lot in kept]),
    )


def _kept_words(papers: Sequence[LotPapers]) -> tuple[tuple[str, Tells], ...]:
    photos = sum(one.photos for one in papers)
    receipts = [receipt for one in papers for receipt in one.receipts]
    words: list[tuple[str, Tells]] = []
    if photos:
        words.append((f"{photos} photo{'s' if photos > 1 else ''} of its lot{'s' if len(papers) > 1 else ''}", NOTHING))
    if receipts:
        words.append((f"receipt{'s' if len(receipts) > 1 else ''} {', '.join(receipts)}", Tells.NOTES))
    words += [(serial, Tells.NOTES) for one in papers for serial in one.serials]
    return tuple(words)


def _asks(about: About, held: Valued) -> Ledger:
    """Every ask that a value rests on: what, at what, whose, when."""
    used: dict[Ask, Decimal] = {}
    for line in held.lines:
        if line.ask is not None and line.replacement is not None:
            used[line.ask] = used.get(line.ask, Decimal(0)) + line.replacement
    rows = tuple(
        Row(cells=(ask.what, ask.said or str(ask.quote), ask.whose, ask.on, cost)) for ask, cost in used.items()
    )
    return Ledger(
        caption="How the replacement value was found",
        columns=(
            Column(head="For", wide=True, tells=Tells.VALUES),
            Column(head="Asked", tells=Tells.VALUES),
            Column(head="By", tells=Tells.SELLERS),
            Column(head="Read on", of=Of.DATE, tells=Tells.VALUES),
            Column(head="Comes to", of=Of.MONEY, unit=about.currency, summed=True, tells=Tells.VALUES),
        ),
        groups=(Group(rows=rows),) if rows else (),
        tells=Tells.VALUES,
        empty="No ask has been set down, so there is no replacement value.",
    )


def _method(about: About, held: Valued, awaited: int) -> Notes:
    weighed = sum(1 for line in held.lines if line.ounces.gross_weighed)
    how = f"Gross weight is the scale's for {weighed} of {len(held.lines)} lines, else as struck by specification."
    lines: list[tuple[str, Tells]] = [
        (_REPLACED, Tells.VALUES),
        *stamp_lines(about.stamps, about.currency),
        (f"{how} Fine ounces are troy, by the trade's count of worn coin.", NOTHING),
        ("Places are codes. Their key is another paper, and is kept elsewhere.", Tells.PLACES),
    ]
    missing = [line for line in held.lines if line.replacement is None]
    if missing:
        names = ", ".join(dict.fromkeys(line.name for line in missing))
        lines.append((f"Without an ask, and in no replacement value: {names}.", Tells.VALUES))
    if held.unknown:
        lines.append(
            (f"{len(held.unknown)} heaps are of kinds that the catalog does not hold and are not listed.", NOTHING)
        )
    if awaited:
        lines.append((f"Paid for, on their way and not listed: {awaited} lot{'s' if awaited > 1 else ''}.", NOTHING))
    return Notes(title="Method", lines=tuple(lines))


def place_key(about: About, places: Sequence[Place]) -> Document:
    """The key to the location codes: to be kept apart from every list that uses them."""
    ledger = Ledger(
        caption="Location codes",
        columns=(
            Column(head="Code", tells=Tells.PLACES),
            Column(head="Where that is", wide=True, tells=Tells.PLACES),
            Column(head="Remarks", tells=Tells.NOTES),
        ),
        groups=(Group(rows=tuple(Row(cells=(one.code, one.where, one.note)) for one in places)),),
        empty="No place has been set down.",
        tells=Tells.PLACES,
        main=True,
    )
    words = (
        "Keep this page where no list of the silver lies: with a person you trust, or at a bank. "
        "Whoever has both has the map."
    )
    said = f"Codes as of {day_words(about.on)}."
    return Document(
        name="key",
        title="Key to the location codes",
        on=about.on,
        book=about.book,
        blocks=(Prose(text=words, answer=True), ledger, Notes(lines=((said, NOTHING),))),
    )
