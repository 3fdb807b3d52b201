"""Storage, calendar, gains, the record of a purchase, slips: each says what the book says."""

import re
from datetime import date
from decimal import Decimal

import pytest
import segno

from ninefine.book.came import Given, GivenLine, Inherited, InheritedLine, Opened, OpenedLine
from ninefine.book.entries import Amount
from ninefine.book.went import Lost, LostLine
from ninefine.desk import arrivals, paper_tables, purchase, records, sale
from ninefine.desk.heaps import read_heap
from ninefine.desk.kit import Kit
from ninefine.desk.papers import make_paper
from ninefine.desk.sorting import sort
from ninefine.errors import Faults
from ninefine.papers.as_ics import as_ics
from ninefine.papers.as_text import as_text
from ninefine.papers.as_xlsx import as_xlsx
from ninefine.papers.code import qr_svg
from ninefine.papers.document import Code, Document, Notes, Pairs, Slip, Slips
from ninefine.testing import kit_in_memory

D = Decimal
TODAY = date(2026, 6, 12)


def kit_with(*goods: tuple[str, str, str], on: str = "2024-01-05") -> Kit:
    """A kit that holds goods: amount, kind, place."""
    kit = kit_in_memory(today=TODAY)
    for amount, kind, place in goods:
        form = {"on": on, "amount-1": amount, "kind-1": kind, "price-1": "100", "place": place}
        purchase.buy(kit, form)
    return kit


def pairs_of(document: Document) -> dict[str, object]:
    return {pair.name: pair.value for block in document.blocks if isinstance(block, Pairs) for pair in block.pairs}


def notes_of(document: Document) -> str:
    return "\n".join(line for block in document.blocks if isinstance(block, Notes) for line, _ in block.lines)


def test_a_thousand_face_weighs_twenty_five_kilograms() -> None:
    """25.00 kg, 55.1 lb avoirdupois, by the Coinage Act of 1873 and NIST Handbook 44's pound; limits as typed."""
    kit = kit_with(("1000 face", "90%", "A1"), ("100 face", "dimes", "B1"))
    paper_tables.set_row(kit, "place", "A1", {"limit": "50 lb"})

    document = make_paper(kit, "storage", {})

    (ledger,) = document.ledgers
    first, second = (row.cells for row in ledger.rows)
    assert first[:2] == ("A1", D(25))
    assert isinstance(first[2], D)
    assert round(first[2], 4) == D("55.1156")
    assert (first[3], second[3]) == (D(0), D(0))
    assert isinstance(first[6], D)
    assert (round(first[6], 1), first[7]) == (D("110.2"), "over the limit")
    assert (second[4], second[6], second[7]) == (None, None, "")
    text = as_text(document).replace("\n", " ")
    assert "The silver weighs 27.5 kg (60.6 lb) gross, in 2 places." in text
    assert "Over the limit that was set: A1." in text
    assert "No limit is set for B1." in text


def test_what_was_weighed_is_said() -> None:
    kit = kit_with(("100 face", "dimes", "A1"))
    arrivals.weigh(kit, {"heap-1": "L1", "weight-1": "2457.1 g"})

    assert make_paper(kit, "storage", {}).ledgers[0].rows[0].cells[1:4:2] == (D("2.4571"), D(100))


def test_days_of_lots_turning_long_and_of_reviews() -> None:
    """Counting starts the day after acquisition (IRS Publications 544 and 550): 14 November turns on 15 November."""
    kit = kit_with(("10 face", "90%", ""), on="2025-11-14")
    purchase.buy(kit, {"on": "2025-11-14", "amount-1": "5", "kind-1": "ozt", "price-1": "200"})
    purchase.buy(kit, {"on": "2025-06-11", "amount-1": "5", "kind-1": "ozt", "price-1": "200"})
    records.price(kit, {"on": "2026-06-10", "per_ozt": "66"})
    paper_tables.set_row(kit, "review", "the insurance", {"on": "2027-01-15", "every": "12"})

    document = make_paper(kit, "calendar", {})

    assert [(event.on, event.words, event.every_months) for event in document.events] == [
        (date(2026, 6, 12), "lot L3 held long-term from this day", None),
        (date(2026, 6, 17), "review: the price of silver", None),
        (date(2026, 11, 15), "lots L1 and L2 held long-term from this day", None),
        (date(2027, 1, 15), "review: the insurance", 12),
    ]
    again = make_paper(kit, "calendar", {})
    assert [event.uid for event in again.events] == [event.uid for event in document.events]
    assert len({event.uid for event in document.events}) == 4
    assert as_ics(document).count(b"BEGIN:VEVENT") == 4


def test_a_lot_of_a_leap_day_and_an_inherited_one() -> None:
    """29 February counts from 1 March; what was inherited is long from the start (26 U.S.C. 1223(9))."""
    kit = kit_in_memory(today=date(2024, 3, 5))
    purchase.buy(kit, {"on": "2024-02-29", "amount-1": "5", "kind-1": "ozt", "price-1": "200"})
    line = InheritedLine(lot="H1", kind="us-90", amount=Amount(face=D(10)), value=D(300))
    kit.journal.append(Inherited(on=date(2024, 3, 1), died=date(2024, 2, 1), lines=(line,)))

    assert [event.on for event in make_paper(kit, "calendar", {}).events] == [date(2025, 3, 1)]


