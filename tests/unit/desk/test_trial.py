"""An entry tried out: what it would make of its lots, in the book's own words where it would be refused."""

from datetime import date
from decimal import Decimal

import pytest

from ninefine.desk import came, lots, purchase, records, went
from ninefine.desk.kit import Kit
from ninefine.desk.trial import book, try_out
from ninefine.errors import BookError, NotEnoughError
from ninefine.testing import kit_in_memory

D = Decimal


@pytest.fixture
def kit() -> Kit:
    made = kit_in_memory(today=date(2026, 6, 12))
    form = {"on": "2024-03-05", "amount-1": "100 face", "kind-1": "90% halves", "price-1": "2000", "place": "A1"}
    purchase.buy(made, form | {"amount-2": "20", "kind-2": "1 oz round", "price-2": "600"})
    return made


def test_a_trial_changes_nothing_and_booking_it_makes_what_it_showed(kit: Kit) -> None:
    before = kit.holdings()
    swap = {"heap-1": "L1", "out-1": "20 face", "for-1": "900", "kind-1": "1 oz round", "amount-1": "14"}
    trial = try_out(kit, went.read_swap(kit, swap))

    assert kit.holdings() is before
    assert {one.name: one.before is None for one in trial.lots} == {"L1": False, "L3": True}
    (gone,) = trial.left
    assert (gone.net, gone.basis, gone.gain) == (D(900), D(400), D(500))
    book(kit, trial)
    after = kit.holdings().lots
    assert {one.name: one.after for one in trial.lots} == {name: after[name] for name in ("L1", "L3")}


def test_only_lots_that_change_are_shown(kit: Kit) -> None:
    trial = try_out(kit, lots.read_use(kit, {"lots": "L2"}))

    (change,) = trial.lots
    assert change.before is not None
    assert (change.before.own_use, change.after.own_use) == (False, True)
    assert trial.left == ()


def test_a_day_long_past_is_tried_in_its_place(kit: Kit) -> None:
    """A gift of 2023 lies before the purchases of 2024, and leaves them as they are."""
    form = {"on": "2023-01-05", "kind-1": "1 oz round", "amount-1": "5", "lot-1": "old"}
    trial = try_out(kit, came.read_gift(kit, form))

    assert [one.name for one in trial.lots] == ["old"]
    assert "nobody knows what its giver paid" in trial.sentence


def test_what_the_book_would_refuse_is_refused_in_its_own_words(kit: Kit) -> None:
    loss = went.read_loss(kit, {"heap-1": "L1", "amount-1": "300 face", "why": "lost"})
    joined = lots.read_join(kit, {"lots": "L1, L2"})
    given = came.read_gift(kit, {"kind-1": "1 oz round", "amount-1": "5", "lot-1": "L2"})

    with pytest.raises(NotEnoughError, match="holds 200 pieces") as tried:
        try_out(kit, loss)
    with pytest.raises(NotEnoughError) as booked:
        kit.journal.append(loss)
    assert str(tried.value) == str(booked.value)
    with pytest.raises(BookError, match="L2"):
        try_out(kit, given)
    assert [one.name for one in try_out(kit, joined).lots] == ["L1", "L2"]


def test_a_trial_of_another_book_is_not_booked(kit: Kit) -> None:
    trial = try_out(kit, lots.read_use(kit, {"lots": "L2"}))
    records.price(kit, {"per_ozt": "30"})
    entries = len(kit.journal.records())

    with pytest.raises(BookError, match="changed since this was worked out"):
        book(kit, trial)
    assert len(kit.journal.records()) == entries
