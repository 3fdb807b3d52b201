"""The letter for the family: what there is and where, by code; three values; what not to melt; whom to ask."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from ninefine.catalog.kinds import Basis
from ninefine.market.exits import Exit
from ninefine.papers.document import (
    NOTHING,
    ZERO,
    Block,
    Column,
    Document,
    Group,
    Heading,
    Ledger,
    Notes,
    Of,
    Pair,
    Pairs,
    Picture,
    Prose,
    Row,
    Tells,
)
from ninefine.papers.inventory import About, by_place
from ninefine.papers.settings import Person
from ninefine.papers.valued import Line, Valued
from ninefine.papers.words import PLACE_UNKNOWN, metal_word, money, ounces_words, say_much, stamp_lines

_THREE = (
    "Three values, because there is no single one. Melt is the metal at today's price, which nobody need pay. A quick "
    "sale is what buyers bid today, after what they take off. Replacement is what sellers ask today. Each dates from "
    "the day at the head of this page: ask for fresh prices before you sell."
)
_CODES = "Places are codes. The key to them is a page of its own, kept elsewhere on purpose."
_NOTHING_APART = "Nothing is known to be worth more than its metal. That proves nothing: have old dates looked at."
_CAUTIONS = (
    "Do not clean anything: cleaning takes off what a collector pays for.",
    "Have every heap counted and weighed before your eyes, and let nothing leave the house against a promise.",
    "Ask two buyers at the least, on the same day, and let each say its price first.",
    "Silver dollars, gold and the pieces listed below are priced by the piece, not by the pound.",
    "What is owed in tax goes by what was paid and when, which the purchase records say; ask a licensed preparer.",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Help:
    """Whom to ask, and who buys."""

    people: Sequence[Person] = ()
    exits: Sequence[Exit] = ()


def letter(about: About, held: Valued, *, help_from: Help, share: Picture | None = None) -> Document:
    """The letter.

    Args:
        about: whose, when, at which prices.
        held: what is held, valued.
        help_from: whom to ask, and who buys.
        share: a drawing of the shares by form.
    """
    apart = any(line.mark.why for line in held.lines)
    blocks: list[Block] = [
        Prose(text=f"There are {ounces_words(held.lines)} here, counted as the trade counts worn coin.", answer=True),
        _values(about, held),
        Prose(text=_THREE, tells=Tells.VALUES),
        Heading(text="Before anything leaves the house"),
        Notes(lines=tuple((words, NOTHING) for words in _CAUTIONS)),
        Heading(text="Whom to ask"),
        _people(help_from.people),
        _buyers(help_from.exits),
        Heading(text="Do not melt, and do not sell by weight"),
        _apart(held) if apart else Notes(lines=((_NOTHING_APART, NOTHING),)),
        Heading(text="What there is, and where"),
        Prose(text=_CODES, tells=Tells.PLACES),
        *([share] if share is not None else []),
        *_lines(about, held),
        _whence(about, held),
    ]
    return Document(name="letter", title="For the family", on=about.on, book=about.book, blocks=tuple(blocks))


def _values(about: About, held: Valued) -> Pairs:
    three = (
        ("Melt", held.melt, any(line.melt is not None for line in held.lines)),
        ("Quick sale", held.quick, any(line.quick is not None for line in held.lines)),
        ("Replacement", held.replacement, any(line.replacement is not None for line in held.lines)),
    )
    return Pairs(
        pairs=tuple(
            Pair(
                name=name,
                value=amount if known else None,
                of=Of.MONEY,
                unit=about.currency,
                tells=Tells.VALUES,
                strong=True,
            )
            for name, amount, known in three
        )
    )


def _lines(about: About, held: Valued) -> list[Ledger]:
    several = len(held.metals) > 1
    return [
        _ledger(
            about,
            [line for line in held.lines if line.pile.kind.metal == metal],
            metal_word(metal).capitalize() if several else "What there is",
        )
        for metal in held.metals
    ]


def _ledger(about: About, lines: Sequence[Line], caption: str) -> Ledger:
    unit = about.currency
    return Ledger(
        caption=caption,
        groups_are="Place",
        named_by=Tells.PLACES,
        main=True,
        columns=(
            Column(head="Goods", wide=True),
            Column(head="How much"),
            Column(head="Fine", of=Of.OUNCE, basis=Basis.TRADE, places=2, summed=True),
            Column(head="Melt", of=Of.MONEY, unit=unit, summed=True, tells=Tells.VALUES),
            Column(head="Quick sale", of=Of.MONEY, unit=unit, summed=True, tells=Tells.VALUES),
            Column(head="to", tells=Tells.SELLERS | Tells.VALUES),
            Column(head="Replacement", of=Of.MONEY, unit=unit, summed=True, tells=Tells.VALUES),
        ),
        groups=by_place(_together(lines), lambda ones: ones[0].pile.place, _row),
        empty="Nothing is held.",
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Much:
    """An amount summed; what is not known of any part is not known of the whole."""

    count: int | None
    face: Decimal | None
    gross_g: Decimal | None


def _together(lines: Sequence[Line]) -> list[list[Line]]:
    """Lines of the same goods at the same place for the same buyer, whether weighed or not: one row of the letter."""
    groups: dict[tuple[str, str, str, str], list[Line]] = {}
    for line in lines:
        buyer = "" if line.quick is None else line.quick.exit
        groups.setdefault((line.pile.place, line.name, line.mark.why, buyer), []).append(line)
    return list(groups.values())


def _much(lines: Sequence[Line]) -> str:
    counts = [line.pile.count for line in lines]
    faces = [line.pile.face for line in lines]
    grams = [line.pile.gross_g for line in lines]
    return say_much(
        _Much(
            count=None if None in counts else sum(count or 0 for count in counts),
            face=_sum(faces),
            gross_g=_sum(grams),
        )
    )


def _sum(parts: Sequence[Decimal | None]) -> Decimal | None:
    return None if None in parts else sum((part or ZERO for part in parts), ZERO)


def _row(lines: Sequence[Line]) -> Row:
    first = lines[0]
    return Row(
        cells=(
            first.name,
            _much(lines),
            sum((line.ozt for line in lines), ZERO),
            _sum([line.melt for line in lines]),
            _sum([None if line.quick is None else line.quick.net for line in lines]),
            "no bid" if first.quick is None else first.quick.exit,
            _sum([line.replacement for line in lines]),
        ),
        notes=(("not to be melted: see above", NOTHING),) if first.mark.why else (),
    )


def _apart(held: Valued) -> Ledger:
    rows = tuple(
        Row(
            cells=(
                line.name,
                say_much(line.pile),
                line.pile.place or PLACE_UNKNOWN,
                f"{line.mark.why[:1].upper()}{line.mark.why[1:]}",
            )
        )
        for line in held.lines
        if line.mark.why
    )
    return Ledger(
        caption="To be looked at piece by piece, by someone who knows them",
        columns=(
            Column(head="Goods"),
            Column(head="How much"),
            Column(head="Place", tells=Tells.PLACES),
            Column(head="Why", wide=True),
        ),
        groups=(Group(rows=rows),),
    )


def _people(people: Sequence[Person]) -> Ledger:
    rows = tuple(Row(cells=(one.name, one.about, one.reach, one.note)) for one in people)
    return Ledger(
        caption="People",
        columns=tuple(
            Column(head=head, tells=Tells.PEOPLE, wide=head == "Remarks")
            for head in ("Name", "Ask about", "Reach", "Remarks")
        ),
        groups=(Group(rows=rows),) if rows else (),
        empty="Nobody has been set down.",
    )


def _buyers(exits: Sequence[Exit]) -> Ledger:
    rows = tuple(
        Row(
            cells=(
                way.name,
                "; ".join(f"{bid.what} at {bid.said or bid.quote}" for bid in way.bids),
                way.days,
                way.note,
            )
        )
        for way in exits
    )
    return Ledger(
        caption="Who buys, and what they last bid",
        columns=(
            Column(head="Name", tells=Tells.SELLERS),
            Column(head="Bids", wide=True, tells=Tells.SELLERS | Tells.VALUES),
            Column(head="Pays within", of=Of.COUNT, unit="days", tells=Tells.SELLERS),
            Column(head="Remarks", wide=True, tells=Tells.SELLERS),
        ),
        groups=(Group(rows=rows),) if rows else (),
        empty="No way out has been set down.",
    )


def _whence(about: About, held: Valued) -> Notes:
    lines: list[tuple[str, Tells]] = list(stamp_lines(about.stamps, about.currency))
    for paid in held.settled:
        off = f", {money(paid.taken_off, about.currency)} of fees and costs taken off" if paid.taken_off else ""
        brings = f"{money(paid.net, about.currency)}{off}, for its {metal_word(paid.sold[0].content.metal)}"
        said = (f"Quick sale to {paid.exit.name}: {brings}.", *paid.cautions)
        lines += [(words, Tells.VALUES | Tells.SELLERS) for words in said]
    lines += [
        (f"No {word}, and so in no such total: {', '.join(names)}.", Tells.VALUES)
        for word, names in (
            ("bid", list(dict.fromkeys(line.name for line in held.lines if line.quick is None))),
            ("ask", list(dict.fromkeys(line.name for line in held.lines if line.replacement is None))),
        )
        if names
    ]
    return Notes(title="Where the figures come from", lines=tuple(lines))