def test_harbor_lane_s_year_in_the_order_of_form_8949(lane: Kit) -> None:
    """The rows of the invented household's sale by the highest basis, worked out apart: 949.50 short, 5,464.80 long."""
    document = make_paper(lane, "gains", {})

    short, long = document.main
    assert [column.head for column in short.columns] == [
        "(a) Description", "(b) Acquired", "(c) Sold", "(d) Proceeds", "(e) Cost or basis",
        "(f) Code", "(g) Adjustment", "(h) Gain or loss", "Term",
    ]  # fmt: skip
    assert [row.cells[1:] for row in short.rows] == [
        (date(2025, 11, 14), TODAY, D("6724.50"), D("5775.00"), "C", D(0), D("949.50"), "short")
    ]
    assert [row.cells[1:] for row in long.rows] == [
        (date(2021, 2, 8), TODAY, D("8966.00"), D("4988.70"), "C", D(0), D("3977.30"), "long"),
        (date(2020, 3, 23), TODAY, D("2241.50"), D("754.00"), "C", D(0), D("1487.50"), "long"),
    ]
    assert (short.totals()[7], long.totals()[7]) == (D("949.50"), D("5464.80"))
    assert pairs_of(document) == {"Short term, net": D("949.50"), "Long term, net": D("5464.80")}
    assert "a net gain of 6,414.30 USD" in as_text(document)
    assert document.name == "gains-2026"


def test_a_book_in_another_currency_gets_a_plain_table() -> None:
    kit = kit_in_memory(today=TODAY, currency="EUR")
    purchase.buy(kit, {"on": "2026-01-05", "amount-1": "10", "kind-1": "ozt", "price-1": "700"})
    sale.sell(kit, sale.read_sale(kit, {"heap-1": "L1", "price": "650", "fees": "10"}))

    document = make_paper(kit, "gains", {})

    assert [column.head for column in document.main[0].columns] == [
        "Description", "Acquired", "Sold", "Proceeds", "Cost or basis", "Gain or loss", "Term",
    ]  # fmt: skip
    assert document.main[0].rows[0].cells[3:6] == (D("640.00"), D("700"), D("-60.00"))
    assert "8949" not in as_text(document)
    assert "a net loss of 60.00 EUR" in as_text(document)


def test_gifts_inheritance_own_use_and_what_nobody_knows() -> None:
    """A gift's loss goes by its value (26 CFR 1.1015-1(a)); an heir's lot is long; tableware's loss does not count."""
    kit = kit_in_memory(today=TODAY)
    piece = Amount(count=10)
    round_, spoon = "xag-generic-round-1oz", "household-sterling-925.solid-flatware"
    day, early = date(2026, 2, 1), date(2019, 5, 4)
    gift = GivenLine(lot="G", kind=round_, amount=piece, basis=D(500), acquired=early, value=D(400))
    kit.journal.append(Given(on=date(2025, 12, 1), giver="an aunt", lines=(gift,)))
    heir = InheritedLine(lot="H", kind=round_, amount=piece, value=D(600))
    kit.journal.append(Inherited(on=day, died=date(2026, 1, 5), lines=(heir,), paper="court 9"))
    old = OpenedLine(lot="O", kind=round_, amount=piece)
    used = OpenedLine(lot="U", kind=spoon, amount=Amount(gross_g=D(400)), cost=D(900), acquired=early, own_use=True)
    kit.journal.append(Opened(on=day, lines=(old, used)))
    for number, (lot, price) in enumerate((("G", "390"), ("H", "650"), ("O", "700"), ("U", "800")), 1):
        sale.sell(kit, sale.read_sale(kit, {"on": f"2026-03-0{number}", "heap-1": lot, "price": price}))

    document = make_paper(kit, "gains", {"year": "2026"})

    found = {str(row.cells[0])[-1]: (row.cells[1], *row.cells[4:]) for one in document.main for row in one.rows}
    assert found == {
        "G": (early, D(400), "C", D(0), D(-10), "short"),
        "H": ("INHERITED", D(600), "C", D(0), D(50), "long"),
        "O": ("not known", None, "C", D(0), None, "not known"),
        "U": (early, D(900), "CL", D(100), D(0), "long"),
    }
    assert [ledger.caption for ledger in document.main][2] == "Term not known"
    text = as_text(document)
    for words in ("a gift: its value on that day", "nobody knows what it cost", "a net gain of 40.00 USD"):
        assert words in text
    assert as_xlsx(document)


def test_what_was_lost_is_told_and_stands_in_no_figure(lane: Kit) -> None:
    lane.journal.append(Lost(on=TODAY, why="stolen", lines=(LostLine(heap=read_heap(lane.holdings(), "R").ref),)))

    document = make_paper(lane, "gains", {})

    assert "Not for money, and in no figure here: 60 pieces of Generic silver round" in notes_of(document)
    assert sum(len(ledger.rows) for ledger in document.main) == 3


