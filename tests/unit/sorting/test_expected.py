"""The expected mix: mintage times the assumed survival, and a tally set beside it."""

from collections.abc import Iterable
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ninefine.catalog.shelf import load_catalog
from ninefine.errors import NotFoundError, RangeError
from ninefine.sorting.expected import expected_mix
from ninefine.sorting.found import by_decade, by_issue, by_kind, by_mint, by_year, finds_of, grouped, set_beside
from ninefine.sorting.survival import FLAT, Melt, Survival
from ninefine.sorting.tally import Row

#: A law is a law however long it takes.
slow_machine = settings(deadline=None)

CATALOG = load_catalog()
ROOSEVELT, MERCURY, BARBER = "us-dime-roosevelt-silver", "us-dime-mercury", "us-dime-barber"
#: Shares are divisions carried to 40 digits, and sums of them to 28.
CLOSE = Decimal("1e-25")

QUARTERS = expected_mix(CATALOG, "quarters")
HEAPS = ["dimes", "quarters", "halves", "dollars", "nickels", "us-half-40", ROOSEVELT, "us-twenty-cent"]


def total(values: Iterable[Decimal]) -> Decimal:
    return sum(values, Decimal(0))


@pytest.mark.parametrize("what", HEAPS)
@pytest.mark.parametrize("loss", ["0", "0.013", "0.2"])
def test_shares_sum_to_one_and_go_as_what_is_left(what: str, loss: str) -> None:
    mix = expected_mix(CATALOG, what, survival=Survival(yearly_loss=Decimal(loss)))
    first = mix.shares[0]

    assert abs(total(row.share for row in mix.shares) - 1) < CLOSE
    for row in mix.shares:
        assert row.struck.mintage is not None
        assert first.struck.mintage is not None
        left, of_first = row.struck.mintage * row.weight, first.struck.mintage * first.weight
        assert abs(row.share * of_first - first.share * left) <= CLOSE * max(left, of_first)


def test_flat_survival_is_mintage_alone() -> None:
    """1949-S: 13,510,000 of 6,595,617,673 Roosevelt dimes (published total; the row from memory, which fits it)."""
    mix = expected_mix(CATALOG, ROOSEVELT)
    share = next(row.share for row in mix.shares if row.struck.key == "1949-S")

    assert abs(share - Decimal(13_510_000) / Decimal(6_595_617_673)) < CLOSE


def test_a_yearly_loss_is_compounded_from_striking_to_its_year() -> None:
    """Two in a hundred a year for 18 years from 1946 to 1964: 0.98 to the 18th, in fractions."""
    survival = Survival(yearly_loss=Decimal("0.02"))

    assert abs(Fraction(survival.weight(1946)) - Fraction(98, 100) ** 18) < Fraction(1, 10**35)
    assert survival.weight(1964) == survival.weight(1999) == 1


@pytest.mark.parametrize("loss", ["0.001", "0.02", "0.2"])
def test_loss_by_age_moves_the_mix_to_later_years_and_keeps_the_mints_of_a_year(loss: str) -> None:
    flat = expected_mix(CATALOG, MERCURY)
    falling = expected_mix(CATALOG, MERCURY, survival=Survival(yearly_loss=Decimal(loss), until=1945))
    ratios: dict[int, Decimal] = {}
    for before, after in zip(flat.shares, falling.shares, strict=True):
        ratio = after.share / before.share
        assert abs(ratios.setdefault(before.struck.year, ratio) - ratio) < CLOSE * 10

    assert list(ratios.values()) == sorted(ratios.values())
    assert min(ratios.values()) < 1 < max(ratios.values())


def test_a_melt_takes_its_share_of_earlier_dates_alone() -> None:
    melt = Melt(year=1918, share=Decimal("0.47"), words="the melt of 1918")
    survival = Survival(melts=(melt,))

    assert [survival.weight(year) for year in (1904, 1918, 1921)] == [Decimal("0.53"), Decimal("0.53"), Decimal(1)]


