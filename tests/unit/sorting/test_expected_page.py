"""Every worked figure of docs/ideas/what-the-mix-says.md, worked out again."""

import re
from collections.abc import Sequence
from decimal import Decimal
from pathlib import Path

import pytest

from ninefine.catalog.shelf import load_catalog
from ninefine.measure.numbers import to_places
from ninefine.sorting.catching import gone_to_tell, odd_count, pieces_to_catch
from ninefine.sorting.chances import at_least_one, none_of, none_when_expected, pieces_until, say_chance
from ninefine.sorting.effect import effect_of, least_told, pieces_to_tell
from ninefine.sorting.expected import Expected, expected_mix
from ninefine.sorting.found import Group, by_mint, grouped, set_beside
from ninefine.sorting.gauge import DRAWS, MOST_LISTED, drawn, listed
from ninefine.sorting.mintage import Struck
from ninefine.sorting.oddity import LEAST, chi_square, likelihood_ratio
from ninefine.sorting.searching import Sitter, prospect, sought_in
from ninefine.sorting.signs import watched
from ninefine.sorting.survival import Survival
from ninefine.sorting.tally import Row

PAGE = (Path(__file__).parents[3] / "docs" / "ideas" / "what-the-mix-says.md").read_text(encoding="utf-8")
#: The page with its lines joined, for sentences that run over two.
TEXT = re.sub(r"\s+", " ", PAGE)
CATALOG = load_catalog()
ROOSEVELT, MERCURY = "us-dime-roosevelt-silver", "us-dime-mercury"
DIMES = expected_mix(CATALOG, ROOSEVELT)
S_SHARE = next(sign.share for sign in watched(DIMES) if sign.rule.name == "S mint")
PARTS = {"all": Decimal(1), "three quarters": Decimal("0.75"), "half": Decimal("0.5"), "a quarter": Decimal("0.25")}


def table(heading: str) -> list[list[str]]:
    """The rows of the table whose first heading begins so."""
    lines = PAGE.splitlines()
    start = next(place for place, line in enumerate(lines) if line.startswith(f"| {heading}"))
    rows = []
    for line in lines[start + 2 :]:
        if not line.startswith("|"):
            break
        rows.append([cell.strip() for cell in line.strip("|").split("|")])
    assert rows
    return rows


def per_cent(part: Decimal | float, places: int = 1) -> str:
    return f"{to_places(Decimal(part) * 100, places)}%"


def whole(text: str) -> int:
    return int(text.replace(",", ""))


@pytest.mark.parametrize("row", table("loss a year"))
def test_the_table_of_survival(row: Sequence[str]) -> None:
    survival = Survival(yearly_loss=Decimal(row[0].rstrip("%")) / 100)
    mix = expected_mix(CATALOG, "dimes", survival=survival, first_year=1916)
    old = mix.share_of(lambda struck: struck.year < 1946)
    last = mix.share_of(lambda struck: struck.year == 1964)
    s_mints = mix.share_of(lambda struck: struck.mint == "S")
    late = mix.share_of(lambda struck: struck.mint == "S" and 1940 <= struck.year < 1960)

    assert row[1:] == [per_cent(old), per_cent(last), per_cent(s_mints), per_cent(late)]


@pytest.mark.parametrize("row", table("m |"))
def test_the_table_of_none(row: Sequence[str]) -> None:
    assert row[1] == per_cent(none_when_expected(Decimal(row[0])))


@pytest.mark.parametrize("row", table("dimes | S expected"))
def test_the_table_of_s_mints(row: Sequence[str]) -> None:
    pieces = whole(row[0])
    most, gone = odd_count(S_SHARE, pieces), gone_to_tell(S_SHARE, pieces)

    assert row[1:] == [
        str(to_places(S_SHARE * pieces, 1)),
        say_chance(none_of(S_SHARE, pieces)),
        "-" if most is None else str(most),
        "-" if gone is None else per_cent(gone, 0),
    ]


def test_the_share_of_s_mints() -> None:
    assert f"with the mint mark S are {per_cent(S_SHARE, 2)} of the mintage" in TEXT


@pytest.mark.parametrize("row", table("part of the S mints gone"))
def test_the_table_of_parts_gone(row: Sequence[str]) -> None:
    assert pieces_to_catch(S_SHARE, PARTS[row[0]]) == whole(row[1])


def worked_mints() -> tuple[Group, ...]:
    tally = [Row(kind=ROOSEVELT, issue=f"1955-{row[0]}", count=int(row[3])) for row in table("mint | share")]
    return grouped(set_beside(DIMES, tally), by_mint)


