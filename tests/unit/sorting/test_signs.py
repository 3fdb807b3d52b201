"""The signs of a picked bag, the yearly loss a bag speaks for, and the verdict on the whole."""

import math
import random
from collections import Counter
from collections.abc import Callable
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from ninefine.catalog.kinds import Evidence
from ninefine.catalog.shelf import load_catalog
from ninefine.sorting.effect import pieces_to_tell
from ninefine.sorting.expected import Expected, expected_mix
from ninefine.sorting.fitting import fitted_loss, with_loss
from ninefine.sorting.found import Beside, set_beside
from ninefine.sorting.mintage import Struck
from ninefine.sorting.oddity import How
from ninefine.sorting.reading import Reading, Verdict, read_mix
from ninefine.sorting.signs import Sign, rules_for, signs_of
from ninefine.sorting.survival import Survival
from ninefine.sorting.tally import Row

#: A law is a law however long it takes.
slow_machine = settings(deadline=None)

CATALOG = load_catalog()
ROOSEVELT = "us-dime-roosevelt-silver"
DIMES = expected_mix(CATALOG, ROOSEVELT)
ALL_DIMES = expected_mix(CATALOG, "dimes", first_year=1916)


def bag(mix: Expected, pieces: int, seed: int, *, less: Callable[[Struck], bool] = lambda _: False) -> list[Row]:
    """A bag drawn fairly from a mix, some of its coins then taken out and not replaced by others of the same sort."""
    kept = [row for row in mix.shares if not less(row.struck)]
    drawn = random.Random(seed).choices(kept, weights=[float(row.share) for row in kept], k=pieces)
    counts = Counter(row.cell for row in drawn)
    return [Row(kind=kind, issue=issue, count=count) for (kind, issue), count in sorted(counts.items())]


def sign_named(signs: tuple[Sign, ...], name: str) -> Sign:
    return next(sign for sign in signs if sign.name == name)


@pytest.mark.parametrize(
    ("denomination", "names"),
    [
        ("dime", ["old dates", "S mint", "last years", "keys", "better"]),
        ("quarter", ["old dates", "S mint", "last years", "keys", "better"]),
        ("half", ["old dates", "S mint", "last years", "keys", "better"]),
        ("dollar", ["CC mint", "keys", "better"]),
        ("five-cent", ["keys", "better"]),
    ],
)
def test_each_denomination_has_its_signs(denomination: str, names: list[str]) -> None:
    assert [rule.name for rule in rules_for(denomination)] == names


@pytest.mark.parametrize(
    ("what", "name", "first", "last", "mints"),
    [
        ("dimes", "old dates", 1873, 1945, {"P", "D", "S", "O", "CC"}),
        ("quarters", "old dates", 1873, 1932, {"P", "D", "S", "O", "CC"}),
        ("halves", "old dates", 1873, 1947, {"P", "D", "S", "O", "CC"}),
        ("dimes", "S mint", 1940, 1955, {"S"}),
        ("halves", "S mint", 1940, 1954, {"S"}),
        ("quarters", "last years", 1963, 1964, {"P", "D"}),
        ("dollars", "CC mint", 1878, 1893, {"CC"}),
    ],
)
def test_a_sign_looks_at_its_own_dates(what: str, name: str, first: int, last: int, mints: set[str]) -> None:
    mix = expected_mix(CATALOG, what)
    beside = Beside(expected=mix, found=(1,) * len(mix.shares))
    struck = [mix.shares[cell].struck for cell in sign_named(signs_of(beside), name).cells]

    assert (min(one.year for one in struck), max(one.year for one in struck)) == (first, last)
    assert {one.mint for one in struck} == mints


def test_of_1963_the_last_years_count_denver_alone() -> None:
    sign = sign_named(signs_of(Beside(expected=DIMES, found=(1,) * 48)), "last years")

    assert [DIMES.shares[cell].struck.key for cell in sign.cells] == ["1963-D", "1964-P", "1964-D"]


def test_a_sign_of_which_the_dates_hold_nothing_is_left_out() -> None:
    """Roosevelt dimes hold no old dates and no keys."""
    signs = signs_of(Beside(expected=DIMES, found=(1,) * 48))

    assert [sign.name for sign in signs] == ["S mint", "last years", "better"]


def test_a_sign_that_is_the_whole_mix_is_left_out() -> None:
    only_s = expected_mix(CATALOG, "dimes", first_year=1964)

    assert [sign.name for sign in signs_of(Beside(expected=only_s, found=(3, 4)))] == []


@slow_machine
@given(st.lists(st.integers(0, 12), min_size=48, max_size=48))
def test_a_sign_has_the_binomial_chance(counts: list[int]) -> None:
    """Against scipy.stats.binom: so few or fewer, and of the last years so many or more."""
    beside = Beside(expected=DIMES, found=tuple(counts))
    for sign in signs_of(beside):
        law = stats.binom(beside.pieces, float(sign.share))
        chance = law.sf(sign.found - 1) if sign.many else law.cdf(sign.found)
        assert sign.chance == pytest.approx(float(chance), rel=1e-8)
        assert sign.expected == sign.share * beside.pieces
        assert sign.none_chance == pytest.approx(math.exp(-float(sign.expected)), rel=1e-12)
    if not beside.pieces:
        assert signs_of(beside) == ()


