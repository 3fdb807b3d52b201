"""What searching pays, before and after; and how many coins until a chance."""

import math
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ninefine.catalog.kinds import fine_ozt_of
from ninefine.catalog.shelf import load_catalog
from ninefine.errors import NotFoundError, RangeError
from ninefine.measure.numbers import to_places
from ninefine.sorting.chances import (
    at_least_one,
    drawn,
    drawn_at_most,
    hand,
    none_of,
    none_when_expected,
    pieces_until,
    say_chance,
    split,
)
from ninefine.sorting.expected import expected_mix
from ninefine.sorting.searching import Find, Paid, Sitter, Sought, by_size, over_melt, pieces_in, prospect, sought_in

#: A law is a law however long it takes.
slow_machine = settings(deadline=None)

CATALOG = load_catalog()
shares = st.decimals(min_value=Decimal("0.000001"), max_value=Decimal("0.2"), places=6)
moneys = st.decimals(min_value=0, max_value=500, places=2)
SITTER = Sitter(pieces_per_hour=Decimal(800), hour_worth=Decimal("10.00"))


class TestQuarryStreet:
    """An invented household's bag: one scarce dime and nine bright quarters in 6.5 hours. Figures worked by hand.

    The dime weighs 2.457 g at .900 and spot is 31.50, so it melts at 2.24; a collector's sale nets 47.00 and the shop
    pays 38.00. Each quarter nets 1.50 over melt from a collector, and nothing over melt from the shop.
    """

    melt = fine_ozt_of(Decimal("2.457"), Decimal("0.9")) * Decimal("31.50")
    hours = Decimal("6.5")

    def search(self, dime_nets: str, quarter_over_melt: str, hour_worth: str = "0") -> Paid:
        return Paid(
            finds=(
                Find(what="scarce dime", over_melt=over_melt(Decimal(dime_nets), self.melt)),
                Find(what="bright quarters", pieces=9, over_melt=Decimal(quarter_over_melt)),
            ),
            hours=self.hours,
            hour_worth=Decimal(hour_worth),
        )

    def test_the_search_brought_58_26_at_8_96_an_hour(self) -> None:
        paid = self.search("47.00", "1.50")

        assert to_places(self.melt, 2) == Decimal("2.24")
        assert paid.worth == Decimal("58.26")
        assert to_places(paid.per_hour, 2) == Decimal("8.96")

    def test_at_ten_dollars_an_hour_it_did_not_pay(self) -> None:
        assert not self.search("47.00", "1.50", "10.00").paid
        assert self.search("47.00", "1.50", "8.96").paid

    def test_with_the_shop_alone_it_brought_5_50_an_hour(self) -> None:
        paid = self.search("38.00", "0")

        assert paid.worth == Decimal("35.76")
        assert to_places(paid.per_hour, 2) == Decimal("5.50")


@pytest.mark.parametrize(
    ("share", "chance", "pieces"),
    [
        ("0.5", "0.5", 1),
        ("0.5", "0.75", 2),
        ("0.5", "0.76", 3),
        ("0.1", "0.95", 29),
        ("0.01", "0.5", 69),
        ("0.01", "0.95", 299),
        ("0.0001", "0.5", 6932),
        ("1", "0.95", 1),
        ("0.2", "0", 0),
        # The quotient of the two logarithms, to 40 digits, is a hair over five.
        ("0.02", "0.0960792032", 5),
    ],
)
def test_coins_until_a_chance_by_hand(share: str, chance: str, pieces: int) -> None:
    """ln(1 - q) / ln(1 - p), rounded up: ln 0.05 / ln 0.99 is 298.07."""
    assert pieces_until(Decimal(share), Decimal(chance)) == pieces


@slow_machine
@given(shares, st.decimals(min_value=Decimal("0.01"), max_value=Decimal("0.999"), places=3))
def test_coins_until_a_chance_are_the_fewest_that_have_it(share: Decimal, chance: Decimal) -> None:
    pieces = pieces_until(share, chance)

    assert at_least_one(share, pieces) >= float(chance) - 1e-12
    assert at_least_one(share, pieces - 1) < float(chance) + 1e-12


@pytest.mark.parametrize(
    ("share", "chance"), [("0", "0.5"), ("-0.1", "0.5"), ("1.1", "0.5"), ("0.1", "1"), ("0.1", "-1")]
)
def test_waiting_for_what_cannot_be_is_refused(share: str, chance: str) -> None:
    with pytest.raises(RangeError):
        pieces_until(Decimal(share), Decimal(chance))


