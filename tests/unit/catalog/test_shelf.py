"""The reader of the packaged tables: what joins, what is refused, and how fast."""

import time
from decimal import Decimal

import pytest

from ninefine.catalog import household, us_rows
from ninefine.catalog.catalog import HEAPS, Catalog
from ninefine.catalog.kinds import Evidence, Form, Issue, Kind
from ninefine.catalog.lookup import look
from ninefine.catalog.other_rows import face_of, parse_bullion, parse_heaps, parse_world
from ninefine.catalog.shelf import join, load_catalog
from ninefine.catalog.tables import packaged_lines
from ninefine.catalog.us_rows import Gap, Sought, parse_keys, parse_us_issues, parse_us_types
from ninefine.errors import Faults

SMALL_90 = ("us-dime-mercury", "us-quarter-barber", "us-half-walking-liberty", "us-half-kennedy-90")


def test_every_kind_has_a_source_and_counts_no_more_than_pure_metal(catalog: Catalog) -> None:
    for kind in catalog.kinds:
        assert kind.source
        assert 0 <= kind.fineness <= 1
        assert kind.gross_g is None or kind.gross_g > 0


@pytest.mark.parametrize("slug", SMALL_90)
def test_small_90_coin_is_counted_by_the_trade_at_0_715_of_face(catalog: Catalog, slug: str) -> None:
    kind = catalog.kind(slug)

    assert kind.by_face
    assert kind.face is not None
    assert kind.trade_ozt == Decimal("0.715") * kind.face
    assert kind.trade_ozt_per_face == Decimal("0.715")


def test_dollars_and_40_per_cent_halves_have_their_own_trade_counts(catalog: Catalog) -> None:
    assert catalog.kind("us-dollar-peace").trade_ozt == Decimal("0.765")
    assert catalog.kind("us-half-kennedy-40").trade_ozt == Decimal("0.1475")


@pytest.mark.parametrize(
    "slug",
    [
        "us-half-seated-heavy",
        "us-dollar-trade",
        "us-dollar-seated",
        "us-twenty-cent",
        "ca-50c-800",
        "us-five-cent-wartime",
    ],
)
def test_coin_that_the_trade_has_no_count_for_has_none(catalog: Catalog, slug: str) -> None:
    assert catalog.kind(slug).trade_ozt is None


def test_bullion_counts_its_stated_ounces_by_trade_and_its_arithmetic_unworn(catalog: Catalog) -> None:
    kind = catalog.kind("xag-us-eagle-1oz")

    assert kind.trade_ozt == 1
    assert kind.fine_ozt is not None
    assert kind.fine_ozt < Decimal("0.999")


def test_a_coin_that_stands_in_two_tables_is_one_kind_with_issues(catalog: Catalog) -> None:
    by_other_name = catalog.kind("us-silver-eagle-bullion")

    assert by_other_name is catalog.kind("xag-us-eagle-1oz")
    assert by_other_name.face == 1
    assert catalog.issue("us-silver-eagle-bullion", "1996-P").kind == "xag-us-eagle-1oz"
    assert "us-silver-eagle-bullion" not in catalog.by_slug


def test_forms(catalog: Catalog) -> None:
    forms = {
        "us-dime-mercury": Form.CONSTITUTIONAL,
        "us-dollar-trade": Form.CONSTITUTIONAL,
        "us-half-kennedy-40": Form.OTHER_COIN,
        "us-half-commemorative-classic": Form.OTHER_COIN,
        "mx-peso-720": Form.OTHER_COIN,
        "xau-gb-sovereign": Form.BULLION,
        "household-sterling-925": Form.HOUSEHOLD,
        "not-silver": Form.NO_SILVER,
        "us-quarter-clad": Form.NO_SILVER,
    }

    assert {slug: catalog.kind(slug).form for slug in forms} == forms


def test_base_metal_counts_for_nothing_by_piece_and_by_face(catalog: Catalog) -> None:
    for kind in catalog.kinds:
        if kind.form is Form.NO_SILVER:
            assert kind.fine_ozt == kind.fine_ozt_per_face == kind.trade_ozt == 0


def test_what_sorters_look_for_is_laid_onto_the_issues(catalog: Catalog) -> None:
    key = catalog.issue("us-dime-mercury", "1916-D")

    assert key.rank == "key"
    assert "faked" in key.look_for
    assert catalog.issue("us-dime-mercury", "1944-P").rank == ""
    ranked = [issue for issues in catalog.issues_of.values() for issue in issues if issue.rank]
    assert len(ranked) == len(packaged_lines("us/keys.csv")) - 1


def test_a_rank_is_not_said_twice_in_a_note(catalog: Catalog) -> None:
    assert catalog.issue("us-half-kennedy-40", "1970-D").note == "collector sets only, not released for circulation"
    assert catalog.issue("us-quarter-washington-silver", "1932-D").note == ""


