"""What the catalog says of U.S. coin against the Acts of Congress, computed here from the Acts' own words."""

from decimal import Decimal
from fractions import Fraction

import pytest

from ninefine.catalog.catalog import Catalog
from ninefine.catalog.facts import kind_facts
from ninefine.catalog.rolls import packs
from ninefine.catalog.shelf import load_catalog
from ninefine.errors import NeverStruckError

# 480 grains of 64.79891 mg each: NIST Special Publication 811 (2008), appendix B.
TROY_OUNCE_G = Fraction("31.1034768")
GRAINS_IN_OUNCE = 480
#: A millionth of an ounce: the last place that any page shows, and more.
CLOSE = Fraction(1, 1_000_000)


@pytest.fixture(scope="module")
def catalog() -> Catalog:
    return load_catalog()


def fine(catalog: Catalog, slug: str) -> Fraction:
    ounces = catalog.kind(slug).fine_ozt
    assert ounces is not None
    return Fraction(ounces)


def grains(pure: str) -> Fraction:
    """Troy ounces of a weight in grains, written as the Acts write it: `371 4/16`."""
    return sum((Fraction(part) for part in pure.split()), Fraction(0)) / GRAINS_IN_OUNCE


# Act of 2 April 1792, sec. 9, 1 Stat. 246 (read in a reprint): pure silver of each coin, in grains.
ACT_OF_1792 = [
    ("us-dollar-flowing-hair", "371 4/16"),
    ("us-dollar-draped-bust", "371 4/16"),
    ("us-half-flowing-hair", "185 10/16"),
    ("us-half-capped-bust-lettered", "185 10/16"),
    ("us-quarter-draped-bust", "92 13/16"),
    ("us-quarter-capped-bust-large", "92 13/16"),
    ("us-dime-draped-bust", "37 2/16"),
    ("us-half-dime-flowing-hair", "18 9/16"),
]


@pytest.mark.parametrize(("slug", "pure"), ACT_OF_1792)
def test_coin_of_1792_holds_the_pure_silver_that_the_act_names(catalog: Catalog, slug: str, pure: str) -> None:
    """Act of 2 April 1792, sec. 9."""
    assert abs(fine(catalog, slug) - grains(pure)) < CLOSE


def test_standard_silver_of_1792_is_1485_parts_in_1664(catalog: Catalog) -> None:
    """Act of 2 April 1792, sec. 13: 1485 parts fine to 179 parts alloy."""
    kind = catalog.kind("us-dollar-draped-bust")

    assert abs(Fraction(kind.fineness) - Fraction(1485, 1485 + 179)) < Fraction(1, 10**9)
    assert kind.gross_g == 416 * Decimal("0.06479891")


# Act of 18 January 1837, secs. 8 and 9, 5 Stat. 136-137: gross grains, nine parts of ten silver.
ACT_OF_1837 = [
    ("us-dollar-seated", "412 1/2"),
    ("us-dollar-gobrecht-1837-1839", "412 1/2"),
    ("us-half-seated-heavy", "206 1/4"),
    ("us-half-capped-bust-reeded", "206 1/4"),
    ("us-quarter-seated-heavy", "103 1/8"),
    ("us-dime-seated-heavy", "41 1/4"),
    ("us-half-dime-seated-heavy", "20 5/8"),
    # Act of 28 February 1878 brought the same dollar back.
    ("us-dollar-morgan", "412 1/2"),
    ("us-dollar-peace", "412 1/2"),
]
# Act of 21 February 1853, sec. 1, 10 Stat. 160: 192 grains the half dollar, lesser coin in proportion.
ACT_OF_1853 = [
    ("us-half-seated-1853-1873", "192"),
    ("us-quarter-seated-1853-1873", "96"),
    ("us-dime-seated-1853-1873", "38 4/10"),
    ("us-half-dime-seated-light", "19 2/10"),
]
TRADE_DOLLAR = [("us-dollar-trade", "420")]  # Act of 12 February 1873, sec. 15, 17 Stat. 427


@pytest.mark.parametrize(("slug", "gross"), [*ACT_OF_1837, *ACT_OF_1853, *TRADE_DOLLAR])
def test_coin_by_the_grain_is_nine_tenths_of_its_statutory_weight(catalog: Catalog, slug: str, gross: str) -> None:
    """Acts of 1837, 1853 and 1873 (trade dollar): gross grains times 900/1000."""
    assert abs(fine(catalog, slug) - grains(gross) * Fraction(9, 10)) < CLOSE


def test_the_dollar_kept_its_pure_silver_from_1792_to_1935(catalog: Catalog) -> None:
    """371 1/4 grains in 416 at 1485/1664, and in 412 1/2 at 9/10: 0.7734375 ounces both."""
    for slug in ("us-dollar-draped-bust", "us-dollar-seated", "us-dollar-morgan", "us-dollar-peace"):
        assert abs(fine(catalog, slug) - Fraction("0.7734375")) < CLOSE


