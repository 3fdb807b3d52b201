"""Messy spreadsheets: each is brought in exactly right, or refused with line and reason; none is brought in half."""

from collections.abc import Iterator
from datetime import date
from decimal import Decimal

import pytest

from edges.messy import BROUGHT_IN, REFUSED, TODAY, Line, Messy, text
from ninefine.book.entries import Amount, Bought, Listed, Opened, Sold
from ninefine.book.laws import uphold
from ninefine.catalog.catalog import Catalog
from ninefine.catalog.shelf import load_catalog
from ninefine.desk.bring import Look, bring, look_at
from ninefine.desk.kit import Kit
from ninefine.desk.purchase import buy
from ninefine.desk.tables_out import tables
from ninefine.errors import Faults, RangeError
from ninefine.measure.numbers import plain
from ninefine.testing import kit_in_memory


@pytest.fixture(scope="module")
def catalog() -> Catalog:
    return load_catalog()


@pytest.fixture
def kit(catalog: Catalog) -> Kit:
    """A book that holds a hundred dollars of dimes."""
    made = kit_in_memory(today=TODAY, catalog=catalog)
    buy(made, {"on": "2018-01-02", "kind-1": "90% dimes", "amount-1": "100 face", "price-1": "1200", "lot-1": "old"})
    return made


def look(kit: Kit, one: Messy) -> Look:
    return look_at(kit, {"as": one.purpose, **one.form}, one.name, one.data)


def booked(kit: Kit, after: int) -> Iterator[Line]:
    """What the book says of every line that was brought in."""
    for record in kit.journal.records()[after:]:
        entry = record.entry
        if isinstance(entry, Bought):
            (line,) = entry.lines
            costs = sum(entry.other_costs.values(), Decimal(0))
            amount = _amount(line.amount)
            yield entry.on.isoformat(), line.kind, line.issue, *amount, plain(line.price), plain(costs), entry.seller
        elif isinstance(entry, Opened):
            for held in entry.lines:
                day = held.acquired.isoformat() if held.acquired else ""
                cost = "" if held.cost is None else plain(held.cost)
                yield day, held.kind, held.issue, *_amount(held.amount), cost, "0", held.seller


def _amount(amount: Amount) -> tuple[str, str, str]:
    face, grams = amount.face, amount.gross_g
    return (
        "" if amount.count is None else str(amount.count),
        "" if face is None else plain(face),
        "" if grams is None else plain(grams),
    )


@pytest.mark.parametrize("one", BROUGHT_IN, ids=lambda one: one.name)
def test_a_messy_spreadsheet_is_brought_in_exactly(kit: Kit, one: Messy) -> None:
    before = len(kit.journal.records())
    seen = look(kit, one)
    assert seen.faults == ()
    assert [each.line for each in seen.passed_over] == list(one.passed)
    assert len(kit.journal.records()) == before, "looking books nothing"

    bring(kit, {"as": one.purpose, **one.form}, one.name, one.data)

    assert sorted(booked(kit, before)) == sorted(one.lines)
    uphold(kit.journal.records())


@pytest.mark.parametrize("one", REFUSED, ids=lambda one: one.name)
def test_a_spreadsheet_at_fault_is_refused_whole_with_line_and_reason(kit: Kit, one: Messy) -> None:
    before = list(kit.journal.records())

    with pytest.raises(Faults) as caught:
        bring(kit, {"as": one.purpose, **one.form}, one.name, one.data)

    told = [(fault.where, fault.wrong) for fault in caught.value.faults]
    assert [where for where, _ in told] == [where for where, _ in one.faults]
    for (_, wrong), (_, words) in zip(told, one.faults, strict=True):
        assert words in wrong
    assert list(kit.journal.records()) == before


@pytest.mark.parametrize(
    ("name", "said", "day", "face", "cost"),
    [
        ("days that may be either.csv", {"days": "day-month-year"}, "2024-04-03", "10", "230"),
        ("days that may be either.csv", {"days": "month-day-year"}, "2024-03-04", "10", "230"),
        ("decimals that may be either.csv", {"decimals": "point"}, "2024-03-01", "1000", "23400"),
        ("decimals that may be either.csv", {"decimals": "comma"}, "2024-03-01", "1", "23.4"),
    ],
)
def test_what_cannot_be_told_is_brought_in_once_it_is_said(
    kit: Kit, name: str, said: dict[str, str], day: str, face: str, cost: str
) -> None:
    (one,) = [each for each in REFUSED if each.name == name]

    bring(kit, {"as": "purchases", **said}, name, one.data)

    first = next(booked(kit, 1))
    assert (first[0], first[4], first[6]) == (day, face, cost)


