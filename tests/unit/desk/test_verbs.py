"""The desk's verbs over a book in memory: each reads a form, books one entry, or refuses and books nothing."""

from datetime import date
from decimal import Decimal

import pytest

from ninefine.book.entries import Bought, Sorted
from ninefine.desk import arrivals, purchase, records, sorting, tables
from ninefine.desk.describe import describe
from ninefine.desk.goods import read_named, split_line
from ninefine.desk.heaps import heap_name, read_heap
from ninefine.desk.holdings import lot_line, lot_lines, summary
from ninefine.desk.journal import journal
from ninefine.desk.kit import Kit
from ninefine.errors import BookError, Faults, NeverStruckError, NotEnoughError, NotFoundError, UnreadableError
from ninefine.testing import kit_in_memory

HALVES = {"amount-1": "100 face", "kind-1": "90% halves", "price-1": "24.60x"}


@pytest.fixture
def kit() -> Kit:
    return kit_in_memory(today=date(2024, 6, 1))


def buy(kit: Kit, **more: str) -> None:
    purchase.buy(kit, {"on": "2024-03-05", **HALVES, **more})


def test_a_purchase_books_lots_with_their_costs(kit: Kit) -> None:
    stored = purchase.buy(
        kit,
        {"on": "2024-03-05", "seller": "the Tuesday shop", "carriage": "9.95", "discount": "5", **HALVES}
        | {"amount-2": "10", "kind-2": "1 oz round", "price-2": "341.00"},
    )

    assert isinstance(stored.entry, Bought)
    held = kit.holdings()
    assert list(held.lots) == ["L1", "L2"]
    assert held.lots["L1"].cost + held.lots["L2"].cost == Decimal("2460.00") + Decimal("341.00") + Decimal("4.95")
    assert held.lots["L1"].heaps[0].count == 200
    assert "24.60x" in describe(stored.entry, kit.catalog())


def test_every_fault_of_a_purchase_is_told_at_once_and_nothing_is_booked(kit: Kit) -> None:
    with pytest.raises(Faults) as caught:
        purchase.buy(
            kit,
            {"on": "5 March", "carriage": "-3", "amount-1": "ten", "kind-1": "90% halves", "price-1": "24.60x"}
            | {"amount-2": "10", "kind-2": "moon dust", "price-2": "1"},
        )

    assert {fault.where for fault in caught.value.faults} == {"on", "carriage", "amount-1", "kind-2"}
    assert not kit.journal.records()


def test_a_purchase_needs_goods_and_cannot_lie_ahead(kit: Kit) -> None:
    with pytest.raises(Faults, match="at least one line"):
        purchase.buy(kit, {"on": "2024-03-05"})
    with pytest.raises(Faults, match="not come yet"):
        purchase.buy(kit, {"on": "2024-06-02", **HALVES})


def test_a_quote_struck_on_spot_takes_the_price_of_the_day(kit: Kit) -> None:
    """The mark of that day, over the packaged average."""
    records.price(kit, {"on": "2024-03-05", "per_ozt": "23.00", "whose": "the shop's screen"})

    purchase.buy(kit, {"on": "2024-03-05", "amount-1": "10", "kind-1": "1 oz round", "price-1": "spot+2.10"})

    assert kit.holdings().lots["L1"].cost == Decimal("251.00")


def test_a_parcel_is_awaited_counted_and_weighed(kit: Kit) -> None:
    buy(kit, arrived="no")
    (parcel,) = arrivals.parcels(kit)
    assert parcel.days == 88
    with pytest.raises(BookError, match="on its way"):
        sorting.begin(kit, "L1")

    arrivals.receive(kit, {"on": "2024-03-12", "lot-1": "L1", "counted-1": "99 face", "place": "A1", "claim": "24.60"})
    arrivals.weigh(kit, {"on": "2024-03-12", "heap-1": "L1", "weight-1": "2465 g", "readability": "0.1 g"})

    assert not arrivals.parcels(kit)
    lot = kit.holdings().lots["L1"]
    assert (lot.heaps[0].face, lot.heaps[0].place, lot.claim) == (Decimal(99), "A1", Decimal("24.60"))
    assert arrivals.short_by(lot.ordered, lot.heaps[0].amount) == 1
    (wear,) = arrivals.wears(kit)
    assert wear.nominal_g == Decimal(2475)
    assert round(wear.from_spec * 100, 3) == Decimal("-0.404")

    arrivals.credit(kit, {"on": "2024-03-20", "lots": "L1", "amount": "24.60"})
    assert kit.holdings().lots["L1"].cost == Decimal("2435.40")
    assert kit.holdings().lots["L1"].claim == 0


