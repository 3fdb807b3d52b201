"""Silver that left otherwise than sold, by form: swapped, lost, refined."""

from collections.abc import Mapping, Sequence

from ninefine.book.entries import Refined
from ninefine.catalog.kinds import Basis
from ninefine.desk.kit import Kit
from ninefine.desk.refining import FEES, Settlement, read_settlement
from ninefine.desk.went import WHY, read_loss, read_swap
from ninefine.web.ledger import Cell, Column, Ledger, Of, Row, Weight
from ninefine.web.pages.entry_form import EntryForm, routes_of
from ninefine.web.visit import Visit


def _settled(kit: Kit, form: Mapping[str, str]) -> Refined:
    return read_settlement(kit, form).entry


def _statement(visit: Visit, asked: Mapping[str, str]) -> Sequence[Ledger]:
    """The settlement statement reckoned again, and its ounces beside one's own count."""
    found = read_settlement(visit.kit, asked)
    return _ounces(found), _money(visit, found)


def _ounces(found: Settlement) -> Ledger:
    rows = [
        Row(cells={"what": "Sent, as the trade counts it", "ozt": Cell(value=found.trade_ozt, basis=Basis.TRADE)}),
        Row(cells={"what": "Sent, by your own scale", "ozt": Cell(value=found.scale_ozt, basis=Basis.SCALE)}),
        Row(
            cells={
                "what": "Found by the refiner",
                "ozt": Cell(value=found.found_ozt, basis=Basis.SCALE),
                "off": None if found.from_trade is None else found.from_trade * 100,
            },
            note="his weight and his assay",
        ),
        Row(cells={"what": "Of that paid for", "ozt": Cell(value=found.payable_ozt, basis=Basis.SCALE)}),
    ]
    return Ledger(
        caption="Fine ounces sent, found and paid for",
        columns=(
            Column(key="what", head="What"),
            Column(key="ozt", head="Fine silver", of=Of.OUNCE),
            Column(key="off", head="Off the trade's count", of=Of.PERCENT, signed=True),
        ),
        rows=rows,
    )


def _money(visit: Visit, found: Settlement) -> Ledger:
    unit = visit.kit.journal.currency
    rows = [
        Row(cells={"what": "Proceeds, as the statement says", "sum": found.entry.proceeds}),
        Row(cells={"what": "Its own figures reckoned again", "sum": found.reckoned}, weight=Weight.QUIET),
        *(Row(cells={"what": f"Less {name}", "sum": -amount}) for name, amount in found.entry.fees.items()),
        Row(cells={"what": "Net", "sum": found.net}, weight=Weight.TOTAL),
    ]
    if found.off:
        rows.insert(
            2,
            Row(
                cells={"what": "The statement is off by", "sum": found.off},
                note="ask the refiner before you sign it off",
                weight=Weight.LOOK,
            ),
        )
    return Ledger(
        caption="The statement, reckoned again",
        columns=(Column(key="what", head="What"), Column(key="sum", head="Sum", of=Of.MONEY, unit=unit)),
        rows=rows,
    )


SWAPPED = EntryForm(
    name="swap",
    title="A swap",
    words="What went counts for money's worth, what came costs the same; the two sides and the cash must balance.",
    read=read_swap,
    stems=("kind", "amount", "value", "lot"),
    heaps=("out", "for"),
)
LOST = EntryForm(
    name="loss",
    title="Lost, stolen, destroyed or given away",
    words="It leaves the book and was not sold: it stands apart in the year's gains, and in no total.",
    read=read_loss,
    heaps=("amount", "value", "paid"),
    coming=True,
    more=lambda _: {"whys": [(why, why) for why in WHY]},
)
REFINED = EntryForm(
    name="refined",
    title="A refiner's settlement",
    words="As the statement has it; its figures are reckoned again, and its ounces held against your count.",
    read=_settled,
    heaps=("amount",),
    more=lambda _: {"fees": FEES},
    beside=_statement,
)
FORMS = (SWAPPED, LOST, REFINED)

routes = [route for form in FORMS for route in routes_of(form)]