# Act of 12 February 1873, sec. 15, 17 Stat. 427: 12 1/2 grams the half dollar, the quarter one half of it, the dime one
# fifth; nine parts of ten silver.
GRAMS_OF_1873 = {"dime": "2.5", "quarter": "6.25", "half": "12.5"}
OF_1873 = [
    ("dime", ("seated-1873-1891", "barber", "mercury", "roosevelt-silver", "90")),
    ("quarter", ("seated-1873-1891", "barber", "standing-liberty", "washington-silver", "90")),
    (
        "half",
        ("seated-1873-1891", "barber", "walking-liberty", "franklin", "kennedy-90", "commemorative-classic", "90"),
    ),
]


@pytest.mark.parametrize(("coin", "designs"), OF_1873)
def test_coin_of_1873_to_1964_by_the_gram(catalog: Catalog, coin: str, designs: tuple[str, ...]) -> None:
    """Act of 12 February 1873, sec. 15."""
    expected = Fraction(GRAMS_OF_1873[coin]) * Fraction(9, 10) / TROY_OUNCE_G

    for design in designs:
        assert abs(fine(catalog, f"us-{coin}-{design}") - expected) < CLOSE


def test_the_half_dollar_of_1873_to_the_page(catalog: Catalog) -> None:
    """12.5 g, 0.36169 ounces; 30.61 mm is the 1.205 inches of 31 U.S.C. 5112(a), a tenth of a millimetre near."""
    kind = catalog.kind("us-half-walking-liberty")

    assert kind.gross_g == Decimal("12.5")
    assert kind.diameter_mm is not None
    assert abs(kind.diameter_mm - Decimal("1.205") * Decimal("25.4")) < Decimal("0.1")
    assert f"{fine(catalog, kind.slug).__float__():.8f}".startswith("0.36169")


def test_forty_per_cent_halves_hold_4_6_grams_of_11_5(catalog: Catalog) -> None:
    """Coinage Act of 1965, sec. 101(a)(1), 79 Stat. 254 (clause (C) from memory)."""
    kind = catalog.kind("us-half-kennedy-40")

    assert kind.gross_g is not None
    assert kind.gross_g * kind.fineness == Decimal("4.6")
    assert abs(fine(catalog, kind.slug) - Fraction("4.6") / TROY_OUNCE_G) < CLOSE


def test_wartime_five_cent_pieces_hold_0_056264_ounces(catalog: Catalog) -> None:
    """35% of 5 g: the alloy on the Mint's page of facts, under 56 Stat. 184; the weight from 17 Stat. 427, sec. 16."""
    assert abs(fine(catalog, "us-five-cent-wartime") - Fraction("0.056264")) < CLOSE


# What a single new piece might differ, in grains: Act of 1837, sec. 25 (5 Stat. 140); of 1873, sec. 37 (17 Stat. 430).
TOLERANCES = [
    ("us-dollar-seated", "1.5"),
    ("us-half-seated-heavy", "1.5"),
    ("us-quarter-seated-1853-1873", "1"),
    ("us-dime-seated-heavy", "0.5"),
    ("us-half-dime-seated-light", "0.5"),
    ("us-dime-mercury", "1.5"),
    ("us-quarter-washington-silver", "1.5"),
    ("us-half-franklin", "1.5"),
    ("us-dollar-morgan", "1.5"),
]


@pytest.mark.parametrize(("slug", "allowed"), TOLERANCES)
def test_tolerance_of_one_new_piece(catalog: Catalog, slug: str, allowed: str) -> None:
    """Acts of 1837, sec. 25, and of 1873, sec. 37."""
    assert catalog.kind(slug).tolerance_g == Decimal(allowed) * Decimal("0.06479891")


def test_face_dollars_by_specification_and_by_trade(catalog: Catalog) -> None:
    """25 g of .900 for a dollar of small coin (Act of 1873); 0.715 is common practice."""
    heap = catalog.kind("us-90")

    assert heap.fine_ozt_per_face is not None
    assert abs(Fraction(heap.fine_ozt_per_face) - Fraction("22.5") / TROY_OUNCE_G) < Fraction(1, 10**30)
    assert heap.trade_ozt_per_face == Decimal("0.715")
    dollars = catalog.kind("us-dollar-90").fine_ozt_per_face
    assert dollars is not None
    # 371.25 grains to the dollar against 22.5 g: the dollar holds 6.9% more for its face.
    assert abs(dollars / heap.fine_ozt_per_face - Decimal("1.069")) < Decimal("0.0005")