def test_a_share_of_nearly_all_is_nearly_certain() -> None:
    """One in 10 to the 30th is left: the chance of missing twice is its square, far below what a float near 1 holds."""
    assert none_of(Decimal("0." + 30 * "9"), 2) == pytest.approx(1e-60, rel=1e-12, abs=0)
    assert none_of(Decimal("0." + 14 * "9"), 1) == pytest.approx(1e-14, rel=1e-12, abs=0)
    assert (none_of(Decimal(1), 3), at_least_one(Decimal(1), 3)) == (0.0, 1.0)
    assert (none_of(Decimal(0), 3), at_least_one(Decimal(0), 3)) == (1.0, 0.0)


@slow_machine
@given(shares, st.integers(0, 20_000))
def test_one_or_more_and_none_make_a_whole(share: Decimal, pieces: int) -> None:
    assert none_of(share, pieces) + at_least_one(share, pieces) == pytest.approx(1.0, rel=1e-12)
    assert abs(none_of(share, pieces) - none_when_expected(share * pieces)) < float(share) * 0.55


@pytest.mark.parametrize(("share", "pieces"), [("-0.1", 3), ("1.1", 3), ("0.1", -1)])
def test_impossible_draws_are_refused(share: str, pieces: int) -> None:
    with pytest.raises(RangeError):
        none_of(Decimal(share), pieces)
    with pytest.raises(RangeError):
        at_least_one(Decimal(share), pieces)
    with pytest.raises(RangeError):
        none_when_expected(-1)


@slow_machine
@given(st.integers(1, 60), st.data())
def test_chances_of_a_draw_sum_to_one(bag: int, data: st.DataObject) -> None:
    marked, draw = data.draw(st.integers(0, bag)), data.draw(st.integers(0, bag))

    assert sum(drawn(bag, marked, draw, found) for found in range(draw + 1)) == 1
    assert drawn_at_most(bag, marked, draw, draw) == 1
    assert all(drawn(bag, marked, draw, n) == hand((marked, bag - marked), (n, draw - n)) for n in range(draw + 1))


def test_draws_that_no_bag_allows_are_refused_or_have_no_chance() -> None:
    with pytest.raises(RangeError):
        drawn(10, 11, 2, 1)
    with pytest.raises(RangeError):
        drawn(10, 2, 11, 1)
    with pytest.raises(RangeError):
        hand((3, 4), (1,))
    with pytest.raises(RangeError):
        split((1, 2), (1, 1))  # type: ignore[arg-type]
    assert drawn(10, 2, 3, 3) == 0
    assert hand((2, 1), (3, 1)) == 0


@pytest.mark.parametrize(
    ("chance", "said"),
    [
        (0.345, "34%"),
        (1.0, "over 99%"),
        (0.996, "over 99%"),
        (0.0213, "2.1%"),
        (0.0995, "10%"),
        (0.0099, "about 1 in 100"),
        (0.00123, "about 1 in 810"),
        (0.000129, "about 1 in 7,800"),
        (0.00001, "less than 1 in 10,000"),
        (0.0, "less than 1 in 10,000"),
    ],
)
def test_a_chance_is_said_as_people_say_it(chance: float, said: str) -> None:
    assert say_chance(chance) == said


def test_a_prospect_by_hand() -> None:
    """2,500 dimes; one in 1,000 nets 20 and one in 10,000 nets 100; 800 an hour.

    2.5 x 20 + 0.25 x 100 = 75; 3.125 hours; 24 an hour; sum p v v is 0.4 + 1, less 0.03 squared, so the spread is the
    root of 2,500 x 1.3991. At 0.03 a coin, 10 an hour needs 333.3 coins an hour.
    """
    seen = prospect(
        2500,
        (
            Sought(what="one", share=Decimal("0.001"), over_melt=Decimal(20)),
            Sought(what="two", share=Decimal("0.0001"), over_melt=Decimal(100)),
        ),
        SITTER,
    )

    assert (seen.hours, seen.finds, seen.worth, seen.per_hour) == (
        Decimal("3.125"),
        Decimal("2.75"),
        Decimal(75),
        Decimal(24),
    )
    assert to_places(seen.spread, 4) == Decimal("59.1418")
    assert seen.pays
    assert seen.pieces_per_hour_needed is not None
    assert to_places(seen.pieces_per_hour_needed, 2) == Decimal("333.33")
    assert seen.chance == pytest.approx(1 - (1 - 0.0011) ** 2500, rel=1e-12)
    assert [item.for_half for item in seen.likely] == [693, 6932]
    assert [item.for_nearly for item in seen.likely] == [2995, 29956]


