"""The pocket card: over a ladder of spots, the most that one may pay and still sell to each way out without loss.

A price on it is what an exit pays for one more unit: its bid less its per cents and its charge by weight. Costs of the
whole trip (parcels, travel, flat costs) are not in it, and the card says so. Prices are rounded down, never up.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import ROUND_DOWN, ROUND_HALF_UP, Decimal
from fractions import Fraction

from ninefine.errors import RangeError, UnreadableError
from ninefine.market.content import Content, CountedBy
from ninefine.market.exits import Exit
from ninefine.market.goods import Goods
from ninefine.market.paid import bid_on
from ninefine.market.quote import exact_decimal, per_unit
from ninefine.measure.numbers import EXACT, plain, read_positive
from ninefine.papers.document import (
    NOTHING,
    Beside,
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
from ninefine.papers.words import stamp_lines

#: What a card has room for.
MOST_GOODS, MOST_EXITS, MOST_RUNGS = 6, 4, 25
#: Rungs above and below the middle, and about how far apart they are, as a share of spot.
_RUNGS_EACH_WAY, _APART = 5, Decimal("0.025")
_LADDER = re.compile(r"\s*(?P<low>[\d.,]+)\s*(?:to|-)\s*(?P<high>[\d.,]+)\s*(?:by|,)\s*(?P<step>[\d.,]+)\s*", re.ASCII)

_HOW = (
    "Find spot in the first column. At that price or less, all costs counted, it could be sold that day to the way out "
    "above the column without loss. Over it, walk away."
)
_BEFORE = (
    "After per cents and charges by weight, before what a whole trip costs: parcels, travel, flat fees. Melt is the "
    "metal by the trade's count, and nobody need pay it."
)
_WEIGH = "Weigh worn coin bought by face: 2% under its weight is worth 2% less than the card says."


@dataclass(frozen=True, slots=True, kw_only=True)
class Bidder:
    """A way out, and the day on which its bids were set down."""

    exit: Exit
    on: date | None = None


def walk_away(way: Exit, content: Content, spot: Decimal) -> Decimal | None:
    """The most to pay for one unit of some goods so as to sell it to an exit at no loss; none where it buys no such.

    Rounded down to the cent (a gram's price to a tenth of one); below zero where charges eat the bid.
    """
    unit = Goods(kind="", content=content, count=1, face=Decimal(1), gross_g=_gross_of_unit(content))
    quote = bid_on(way, unit)
    if quote is None:
        return None
    try:
        gross = per_unit(quote, unit.terms(spot))
    except RangeError:  # a bid that these goods cannot be priced by, such as by the face for bars
        return None
    kept = gross * (1 - Fraction(way.fee_pct) / 100)
    if way.payable_pct is not None:
        kept -= gross * (100 - Fraction(way.payable_pct)) / 100
    if way.treatment is not None:
        kept -= Fraction(way.treatment.per_gross_ozt) * content.trade_ozt / content.fineness
    return exact_decimal(kept).quantize(Decimal(1).scaleb(-_places(content)), rounding=ROUND_DOWN)


def _gross_of_unit(content: Content) -> Decimal | None:
    """A weight for goods counted by the gram alone; what is counted by face or piece is not weighed at a table."""
    return Decimal(1) if content.counted_by is CountedBy.GRAM else None


def _places(content: Content) -> int:
    return 3 if content.counted_by is CountedBy.GRAM else 2


def ladder(spot: Decimal) -> tuple[Decimal, ...]:
    """Eleven round spots with today's in the middle, each a few per cent from the next."""
    step = _round_step(spot * _APART)
    middle = (spot / step).quantize(Decimal(1), rounding=ROUND_HALF_UP) * step
    rungs = (middle + step * place for place in range(-_RUNGS_EACH_WAY, _RUNGS_EACH_WAY + 1))
    return tuple(rung for rung in rungs if rung > 0)


def _round_step(about: Decimal) -> Decimal:
    """The step of 1, 2 or 5 times a power of ten that lies nearest."""
    power = Decimal(1).scaleb(about.adjusted())
    return min((power * digit for digit in (1, 2, 5, 10)), key=lambda step: abs(step - about))


def read_ladder(text: str) -> tuple[Decimal, ...]:
    """Read a ladder of spots: `60 to 80 by 2`.

    Raises:
        UnreadableError: not that.
        RangeError: it goes down, or has more rungs than a card holds.
    """
    match = _LADDER.fullmatch(text.lower().replace("$", ""))
    if match is None:
        raise UnreadableError(
            f"{text.strip()[:40]!r} is not a ladder of spots.", instead=("60 to 80 by 2", "20-40 by 1")
        )
    low, high, step = (read_positive(match[name], what="spot") for name in ("low", "high", "step"))
    rungs = int((high - low) / step) + 1
    if not 1 < rungs <= MOST_RUNGS:
        raise RangeError(
            f"From {plain(low)} to {plain(high)} by {plain(step)} is {max(rungs, 0)} rungs.",
            expected=f"A card holds 2 to {MOST_RUNGS}, from the lowest up.",
        )
    return tuple(low + step * place for place in range(rungs))


def pocket_card(
    about: About, goods: Sequence[Content], bidders: Sequence[Bidder], spots: Sequence[Decimal]
) -> Document:
    """The card: a ledger for each of the goods, a row for each spot, a column for each way out that buys them."""
    ledgers = tuple(
        ledger for content in goods[:MOST_GOODS] if (ledger := _ledger(about, content, bidders[:MOST_EXITS], spots))
    )
    return Document(
        name="pocket-card",
        title="Pocket card: the most to pay",
        on=about.on,
        book=about.book,
        small=True,
        blocks=(
            Prose(
                text=_HOW,
                answer=True,
            ),
            Beside(ledgers=ledgers)
            if ledgers
            else Prose(text="No way out has a bid for any of these. Set one down first, with what it pays."),
            _notes(about, bidders[:MOST_EXITS]),
        ),
    )


def _ledger(about: About, content: Content, bidders: Sequence[Bidder], spots: Sequence[Decimal]) -> Ledger | None:
    buyers = [one for one in bidders if walk_away(one.exit, content, spots[0]) is not None]
    if not buyers:
        return None
    places = _places(content)
    melt = [exact_decimal(content.trade_ozt * Fraction(spot)) for spot in spots]
    rows = tuple(
        Row(cells=(spot, metal, *(walk_away(one.exit, content, spot) for one in buyers)))
        for spot, metal in zip(spots, melt, strict=True)
    )
    return Ledger(
        caption=f"{content.name}, {_unit_words(content)}",
        columns=(
            Column(head="Spot", of=Of.MONEY, unit=f"{about.currency} an ozt"),
            Column(head="Melt", of=Of.MONEY, places=places, unit="trade"),
            *(Column(head=one.exit.name, of=Of.MONEY, places=places, tells=Tells.SELLERS) for one in buyers),
        ),
        groups=(Group(rows=rows),),
        main=False,
    )


def _unit_words(content: Content) -> str:
    words = {CountedBy.FACE: "a face dollar", CountedBy.PIECE: "each", CountedBy.GRAM: "a gram"}[content.counted_by]
    if content.counted_by is CountedBy.FACE:
        ozt = EXACT.divide(Decimal(content.trade_ozt.numerator), Decimal(content.trade_ozt.denominator))
        return f"{words} ({plain(ozt.quantize(Decimal('0.0001')))} ozt trade)"
    return words


def _notes(about: About, bidders: Sequence[Bidder]) -> Notes:
    lines = [(_bids(one), Tells.SELLERS) for one in bidders]
    lines += stamp_lines([stamp for stamp in about.stamps if stamp.metal == "XAG"], about.currency)
    lines += [(_BEFORE, NOTHING), (_WEIGH, NOTHING)]
    return Notes(title="Bids that the card rests on", lines=tuple(lines))


def _bids(one: Bidder) -> str:
    bids = "; ".join(f"{bid.what} at {bid.said or bid.quote}" for bid in one.exit.bids)
    said = f", set down on {one.on.isoformat()}" if one.on else ""
    return f"{one.exit.name}: {bids}{_fees(one.exit)}{said}."


def _fees(way: Exit) -> str:
    parts = []
    if way.fee_pct:
        parts.append(f"less {plain(way.fee_pct)}%")
    if way.payable_pct is not None:
        parts.append(f"{plain(way.payable_pct)}% of assayed silver paid")
    if way.treatment is not None:
        parts.append(f"less {plain(way.treatment.per_gross_ozt)} a gross ozt")
    return "".join(f", {part}" for part in parts)