def test_dealings_are_told_apart_and_sales_take_the_lots_of_their_day(kit: Kit) -> None:
    """Negative pieces and money out in brackets are ways of writing; first in goes first out, as the book has it."""
    data = text(
        "Date,Buy/Sell,Item,Face,Amount paid,Fees,Dealer",
        "2023-06-01,Sell,90% dimes,-150,3600.00,12.00,Oak",
        "2021-05-04,Buy,90% dimes,100,(2000.00),(5.00),Elm",
        "2024-06-01,Sell,90% dimes,-20,500.00,,Oak",
    )

    stored = bring(kit, {"as": "dealings"}, "both.csv", data)

    kinds = [type(one.entry) for one in stored]
    assert kinds == [Bought, Sold, Sold, Listed]
    first, second = (one.entry for one in stored if isinstance(one.entry, Sold))
    assert [(line.heap.lot, line.amount, line.proceeds) for line in first.lines] == [
        ("old", None, Decimal("2400.00")),
        ("L2", Amount(count=500), Decimal("1200.00")),
    ]
    assert (first.fees, first.rule, first.buyer) == (Decimal("12.00"), "first in, first out", "Oak")
    assert [(line.heap.lot, line.amount) for line in second.lines] == [("L2", Amount(count=200))]
    held = kit.holdings()
    gains = [(each.on, each.basis, each.gain) for each in held.disposals]
    assert gains == [
        (date(2023, 6, 1), Decimal("1200.00"), Decimal("1192.00")),
        (date(2023, 6, 1), Decimal("1002.50"), Decimal("193.50")),
        (date(2024, 6, 1), Decimal("401.00"), Decimal("99.00")),
    ]
    assert held.lots["L2"].heaps[0].face == Decimal(30)
    uphold(kit.journal.records())


def test_a_sale_takes_nothing_that_came_after_it(kit: Kit) -> None:
    data = text(
        "Date,Deed,Item,Face,Price paid",
        "2020-06-01,sold,90% dimes,150,3600.00",
        "2021-05-04,bought,90% dimes,100,2000.00",
    )

    with pytest.raises(Faults, match="holds 100 face; 150 face was asked of it"):
        bring(kit, {"as": "dealings"}, "both.csv", data)
    assert len(kit.journal.records()) == 1


def test_a_sale_brought_in_may_not_undo_a_later_one(kit: Kit) -> None:
    """Most of the dimes were sold in 2025 already: a sale before would leave that one short."""
    bring(kit, {"as": "sales"}, "a.csv", text("Date,Item,Face,Proceeds", "2025-01-02,90% dimes,90,2500.00"))

    with pytest.raises(Faults, match="The book would not hold with these lines: Entry 2"):
        bring(kit, {"as": "sales"}, "b.csv", text("Date,Item,Face,Proceeds", "2024-01-02,90% dimes,20,25.00"))
    assert len(kit.journal.records()) == 3


def test_the_same_list_is_noticed_in_another_format_too(kit: Kit) -> None:
    lines = ("Date,Item,Face,Cost", "2024-03-01,90% dimes,10,230.00")
    bring(kit, {"as": "purchases"}, "a.csv", text(*lines))
    again = text("", *(line.replace(",", ";") for line in lines), "", coding="utf-16")

    with pytest.raises(RangeError, match=r"brought in already: entry 3"):
        bring(kit, {"as": "purchases"}, "b.csv", again)
    assert look_at(kit, {"as": "purchases"}, "b.csv", again).before == 3
    bring(kit, {"as": "purchases", "again": "yes"}, "b.csv", again)
    assert len(list(booked(kit, 1))) == 2


def test_what_was_said_of_columns_is_used_for_the_next_list_of_that_make(kit: Kit) -> None:
    heads = "Dt,Stuff,FV,Price"
    said = {"head-1": "Dt", "col-1": "date", "head-2": "Stuff", "col-2": "kind", "head-3": "Price", "col-3": "each"}
    words = {"word-1": "good ones", "means-1": "10 oz bar", "days": "day-month-year"}
    form = {"as": "purchases", **{k: v.replace("each", "price") for k, v in said.items()}, **words}
    bring(kit, form, "a.csv", text(heads, "03/04/2020,good ones,,250.00").replace(b"FV", b"Qty").replace(b",,", b",1,"))
    entries = len(kit.journal.records())

    later = text("DT,Stuff:,qty,PRICE ", "05/06/2021,good ones,2,600.00")
    seen = look_at(kit, {"as": "purchases"}, "b.csv", later)

    assert seen.faults == ()
    assert seen.remembered
    assert [each.name for each in seen.headings] == ["date", "kind", "pieces", "price"]
    stored = bring(kit, {"as": "purchases"}, "b.csv", later)
    assert next(booked(kit, entries))[:2] == ("2021-06-05", "xag-generic-bar-10oz")
    assert len(stored) == 2, "what was said before is not set down again"


