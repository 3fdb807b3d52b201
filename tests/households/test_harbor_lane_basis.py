"""Harbor Lane sells $400 face from four lots of 90% coin: basis, gain, term and tax by three ways of choosing.

The household, its prices and its typed rates are invented; every figure was worked by hand beforehand.
"""

from collections.abc import Callable
from datetime import date
from decimal import Decimal

import pytest

from ninefine.book.basis import SoldPart, basis_per_face, first_in_first_out, highest_basis_first
from ninefine.book.entries import Entry, Sold, SoldLine
from ninefine.book.fold import fold
from ninefine.book.holdings import Disposal, Heap, Holdings, Lot
from ninefine.book.laws import broken_laws
from ninefine.book.term import Term, term_of
from short_entries import amount, book, bought, held

KIND = "us-90"
SALE = date(2026, 6, 12)
#: 95% of trade melt at a spot of 66.00: 0.715 x 66.00 x 0.95 = 44.8305, quoted 44.83 per face dollar.
BID = Decimal("44.83")
#: The rates that the household types in.
SHORT, LONG = Decimal("0.32"), Decimal("0.28")

LOTS: list[Entry] = [
    bought("L1", "3360.00", on=date(2019, 3, 11), kind=KIND, face="300"),  # 11.20x
    bought("L2", "1490.00", on=date(2020, 3, 23), kind=KIND, face="100", other_costs={"postage": "18.00"}),  # 14.90x
    bought("L3", "4820.00", on=date(2021, 2, 8), kind=KIND, face="200", other_costs={"card, 3.5%": "168.70"}),  # 24.10x
    bought("L4", "5775.00", on=date(2025, 11, 14), kind=KIND, face="150"),  # 38.50x
]

Way = Callable[[Holdings], list[SoldPart]]


def anything(_: Lot, __: Heap) -> bool:
    return True


def long_only(lot: Lot, _: Heap) -> bool:
    return term_of(lot, SALE) is Term.LONG


WAYS: dict[str, Way] = {
    "earliest first": lambda holdings: first_in_first_out(holdings, anything, amount(face="400")),
    "highest basis": lambda holdings: highest_basis_first(holdings, anything, amount(face="400")),
    "long only": lambda holdings: highest_basis_first(holdings, long_only, amount(face="400")),
}


def sale(way: str) -> Sold:
    """The sale as the person would record it: named pieces, priced at the bid."""
    lines = tuple(
        SoldLine(heap=part.heap.ref, amount=part.amount, proceeds=BID * (part.amount.face or 0))
        for part in WAYS[way](held(*LOTS))
    )
    return Sold(on=SALE, lines=lines, rule=way)


def gain_on(disposal: Disposal) -> Decimal:
    assert disposal.gain is not None
    return disposal.gain


def tax(disposal: Disposal) -> Decimal:
    rate = LONG if term_of(disposal, disposal.on) is Term.LONG else SHORT
    return (gain_on(disposal) * rate).quantize(Decimal("0.01"))


def test_the_lots_cost_what_was_worked_out() -> None:
    lots = held(*LOTS).lots

    assert {name: lot.cost for name, lot in lots.items()} == {
        "L1": Decimal("3360.00"),
        "L2": Decimal("1508.00"),
        "L3": Decimal("4988.70"),
        "L4": Decimal("5775.00"),
    }
    per_face = {name: basis_per_face(lot) for name, lot in lots.items()}
    assert per_face == {
        "L1": Decimal("11.2000"),
        "L2": Decimal("15.0800"),
        "L3": Decimal("24.9435"),
        "L4": Decimal("38.5000"),
    }
    assert sum(lot.cost for lot in lots.values()) == Decimal("15631.70")


@pytest.mark.parametrize(
    ("way", "rows"),
    [
        (
            "earliest first",
            [
                ("L1", "300", "13449.00", "3360.00", "10089.00", True, "2824.92"),
                ("L2", "100", "4483.00", "1508.00", "2975.00", True, "833.00"),
            ],
        ),
        (
            "highest basis",
            [
                ("L4", "150", "6724.50", "5775.00", "949.50", False, "303.84"),
                ("L3", "200", "8966.00", "4988.70", "3977.30", True, "1113.64"),
                ("L2", "50", "2241.50", "754.00", "1487.50", True, "416.50"),
            ],
        ),
        (
            "long only",
            [
                ("L3", "200", "8966.00", "4988.70", "3977.30", True, "1113.64"),
                ("L2", "100", "4483.00", "1508.00", "2975.00", True, "833.00"),
                ("L1", "100", "4483.00", "1120.00", "3363.00", True, "941.64"),
            ],
        ),
    ],
)
def test_each_way_of_choosing_sells_the_lots_that_it_should(
    way: str, rows: list[tuple[str, str, str, str, str, bool, str]]
) -> None:
    disposals = held(*LOTS, sale(way)).disposals

    shown = [
        (each.lot, each.amount.face, each.proceeds, each.basis, each.gain, term_of(each, SALE) is Term.LONG, tax(each))
        for each in disposals
    ]
    assert shown == [
        (lot, Decimal(face), Decimal(proceeds), Decimal(basis), Decimal(gain), long, Decimal(due))
        for lot, face, proceeds, basis, gain, long, due in rows
    ]


@pytest.mark.parametrize(
    ("way", "gain", "due", "kept"),
    [
        ("earliest first", "13064.00", "3657.92", "14274.08"),
        ("highest basis", "6414.30", "1833.98", "16098.02"),
        ("long only", "10315.30", "2888.28", "15043.72"),
    ],
)
def test_the_sums_and_what_is_kept_after_tax(way: str, gain: str, due: str, kept: str) -> None:
    disposals = held(*LOTS, sale(way)).disposals

    proceeds = sum(disposal.proceeds for disposal in disposals)
    taxes = sum(tax(disposal) for disposal in disposals)
    assert proceeds == Decimal("17932.00")
    assert sum(gain_on(disposal) for disposal in disposals) == Decimal(gain)
    assert (taxes, proceeds - taxes) == (Decimal(due), Decimal(kept))


def test_after_the_sale_of_the_highest_basis_350_face_remains() -> None:
    holdings = held(*LOTS, sale("highest basis"))

    left = {heap.lot: (heap.face, heap.basis) for heap in holdings.heaps}
    assert left == {"L1": (Decimal(300), Decimal("3360.00")), "L2": (Decimal(50), Decimal("754.00"))}
    assert sum(heap.basis for heap in holdings.heaps) == Decimal("4114.00")


def test_on_the_last_day_of_2023_three_lots_were_held() -> None:
    records = book(*LOTS, sale("highest basis"))
    holdings = fold(records, on=date(2023, 12, 31))

    assert sum(heap.face or 0 for heap in holdings.heaps) == 600
    assert sum(lot.cost for lot in holdings.lots.values()) == Decimal("9856.70")
    assert broken_laws(records) == ()
