"""Laws of the guide: prices between grades, ranges over bands, totals that carry their range."""

import math
from datetime import date
from decimal import Decimal
from itertools import pairwise

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from ninefine.measure.money import cents
from ninefine.worth.band import Band, band_at
from ninefine.worth.grades import NUMBERS, Grade
from ninefine.worth.guide import Guide, guide_of
from ninefine.worth.read_sheet import sheet_from
from ninefine.worth.sheet import Curve, Sheet, SheetRow, curves_of
from ninefine.worth.span import Grading, Span, total

DAY = date(2026, 1, 1)
KIND, ISSUE = "us-dime-mercury", "1921-D"
CENT = Decimal("0.01")

prices = st.decimals(min_value="0.01", max_value="99999", places=2)


def sheet_of(rows: list[tuple[int, Decimal, Decimal]]) -> Sheet:
    return Sheet(
        name="any",
        on=DAY,
        rows=tuple(
            SheetRow(kind=KIND, issue=ISSUE, grade=Grade(number=number), low=low, high=high, on=DAY)
            for number, low, high in rows
        ),
    )


@st.composite
def sheets(draw: st.DrawFn, *, rising: bool = False) -> Sheet:
    """Any sheet of one issue in two grades or more; with `rising`, low and high prices never fall."""
    numbers = sorted(draw(st.sets(st.sampled_from(NUMBERS), min_size=2, max_size=8)))
    pairs = [sorted(draw(st.tuples(prices, prices))) for _ in numbers]
    if rising:
        lows, highs = sorted(low for low, _ in pairs), sorted(high for _, high in pairs)
        pairs = [list(pair) for pair in zip(lows, highs, strict=True)]
    return sheet_of([(number, low, high) for number, (low, high) in zip(numbers, pairs, strict=True)])


def curve_of(sheet: Sheet) -> Curve:
    return curves_of(sheet)[KIND, ISSUE, False]


def guide(sheet: Sheet) -> Guide:
    return guide_of([sheet], today=DAY)


def priced(sheet: Sheet) -> list[int]:
    """Every number of the scale that a sheet reaches."""
    rows = curve_of(sheet).rows
    return [number for number in NUMBERS if rows[0].grade.number <= number <= rows[-1].grade.number]


def worth(sheet: Sheet, low: int, high: int) -> Span:
    return guide(sheet).price(KIND, ISSUE, Band(low=low, high=high)).worth


class TestBetweenListedGrades:
    """The logarithm of the price runs in a straight line over the numbers of the scale, low and high apart."""

    @settings(deadline=None)
    @given(sheets())
    def test_it_is_exact_at_listed_grades(self, sheet: Sheet) -> None:
        for row in sheet.rows:
            assert curve_of(sheet).at(row.grade.number) == (row.low, row.high)
            assert (worth(sheet, row.grade.number, row.grade.number).low) == row.low
            assert (worth(sheet, row.grade.number, row.grade.number).high) == row.high

    @settings(deadline=None)
    @given(sheets())
    def test_it_lies_between_its_neighbours(self, sheet: Sheet) -> None:
        for lower, higher in pairwise(sheet.rows):
            for number in (one for one in NUMBERS if lower.grade.number < one < higher.grade.number):
                found = worth(sheet, number, number)
                assert min(lower.low, higher.low) <= found.low <= max(lower.low, higher.low)
                assert min(lower.high, higher.high) <= found.high <= max(lower.high, higher.high)

    @settings(deadline=None)
    @given(sheets(rising=True))
    def test_it_never_falls_where_the_listed_prices_do_not(self, sheet: Sheet) -> None:
        found = [worth(sheet, number, number) for number in priced(sheet)]

        assert not curve_of(sheet).dips
        for lower, higher in pairwise(found):
            assert lower.low <= higher.low
            assert lower.high <= higher.high

    @settings(deadline=None)
    @given(sheets())
    def test_wherever_it_falls_the_sheet_itself_falls_there(self, sheet: Sheet) -> None:
        """Its own dips are named, and nothing else falls."""
        dips = {(lower.grade.number, higher.grade.number) for lower, higher in curve_of(sheet).dips}
        for lower, higher in pairwise(priced(sheet)):
            one, other = worth(sheet, lower, lower), worth(sheet, higher, higher)
            if other.low < one.low or other.high < one.high:
                assert any(first <= lower and higher <= last for first, last in dips)

    @settings(deadline=None)
    @given(sheets())
    def test_it_agrees_with_the_formula_by_binary_logarithms(self, sheet: Sheet) -> None:
        """The same rule worked with floating-point logarithms of the C library, to a millionth."""
        for lower, higher in pairwise(sheet.rows):
            first, last = lower.grade.number, higher.grade.number
            for number in (one for one in NUMBERS if first < one < last):
                part = (number - first) / (last - first)
                for found, ends in zip(
                    curve_of(sheet).at(number), ((lower.low, higher.low), (lower.high, higher.high)), strict=True
                ):
                    logs = [math.log2(end) for end in ends]
                    assert math.isclose(found, 2 ** (logs[0] + (logs[1] - logs[0]) * part), rel_tol=1e-6)

    @settings(deadline=None)
    @given(sheets())
    def test_low_never_passes_high(self, sheet: Sheet) -> None:
        for number in priced(sheet):
            found = worth(sheet, number, number)
            assert found.low <= found.mid <= found.high


