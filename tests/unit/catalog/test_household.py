"""Household silver: marks, plate, and how much of an article is silver."""

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ninefine.catalog.catalog import Catalog
from ninefine.catalog.household import (
    built_as,
    construction,
    constructions,
    fine_range,
    plate_marks,
    read_mark,
    standards,
)
from ninefine.catalog.kinds import Form
from ninefine.errors import NotFoundError


@pytest.mark.parametrize(
    ("mark", "claimed"),
    [
        ("STERLING", ["household-sterling-925"]),
        ("sterling", ["household-sterling-925"]),
        ("925", ["household-sterling-925"]),
        (".925", ["household-sterling-925"]),
        ("STER.", ["household-sterling-925"]),
        ("95.84", ["household-britannia-9584"]),
        ("800", ["household-continental-800"]),
        ("830S", ["household-scandinavia-830"]),
        ("COIN", ["household-coin-900"]),
        ("C", ["household-coin-900"]),
        ("crown and crescent", ["household-continental-800"]),
        ("Minerva", ["household-france-950", "household-continental-800"]),
    ],
)
def test_marks_that_claim_a_standard(mark: str, claimed: list[str]) -> None:
    reading = read_mark(mark)

    assert [standard.slug for standard in reading.standards] == claimed
    assert not reading.plate


@pytest.mark.parametrize(
    "mark", ["EPNS", "German Silver", "A1", "sterling inlaid", "Alpaca", "1847 Rogers Bros", "1/20 12K GF", "inox"]
)
def test_marks_that_mean_plate_claim_no_standard(mark: str) -> None:
    reading = read_mark(mark)

    assert reading.plate
    assert not reading.standards
    assert reading.caution


@pytest.mark.parametrize("mark", ["84", "90"])
def test_a_number_alone_is_read_both_ways(mark: str) -> None:
    """84 is a zolotnik standard and a plating figure; 90 is coin silver and a plating figure (common practice)."""
    reading = read_mark(mark)

    assert len(reading.standards) == 1
    assert reading.plate
    assert any("o not read 90 as .900" in said for said in reading.caution)


def test_weighted_sterling_is_sterling_with_a_warning() -> None:
    reading = read_mark("STERLING WEIGHTED")

    assert [standard.slug for standard in reading.standards] == ["household-sterling-925"]
    assert any("count the low end" in said for said in reading.caution)


def test_a_maker_of_plate_may_sign_sterling_too() -> None:
    reading = read_mark("Rogers Sterling")

    assert reading.standards
    assert reading.plate


@pytest.mark.parametrize("mark", ["", "hello", "xyzzy", "silver"])
def test_an_unknown_mark_counts_for_nothing_until_tested(mark: str) -> None:
    reading = read_mark(mark)

    assert not reading.known
    assert any("until a test" in said for said in reading.caution)


@settings(deadline=None)
@given(st.text(max_size=60))
def test_any_mark_is_read_with_a_caution_where_it_is_not_plainly_known(mark: str) -> None:
    reading = read_mark(mark)

    assert reading.known or reading.caution


def test_every_mark_of_a_standard_claims_it() -> None:
    """A standard's own marks lead to it, single letters and descriptions excepted."""
    for standard in standards():
        if standard.fineness is None:
            continue
        for mark in standard.marks:
            plain = mark.split(" (")[0].split(" before ")[0].split(" on ")[0]
            if len(plain) > 1 and "none" not in plain and "marks" not in plain and "only" not in plain:
                assert standard in read_mark(plain).standards, plain


def test_a_weighted_piece_is_a_range_of_silver(catalog: Catalog) -> None:
    """274 g weighted: 5 to 25% of it sterling (published dissection, 28.5 g of 274 g, lies inside)."""
    kind = catalog.kind("household-sterling-925.weighted-candlestick")

    found = fine_range(kind, Decimal(274))

    assert abs(found.low_ozt - Decimal("0.4074")) < Decimal("0.0001")
    assert abs(found.high_ozt - Decimal("2.0372")) < Decimal("0.0001")
    dissected = Decimal("28.5") * Decimal("0.925") / Decimal("31.1034768")
    assert found.low_ozt < dissected < found.high_ozt


def test_a_solid_piece_is_no_range(catalog: Catalog) -> None:
    found = fine_range(catalog.kind("household-sterling-925"), Decimal(1461))

    assert found.low_ozt == found.high_ozt
    assert abs(found.low_ozt - Decimal("43.4494")) < Decimal("0.0001")


def test_every_standard_can_be_built_in_every_way(catalog: Catalog) -> None:
    for standard in standards():
        kind = catalog.kind(standard.slug)
        for built in constructions():
            made = catalog.kind(f"{standard.slug}.{built.key}")
            assert made == built_as(kind, built)
            assert made.form is Form.HOUSEHOLD
            assert (made.share_low, made.share_high) == (built.share_low, built.share_high)


def test_a_construction_that_is_not_held_is_refused(catalog: Catalog) -> None:
    with pytest.raises(NotFoundError):
        construction("balloon")
    with pytest.raises(NotFoundError):
        catalog.kind("household-sterling-925.balloon")
    with pytest.raises(NotFoundError):
        catalog.kind("us-dime-mercury.weighted-candlestick")


def test_unmarked_silver_counts_for_nothing(catalog: Catalog) -> None:
    assert fine_range(catalog.kind("household-unmarked"), Decimal(100)).high_ozt == 0


def test_plate_marks_have_texts_and_meanings() -> None:
    for mark in plate_marks():
        assert mark.texts
        assert mark.meaning