def test_a_sorting_keeps_date_and_cost_and_conserves_face(kit: Kit) -> None:
    purchase.buy(kit, {"on": "2024-03-05", "amount-1": "250 face", "kind-1": "90%", "price-1": "23.40x", "place": "A1"})

    stored = sorting.sort(
        kit,
        {"heap": "L1", "kind-1": "90% dimes", "amount-1": "118 face", "kind-2": "90% quarters", "amount-2": "123 face"}
        | {"kind-3": "90% halves", "amount-3": "9 face"},
    )

    assert isinstance(stored.entry, Sorted)
    lot = kit.holdings().lots["L1"]
    assert sum((heap.basis for heap in lot.heaps), Decimal(0)) == Decimal("5850.00")
    assert [heap.count for heap in lot.heaps] == [1180, 492, 18]
    assert lot.acquired == date(2024, 3, 5)
    with pytest.raises(BookError, match=r"too much|asked of it"):
        sorting.sort(kit, {"heap": "L1/us-half-90", "kind-1": "90% halves", "amount-1": "19 pieces"})


def test_cost_can_be_shared_by_value(kit: Kit) -> None:
    """26 CFR 1.61-6(a), example 2: 25,000 for two parts worth 15,000 and 10,000 is split 15,000 and 10,000."""
    purchase.buy(kit, {"on": "2024-03-05", "amount-1": "2", "kind-1": "morgan dollar", "price-1": "25000"})

    sorting.sort(
        kit,
        {"heap": "L1", "method": "value", "kind-1": "morgan dollar 1889 cc", "amount-1": "1", "value-1": "15000"}
        | {"kind-2": "morgan dollar 1881 s", "amount-2": "1", "value-2": "10000"},
    )

    assert [heap.basis for heap in kit.holdings().lots["L1"].heaps] == [15000, 10000]


def test_a_tally_is_kept_mark_by_mark_and_books_what_was_told(kit: Kit) -> None:
    purchase.buy(
        kit, {"on": "2024-03-05", "amount-1": "5 face", "kind-1": "90% dimes", "price-1": "23x", "place": "A1"}
    )
    number = sorting.begin(kit, "L1")
    for text in ("64d", "64dx20", "45s", "16d", "zz"):
        if text == "zz":
            with pytest.raises(UnreadableError):
                sorting.mark(kit, number, "dime", text)
        else:
            sorting.mark(kit, number, "dime", text)

    assert sorting.undo(kit, number) == 4
    board = sorting.board(kit, number)
    assert (board.tally.pieces, board.face_told, board.pieces_left) == (22, Decimal("2.20"), 28)
    stored = sorting.finish(kit, number)

    assert isinstance(stored.entry, Sorted)
    assert not kit.tallies.open_tallies()
    by_issue = {(heap.kind, heap.issue): heap.count for heap in kit.holdings().lots["L1"].heaps}
    assert by_issue == {
        ("us-dime-90", ""): 28,
        ("us-dime-mercury", "1945-S"): 1,
        ("us-dime-roosevelt-silver", "1964-D"): 21,
    }


def test_a_tally_of_more_than_the_heap_holds_is_not_booked(kit: Kit) -> None:
    purchase.buy(kit, {"on": "2024-03-05", "amount-1": "2", "kind-1": "90% dimes", "price-1": "5"})
    number = sorting.begin(kit, "L1")
    sorting.mark(kit, number, "dime", "64x3")

    with pytest.raises(BookError, match="more than the heap"):
        sorting.finish(kit, number)
    with pytest.raises(NeverStruckError):
        sorting.mark(kit, number, "half", "55d")


def test_a_move_and_what_it_refuses(kit: Kit) -> None:
    buy(kit, place="A1")

    records.move(kit, {"heap": "L1", "to": "B2", "amount": "20 pieces"})

    assert {heap.place: heap.count for heap in kit.holdings().heaps} == {"A1": 180, "B2": 20}
    with pytest.raises(NotEnoughError, match="180"):
        records.move(kit, {"heap": "L1@A1", "to": "B2", "amount": "181 pieces"})
    with pytest.raises(Faults, match="already"):
        records.move(kit, {"heap": "L1@B2", "to": "B2"})
    with pytest.raises(Faults, match="2 heaps"):
        records.move(kit, {"heap": "L1", "to": "C3"})


def test_heaps_are_named_and_found_again(kit: Kit) -> None:
    buy(kit, place="A1")
    heap = kit.holdings().heaps[0]

    assert heap_name(heap) == "L1/us-half-90@A1"
    assert read_heap(kit.holdings(), heap_name(heap)) == heap
    with pytest.raises(NotFoundError, match="L1"):
        read_heap(kit.holdings(), "L9")