def test_another_year_holds_nothing(lane: Kit) -> None:
    assert as_text(make_paper(lane, "gains", {"year": "2024"})).count("None.") == 2
    with pytest.raises(Faults, match="year"):
        make_paper(lane, "gains", {"year": "last"})


def test_a_purchase_with_all_that_came_of_it() -> None:
    kit = kit_in_memory(today=TODAY)
    purchase.buy(
        kit,
        {
            "on": "2026-02-01", "seller": "the post", "amount-1": "250 face", "kind-1": "90%", "price-1": "23.40x",
            "carriage": "25", "arrived": "no", "paper": "R-7", "note": "by card",
        },
    )  # fmt: skip
    arrivals.receive(kit, {"on": "2026-02-10", "lot-1": "L1", "counted-1": "249 face", "claim": "23.40"})
    arrivals.credit(kit, {"on": "2026-03-01", "lots": "L1", "amount": "23.40"})
    records.note(kit, {"about": "1", "text": "opened on camera"}, [records.Upload(name="bag.png", data=b"x")])

    document = make_paper(kit, "purchase", {})

    assert pairs_of(document) == {
        "Seller": "the post", "Day": date(2026, 2, 1), "Receipt": "R-7",
        "Goods": D("5850.00"), "Carriage": D("25"), "Paid in all": D("5875.00"),
    }  # fmt: skip
    goods, papers = document.ledgers
    assert goods.rows[0].cells[2:] == ("250.00 face", "23.40x", D("5850.00"), D("5851.60"))
    assert papers.rows[0].cells[:3] == ("bag.png", "image/png", 1)
    said = notes_of(document)
    for words in ("2026-02-10, entry 2. Received", "2026-03-01, entry 3. The seller paid", "entry 4. Noted", "by card"):
        assert words in said
    (code,) = [block for block in document.blocks if isinstance(block, Code)]
    assert code.text == f"entry 1 {kit.journal.records()[0].digest.hex()}"


def test_only_a_purchase_has_a_record(lane: Kit) -> None:
    assert make_paper(lane, "purchase", {"entry": "2"}).name == "purchase-2"
    for entry, words in (("6", "is no purchase"), ("99", "There is no entry 99"), ("x", "count")):
        with pytest.raises(Faults, match=words):
            make_paper(lane, "purchase", {"entry": entry})


def slips_of(document: Document) -> tuple[Slip, ...]:
    (block,) = document.blocks
    assert isinstance(block, Slips)
    return block.slips


def test_slips_name_their_heap_in_a_code_that_the_program_reads(lane: Kit) -> None:
    slips = slips_of(make_paper(lane, "bag-slips", {}))

    assert [(slip.name, slip.code) for slip in slips] == [
        ("L1", "L1/us-90"), ("L2", "L2/us-90"), ("R", "R/xag-generic-round-1oz"),
    ]  # fmt: skip
    for slip in slips:
        assert read_heap(lane.holdings(), slip.code).lot == slip.name
    lines = [words for words, _ in slips[0].lines]
    assert lines[:4] == ["300.00 face", "7,500.0 g gross, as struck", "214.5000 ozt fine, trade", "Place A1"]
    assert [slip.name for slip in slips_of(make_paper(lane, "tube-labels", {"lots": "R, L1/us-90"}))] == ["R", "L1"]
    with pytest.raises(Faults, match="No lot 'nowhere' is held"):
        make_paper(lane, "tube-labels", {"lots": "nowhere"})


def test_common_dates_share_a_slip_and_a_key_date_has_its_own() -> None:
    kit = kit_with(("90 pieces", "us-dime-90", "A1"))
    form = {"heap": "L1"}
    rows = (("us-dime-mercury#1916-D", "1"), ("us-dime-mercury#1941-P", "59"), ("us-dime-mercury#1944-D", "30"))
    for number, (kind, amount) in enumerate(rows, 1):
        form |= {f"kind-{number}": kind, f"amount-{number}": amount}
    sort(kit, form)

    slips = slips_of(make_paper(kit, "bag-slips", {}))

    assert sorted((slip.code, slip.lines[0][0]) for slip in slips) == [
        ("L1/us-dime-mercury", "89 pieces, 8.90 face"),
        ("L1/us-dime-mercury/1916-D", "1 piece, 0.10 face"),
    ]


def test_a_code_is_the_standard_s_own() -> None:
    """The drawing holds every dark module of the symbol: a line of n modules is `h` n in its path (ISO/IEC 18004)."""
    text = "L17/us-dime-mercury/1921-D"
    symbol = segno.make_qr(text, error="m")
    dark = sum(sum(1 for module in row if module) for row in symbol.matrix)
    path = qr_svg(text).partition(' d="')[2].partition('"')[0]

    drawn = sum(int(run) for run in re.findall(r"h(\d+)", path))

    assert drawn == dark
    assert f'viewBox="0 0 {len(symbol.matrix) + 8} {len(symbol.matrix) + 8}"' in qr_svg(text)
