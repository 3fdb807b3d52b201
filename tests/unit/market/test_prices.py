"""What a metal cost on a day: own marks first, labelled averages after, never a silent guess."""

from datetime import date, timedelta
from decimal import Decimal
from itertools import pairwise

import pytest

from ninefine.book.holdings import PriceMark
from ninefine.errors import NotFoundError
from ninefine.market.prices import PriceBoard, StampKind
from ninefine.market.series import ATTRIBUTION, annual, consumer_prices, licence_text, monthly
from ninefine.measure.numbers import to_places


def mark(on: str, per_ozt: str, **more: str | int) -> PriceMark:
    """A price that the person set down."""
    return PriceMark(
        serial=int(more.get("serial", 1)),
        on=date.fromisoformat(on),
        at=str(more.get("at", "")),
        metal=str(more.get("metal", "XAG")),
        per_ozt=Decimal(per_ozt),
        side=str(more.get("side", "spot")),
        whose=str(more.get("whose", "Alder Coin's screen")),
    )


class TestOwnMarks:
    """The person's own dated prices come before any average."""

    board = PriceBoard(
        marks=(
            mark("2024-03-01", "22.90"),
            mark("2024-03-05", "24.10", at="10:15"),
            mark("2024-03-05", "24.30", at="16:00"),
        )
    )

    def test_the_latest_on_or_before_the_day_wins(self) -> None:
        """Two marks of a day: the later hour. A mark of a later day is not seen."""
        assert self.board.at(date(2024, 3, 6)).per_ozt == Decimal("24.30")
        found = self.board.at(date(2024, 3, 4))
        assert (found.per_ozt, found.kind, found.stale_days, found.stale) == (Decimal("22.90"), StampKind.OWN, 3, False)
        assert found.whose == "Alder Coin's screen"

    def test_a_mark_stands_seven_days_and_then_gives_way_to_the_average(self) -> None:
        """On the eighth day the month's average is shown, as an average."""
        assert self.board.at(date(2024, 3, 12)).kind is StampKind.OWN
        found = self.board.at(date(2024, 3, 13))
        assert (found.kind, found.per_ozt) == (StampKind.MONTH, monthly("XAG").points[-28].per_ozt)
        assert found.note == "monthly average of March 2024, not the day's price"

    def test_an_old_mark_beats_an_older_average_and_is_stale(self) -> None:
        """After the last average the own mark is the nearest thing known; it says how old it is."""
        last = monthly("XAG").points[-1].last
        board = PriceBoard(marks=(mark(str(last + timedelta(days=10)), "70.00"),))
        found = board.at(last + timedelta(days=40))
        assert (found.kind, found.stale_days, found.stale) == (StampKind.OWN, 30, True)
        assert "30 days old, stale" in found.note

    def test_a_mark_of_a_weekend_is_the_friday_close(self) -> None:
        """2024-03-09 was a Saturday."""
        found = PriceBoard(marks=(mark("2024-03-09", "24.30"),)).at(date(2024, 3, 10))
        assert "Saturday, so the Friday close" in found.note

    def test_a_weekend_asked_for_says_that_no_market_is_open(self) -> None:
        """Friday's mark on a Sunday."""
        found = PriceBoard(marks=(mark("2024-03-08", "24.30"),)).at(date(2024, 3, 10))
        assert found.note == ("spot on 2024-03-08; 2 days old; Sunday has no market: prices stand at the Friday close")

    def test_bid_and_ask_are_kept_apart_from_spot(self) -> None:
        """A bid answers only when a bid is asked for; spot stands in for a bid that was not read."""
        board = PriceBoard(marks=(mark("2024-03-05", "24.30"), mark("2024-03-06", "24.05", side="bid")))
        assert board.at(date(2024, 3, 6)).per_ozt == Decimal("24.30")
        assert board.at(date(2024, 3, 6), side="bid").per_ozt == Decimal("24.05")
        found = board.at(date(2024, 3, 6), side="ask")
        assert (found.per_ozt, found.side) == (Decimal("24.30"), "spot")

    def test_metals_are_kept_apart(self) -> None:
        """A platinum mark prices platinum alone."""
        board = PriceBoard(marks=(mark("2024-03-05", "880", metal="XPT"),))
        assert board.at(date(2024, 3, 6), "XPT").per_ozt == Decimal(880)
        assert board.at(date(2024, 3, 6)).kind is StampKind.MONTH
        assert [row.metal for row in board.own("XPT")] == ["XPT"]


