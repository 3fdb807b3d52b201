"""Taking part of a heap: its own measure decides, the others go along."""

from decimal import Decimal

import pytest

from ninefine.book.entries import Amount
from ninefine.book.holdings import Heap
from ninefine.book.take import amount_words, basis_of, heap_words, take
from ninefine.errors import BookError, NotEnoughError
from short_entries import amount

CENT = Decimal("0.01")


def heap(count: int | None = None, face: str | None = None, gross_g: str | None = None, basis: str = "100") -> Heap:
    return Heap("L1", "us-dime-90", "", "A1", amount(count, face, gross_g), Decimal(basis))


@pytest.mark.parametrize(
    ("held", "asked", "taken", "left"),
    [
        # counted: pieces decide; face goes exactly, grams to a milligram
        ((100, "10", None), (40, None, None), (40, "4", None), (60, "6", None)),
        ((100, "10", None), (None, "4", None), (40, "4", None), (60, "6", None)),
        ((3, "0.30", "7.5"), (1, None, None), (1, "0.1", "2.5"), (2, "0.2", "5")),
        ((3, None, "7"), (1, None, None), (1, None, "2.333"), (2, None, "4.667")),
        ((100, "10", "250"), (40, None, "99.5"), (40, "4", "99.5"), (60, "6", "150.5")),
        ((30, "10.50", None), (2, "1.00", None), (2, "1.00", None), (28, "9.50", None)),
        ((4, "0.50", None), (1, None, None), (1, "0.125", None), (3, "0.375", None)),
        # by face
        ((None, "250", None), (None, "100", None), (None, "100", None), (None, "150", None)),
        ((None, "250", "6200"), (None, "100", None), (None, "100", "2480"), (None, "150", "3720")),
        ((None, "250", None), (200, "100", None), (200, "100", None), (None, "150", None)),
        # by weight
        ((None, None, "1000"), (None, None, "300.5"), (None, None, "300.5"), (None, None, "699.5")),
        ((None, None, "1000"), (7, None, "300"), (7, None, "300"), (None, None, "700")),
        # a milligram of many: too little to weigh stays unweighed
        ((5000, None, "0.9"), (1, None, None), (1, None, None), (4999, None, "0.9")),
    ],
)
def test_a_part_is_taken_and_the_rest_stays(
    held: tuple[int | None, str | None, str | None],
    asked: tuple[int | None, str | None, str | None],
    taken: tuple[int | None, str | None, str | None],
    left: tuple[int | None, str | None, str | None],
) -> None:
    assert take(heap(*held), amount(*asked)) == (amount(*taken), amount(*left))


@pytest.mark.parametrize(
    ("held", "asked", "taken"),
    [
        ((100, "10", "250"), None, (100, "10", "250")),
        ((100, "10", None), (100, None, None), (100, "10", None)),
        ((100, "10", "250"), (100, "10", "249.8"), (100, "10", "249.8")),
        ((None, "250", None), (2500, "250", None), (2500, "250", None)),
        ((None, None, "1000"), (3, None, "1000"), (3, None, "1000")),
    ],
)
def test_all_of_it_leaves_nothing(
    held: tuple[int | None, str | None, str | None],
    asked: tuple[int | None, str | None, str | None] | None,
    taken: tuple[int | None, str | None, str | None],
) -> None:
    assert take(heap(*held), None if asked is None else amount(*asked)) == (amount(*taken), None)


@pytest.mark.parametrize(
    ("held", "asked", "sentence"),
    [
        ((100, "10", None), (101, None, None), "holds 100 pieces; 101 pieces was asked"),
        ((100, "10", None), (None, "10.10", None), "holds 10 face; 10.1 face was asked"),
        ((100, "10", None), (40, "10", None), "holds 100 pieces, 10 face; 40 pieces, 10 face was asked"),
        ((None, "250", None), (None, "250.05", None), "holds 250 face; 250.05 face was asked"),
        ((None, None, "1000"), (None, None, "1000.001"), "holds 1000 g; 1000.001 g was asked"),
        ((100, None, "250"), (40, None, "250"), "holds 250 g; 250 g was asked"),
    ],
)
def test_too_little_is_said_with_both_amounts(
    held: tuple[int | None, str | None, str | None], asked: tuple[int | None, str | None, str | None], sentence: str
) -> None:
    with pytest.raises(NotEnoughError, match=f"Lot L1, us-dime-90 at A1 {sentence}") as caught:
        take(heap(*held), amount(*asked))
    assert caught.value.what == "Lot L1, us-dime-90 at A1"


@pytest.mark.parametrize(
    ("held", "asked", "sentence"),
    [
        ((100, "10", None), (None, "0.05", None), r"0.05 face is no whole number of its 100 pieces in 10 face"),
        ((100, None, None), (None, "5", None), r"is counted \(100 pieces\); 5 face does not say how many pieces"),
        ((None, "250", None), (40, None, None), r"is kept by face \(250 face\); 40 pieces does not say how much face"),
        ((None, None, "1000"), (1, None, None), r"is kept by weight \(1000 g\); 1 piece does not say how many grams"),
        ((7, "1.00", None), (2, None, None), r"its 7 pieces do not all have the same face \(1 face in all\)"),
        ((100, "10", None), (100, "9", None), r"all 100 pieces are 10 face, not 9 face"),
    ],
)
def test_a_measure_that_does_not_decide_is_refused(
    held: tuple[int | None, str | None, str | None], asked: tuple[int | None, str | None, str | None], sentence: str
) -> None:
    with pytest.raises(BookError, match=sentence):
        take(heap(*held), amount(*asked))


@pytest.mark.parametrize(
    ("held", "asked", "basis"),
    [
        ((3, "0.30", None), (1, None, None), "33.33"),
        ((None, "3", None), (None, "2", None), "66.67"),
        ((None, None, "8"), (None, None, "0.5"), "6.25"),
        ((3, "0.30", None), (3, None, None), "100"),
    ],
)
def test_basis_goes_by_the_heaps_own_measure_half_up(
    held: tuple[int | None, str | None, str | None], asked: tuple[int | None, str | None, str | None], basis: str
) -> None:
    one = heap(*held)
    taken, left = take(one, amount(*asked))

    assert basis_of(one.basis, one.amount, taken, left, CENT) == Decimal(basis)


def test_amounts_and_heaps_are_named_as_people_say_them() -> None:
    assert amount_words(Amount(count=1, face=Decimal("0.10"), gross_g=Decimal("2.50"))) == "1 piece, 0.1 face, 2.5 g"
    assert amount_words(Amount(count=1180)) == "1,180 pieces"
    assert heap_words(heap(1)) == "Lot L1, us-dime-90 at A1"
