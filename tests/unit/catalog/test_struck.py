"""What was struck when and where, and how a date and mint that never was is refused."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ninefine.catalog.catalog import Catalog
from ninefine.catalog.kinds import Form
from ninefine.catalog.mints import MINTS, and_list, mint_mark_place, mint_name
from ninefine.catalog.shelf import load_catalog
from ninefine.errors import NeverStruckError, NotFoundError

CATALOG = load_catalog()

Struck = list[tuple[str, list[str]]]


def struck(catalog: Catalog, word: str, year: int) -> Struck:
    return [(kind.slug, [issue.key for issue in issues]) for kind, issues in catalog.struck_in(word, year)]


@pytest.mark.parametrize(
    ("word", "year", "expected"),
    [
        ("half", 1955, [("us-half-franklin", ["1955-P"])]),
        ("quarter", 1965, [("us-quarter-clad", ["1965-P"])]),
        ("half dollars", 1970, [("us-half-kennedy-40", ["1970-D", "1970-S"])]),
        ("dollar", 1940, []),
        ("quarter", 1975, []),
        ("dime", 1922, []),
        (
            "nickel",
            1942,
            [("us-five-cent-wartime", ["1942-P", "1942-S"]), ("us-five-cent-copper-nickel", ["1942-P", "1942-D"])],
        ),
        ("five-cent", 1920, [("us-five-cent-copper-nickel", [])]),
        (
            "50c",
            1976,
            [
                ("us-half-clad", ["1976-P", "1976-D", "1976-S"]),
                ("us-half-kennedy-40-bicentennial", ["1976-S"]),
            ],
        ),
        (
            "dollar",
            1921,
            [("us-dollar-morgan", ["1921-P", "1921-D", "1921-S"]), ("us-dollar-peace", ["1921-P"])],
        ),
    ],
)
def test_what_bears_a_date(catalog: Catalog, word: str, year: int, expected: Struck) -> None:
    assert struck(catalog, word, year) == expected


def test_an_unknown_denomination_is_refused_with_those_that_are_known(catalog: Catalog) -> None:
    with pytest.raises(NotFoundError, match="Try: dime, quarter, half"):
        catalog.struck_in("guinea", 1900)


def test_a_refusal_says_what_was_struck_that_year_and_the_nearest_years_of_the_mint(catalog: Catalog) -> None:
    with pytest.raises(NeverStruckError) as caught:
        catalog.check_issue("us-half-franklin", 1955, "d")

    assert caught.value.wrong == "No Denver half dollar was struck in 1955."
    assert "Franklin half dollar at Philadelphia" in caught.value.expected
    assert "Denver struck it in 1954 and 1957" in caught.value.expected
    assert caught.value.instead == ("1955-P", "1954-D", "1957-D")


def test_a_kind_is_named_where_another_of_its_denomination_was_struck_there(catalog: Catalog) -> None:
    with pytest.raises(NeverStruckError) as caught:
        catalog.check_issue("us-five-cent-wartime", 1942, "D")

    assert caught.value.wrong.startswith("No Denver Wartime Jefferson five-cent")
    assert "Copper-nickel five-cent piece at Philadelphia and Denver" in caught.value.expected


def test_the_reason_is_given_where_one_is_held(catalog: Catalog) -> None:
    with pytest.raises(NeverStruckError, match="no mintmarks were used with this date"):
        catalog.check_issue("us-half-kennedy-40", 1966, "D")


def test_no_denomination_is_denied_where_the_mints_of_another_kind_are_not_held(catalog: Catalog) -> None:
    """Commemorative half dollars bear 1922; whether San Francisco struck any is not held."""
    with pytest.raises(NeverStruckError, match="No San Francisco Walking Liberty half dollar was struck in 1922"):
        catalog.check_issue("us-half-walking-liberty", 1922, "S")


def test_a_year_outside_the_span_says_the_span_and_what_was_struck_instead(catalog: Catalog) -> None:
    with pytest.raises(NeverStruckError) as caught:
        catalog.check_issue("us-half-walking-liberty", 1955)

    assert caught.value.expected == "It was struck from 1916 to 1947. Struck in 1955: Franklin half dollar."
    with pytest.raises(NeverStruckError, match="It was struck from 1920 to 1967"):
        catalog.check_issue("ca-50c-800", 1970)
    with pytest.raises(NeverStruckError, match="in 1964"):
        catalog.check_issue("us-half-kennedy-90", 1963)
    with pytest.raises(NeverStruckError, match="from 1986 on"):
        catalog.check_issue("xag-us-eagle-1oz", 1980)


def test_runs_of_years_answer_for_kinds_without_rows(catalog: Catalog) -> None:
    issue = catalog.check_issue("us-quarter-clad", 1999, "D")

    assert issue is not None
    assert (issue.key, issue.mintage) == ("1999-D", None)
    with pytest.raises(NeverStruckError, match="No quarter was struck in 1975"):
        catalog.check_issue("us-quarter-clad", 1975)
    with pytest.raises(NeverStruckError):
        catalog.check_issue("us-dime-silver-proof-90", 1999, "D")


def test_what_the_tables_do_not_hold_passes_as_untold(catalog: Catalog) -> None:
    assert catalog.check_issue("us-half-commemorative-classic", 1926, "D") is None
    assert catalog.check_issue("ca-50c-800", 1950) is None
    assert catalog.check_issue("xag-us-eagle-1oz", 2024) is None
    assert catalog.check_issue("us-five-cent-copper-nickel", 1920, "S") is None
    assert catalog.check_issue("xag-generic-bar-10oz", 1980) is None
    assert catalog.check_issue("us-dime-mercury", 1921) is None


def test_varieties_are_told_apart(catalog: Catalog) -> None:
    plain = catalog.check_issue("us-dime-mercury", 1942, "P")
    over = catalog.check_issue("us-dime-mercury", 1942, "P", "2 over 1")

    assert plain is not None
    assert over is not None
    assert (plain.key, over.key) == ("1942-P", "1942-P:2 over 1")
    with pytest.raises(NotFoundError, match="has no variety '3 over 1' here"):
        catalog.check_issue("us-dime-mercury", 1942, "P", "3 over 1")


def test_where_only_varieties_are_listed_the_plain_name_is_untold(catalog: Catalog) -> None:
    """1853 half dollars are listed with and without arrows only."""
    assert catalog.check_issue("us-half-seated-1853-1873", 1853, "P") is None


def test_near_misses_of_kinds_and_issues(catalog: Catalog) -> None:
    with pytest.raises(NotFoundError, match="us-dime-mercury"):
        catalog.kind("us-dime-mercurry")
    with pytest.raises(NotFoundError, match="1921-D"):
        catalog.issue("us-dime-mercury", "1921D")
    with pytest.raises(NotFoundError):
        catalog.issues("nothing of the sort")


def test_every_row_of_issues_is_found_as_struck_and_every_gap_refused(catalog: Catalog) -> None:
    for slug, issues in catalog.issues_of.items():
        for issue in issues:
            assert catalog.check_issue(slug, issue.year, issue.mint, issue.variety) == issue
    for slug, year, mint in catalog.gaps:
        with pytest.raises(NeverStruckError):
            catalog.check_issue(slug, year, mint)


def test_every_issue_is_among_what_its_denomination_saw_that_year(catalog: Catalog) -> None:
    for slug, issues in catalog.issues_of.items():
        kind = catalog.kind(slug)
        if kind.form is not Form.BULLION:
            for issue in issues[::7]:
                seen = dict(catalog.struck_in(kind.denomination, issue.year))
                assert issue in seen[kind]


@settings(deadline=None)
@given(
    slug=st.sampled_from(["us-dime-mercury", "us-half-seated-heavy", "us-quarter-clad", "mx-peso-720", "not-silver"]),
    year=st.integers(1700, 2100),
    mint=st.sampled_from(["", *MINTS, "X"]),
)
def test_any_year_and_mint_is_an_issue_or_untold_or_refused(slug: str, year: int, mint: str) -> None:
    """Whatever is asked, the answer keeps to what was asked, and a refusal names the year."""
    try:
        issue = CATALOG.check_issue(slug, year, mint)
    except NeverStruckError as error:
        assert str(year) in error.wrong
    else:
        assert issue is None or (issue.year, issue.mint) == (year, mint)


def test_mints_by_name() -> None:
    assert mint_name("CC") == "Carson City"
    assert mint_name("Mo") == "Mo"
    assert and_list(["a", "b", "c"]) == "a, b and c"
    assert and_list([]) == ""


def test_where_the_mint_mark_sits() -> None:
    """Each kind has its own place, and a kind that is not held has none."""
    assert "fasces" in mint_mark_place("us-dime-mercury")
    assert "2" not in mint_mark_place("us-half-kennedy-90")
    assert "none in 1965" in mint_mark_place("us-half-kennedy-40")
    assert mint_mark_place("ca-50c-800") == ""