def test_what_an_export_writes_is_read_back_as_the_same_lots(kit: Kit) -> None:
    """The heads of purchases.csv are known, and its figures come to the same costs."""
    buy(kit, {"on": "2024-02-03", "seller": "Elm, Oak", "carriage": "9.95", "place": "A1", "paper": "7",
              "kind-1": "90%", "amount-1": "250 face", "price-1": "23.40x",
              "kind-2": "merc dime 1921-D", "amount-2": "2", "price-2": "95"})  # fmt: skip
    other = kit_in_memory(today=TODAY, catalog=kit.reference)

    bring(other, {"as": "purchases"}, "purchases.csv", tables(kit)["purchases.csv"].encode("utf-8-sig"))

    def lots(one: Kit) -> list[object]:
        return [(lot.name, lot.cost, lot.kind, lot.came, lot.seller, lot.heaps) for lot in one.holdings().lots.values()]

    assert lots(other) == lots(kit)


@pytest.mark.parametrize(
    ("heads", "row"),
    [
        ("Date sold,Item,Qty,Price each,Total,Fees,Net,Buyer", "2024-05-06,90% dimes,100,2.50,250.00,5.00,245.00,Oak"),
        ("Date,Item,Face,Fees,Postage,Net proceeds,Sold to", "2024-05-06,90% dimes,10,3.00,2.00,245.00,Oak"),
        ("Sale date,Coin,FV,Times face,Commission,Customer", "5/6/2024,90% dimes,10,25x,5,Oak"),
        ("Sold on,Item,Pieces,Sold for,Fees,Lot,To", "2024-05-06,90% dimes,100,250.00,5.00,old,Oak"),
    ],
)
def test_a_sale_is_what_it_brought_before_fees_however_it_is_told(kit: Kit, heads: str, row: str) -> None:
    """Net is what is left after fees; a total beside it is what was paid."""
    data = text(heads, row)

    bring(kit, {"as": "sales", "days": "month-day-year"}, "sales.csv", data)

    (sale,) = (record.entry for record in kit.journal.records() if isinstance(record.entry, Sold))
    ((line,),) = (sale.lines,)
    assert (sale.on, sale.buyer, sale.fees) == (date(2024, 5, 6), "Oak", Decimal(5))
    assert (line.heap.lot, line.amount, line.proceeds) == ("old", Amount(count=100), Decimal(250))
    assert sale.rule == ("chosen" if "Lot" in heads else "first in, first out")
    (gone,) = kit.holdings().disposals
    assert (gone.basis, gone.gain) == (Decimal(120), Decimal(125))


def test_in_dealings_a_total_has_costs_on_top_of_purchases_and_off_sales(kit: Kit) -> None:
    data = text(
        "Date,Action,Item,Face,Price,Fees,Total",
        "2023-05-06,buy,90% halves,10,240.00,6.00,246.00",
        "2024-05-06,sell,90% halves,10,300.00,9.00,291.00",
    )

    bring(kit, {"as": "dealings"}, "both.csv", data)

    (gone,) = kit.holdings().disposals
    assert (gone.basis, gone.proceeds, gone.fees) == (Decimal(246), Decimal(300), Decimal(9))


def test_money_far_from_melt_is_looked_at_twice_and_refused_for_nothing(kit: Kit) -> None:
    """Silver averaged 24.267 in May 2023 (World Bank, packaged): 71.5 ozt of $100 face melt at 1,735."""
    data = text(
        "Date,Item,Qty,Face,Cost",
        "2023-05-06,90% dimes,,100,2300.00",
        "2023-05-07,90% dimes,,100,23.00",
        "2023-05-08,silver eagle,1,,620.00",
        "2023-05-09,mercury dime 1921-D,1,,95.00",
    )

    seen = look_at(kit, {"as": "purchases"}, "a.csv", data)

    assert [each.line for each in seen.doubts] == [3, 4, 5]
    assert "1% of melt" in seen.doubts[0].sentence
    assert "is it the money for all of them" in seen.doubts[1].sentence.lower()
    assert seen.ready
