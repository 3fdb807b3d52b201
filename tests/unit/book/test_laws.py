"""The laws: each is seen to be broken when what it guards is."""

from dataclasses import replace
from decimal import Decimal
from typing import Any

import msgspec
import pytest

from ninefine.book import laws
from ninefine.book.chain import Stored
from ninefine.book.entries import Entry
from ninefine.book.holdings import Holdings
from ninefine.book.laws import broken_in, broken_laws, uphold
from ninefine.errors import BrokenLawError
from short_entries import (
    DAY,
    amount,
    book,
    bought,
    credited,
    given,
    held,
    inherited,
    joined,
    lost,
    opened,
    ref,
    refined,
    row,
    sold,
    sorted_out,
    split,
    swapped,
)

ENTRIES = (
    bought("L1", "100", count=10, face="1", other_costs={"carriage": "5"}),
    credited("5", "L1"),
    sorted_out(ref("L1"), row("1964", count=6, face="0.6"), row("", count=4, face="0.4")),
    sold(ref("L1", issue="1964"), "90", count=3, fees="2"),
)
replaced = msgspec.structs.replace


def with_heap(**changes: Any) -> Holdings:
    """The entries' holdings with the first heap falsified."""
    holdings = held(*ENTRIES)
    lot = holdings.lots["L1"]
    heaps = (replaced(lot.heaps[0], **changes), *lot.heaps[1:])
    return replace(holdings, lots={"L1": replaced(lot, heaps=heaps)})


def with_amount(**changes: Any) -> Holdings:
    """The entries' holdings with the first heap's amount falsified."""
    return with_heap(amount=replaced(held(*ENTRIES).lots["L1"].heaps[0].amount, **changes))


def with_disposal(**changes: Any) -> Holdings:
    """The entries' holdings with the disposal falsified."""
    holdings = held(*ENTRIES)
    return replace(holdings, disposals=(replaced(holdings.disposals[0], **changes),))


def test_a_true_book_breaks_none() -> None:
    uphold(book(*ENTRIES))
    assert broken_in(held(*ENTRIES)) == ()


@pytest.mark.parametrize(
    ("false", "sentence"),
    [
        (
            with_heap(basis=Decimal("25.01")),
            r"Lot L1 cost 100, but 75.01 of basis is held and 25 was sold: 0.01",
        ),
        (with_heap(basis=Decimal(-1)), r"A heap of lot L1 \(us-dime-90\) has a basis of -1: below zero"),
        (with_amount(count=0), r"A heap of lot L1 \(us-dime-90\) is held and holds nothing"),
        (with_amount(count=4), r"Lot L1 came with 10 pieces, but 11 pieces are held or were sold"),
        (with_amount(face=Decimal("0.2")), r"Lot L1 came with 1 face, but 0.9 face are held or were sold"),
        (with_disposal(amount=amount(2, "0.3")), r"Lot L1 came with 10 pieces, but 9 pieces are held or were sold"),
        (with_disposal(proceeds=Decimal(91)), r"Sales brought 90, but what was sold shows 91"),
        (with_disposal(fees=Decimal(1)), r"Sales cost 2 in fees, but what was sold shows 1"),
        (with_disposal(basis=Decimal(-30)), r"Entry 4 sold of lot L1 with an amount of money below zero"),
        (replace(held(*ENTRIES), lots={}), r"All lots cost 0, but 105 was paid and 5 credited"),
    ],
)
def test_a_falsified_figure_breaks_a_law(monkeypatch: pytest.MonkeyPatch, false: Holdings, sentence: str) -> None:
    monkeypatch.setattr(laws, "fold", lambda *_, **__: false)

    with pytest.raises(BrokenLawError, match=sentence):
        uphold(book(*ENTRIES))


GIFT = (given("L1", "100", "70", count=10), sold(ref("L1"), "9", count=3))