def test_prices_and_notes_are_kept_or_refused(kit: Kit) -> None:
    stored = records.price(kit, {"per_ozt": "32.00", "at": "10:15", "whose": "the shop's screen"})
    assert "32.00 an ounce at 10:15" in describe(stored.entry, kit.catalog())
    with pytest.raises(Faults, match=r"(?s)time of day.*not a metal.*more than zero.*spot, bid or ask"):
        records.price(kit, {"per_ozt": "0", "at": "25:00", "metal": "copper", "side": "mid"})

    note = records.note(kit, {"text": "opened on camera"}, [records.Upload(name="receipt.pdf", data=b"%PDF-")])
    assert kit.journal.attachment(note.entry.attachments[0].sha256) == b"%PDF-"  # type: ignore[union-attr]
    with pytest.raises(Faults, match=r"(?s)no lot 'L9'.*no entry 99.*not a kind of file"):
        records.note(kit, {"text": "x", "lots": "L9", "about": "99"}, [records.Upload(name="a.exe", data=b"x")])
    with pytest.raises(Faults, match="words or a file"):
        records.note(kit, {})


def test_mending_equals_never_wrong(kit: Kit) -> None:
    buy(kit)
    buy(kit)
    records.mend_fields(kit, 1, {"lines.1.price": "2400", "on": "2024-03-04"}, why="typed the wrong sum")

    right = kit_in_memory(today=date(2024, 6, 1))
    purchase.buy(right, {"on": "2024-03-04", "amount-1": "100 face", "kind-1": "90% halves", "price-1": "2400"})
    buy(right)

    assert kit.holdings().lots["L1"].cost == right.holdings().lots["L1"].cost == 2400
    assert kit.holdings().lots["L1"].acquired == date(2024, 3, 4)
    line = journal(kit)[-1]
    assert line.mended_by == (3,)
    with pytest.raises(NotFoundError, match="no field"):
        records.mend_fields(kit, 1, {"colour": "blue"})
    with pytest.raises(Faults, match=r"entry 1; nothing was written\.\n  on: This is no date"):
        records.mend_fields(kit, 1, {"on": "yesterday"})


def test_what_rests_on_an_entry_keeps_it_from_being_withdrawn(kit: Kit) -> None:
    buy(kit)
    records.move(kit, {"heap": "L1", "to": "A1"})
    with pytest.raises(BookError):
        records.withdraw(kit, 1)

    records.withdraw(kit, 2, why="it never moved")
    records.withdraw(kit, 1)

    assert not kit.holdings().heaps
    assert [line.withdrawn_by for line in journal(kit)] == [None, None, 3, 4]
    with pytest.raises(BookError, match="withdrawn"):
        records.mend_fields(kit, 1, {"note": "again"})


def test_holdings_on_any_date(kit: Kit) -> None:
    buy(kit)
    purchase.buy(kit, {"on": "2024-05-01", "amount-1": "10", "kind-1": "1 oz round", "price-1": "300"})

    before, now = summary(kit, on=date(2024, 4, 1)), summary(kit)

    assert (before.here.ozt(), now.here.ozt()) == (Decimal("71.5"), Decimal("81.5"))
    assert before.stamps["XAG"].kind.value == "monthly average"
    assert (now.face_90, now.cost_per_face_90) == (Decimal(100), Decimal("24.6"))
    assert [line.lot.name for line in lot_lines(kit)] == ["L2", "L1"]
    assert lot_line(kit, "L1").basis == 2460


def test_a_line_of_goods_is_parted() -> None:
    assert split_line("100 face of 90% halves at 24.60x") == ("100 face", "90% halves", "24.60x")
    assert split_line("5 of 10 oz bar for 1650") == ("5", "10 oz bar", "1650")
    assert split_line("5 of 10 oz bar") == ("5", "10 oz bar", "")
    with pytest.raises(UnreadableError, match=" of "):
        split_line("100 halves")


def test_goods_are_named_by_slug_or_words(kit: Kit) -> None:
    catalog = kit.catalog()
    assert read_named(catalog, "us-dime-mercury#1921-D").issue == "1921-D"
    assert read_named(catalog, "merc dime 1921-D").issue == "1921-D"
    assert read_named(catalog, "90%").kind.slug == "us-90"
    with pytest.raises(NeverStruckError, match="Denver"):
        read_named(catalog, "half 1955 d")
    with pytest.raises(NotFoundError):
        read_named(catalog, "moon dust")


def test_offers_are_set_down_together_or_not_at_all(kit: Kit) -> None:
    before = len(kit.journal.records())
    good = {"name": "A", "goods": [{"kind": "dimes", "face": "10", "quote": "24x"}]}

    with pytest.raises(Faults):
        tables.set_offers(kit, [good, {"name": "B", "goods": [{"kind": "own-nothing", "face": "10", "quote": "24x"}]}])
    assert len(kit.journal.records()) == before
    assert [one.serial for one in tables.set_offers(kit, [good, {**good, "name": "B"}])] == [before + 1, before + 2]