def test_every_fault_of_a_table_is_reported_at_its_line_and_column() -> None:
    head, first, *_ = packaged_lines("us/us_types.csv")
    heavy = first.replace("three-cent-1851-1853", "half-kennedy-90").replace("0.8019", "12.9")
    word = first.replace("0.8019", "light").rpartition(",")[0] + ",hearsay"

    with pytest.raises(Faults) as caught:
        parse_us_types([head, heavy, word, "too,few"])

    said = str(caught.value)
    assert "line 2, gross_weight_g: 12.9 does not round 12.5" in said
    assert "line 3, gross_weight_g: 'light' is not a number" in said
    assert "line 3, evidence: 'hearsay' is not one of" in said
    assert "line 4: has 2 cells; 17 are expected" in said


def test_a_table_with_another_head_is_refused() -> None:
    with pytest.raises(Faults, match="line 1"):
        parse_keys(["type_id,year", "a,1"])


def test_years_mints_counts_and_ranks_are_checked() -> None:
    issues, keys = packaged_lines("us/us_issues.csv")[0], packaged_lines("us/keys.csv")[0]

    with pytest.raises(Faults, match=r"3 faults") as caught:
        parse_us_issues([issues, "dime-barber,189,X,,many,,,from memory,memory"])
    assert [fault.where for fault in caught.value.faults] == [
        "line 2, year",
        "line 2, mint",
        "line 2, mintage_business",
    ]
    with pytest.raises(Faults, match=r"1 fault in"):
        parse_keys([keys, "dime-barber,1895,O,,best,reason,common practice,convention"])


def test_bad_cells_of_the_other_tables_are_faults() -> None:
    bullion = packaged_lines("world/bullion_types.csv")
    with pytest.raises(Faults, match="must be zero or more"):
        parse_bullion([bullion[0], bullion[1].replace("31.103", "-31.103")])
    with pytest.raises(Faults, match="metal"):
        parse_bullion([bullion[0], bullion[1].replace("XAG", "TIN")])
    world = packaged_lines("world/world_types.csv")
    with pytest.raises(Faults, match="more than 1"):
        parse_world([world[0], world[1].replace("0.925", "925")])
    heaps = packaged_lines("heaps.csv")
    with pytest.raises(Faults, match="form"):
        parse_heaps([heaps[0], heaps[1].replace("constitutional", "coinage")])
    shares = packaged_lines("world/household_construction.csv")
    with pytest.raises(Faults, match="more than the high share"):
        household.parse_constructions([shares[0], shares[1].replace("1.00,1.00", "0.90,0.10")])


def test_tables_that_disagree_are_refused_with_every_fault() -> None:
    kind = Kind(slug="k", name="K", form=Form.OTHER_COIN, fineness=Decimal(1), source="s", evidence=Evidence.MEMORY)
    issue = Issue(kind="k", year=1900, mint="P", source="s", evidence=Evidence.MEMORY)

    with pytest.raises(Faults) as caught:
        join(
            kinds=[kind, kind],
            issues=[issue, issue],
            sought=[Sought(kind="k", key="1901-P", rank="key", reason="r")],
            gaps=[Gap(kind="k", year=1900, mint="P", note="n"), Gap(kind="x", year=1900, mint="P", note="n")],
            runs=[],
        )

    said = str(caught.value)
    for wrong in ("names two kinds", "stands twice", "sought but is no issue", "both struck and not", "x: has rows"):
        assert wrong in said


@pytest.mark.parametrize(
    ("denomination", "face"),
    [
        ("10 cents", "0.1"),
        ("1/2 franc", "0.5"),
        ("2 1/2 gulden", "2.5"),
        ("8 reales", None),
        ("2 shillings 6 pence", None),
    ],
)
def test_face_in_the_coins_own_unit(denomination: str, face: str | None) -> None:
    assert face_of(denomination) == (None if face is None else Decimal(face))


def test_heaps_hold_what_their_face_says(catalog: Catalog) -> None:
    families = {slug: {kind.slug for kind in catalog.family(slug)} for slug in HEAPS}

    assert families["us-dime-90"] == {
        "us-dime-seated-1873-1891",
        "us-dime-barber",
        "us-dime-mercury",
        "us-dime-roosevelt-silver",
    }
    assert families["us-dollar-90"] == {"us-dollar-morgan", "us-dollar-peace"}
    assert families["us-half-40"] == {"us-half-kennedy-40", "us-half-kennedy-40-bicentennial"}
    assert families["us-90"] == families["us-dime-90"] | families["us-quarter-90"] | families["us-half-90"]
    assert "us-quarter-clad" in families["not-silver"]
    assert catalog.family("us-dime-mercury") == (catalog.kind("us-dime-mercury"),)


def test_the_catalog_is_read_and_asked_in_the_blink_of_an_eye() -> None:
    """Reading, indexing and one look-up under 150 ms of work; best of five, so that a busy machine does not fail it."""
    took = []
    for _ in range(5):
        household.standards.cache_clear()
        begun = time.process_time()
        look(load_catalog(), "1943-S war nickel")
        took.append(time.process_time() - begun)

    assert min(took) < 0.15


def test_the_exact_weight_of_the_law_stands_behind_each_rounded_row(catalog: Catalog) -> None:
    assert catalog.kind("us-half-seated-1853-1873").gross_g == Decimal("12.44139072")
    assert us_rows.us_slug("dime-mercury") == "us-dime-mercury"