@slow_machine
@given(st.integers(1, 50_000), st.lists(st.tuples(shares, moneys), min_size=1, max_size=5), st.integers(1, 3000))
def test_a_prospect_is_the_formula_of_question_and_answer(
    pieces: int, items: list[tuple[Decimal, Decimal]], speed: int
) -> None:
    """Worth is n sum(p v), an hour n sum(p v) / (n / speed), exactly; and finds and worth are sums of their parts."""
    sought = [Sought(what=str(n), share=share, over_melt=net) for n, (share, net) in enumerate(items)]
    seen = prospect(pieces, sought, Sitter(pieces_per_hour=Decimal(speed)))

    assert seen.worth == pieces * sum((share * net for share, net in items), Decimal(0))
    assert seen.finds == pieces * sum((share for share, _ in items), Decimal(0))
    assert abs(seen.per_hour - seen.worth / seen.hours) < Decimal("1e-20")
    assert math.isclose(seen.likely[0].chance, at_least_one(items[0][0], pieces))
    assert seen.spread >= 0


def test_a_larger_bag_holds_more_finds_at_the_same_pay() -> None:
    sought = (Sought(what="key", share=Decimal("0.0004"), over_melt=Decimal(30)),)
    seen = by_size((500, 1000, 5000, 10_000), sought, SITTER)

    assert [one.finds for one in seen] == [Decimal("0.2"), Decimal("0.4"), Decimal(2), Decimal(4)]
    assert [one.chance for one in seen] == sorted(one.chance for one in seen)
    assert {one.per_hour for one in seen} == {Decimal("9.6")}
    assert not any(one.pays for one in seen)


def test_where_nothing_is_expected_no_speed_pays() -> None:
    seen = prospect(100, (Sought(what="none", share=Decimal(0), over_melt=Decimal(50)),), SITTER)

    assert seen.worth == 0
    assert not seen.pays
    assert seen.pieces_per_hour_needed is None
    assert (seen.likely[0].for_half, seen.likely[0].for_nearly, seen.chance) == (None, None, 0.0)


def test_what_is_sought_of_a_mix_is_what_the_person_prices() -> None:
    """Every key of the range, at its own share; the whole mix may be sought, though its shares are divisions."""
    mix = expected_mix(CATALOG, "dimes", first_year=1916)
    keys = sought_in(mix, lambda struck: Decimal(40) if struck.rank == "key" else None)
    whole = sought_in(mix, lambda _: Decimal(1))

    assert [item.what for item in keys] == ["1916-D"]
    assert keys[0].share == next(row.share for row in mix.shares if row.struck.rank == "key")
    all_of_it = prospect(1000, whole, SITTER)
    assert to_places(all_of_it.worth, 10) == 1000
    assert to_places(all_of_it.spread, 10) == 0
    assert all_of_it.chance == 1.0


@pytest.mark.parametrize(
    ("face", "coin", "pieces"),
    [("250", "dime", 2500), ("10", "quarters", 40), ("1000", "halves", 2000), ("0", "dime", 0)],
)
def test_face_is_so_many_pieces(face: str, coin: str, pieces: int) -> None:
    assert pieces_in(Decimal(face), coin) == pieces


def test_face_that_is_no_whole_number_of_pieces_is_refused() -> None:
    with pytest.raises(RangeError):
        pieces_in(Decimal("0.30"), "quarter")
    with pytest.raises(RangeError):
        pieces_in(Decimal(-1), "dime")
    with pytest.raises(NotFoundError):
        pieces_in(Decimal(1), "dubloon")


def test_searches_that_cannot_be_are_refused() -> None:
    half = Sought(what="half", share=Decimal("0.6"))
    with pytest.raises(RangeError, match="shares"):
        prospect(10, (half, half), SITTER)
    with pytest.raises(RangeError):
        prospect(0, (half,), SITTER)
    with pytest.raises(RangeError):
        Sitter(pieces_per_hour=Decimal(0))
    with pytest.raises(RangeError):
        Paid(finds=(), hours=Decimal(0))


def test_a_find_that_sells_under_its_metal_costs() -> None:
    """Nothing is clamped: a sale that nets 2.00 for a coin that melts at 2.245 loses a quarter."""
    assert over_melt(Decimal("2.00"), Decimal("2.245")) == Decimal("-0.25")