class TestBands:
    """A band's worth holds the worth of every grade within it, and no more."""

    @settings(deadline=None)
    @given(sheets(), st.data())
    def test_a_band_spans_just_its_grades(self, sheet: Sheet, data: st.DataObject) -> None:
        reach = priced(sheet)
        low, high = sorted(data.draw(st.tuples(st.sampled_from(reach), st.sampled_from(reach))))
        assume(Band(low=low, high=high).told)
        single = [worth(sheet, number, number) for number in reach if low <= number <= high]

        found = worth(sheet, low, high)

        assert found.low == min(one.low for one in single)
        assert found.high == max(one.high for one in single)

    @settings(deadline=None)
    @given(sheets())
    def test_its_middle_is_halfway_to_the_cent(self, sheet: Sheet) -> None:
        reach = priced(sheet)
        assume(Band(low=reach[0], high=reach[-1]).told)
        found = worth(sheet, reach[0], reach[-1])

        assert found.mid == cents((found.low + found.high) / 2)


spans = st.tuples(prices, prices).map(lambda ends: Span.of(min(ends), max(ends)))


class TestTotals:
    """Totals add up, and carry a range that goes by how grading errs."""

    @settings(deadline=None)
    @given(st.lists(spans, max_size=12))
    def test_together_every_column_adds_up(self, parts: list[Span]) -> None:
        whole = total(parts, Grading.TOGETHER)

        assert whole.low == sum(part.low for part in parts)
        assert whole.mid == sum(part.mid for part in parts)
        assert whole.high == sum(part.high for part in parts)

    @settings(deadline=None)
    @given(st.lists(spans, max_size=12))
    def test_apart_the_middles_add_up_and_the_range_lies_within(self, parts: list[Span]) -> None:
        together, apart = total(parts, Grading.TOGETHER), total(parts, Grading.APART)

        assert apart.mid == together.mid
        assert together.low <= apart.low <= apart.mid <= apart.high <= together.high

    @settings(deadline=None)
    @given(st.lists(spans, max_size=12))
    def test_apart_is_the_root_of_the_sum_of_squares(self, parts: list[Span]) -> None:
        """Independent errors: the widths on each side, as `math.hypot` joins them."""
        apart = total(parts, Grading.APART)

        below = math.hypot(*(float(part.mid - part.low) for part in parts))
        above = math.hypot(*(float(part.high - part.mid) for part in parts))
        assert math.isclose(apart.mid - apart.low, below, abs_tol=0.006, rel_tol=1e-9)
        assert math.isclose(apart.high - apart.mid, above, abs_tol=0.006, rel_tol=1e-9)

    @settings(deadline=None)
    @given(spans)
    def test_one_piece_keeps_its_range_either_way(self, part: Span) -> None:
        assert total([part], Grading.APART) == total([part], Grading.TOGETHER) == part

    @settings(deadline=None)
    @given(spans, st.integers(2, 9))
    def test_like_pieces_apart_are_as_wide_as_the_root_of_their_number(self, part: Span, number: int) -> None:
        assume(part.high - part.low >= 1)
        apart = total([part] * number, Grading.APART)

        assert abs((apart.mid - apart.low) - (part.mid - part.low) * Decimal(number).sqrt()) <= CENT


@settings(deadline=None)
@given(sheets())
def test_a_sheet_reads_back_from_its_plain_values(sheet: Sheet) -> None:
    assert sheet_from(sheet.as_dict()) == sheet


@settings(deadline=None)
@given(sheets(), st.sampled_from(NUMBERS))
def test_a_price_is_told_just_where_the_sheet_reaches(sheet: Sheet, number: int) -> None:
    """Inside its span always, outside never."""
    try:
        guide(sheet).price(KIND, ISSUE, band_at(Grade(number=number)))
    except ValueError as error:
        assert number not in priced(sheet)
        assert curve_of(sheet).span in str(error)
    else:
        assert number in priced(sheet)