def test_a_melt_may_spare_dates_before_its_first() -> None:
    melt = Melt(year=1980, share=Decimal("0.5"), first_year=1946)

    assert [melt.left(year) for year in (1945, 1946, 1980, 1981)] == [1, Decimal("0.5"), Decimal("0.5"), 1]


def test_two_melts_and_a_loss_multiply() -> None:
    survival = Survival(
        yearly_loss=Decimal("0.01"),
        until=1902,
        melts=(Melt(year=1918, share=Decimal("0.5")), Melt(year=1980, share=Decimal("0.2"))),
    )

    assert survival.weight(1900) == Decimal("0.99") ** 2 * Decimal("0.5") * Decimal("0.8")


@pytest.mark.parametrize(
    ("survival", "said"),
    [
        (FLAT, "every date survives alike (flat)"),
        (Survival(yearly_loss=Decimal("0.025")), "2.5% of the pieces left are lost each year from striking to 1964"),
        (
            Survival(melts=(Melt(year=1918, share=Decimal("0.4")),)),
            "a melt of 1918 took 40% of the pieces dated to 1918",
        ),
        (
            Survival(melts=(Melt(year=1980, share=Decimal("0.3"), first_year=1946, words="the spring of 1980"),)),
            "the spring of 1980 took 30% of the pieces dated 1946 to 1980",
        ),
    ],
)
def test_the_assumption_is_always_said(survival: Survival, said: str) -> None:
    assert said in survival.sentence
    assert survival.sentence.endswith("Mintage is not survival.")


@pytest.mark.parametrize("share", ["-0.01", "1", "2"])
def test_an_impossible_loss_is_refused(share: str) -> None:
    with pytest.raises(RangeError):
        Survival(yearly_loss=Decimal(share))
    with pytest.raises(RangeError):
        Melt(year=1918, share=Decimal(share))


def test_a_range_of_dates_is_a_mix_of_its_own() -> None:
    mix = expected_mix(CATALOG, "dimes", first_year=1940, last_year=1946)

    assert {row.struck.year for row in mix.shares} == set(range(1940, 1947))
    assert {row.struck.kind for row in mix.shares} == {MERCURY, ROOSEVELT}
    assert (mix.first_year, mix.last_year, mix.denomination) == (1940, 1946, "dime")


def test_years_stand_in_order_and_two_designs_of_a_year_apart() -> None:
    mix = expected_mix(CATALOG, "dimes")
    years = [row.struck.year for row in mix.shares]

    assert years == sorted(years)
    assert {row.struck.kind for row in mix.shares if row.struck.key == "1916-S"} == {BARBER, MERCURY}
    assert len({row.cell for row in mix.shares}) == len(mix.shares)


def test_proofs_alone_have_no_share_and_are_named() -> None:
    mix = expected_mix(CATALOG, "us-dollar-morgan")

    assert [row.key for row in mix.left_out] == ["1895-P"]
    assert "1895-P" not in {row.struck.key for row in mix.shares}


@slow_machine
@given(pieces=st.integers(0, 20_000))
def test_expected_counts_sum_to_the_pieces(pieces: int) -> None:
    counts = QUARTERS.counts(pieces)

    assert abs(total(counts) - pieces) < Decimal("1e-20")


def test_the_unchecked_part_is_the_part_of_unchecked_rows() -> None:
    """Roosevelt dimes are checked whole; of quarters, nearly all is from memory."""
    assert expected_mix(CATALOG, ROOSEVELT).unchecked == 0
    assert Decimal("0.9") < expected_mix(CATALOG, "quarters").unchecked < 1


def test_a_heap_of_several_denominations_is_refused() -> None:
    with pytest.raises(RangeError, match="several denominations"):
        expected_mix(CATALOG, "us-90")


def test_years_in_which_nothing_was_struck_are_refused() -> None:
    with pytest.raises(RangeError, match="from 1922 to 1922"):
        expected_mix(CATALOG, MERCURY, first_year=1922, last_year=1922)


