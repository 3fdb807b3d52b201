"""Sheets and the guide: read whole or not at all, asked by the narrowest name, newest first, refused beyond their span.

All prices are invented.
"""

from datetime import date
from decimal import Decimal

import pytest

from ninefine.catalog.shelf import load_catalog
from ninefine.errors import Faults, NotFoundError, RangeError
from ninefine.worth.band import read_band
from ninefine.worth.guide import Guide, guide_of
from ninefine.worth.read_sheet import sheet_from
from ninefine.worth.sheet import Sheet

CATALOG = load_catalog()
TODAY = date(2026, 11, 25)
DIME = "us-dime-mercury"
LISTED = [("G4", "45", "50"), ("F12", "80", "98"), ("VF20", "160", "180"), ("EF40", "360", "405")]


def row(grade: str, low: str, high: str = "", **how: str) -> dict[str, object]:
    return {"kind": DIME, "issue": "1921-D", "grade": grade, "low": low, "high": high, **how}


def sheet(*rows: dict[str, object], name: str = "spring", on: str = "2026-06-01") -> Sheet:
    return sheet_from({"name": name, "on": on, "rows": list(rows)})


def guide(*sheets: Sheet, stale_after: int = 365) -> Guide:
    return guide_of(sheets, today=TODAY, stale_after=stale_after)


SPRING = sheet(*(row(*listed) for listed in LISTED))


def worth(found: Guide, band: str, issue: str = "1921-D") -> tuple[str, str, str]:
    span = found.price(DIME, issue, read_band(band)).worth
    return str(span.low), str(span.mid), str(span.high)


@pytest.mark.parametrize(
    ("band", "low", "mid", "high"),
    [
        ("VF20", "160.00", "170.00", "180.00"),
        # halfway on the numbers is the square root of the product: sqrt(45 x 80), sqrt(50 x 98)
        ("VG8", "60.00", "65.00", "70.00"),
        # sqrt(160 x 360), sqrt(180 x 405)
        ("VF30", "240.00", "255.00", "270.00"),
        # a quarter of the way: the fourth root of 160 x 160 x 160 x 360; worked with a hand calculator
        ("VF25", "195.96", "208.21", "220.45"),
        # a band takes the lowest low and the highest high within it
        ("VG8-VF30", "60.00", "165.00", "270.00"),
        ("G4-EF40", "45.00", "225.00", "405.00"),
    ],
)
def test_prices_at_between_and_over_listed_grades(band: str, low: str, mid: str, high: str) -> None:
    assert worth(guide(SPRING), band) == (low, mid, high)


@pytest.mark.parametrize("band", ["AG3", "EF45", "F12-AU50", "P1-G4"])
def test_outside_the_listed_grades_it_refuses_and_says_the_span(band: str) -> None:
    with pytest.raises(RangeError, match=r"spring lists G4 to EF40 here, and \w+ is outside"):
        worth(guide(SPRING), band)


def test_pieces_that_are_not_sound_or_not_graded_are_refused() -> None:
    with pytest.raises(RangeError, match="prices sound pieces"):
        worth(guide(SPRING), "VF20 cleaned")
    with pytest.raises(RangeError, match="No grade was said"):
        worth(guide(SPRING), "P1-MS70")


def test_proofs_and_pieces_struck_for_use_never_share_a_curve() -> None:
    both = guide(sheet(row("MS60", "50"), row("PF60", "500"), row("PF65", "900")))

    assert worth(both, "MS60")[1] == "50.00"
    assert worth(both, "PF60")[1] == "500.00"
    with pytest.raises(RangeError, match="lists MS60 here"):
        worth(both, "MS61")
    with pytest.raises(NotFoundError, match="as a proof"):
        worth(guide(SPRING), "PF65")


def test_the_newest_sheet_wins_issue_by_issue_and_whole() -> None:
    """The newer sheet lists 1921-D in two grades: those hold, and the older one's other grades do not come back."""
    older = sheet(*(row(*listed) for listed in LISTED), row("VF20", "9", issue="1921-P"), name="old", on="2024-01-01")
    newer = sheet(row("F12", "100"), row("VF20", "200"), name="new", on="2026-01-01")

    for both in (guide(older, newer), guide(newer, older)):
        assert worth(both, "VF20")[1] == "200.00"
        assert worth(both, "VF20", "1921-P")[1] == "9.00"
        with pytest.raises(RangeError, match=r"new lists F12 to VF20 here.*old of 2024-01-01 lists G4 to EF40"):
            worth(both, "EF40")


def test_of_two_sheets_of_one_day_the_later_given_counts() -> None:
    one, other = sheet(row("VF20", "1"), name="one"), sheet(row("VF20", "2"), name="other")

    assert worth(guide(one, other), "VF20")[1] == "2.00"
    assert worth(guide(other, one), "VF20")[1] == "1.00"


@pytest.mark.parametrize(("limit", "stale"), [(176, True), (177, False), (365, False)])
def test_a_sheet_is_stale_only_past_the_limit(limit: int, stale: bool) -> None:  # noqa: FBT001
    """1 June to 25 November 2026 is 177 days (29 + 31 + 31 + 30 + 31 + 25)."""
    found = guide(SPRING, stale_after=limit).price(DIME, "1921-D", read_band("VF20"))

    assert (found.age, found.stale) == (177, stale)
    assert any("177 days old" in caution for caution in found.cautions) is stale


def test_a_curve_is_as_old_as_its_oldest_price() -> None:
    mixed = sheet(row("F12", "80", on="2023-01-01"), row("VF20", "160"))

    assert mixed.rows[0].on == date(2023, 1, 1)
    assert guide(mixed).price(DIME, "1921-D", read_band("VF20")).curve.on == date(2023, 1, 1)
    assert worth(guide(mixed, sheet(row("VF20", "7"), on="2024-01-01")), "VF20")[1] == "7.00"


