"""The mintage picture: what was struck, what was not, which dates are low, which rows are unchecked."""

from collections import Counter

import pytest

from ninefine.catalog.kinds import Evidence
from ninefine.catalog.shelf import load_catalog
from ninefine.errors import NotFoundError
from ninefine.sorting.mintage import CHECKED, Struck, heap_of, kinds_within, mintage_picture, mintage_pictures

CATALOG = load_catalog()
WITH_ROWS = [kind.slug for kind in CATALOG.kinds if CATALOG.issues(kind.slug)]


def row(slug: str, key: str) -> Struck:
    return next(row for row in mintage_picture(CATALOG, slug).struck if row.key == key)


def test_the_picture_of_the_mercury_dime_sums_to_the_published_total() -> None:
    """2,677,153,880 pieces for use: two dealers' articles (see docs/data.md)."""
    picture = mintage_picture(CATALOG, "us-dime-mercury")

    assert picture.total == 2_677_153_880
    assert picture.mints == ("P", "D", "S")
    assert not picture.unchecked


@pytest.mark.parametrize("slug", WITH_ROWS)
def test_a_picture_holds_every_issue_once_and_loses_no_piece(slug: str) -> None:
    picture, issues = mintage_picture(CATALOG, slug), CATALOG.issues(slug)
    cells = [(one.year, one.mint) for one in picture.struck]

    assert Counter(cells) == Counter(set(cells))
    assert set(cells) == {(issue.year, issue.mint) for issue in issues}
    assert picture.total == sum(issue.mintage or 0 for issue in issues)
    assert sum(one.proofs or 0 for one in picture.struck) == sum(issue.proofs or 0 for issue in issues)
    assert cells == sorted(cells, key=lambda cell: (cell[0], picture.mints.index(cell[1])))


@pytest.mark.parametrize("slug", WITH_ROWS)
def test_every_year_and_mint_is_either_struck_or_said_not_to_be(slug: str) -> None:
    picture = mintage_picture(CATALOG, slug)
    kind = picture.kind
    assert kind.first_year is not None
    last = kind.last_year or max(one.year for one in picture.struck)
    idle = {one.year for one in picture.idle_years}
    told = {(one.year, one.mint) for one in picture.struck} | {(gap.year, gap.mint) for gap in picture.none_struck}

    assert told == {
        (year, mint) for year in range(kind.first_year, last + 1) if year not in idle for mint in picture.mints
    }
    assert not idle & {one.year for one in picture.struck}


def test_years_without_a_coinage_are_shown() -> None:
    """No dime was struck in 1922, 1932 and 1933 (the rows of the series, which sum to a published total)."""
    assert [idle.year for idle in mintage_picture(CATALOG, "us-dime-mercury").idle_years] == [1922, 1932, 1933]


def test_a_mint_that_paused_is_shown_with_the_reason() -> None:
    gaps = mintage_picture(CATALOG, "us-dime-mercury").none_struck

    assert [(gap.mint, bool(gap.why)) for gap in gaps if gap.year == 1921] == [("S", True)]


def test_low_dates_are_marked_fewest_first_with_what_to_check() -> None:
    picture = mintage_picture(CATALOG, "us-dime-mercury")

    assert [low.key for low in picture.low[:3]] == ["1916-D", "1921-D", "1921-P"]
    assert (picture.low[0].place, picture.low[0].rank) == (1, "key")
    assert "faked" in picture.low[0].look_for
    assert all(one.rank for one in picture.low)


def test_equal_mintages_share_the_better_place() -> None:
    """Place one is the fewest; the places of unequal figures rise with the figures."""
    struck = [one for one in mintage_picture(CATALOG, "us-quarter-barber").struck if one.mintage is not None]

    for one in struck:
        assert one.place == 1 + sum((other.mintage or 0) < (one.mintage or 0) for other in struck)


def test_a_variety_without_a_figure_counts_in_its_year_and_mint() -> None:
    """The overdate of 1942 is counted in the row without a variety, and does not make that row a key."""
    plain = row("us-dime-mercury", "1942-P")

    assert plain.mintage == 205_410_000
    assert plain.rank == ""
    assert [one.variety for one in plain.varieties] == ["2 over 1"]


def test_varieties_with_figures_of_their_own_are_added() -> None:
    """1917 Denver half dollars, mint mark on either side: 765,400 and 1,940,000."""
    both = row("us-half-walking-liberty", "1917-D")

    assert both.mintage == 765_400 + 1_940_000
    assert len(both.varieties) == 2


def test_a_year_and_mint_is_not_low_because_one_of_its_varieties_is() -> None:
    """Half dollars of 1866 San Francisco: 60,000 without the motto, a semi-key, and 994,000 with it."""
    both = row("us-half-seated-1853-1873", "1866-S")

    assert {variety.rank for variety in both.varieties} == {"semi-key", ""}
    assert (both.rank, both.look_for) == ("", "")


def test_proofs_alone_have_no_mintage_and_no_place() -> None:
    only = row("us-dollar-morgan", "1895-P")

    assert (only.mintage, only.proofs, only.place) == (None, 880, None)


@pytest.mark.parametrize("slug", WITH_ROWS)
def test_unchecked_rows_are_flagged_by_their_weakest_evidence(slug: str) -> None:
    """A row of the picture is unchecked if any issue that gives it pieces rests on memory or on a part."""
    issues = CATALOG.issues(slug)
    for one in mintage_picture(CATALOG, slug).struck:
        of_cell = [issue for issue in issues if (issue.year, issue.mint) == (one.year, one.mint)]
        counted = [issue for issue in of_cell if issue.mintage is not None] or of_cell
        assert one.unchecked == any(issue.evidence not in CHECKED for issue in counted)


def test_a_series_from_memory_says_so() -> None:
    picture = mintage_picture(CATALOG, "us-quarter-washington-silver")

    assert len(picture.unchecked) > 60
    assert {one.evidence for one in picture.unchecked} <= {Evidence.MEMORY, Evidence.PART}


@pytest.mark.parametrize(
    ("what", "heap", "kinds"),
    [
        ("us-dime-mercury", "us-dime-mercury", 1),
        ("us-quarter-90", "us-quarter-90", 4),
        ("halves", "us-half-90", 5),
        ("silver dollars", "us-dollar-90", 2),
        ("nickels", "us-five-cent-wartime", 1),
    ],
)
def test_a_heap_is_named_by_slug_or_by_any_word(what: str, heap: str, kinds: int) -> None:
    assert heap_of(CATALOG, what).slug == heap
    assert len(kinds_within(CATALOG, what)) == kinds
    assert len(mintage_pictures(CATALOG, what)) == kinds


@pytest.mark.parametrize("what", ["dubloon", "half dimes", ""])
def test_what_is_no_heap_is_refused(what: str) -> None:
    with pytest.raises(NotFoundError):
        heap_of(CATALOG, what)


def test_a_kind_without_mintages_is_refused() -> None:
    with pytest.raises(NotFoundError, match="No mintage"):
        mintage_picture(CATALOG, "household-sterling-925")