def test_a_gifts_basis_for_losses_is_held_to_what_it_was(monkeypatch: pytest.MonkeyPatch) -> None:
    lot = held(*GIFT).lots["L1"]
    astray = replace(held(*GIFT), lots={"L1": replaced(lot, loss_basis=Decimal("49.01"))})
    monkeypatch.setattr(laws, "fold", lambda *_, **__: astray)

    assert broken_laws(book(*GIFT)) == ("Lot L1 has 70 for losses, but 49.01 is held and 21 left.",)
    below = replace(astray, lots={"L1": replaced(lot, loss_cost=Decimal(20), loss_basis=Decimal(-1))})
    assert broken_in(below) == ("Lot L1 has -1 for losses: below zero.",)
    gone = replace(astray, lots={"L1": replaced(lot, cost=Decimal(30), heaps=())})
    assert broken_in(gone) == ("Lot L1 has 70 for losses, but 49 is held and 21 left.",)


def test_what_nobody_knows_the_cost_of_has_none(monkeypatch: pytest.MonkeyPatch) -> None:
    holdings = held(opened("L1", "5"))
    lot = holdings.lots["L1"]
    unknown = replaced(lot, origin=replaced(lot.origin, cost_known=False))
    monkeypatch.setattr(laws, "fold", lambda *_, **__: replace(holdings, lots={"L1": unknown}))

    assert broken_laws(book(opened("L1", "5"))) == ("Lot L1 cost 5, though nobody knows what it cost.",)


@pytest.mark.parametrize(
    ("entries", "sentence"),
    [
        ((swapped(ref("L1"), "240", "R1", costs="8"),), "All lots cost 354, but 353 was paid and 0 credited."),
        ((inherited("L2", "80", died=DAY),), "All lots cost 186, but 185 was paid and 0 credited."),
        ((lost(ref("L1"), "stolen", paid="20"),), "Sales brought 20, but what was sold shows 19."),
        ((refined((ref("L1"), "1"), proceeds="50", fees="7"),), "Sales cost 7 in fees, but what was sold shows 6."),
    ],
)
def test_money_that_came_or_went_otherwise_is_counted_too(
    monkeypatch: pytest.MonkeyPatch, entries: tuple[Entry, ...], sentence: str
) -> None:
    """Each is falsified by one: the last lot's cost, or what the last disposal brought or cost."""
    story = (bought("L1", "105"), *entries)
    true = held(*story)
    lots, disposals = dict(true.lots), list(true.disposals)
    if "All lots" in sentence:
        name, lot = lots.popitem()
        lots[name] = replaced(lot, cost=lot.cost + 1)
    else:
        field = "fees" if "fees" in sentence else "proceeds"
        disposals[-1] = replaced(disposals[-1], **{field: getattr(disposals[-1], field) - 1})
    monkeypatch.setattr(laws, "fold", lambda *_, **__: replace(true, lots=lots, disposals=tuple(disposals)))

    assert broken_laws(book(*story))[-1] == sentence


def test_pieces_that_vanish_from_a_family_of_lots_are_missed(monkeypatch: pytest.MonkeyPatch) -> None:
    story = (bought("L1", count=10), bought("L2", count=3), split(ref("L1"), "L3", count=4), joined("L2", "L3"))
    true = held(*story)
    lot = true.lots["L1"]
    short = replaced(lot, heaps=(replaced(lot.heaps[0], amount=amount(5)),))
    monkeypatch.setattr(laws, "fold", lambda *_, **__: replace(true, lots={**true.lots, "L1": short}))

    assert broken_laws(book(*story)) == ("Lot L2 came with 13 pieces, but 12 pieces are held or were sold.",)


def test_a_measure_that_a_sorting_did_not_say_is_not_held_against_the_lot() -> None:
    records = book(
        bought("L1", "100", count=10, face="1"), sorted_out(ref("L1"), row("1964", count=6), row("", face="0.4"))
    )

    assert broken_laws(records) == ()


def test_a_broken_chain_and_an_entry_that_cannot_be_counted_are_both_said() -> None:
    records: list[Stored] = book(bought("L1", count=1), sold(ref("L1"), count=2, on=DAY))
    records[0] = replaced(records[0], digest=bytes(32))

    chain, fold = broken_laws(records)

    assert chain == "Entry 1 is not what was said: its digest does not fit."
    assert "holds 1 piece; 2 pieces" in fold