@pytest.mark.parametrize(("group", "row"), list(zip(worked_mints(), table("mint | share"), strict=True)))
def test_the_worked_table_by_mint(group: Group, row: Sequence[str]) -> None:
    part = (group.found - group.expected) ** 2 / group.expected

    assert row == [
        group.label,
        per_cent(group.share, 2),
        str(to_places(group.expected, 2)),
        str(group.found),
        str(to_places(part, 2)),
    ]


def test_the_sentences_below_the_worked_table() -> None:
    groups = worked_mints()
    found, expected = [group.found for group in groups], [group.expected for group in groups]
    by_chi_square, by_g = chi_square(found, expected), likelihood_ratio(found, expected)
    exact, by_drawing = listed(found, expected), drawn(found, expected)
    assert by_chi_square.value is not None
    effect = effect_of(by_chi_square.value, 2, 200)

    assert f"Chi-square {by_chi_square.value:.2f} with 2 degrees of freedom" in TEXT
    assert f"as odd with a chance of {say_chance(by_chi_square.chance)}. G is {by_g.value:.2f}." in TEXT
    assert f"listing all {exact.trials:,} outcomes the chance is {per_cent(exact.chance, 2)}" in TEXT
    assert f"came to {per_cent(by_drawing.chance, 2)}, with a standard error of {per_cent(by_drawing.error, 2)}" in TEXT
    assert f"{effect.w:.2f} here, and {effect.less_chance:.2f} with what chance alone shows taken off" in TEXT
    assert f"by mint, takes {pieces_to_tell(effect.less_chance, 2)} coins" in TEXT


@pytest.mark.parametrize("row", table("w |"))
def test_the_table_of_effects(row: Sequence[str]) -> None:
    assert [pieces_to_tell(float(row[0]), freedom) for freedom in (2, 18, 33)] == [whole(cell) for cell in row[1:]]


def test_the_rule_is_the_rule_of_the_program() -> None:
    assert f"fewer than {LEAST} are expected" in TEXT
    assert f"(at most {MOST_LISTED:,})" in TEXT
    assert f"by {DRAWS:,} bags drawn at random" in TEXT
    assert f"draws {DRAWS:,} fair bags" in TEXT
    assert least_told(39, 2) < 0.5 < least_told(38, 2)


def mix_of(issue: str) -> tuple[Expected, Struck]:
    series = {"dime": MERCURY, "quarter": "us-quarter-washington-silver", "half": "us-half-walking-liberty"}
    key, coin = issue.split()[:2]
    mix = expected_mix(CATALOG, series[coin])
    return mix, next(row.struck for row in mix.shares if row.struck.key == key)


@pytest.mark.parametrize("row", table("issue | one in"))
def test_the_table_of_issues(row: Sequence[str]) -> None:
    mix, struck = mix_of(row[0])
    share = mix.share_of(lambda one: one == struck)

    assert [whole(cell) for cell in row[1:4]] == [
        int(to_places(1 / share, 0)),
        pieces_until(share, Decimal("0.5")),
        pieces_until(share, Decimal("0.95")),
    ]
    assert row[4] == per_cent(at_least_one(share, 2500), 0)
    assert struck.unchecked == ("unchecked" in row[0])


def test_the_example_of_a_search() -> None:
    prices = {"1916-D": Decimal(600), "1921-D": Decimal(60), "1921-P": Decimal(50), "1926-S": Decimal(12)}
    mix = expected_mix(CATALOG, MERCURY)
    sitter = Sitter(pieces_per_hour=Decimal(800))
    seen = prospect(2500, sought_in(mix, lambda struck: prices.get(struck.key)), sitter)
    key = next(item for item in seen.likely if item.sought.what == "1916-D")

    assert f"On average that is {to_places(seen.worth, 2)} in {seen.hours} hours, {to_places(seen.per_hour, 2)}" in TEXT
    assert f"one standard deviation, is {to_places(seen.spread, 2)}" in TEXT
    assert f"a coin that {round(100 * (1 - key.chance))} such bags in 100 do not hold" in TEXT
    assert seen.worth / 2 < key.worth


def test_the_household_that_searched() -> None:
    """Its figures are worked in test_searching.py; the page must say the same."""
    for figure in ("= 58.26", "6.5 hours 8.96 an hour", "10.00 an hour the search did not pay", "brought 5.50 an hour"):
        assert figure in TEXT