def test_an_issue_not_listed_goes_by_a_wider_name_and_says_so() -> None:
    listed = guide(sheet(row("VF20", "4", issue=""), row("VF20", "30", issue="1942-P"), row("VF20", "160")))

    as_any = listed.price(DIME, "1944-P", read_band("VF20"))
    as_date = listed.price(DIME, "1942-P:2 over 1", read_band("VF20"))
    itself = listed.price(DIME, "1921-D", read_band("VF20"))
    untold = listed.price(DIME, "", read_band("VF20"))

    assert (as_any.listed_as, str(as_any.worth.mid)) == ("", "4.00")
    assert as_any.cautions == ("1944-P is not listed by itself; it is priced as any issue of its kind.",)
    assert (as_date.listed_as, str(as_date.worth.mid)) == ("1942-P", "30.00")
    assert as_date.cautions == ("1942-P:2 over 1 is not listed by itself; it is priced as 1942-P.",)
    assert (itself.listed_as, itself.cautions) == ("1921-D", ())
    assert (untold.listed_as, untold.cautions) == ("", ())


def test_what_no_sheet_lists_is_not_found_with_near_misses() -> None:
    with pytest.raises(NotFoundError) as issue:
        guide(SPRING).price(DIME, "1921-S", read_band("VF20"))
    with pytest.raises(NotFoundError) as kind:
        guide(SPRING).price("us-dime-mercuri", "", read_band("VF20"))

    assert issue.value.instead == ("1921-D",)
    assert kind.value.instead == (DIME,)
    assert guide(SPRING).span(DIME, "1921-D") == "G4 to EF40"


def test_a_sheet_that_falls_says_so_only_where_the_band_leans_on_it() -> None:
    falling = guide(sheet(row("F12", "10"), row("VF20", "20"), row("EF40", "18"), row("MS60", "30")))

    over = falling.price(DIME, "1921-D", read_band("VF30"))
    clear = falling.price(DIME, "1921-D", read_band("F15"))
    across = falling.price(DIME, "1921-D", read_band("F12-EF40"))

    assert over.cautions == ("spring itself falls from VF20 (20) to EF40 (18).",)
    assert clear.cautions == ()
    assert (across.worth.low, across.worth.high) == (Decimal(10), Decimal(20))


def test_a_price_says_how_it_came_about() -> None:
    found = guide(SPRING).price(DIME, "1921-D", read_band("VF20-VF30"))

    listed, between = found.worked
    assert listed == "VF20 is listed: 160 to 180."
    assert between.startswith("VF30 lies 10 of 20 points from VF20 (160 to 180) to EF40 (360 to 405): 240.00 to 270.00")


def test_a_sheet_reads_back_from_its_plain_values() -> None:
    mixed = sheet_from(
        {
            "name": "spring",
            "on": "2026-06-01",
            "source": "a show",
            "note": "invented",
            "rows": [row("VF20", "160.50", "180"), row("EF40", "3", on="2025-01-01", source="the club", issue="")],
        },
        catalog=CATALOG,
    )

    assert sheet_from(mixed.as_dict(), catalog=CATALOG) == mixed
    assert (mixed.rows[0].source, mixed.rows[1].source) == ("a show", "the club")
    assert mixed.rows[0].high == Decimal(180)


def test_a_year_alone_is_philadelphia_on_coin_made_for_use() -> None:
    """No letter means no mint mark, that is Philadelphia (common practice); bullion names no mint."""
    eagle = {"kind": "xag-us-eagle-1oz", "issue": "1990", "grade": "MS69", "low": "40"}
    rows = [row("VF20", "5", issue="1944"), eagle]
    known = sheet_from({"name": "x", "on": "2026-01-01", "rows": rows}, catalog=CATALOG)

    assert [one.issue for one in known.rows] == ["1944-P", "1990"]


def test_every_fault_of_a_sheet_comes_out_at_once_at_its_field() -> None:
    bad = {
        "name": "",
        "on": "2027-01-01",
        "shape": "round",
        "rows": [
            row("VF", "0", "x", kind="us-dime-merc"),
            row("VF20", "5", "3", issue="1964-D"),
            row("VF20", "5"),
            row("20", "6", colour="red"),
            row("VF30", "", issue="last year"),
            row("EF40", "9", on="2026-12-01"),
        ],
    }
    with pytest.raises(Faults) as caught:
        sheet_from(bad, catalog=CATALOG, today=TODAY)

    assert [fault.where for fault in caught.value.faults] == [
        "on",
        "name",
        "rows 1: kind",
        "rows 1: grade",
        "rows 1: low",
        "rows 1: high",
        "rows 2: issue",
        "rows 2: high",
        "rows 4: colour",
        "rows 4: grade",
        "rows 5: issue",
        "rows 5: low",
        "rows 6: on",
        "shape",
    ]


@pytest.mark.parametrize("bad", [{}, {"name": "x", "on": "2026-01-01"}, {"name": "x", "rows": [row("VF20", "1")]}])
def test_a_sheet_needs_a_name_a_date_and_a_row(bad: dict[str, object]) -> None:
    with pytest.raises(Faults):
        sheet_from(bad)


def test_rows_whose_issue_cannot_be_read_are_not_called_the_same() -> None:
    rows = [row("VF20", "5", issue="last year"), row("VF20", "6", issue="long ago")]
    with pytest.raises(Faults) as caught:
        sheet_from({"name": "x", "on": "2026-01-01", "rows": rows})

    assert [fault.where for fault in caught.value.faults] == ["rows 1: issue", "rows 2: issue"]
