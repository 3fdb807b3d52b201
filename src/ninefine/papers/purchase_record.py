"""The record of one purchase: what was bought of whom, what it came to, and what became of it afterwards."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from ninefine.book.entries import Attachment, Bought
from ninefine.papers.document import (
    NOTHING,
    Block,
    Code,
    Column,
    Document,
    Group,
    Heading,
    Ledger,
    Notes,
    Of,
    Pair,
    Pairs,
    Prose,
    Row,
    Tells,
)
from ninefine.papers.inventory import About
from ninefine.papers.words import as_of, money, say_much


@dataclass(frozen=True, slots=True, kw_only=True)
class Afterwards:
    """What a later entry says of the purchase or its lots, in one sentence."""

    serial: int
    on: date
    words: str
    tells: Tells = NOTHING


@dataclass(frozen=True, slots=True, kw_only=True)
class Purchase:
    """A purchase as the book has it.

    Attributes:
        serial, digest: the entry's number, and the digest (hexadecimal) that ties it to all entries before it.
        entry: as it stands now, mends counted.
        names: each line's goods in words, by lot.
        basis: what each lot costs by now, its share of other costs counted, credits taken off.
        later: what came afterwards, in order.
        papers: files kept of it.
    """

    serial: int
    digest: str
    entry: Bought
    names: Mapping[str, str]
    basis: Mapping[str, Decimal]
    later: Sequence[Afterwards] = ()
    papers: Sequence[Attachment] = ()


def purchase_record(about: About, bought: Purchase) -> Document:
    """The record."""
    entry, unit = bought.entry, about.currency
    goods = sum((line.price for line in entry.lines), Decimal(0))
    landed = goods + sum(entry.other_costs.values(), Decimal(0))
    blocks: list[Block] = [
        Prose(text=f"Bought {as_of(entry.on)}, entry {bought.serial} of the book.", answer=True),
        Prose(text=f"In all {money(landed, unit)} was paid.", answer=True, tells=Tells.COSTS),
        _terms(entry, unit, goods, landed),
        _goods(bought, unit),
    ]
    if bought.later:
        blocks += [Heading(text="Afterwards"), _later(bought.later)]
    blocks.append(_papers(bought.papers))
    if entry.note:
        blocks.append(Notes(title="Remarks", lines=((entry.note, Tells.NOTES),)))
    words = (
        f"Entry {bought.serial}. Its digest in the book's chain: {bought.digest}. The book shows the same for as "
        "long as this entry and everything before it are unchanged."
    )
    blocks.append(Code(text=f"entry {bought.serial} {bought.digest}", words=words))
    return Document(
        name=f"purchase-{bought.serial}",
        title="Record of a purchase",
        on=about.on,
        book=about.book,
        blocks=tuple(blocks),
    )


def _terms(entry: Bought, unit: str, goods: Decimal, landed: Decimal) -> Pairs:
    def paid(name: str, amount: Decimal, *, strong: bool = False) -> Pair:
        return Pair(name=name, value=amount, of=Of.MONEY, unit=unit, tells=Tells.COSTS, strong=strong)

    pairs = [Pair(name="Seller", value=entry.seller, tells=Tells.SELLERS)] if entry.seller else []
    pairs.append(Pair(name="Day", value=entry.on, of=Of.DATE))
    if entry.paper:
        pairs.append(Pair(name="Receipt", value=entry.paper, tells=Tells.NOTES))
    pairs.append(paid("Goods", goods))
    pairs += [paid(name.capitalize(), amount) for name, amount in entry.other_costs.items()]
    pairs.append(paid("Paid in all", landed, strong=True))
    return Pairs(pairs=tuple(pairs))


def _goods(bought: Purchase, unit: str) -> Ledger:
    rows = tuple(
        Row(
            cells=(
                line.lot,
                bought.names[line.lot],
                say_much(line.amount),
                line.quote,
                line.price,
                bought.basis.get(line.lot),
            )
        )
        for line in bought.entry.lines
    )
    return Ledger(
        caption="What was bought",
        columns=(
            Column(head="Lot"),
            Column(head="Goods", wide=True),
            Column(head="How much"),
            Column(head="Price as said", tells=Tells.COSTS),
            Column(head="Price", of=Of.MONEY, unit=unit, summed=True, tells=Tells.COSTS),
            Column(head="Basis by now", of=Of.MONEY, unit=unit, summed=True, tells=Tells.COSTS),
        ),
        groups=(Group(rows=rows),),
        main=True,
    )


def _later(later: Sequence[Afterwards]) -> Notes:
    return Notes(lines=tuple((f"{one.on.isoformat()}, entry {one.serial}. {one.words}", one.tells) for one in later))


def _papers(papers: Sequence[Attachment]) -> Ledger:
    rows = tuple(Row(cells=(one.name, one.media, one.size, one.sha256[:16])) for one in papers)
    return Ledger(
        caption="Papers kept in the book",
        columns=(
            Column(head="File", wide=True, tells=Tells.NOTES),
            Column(head="Kind", tells=Tells.NOTES),
            Column(head="Size", of=Of.COUNT, unit="bytes", tells=Tells.NOTES),
            Column(head="SHA-256 begins", tells=Tells.NOTES),
        ),
        groups=(Group(rows=rows),) if rows else (),
        empty="None: no photo or receipt is kept of it.",
    )
