"""Law of lists: however a household writes its purchases down, they are brought in as they were, or not at all."""

import csv
import io
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from ninefine.book.entries import Bought
from ninefine.book.laws import uphold
from ninefine.catalog.catalog import Catalog
from ninefine.catalog.shelf import load_catalog
from ninefine.desk.bring import bring, look_at
from ninefine.testing import kit_in_memory

TODAY = date(2026, 11, 25)
#: What a household calls a kind, its slug, and the face of one piece.
KINDS = {
    "90% dimes": ("us-dime-90", Decimal("0.10")),
    "Walkers": ("us-half-walking-liberty", Decimal("0.50")),
    "Morgan dollars": ("us-dollar-morgan", Decimal(1)),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Purchase:
    """One line as it happened."""

    on: date
    words: str
    pieces: int
    price: Decimal
    carriage: Decimal
    seller: str


purchases = st.builds(
    Purchase,
    on=st.dates(date(1998, 1, 1), TODAY),
    words=st.sampled_from(sorted(KINDS)),
    pieces=st.integers(1, 5000),
    price=st.decimals(min_value=1, max_value=90_000, places=2),
    carriage=st.decimals(min_value=0, max_value=60, places=2),
    seller=st.sampled_from(["", "Elm Coins", "Müller, Söhne & Co.", 'the "old" shop; Fern Hollow']),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Style:
    """How a household writes."""

    parts: str
    day: str
    decimal: str
    thousands: str
    coding: str
    order: tuple[int, ...]
    total: bool
    title: bool


@st.composite
def styles(draw: st.DrawFn) -> Style:
    decimal = draw(st.sampled_from(".,"))
    return Style(
        parts=draw(st.sampled_from(",;\t")),
        day=draw(st.sampled_from(["%Y-%m-%d", "%d.%m.%Y", "%m/%d/%y", "%d/%m/%Y", "%d %b %Y"])),
        decimal=decimal,
        thousands=draw(st.sampled_from(["", " ", ",." [decimal == ","]])),
        coding=draw(st.sampled_from(["utf-8", "utf-8-sig", "utf-16", "cp1252"])),
        order=tuple(draw(st.permutations(range(7)))),
        total=draw(st.booleans()),
        title=draw(st.booleans()),
    )  # fmt: skip


def number(value: Decimal | int, style: Style) -> str:
    whole, _, rest = f"{value:,}".partition(".")
    return whole.replace(",", style.thousands) + (style.decimal + rest if rest else "")


def written(lines: list[Purchase], style: Style) -> bytes:
    """The list as a file."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, delimiter=style.parts)
    if style.title:
        writer.writerows([["Our silver"], []])
    heads = ["Date", "Coin", "Qty", "Price Paid", "Shipping", "Total", "Dealer"]
    rows = [
        [
            line.on.strftime(style.day),
            line.words,
            number(line.pieces, style),
            number(line.price, style),
            number(line.carriage, style),
            number(line.price + line.carriage, style),
            line.seller,
        ]
        for line in lines
    ]
    sums = ["TOTAL", "", "", "", "", number(sum(line.price + line.carriage for line in lines), style), ""]
    if style.total and style.order[0] == 0:  # a sum is known by the word in its first cell
        rows.append(sums)
    writer.writerows([[row[place] for place in style.order] for row in (heads, *rows)])
    return out.getvalue().encode(style.coding)


@pytest.fixture(scope="module")
def catalog() -> Catalog:
    return load_catalog()


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(purchases, min_size=1, max_size=6), styles())
def test_a_list_is_brought_in_as_it_was_or_not_at_all(catalog: Catalog, lines: list[Purchase], style: Style) -> None:
    """What may not be told (a day, a mark) is the only reason to refuse; said, it is brought in too."""
    kit = kit_in_memory(today=TODAY, catalog=catalog)
    data = written(lines, style)
    seen = look_at(kit, {"as": "purchases"}, "list.csv", data)
    for fault in seen.faults:
        assert "no other day tells" in fault.wrong or "no other number tells" in fault.wrong
    said = {"decimals": "point" if style.decimal == "." else "comma"}
    if style.day in {"%d.%m.%Y", "%d/%m/%Y"}:
        said["days"] = "day-month-year"
    elif style.day == "%m/%d/%y":
        said["days"] = "month-day-year"

    bring(kit, {"as": "purchases", **(said if seen.faults else {})}, "list.csv", data)

    facts = [record.entry for record in kit.journal.records() if isinstance(record.entry, Bought)]
    brought = [
        (
            fact.on, fact.lines[0].kind, fact.lines[0].amount.count, fact.lines[0].amount.face, fact.lines[0].price,
            sum(fact.other_costs.values(), Decimal(0)), fact.seller,
        )
        for fact in facts
    ]  # fmt: skip
    expected = [
        (line.on, KINDS[line.words][0], line.pieces, KINDS[line.words][1] * line.pieces, line.price, line.carriage,
         line.seller)
        for line in sorted(lines, key=lambda one: one.on)
    ]  # fmt: skip
    assert brought == expected
    uphold(kit.journal.records())