# Rolls: encyclopaedia article on bank rolls. Bags: table of bank bags. Weights: the Acts, by arithmetic.
ROLLS = [
    ("us-dime-90", 50, "5.00", "125", "3.61696"),
    ("us-quarter-90", 40, "10.00", "250", "7.23392"),
    ("us-half-90", 20, "10.00", "250", "7.23392"),
    ("us-dollar-morgan", 20, "20.00", "534.591", "15.46875"),
    ("us-five-cent-wartime", 40, "2.00", "200", "2.25055"),
    ("us-half-kennedy-40", 20, "10.00", "230", "2.95787"),
]


@pytest.mark.parametrize(("slug", "count", "face", "gross", "ounces"), ROLLS)
def test_rolls(catalog: Catalog, slug: str, count: int, face: str, gross: str, ounces: str) -> None:
    """Counts of bank rolls, weights and fine ounces as struck."""
    roll = next(pack for pack in packs(catalog.kind(slug)) if pack.name == "roll")

    assert (roll.count, roll.face) == (count, Decimal(face))
    assert abs(roll.gross_g - Decimal(gross)) < Decimal("0.0005")
    assert abs(roll.unworn_ozt - Decimal(ounces)) < Decimal("0.000005")


BAGS = [
    ("us-dime-90", 10_000, "25000", "723.392", "715"),
    ("us-quarter-90", 4_000, "25000", "723.392", "715"),
    ("us-half-90", 2_000, "25000", "723.392", "715"),
    ("us-dollar-90", 1_000, "26729.550", "773.4375", "765"),
    ("us-half-40", 2_000, "23000", "295.787", "295"),
]


@pytest.mark.parametrize(("slug", "count", "gross", "unworn", "trade"), BAGS)
def test_bags_of_a_thousand_dollars_of_face(
    catalog: Catalog, slug: str, count: int, gross: str, unworn: str, trade: str
) -> None:
    """Older bank practice of $1,000 a bag; trade counts are common practice."""
    bag = next(pack for pack in packs(catalog.kind(slug)) if pack.name == "bag")

    assert (bag.count, bag.face) == (count, Decimal(1000))
    assert abs(bag.gross_g - Decimal(gross)) < Decimal("0.001")
    assert abs(bag.unworn_ozt - Decimal(unworn)) < Decimal("0.0005")
    assert bag.trade_ozt == Decimal(trade)


def test_a_bag_at_the_trade_count_weighs_24_710_kilograms(catalog: Catalog) -> None:
    """715 ounces fine at .900 is 794.44 ounces gross, 24.710 kg; 55.1 pounds new, by 453.59237 g the pound."""
    bag = packs(catalog.kind("us-90"))[0]

    assert bag.trade_gross_g is not None
    assert abs(bag.trade_gross_g - 24_710) < 1
    assert abs(bag.trade_gross_g / Decimal("31.1034768") - Decimal("794.44")) < Decimal("0.01")
    assert abs(bag.gross_g / Decimal("453.59237") - Decimal("55.1156")) < Decimal("0.0001")


def test_a_new_bag_of_quarters_might_differ_by_0_08_ounces(catalog: Catalog) -> None:
    """Act of 1873, sec. 37: 0.02 ounces a thousand quarters, 0.01 a thousand dimes."""
    quarters = next(pack for pack in packs(catalog.kind("us-quarter-90")) if pack.name == "bag")
    dimes = next(pack for pack in packs(catalog.kind("us-dime-mercury")) if pack.name == "bag")

    assert quarters.bulk_tolerance_ozt == Decimal("0.08")
    assert dimes.bulk_tolerance_ozt == Decimal("0.10")


@pytest.mark.parametrize("year", [1955, 1956])
def test_no_denver_half_dollar_bears_1955_or_1956(catalog: Catalog, year: int) -> None:
    """Encyclopaedia table of the Franklin half dollar: Philadelphia alone in 1955 and 1956."""
    with pytest.raises(NeverStruckError, match=f"No Denver half dollar was struck in {year}"):
        catalog.check_issue("us-half-franklin", year, "D")


def test_the_law_on_melting_is_said_of_five_cent_pieces_and_no_silver_coin_is_named(catalog: Catalog) -> None:
    """31 CFR 82.1, as read in a copy current to 5 April 2026."""
    five_cents = kind_facts(catalog, "us-five-cent-wartime").law
    ninety = kind_facts(catalog, "us-90").law

    assert "unlawful to melt" in five_cents[0].text
    assert any("1942 to 1945" in item.text and "from memory" in item.source for item in five_cents)
    assert "not named" in ninety[0].text
    assert all("unlawful" not in item.text for item in ninety)
    for item in (*five_cents, ninety[0]):
        assert "check the present rule" in item.source