class TestAverages:
    """Averages are a fallback that says it is one."""

    def test_the_last_of_december_2023(self) -> None:
        """23.878: World Bank Pink Sheet, December 2023."""
        found = PriceBoard().at(date(2023, 12, 31))
        assert (found.per_ozt, found.kind, found.stale) == (Decimal("23.878"), StampKind.MONTH, False)
        assert "not the day's price" in found.note
        assert found.whose.startswith("World Bank Pink Sheet")

    def test_after_the_last_month_it_is_stale(self) -> None:
        """The last average stands on, flagged with its age."""
        last = monthly("XAG").points[-1]
        found = PriceBoard().at(last.last + timedelta(days=50))
        assert (found.per_ozt, found.stale_days, found.stale) == (last.per_ozt, 50, True)

    def test_before_the_months_a_year_answers(self) -> None:
        """Silver of 1932 has an annual unit value; gold of 1932 has none here."""
        found = PriceBoard().at(date(1932, 6, 1))
        assert (found.kind, found.on) == (StampKind.YEAR, date(1932, 12, 31))
        assert found.note == "annual average of 1932, not the day's price"
        with pytest.raises(NotFoundError, match="no price of gold on or before 1932-06-01") as caught:
            PriceBoard().at(date(1932, 6, 1), "XAU")
        assert caught.value.instead == ("32.00 on 1932-06-01",)

    def test_a_book_in_another_currency_has_no_averages(self) -> None:
        """The packaged averages are U.S. dollars and are not shown as anything else."""
        with pytest.raises(NotFoundError):
            PriceBoard(averages=False).at(date(2023, 12, 31))

    @pytest.mark.parametrize("metal", ["XAG", "XAU"])
    def test_months_follow_each_other_without_gaps(self, metal: str) -> None:
        """Each month begins the day after the one before ends; 1960 to 2026-06."""
        points = monthly(metal).points
        assert (points[0].first, points[-1].last) == (date(1960, 1, 1), date(2026, 6, 30))
        assert all(one.last + timedelta(days=1) == other.first for one, other in pairwise(points))

    def test_annual_silver_is_the_mean_of_its_months(self) -> None:
        """From 1960 on the two packaged tables agree, to the digits printed."""
        months = monthly("XAG").points
        for year in annual("XAG").points:
            own = [month.per_ozt for month in months if month.first.year == year.first.year]
            if own:
                assert abs(sum(own, Decimal(0)) / len(own) - year.per_ozt) <= Decimal("0.0006")

    def test_terms_travel_with_the_figures(self) -> None:
        """The licence file is packaged and the attribution names publisher and licence."""
        assert "CC BY 4.0" in licence_text()
        assert "World Bank" in ATTRIBUTION
        assert ATTRIBUTION.count("CC BY 4.0") == 1


class TestConstantDollars:
    """The consumer price index, annual means."""

    def test_2019_dollars_in_2025(self) -> None:
        """3,360.00 x 321.943 / 255.6574 = 4,231.16 (BLS CPI-U)."""
        assert to_places(consumer_prices().in_dollars_of(2025, Decimal("3360.00"), 2019), 2) == Decimal("4231.16")

    def test_spot_checks_of_the_index(self) -> None:
        """1980 82.4, 2000 172.2, 2020 258.811 (from memory of the published table)."""
        means = consumer_prices().means
        assert [to_places(means[year], 1) for year in (1980, 2000, 2020)] == [
            Decimal("82.4"),
            Decimal("172.2"),
            Decimal("258.8"),
        ]

    def test_a_year_outside_the_table_says_how_far_it_reaches(self) -> None:
        """1913 to 2025."""
        with pytest.raises(NotFoundError, match="from 1913 to 2025") as caught:
            consumer_prices().mean(1900)
        assert caught.value.instead == ("1913",)