def test_bullion_has_a_mix_and_no_denomination() -> None:
    mix = expected_mix(CATALOG, "us-silver-eagle-bullion")

    assert mix.denomination == ""
    assert len(mix.shares) > 20


def test_household_silver_has_no_mix() -> None:
    with pytest.raises(NotFoundError):
        expected_mix(CATALOG, "household-sterling-925")


def tally(*rows: tuple[str, str, int]) -> list[Row]:
    return [Row(kind=kind, issue=issue, count=count) for kind, issue, count in rows]


def test_a_tally_is_set_beside_its_mix_and_the_rest_stands_outside() -> None:
    mix = expected_mix(CATALOG, "dimes", first_year=1900)
    beside = set_beside(
        mix,
        tally(
            (MERCURY, "1942-P", 3),
            (MERCURY, "1942-P:2 over 1", 1),
            (BARBER, "1916-S", 2),
            (MERCURY, "1916-S", 5),
            (BARBER, "1899-P", 7),
            (MERCURY, "", 4),
            ("us-dime-90", "", 6),
            ("us-dime-clad", "1965-P", 1),
        ),
    )
    found = {row.cell: count for row, count in zip(mix.shares, beside.found, strict=True) if count}

    assert found == {(MERCURY, "1942-P"): 4, (BARBER, "1916-S"): 2, (MERCURY, "1916-S"): 5}
    assert beside.pieces == 11
    assert [(out.issue, out.count, out.why) for out in beside.outside] == [
        ("1899-P", 7, "outside the dates asked for"),
        ("", 4, "no date"),
        ("", 6, "not told apart by date, or another kind"),
        ("1965-P", 1, "not told apart by date, or another kind"),
    ]


def test_a_proof_only_date_stands_outside_with_its_reason() -> None:
    beside = set_beside(expected_mix(CATALOG, "us-dollar-morgan"), tally(("us-dollar-morgan", "1895-P", 1)))

    assert [out.why for out in beside.outside] == ["no mintage for use is on record"]


def test_a_bags_finds_stand_in_the_mintage_picture() -> None:
    rows = tally((MERCURY, "1942-P", 3), (MERCURY, "1942-P:2 over 1", 1), (MERCURY, "", 9), (BARBER, "1916-S", 2))

    assert finds_of(MERCURY, rows) == {"1942-P": 4}


def test_a_count_below_zero_is_refused() -> None:
    with pytest.raises(RangeError):
        set_beside(expected_mix(CATALOG, ROOSEVELT), tally((ROOSEVELT, "1964-P", -1)))


@slow_machine
@given(st.lists(st.integers(0, 40), min_size=48, max_size=48))
def test_no_piece_is_lost_however_the_mix_is_taken_together(counts: list[int]) -> None:
    mix = expected_mix(CATALOG, ROOSEVELT)
    rows = [
        Row(kind=ROOSEVELT, issue=share.struck.key, count=count)
        for share, count in zip(mix.shares, counts, strict=True)
    ]
    beside = set_beside(mix, rows)
    for label in (by_issue, by_mint, by_year, by_decade, by_kind):
        groups = grouped(beside, label)
        assert sum(group.found for group in groups) == sum(counts)
        assert abs(total(group.expected for group in groups) - sum(counts)) < Decimal("1e-20")
        assert sorted(cell for group in groups for cell in group.cells) == list(range(48))


def test_groups_are_labelled_as_people_say_them() -> None:
    beside = set_beside(expected_mix(CATALOG, ROOSEVELT), tally((ROOSEVELT, "1955-S", 2)))

    assert [group.label for group in grouped(beside, by_mint)] == ["P", "D", "S"]
    assert [group.label for group in grouped(beside, by_decade)] == ["1940s", "1950s", "1960s"]
    assert [group.found for group in grouped(beside, by_decade)] == [0, 2, 0]