def test_no_s_mint_among_two_hundred_dimes_is_a_sign_and_says_no_more_than_that() -> None:
    """0.0438 of 200 is 8.8; none has a chance of 0.9562 to the 200th, 1 in 7,700."""
    rows = bag(DIMES, 200, 4, less=lambda one: one.mint == "S")
    sign = sign_named(signs_of(set_beside(DIMES, rows)), "S mint")

    assert (sign.found, round(sign.expected, 1)) == (0, Decimal("8.8"))
    assert sign.speaks
    assert sign.words == (
        "0 found where 8.8 were expected; an unpicked bag shows none with a chance of about 1 in 7,700."
        " By itself that is odd, and consistent with searched."
    )
    assert sign.evidence is Evidence.CONVENTION


def test_none_where_few_were_expected_says_nothing() -> None:
    """Of thirty dimes 1.3 S mints are expected; none is seen one time in four."""
    rows = bag(DIMES, 30, 4, less=lambda one: one.mint == "S")
    sign = sign_named(signs_of(set_beside(DIMES, rows)), "S mint")

    assert not sign.speaks
    assert sign.gone_to_tell is None
    assert sign.words.endswith("So few are expected that even none would say nothing.")


def test_too_many_of_the_last_years_may_be_coin_put_away_new() -> None:
    rows = [Row(kind=ROOSEVELT, issue=issue, count=count) for issue, count in (("1964-D", 150), ("1951-P", 50))]
    sign = sign_named(signs_of(set_beside(DIMES, rows)), "last years")

    assert sign.speaks
    assert sign.gone_to_tell is None
    assert "coin put away new" in sign.words


def test_a_fair_bag_reads_as_unpicked_and_the_assumption_is_said() -> None:
    read = read_mix(DIMES, bag(DIMES, 500, 3))

    assert read.verdict is Verdict.UNPICKED
    assert read.chance is not None
    assert read.chance > 0.05
    assert read.words.startswith("Consistent with an unpicked bag: ")
    assert read.words.endswith(DIMES.survival.sentence)


def test_a_bag_without_s_mints_reads_as_searched() -> None:
    read = read_mix(DIMES, bag(DIMES, 500, 3, less=lambda one: one.mint == "S"))

    assert read.verdict is Verdict.SEARCHED
    assert read.words.startswith("Consistent with searched: ")
    assert "San Francisco, 1940s and 1950s, 0 for 21.9 expected" in read.words
    assert "a survival other than the one assumed" in read.words


def test_a_bag_short_of_what_no_searcher_takes_is_not_called_searched() -> None:
    read = read_mix(DIMES, bag(DIMES, 500, 3, less=lambda one: one.key in {"1964-P", "1962-D"}))

    assert read.verdict is Verdict.UNLIKE
    assert "searched" not in read.words


def test_too_many_of_the_last_years_alone_is_not_called_searched() -> None:
    """A fair bag to which coin put away new was added, and so many of two scarcer dates that nothing is short."""
    more = {"1964-D": 200, "1952-S": 20, "1955-P": 10}
    added = [Row(kind=ROOSEVELT, issue=issue, count=count) for issue, count in more.items()]
    read = read_mix(DIMES, [*bag(DIMES, 500, 3), *added])

    assert [sign.name for sign in read.signs if sign.speaks] == ["last years"]
    assert read.verdict is Verdict.UNLIKE


@pytest.mark.parametrize("pieces", [1, 5, 20])
def test_a_handful_tells_nothing(pieces: int) -> None:
    read = read_mix(DIMES, bag(DIMES, pieces, 3))

    assert read.verdict is Verdict.UNTOLD
    assert f"with {pieces} dated coins" in read.words


def test_a_bag_without_a_dated_coin_has_no_reading() -> None:
    read = read_mix(DIMES, [Row(kind="us-dime-90", issue="", count=12)])

    assert (read.verdict, read.chance, read.looks, read.signs) == (Verdict.UNTOLD, None, (), ())
    assert read.beside.outside[0].count == 12


def test_one_year_and_mint_has_no_mix_to_read() -> None:
    mix = expected_mix(CATALOG, "us-half-40", first_year=1965, last_year=1965)
    read = read_mix(mix, [Row(kind="us-half-kennedy-40", issue="1965-P", count=9)])

    assert (len(mix.shares), read.verdict, read.chance) == (1, Verdict.UNTOLD, None)
    assert "no mix to read" in read.words


@pytest.mark.parametrize(
    "rows",
    [bag(DIMES, 300, seed, less=less) for seed in range(4) for less in (lambda one: one.mint == "S", lambda _: False)],
)
def test_the_verdict_is_never_that_a_bag_was_searched(rows: list[Row]) -> None:
    words = read_mix(DIMES, rows, draws=400).words

    assert " was " not in words
    assert "proves" not in words
    assert "onsistent with" in words


def looks(read: Reading) -> list[str]:
    return [look.by for look in read.looks]


def test_a_reading_holds_three_looks_each_with_its_own_chance() -> None:
    read = read_mix(ALL_DIMES, bag(ALL_DIMES, 400, 5))

    assert looks(read) == ["year and mint", "mint", "year"]
    for look in read.looks:
        assert sum(group.found for group in look.groups) == 400
        assert 0 < look.chance <= 1
        assert look.tested.deciding.how in {How.CHI_SQUARE, How.LISTED}
        assert look.effect is not None
        assert 0 <= look.effect.less_chance <= look.effect.w
        assert look.to_tell == pieces_to_tell(look.effect.less_chance, len(look.tested.pools) - 1)


def test_a_look_that_has_one_group_is_left_out() -> None:
    """Of one year there is no look by year."""
    mix = expected_mix(CATALOG, ROOSEVELT, first_year=1955, last_year=1955)
    read = read_mix(mix, bag(mix, 90, 2))

    assert looks(read) == ["year and mint", "mint"]


def test_the_larger_the_bag_the_smaller_what_it_tells() -> None:
    least = [
        max(look.least_told for look in read_mix(DIMES, bag(DIMES, pieces, 1), draws=200).looks)
        for pieces in (100, 400, 1600)
    ]

    assert least == sorted(least, reverse=True)


@pytest.mark.parametrize("loss", ["0.01", "0.03", "0.06"])
def test_the_yearly_loss_that_a_bag_speaks_for_is_found_again(loss: str) -> None:
    """A bag of 6,000 drawn under a loss fits it again within three of the standard errors that are stated."""
    mix = expected_mix(CATALOG, ROOSEVELT, survival=Survival(yearly_loss=Decimal(loss)))
    fitted = fitted_loss(set_beside(DIMES, bag(mix, 6000, 8)))

    assert fitted is not None
    assert Decimal("0.0005") < fitted.error < Decimal("0.005")
    assert abs(fitted.yearly_loss - Decimal(loss)) < 3 * fitted.error
    assert fitted.mean_year > fitted.flat_year


def test_at_the_fitted_loss_the_mean_year_expected_is_the_one_found() -> None:
    mix = expected_mix(CATALOG, ROOSEVELT, survival=Survival(yearly_loss=Decimal("0.03")))
    beside = set_beside(DIMES, bag(mix, 900, 8))
    fitted = fitted_loss(beside)
    assert fitted is not None

    again = with_loss(DIMES, fitted.yearly_loss)
    mean = float(sum((row.share * row.struck.year for row in again.shares), Decimal(0)))

    assert mean == pytest.approx(fitted.mean_year, abs=0.01)
    assert again.survival.yearly_loss == fitted.yearly_loss


def test_no_loss_by_age_explains_missing_s_mints() -> None:
    rows = bag(DIMES, 600, 3, less=lambda one: one.mint == "S")
    fitted = fitted_loss(set_beside(DIMES, rows))
    assert fitted is not None
    loss = max(fitted.yearly_loss, Decimal(0))

    assert read_mix(with_loss(DIMES, loss), rows).verdict is Verdict.SEARCHED


def test_a_loss_by_age_explains_missing_old_dates() -> None:
    """A bag drawn under a heavy loss looks searched beside flat survival, and unpicked beside the loss it fits."""
    mix = expected_mix(CATALOG, "dimes", first_year=1916, survival=Survival(yearly_loss=Decimal("0.04")))
    rows = bag(mix, 600, 6)
    fitted = fitted_loss(set_beside(ALL_DIMES, rows))
    assert fitted is not None

    assert read_mix(ALL_DIMES, rows).verdict is Verdict.SEARCHED
    assert read_mix(with_loss(ALL_DIMES, fitted.yearly_loss), rows).verdict is Verdict.UNPICKED


def test_old_dates_commoner_than_their_mintage_speak_for_a_loss_below_zero() -> None:
    rows = [Row(kind=ROOSEVELT, issue="1946-P", count=90), Row(kind=ROOSEVELT, issue="1964-P", count=10)]
    fitted = fitted_loss(set_beside(DIMES, rows))

    assert fitted is not None
    assert fitted.yearly_loss < 0


@pytest.mark.parametrize("issues", [[], ["1946-P"], ["1964-P", "1964-D"]])
def test_pieces_at_the_edge_of_the_range_speak_for_no_loss(issues: list[str]) -> None:
    rows = [Row(kind=ROOSEVELT, issue=issue, count=5) for issue in issues]

    assert fitted_loss(set_beside(DIMES, rows)) is None
