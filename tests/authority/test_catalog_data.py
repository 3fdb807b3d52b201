"""The packaged reference data against itself, the law's arithmetic and totals in print."""

import csv
import re
from collections import Counter, defaultdict
from collections.abc import Callable
from decimal import ROUND_HALF_UP, Decimal
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
DATA = ROOT / "src" / "ninefine" / "catalog" / "data"
DOC = ROOT / "docs" / "data.md"

FILES = (
    "us/us_types.csv",
    "us/us_issues.csv",
    "us/keys.csv",
    "us/not_struck.csv",
    "world/world_types.csv",
    "world/bullion_types.csv",
    "world/household.csv",
    "world/household_construction.csv",
    "world/plated.csv",
    "heaps.csv",
    "runs.csv",
)
VOCABULARY = frozenset({"law", "published", "total", "part", "convention", "derived", "memory"})
CHECKED = frozenset({"law", "published", "total"})

ISSUE_KEY = ("type_id", "year", "mint", "variety")
IDS = {
    "us/us_types.csv": ("type_id",),
    "us/us_issues.csv": ISSUE_KEY,
    "us/keys.csv": ISSUE_KEY,
    "us/not_struck.csv": ("type_id", "year", "mint"),
    "world/world_types.csv": ("type_id",),
    "world/bullion_types.csv": ("type_id",),
    "world/household.csv": ("standard_id",),
    "world/household_construction.csv": ("item_kind",),
    "world/plated.csv": ("mark",),
    "heaps.csv": ("slug",),
    "runs.csv": ("slug", "first_year"),
}

# 480 grains of 64.79891 mg: NIST Special Publication 811 (2008), appendix B.
TROY_OUNCE_G = Decimal("31.1034768")
# Bullion ounces are listed to this year, and not_struck.csv with them.
LISTED_TO = 2020

Row = dict[str, str]


def rows(name: str) -> list[Row]:
    with (DATA / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file, strict=True))


def source_of(row: Row) -> str:
    return row["source_specs"] if "source_specs" in row else row["source"]


def spans() -> dict[str, range]:
    """Years from a U.S. type's first to its last, both included."""
    return {
        row["type_id"]: range(int(row["first_year"]), int(row["last_year"] or LISTED_TO) + 1)
        for row in rows("us/us_types.csv")
    }


def struck(type_id: str, column: str, where: Callable[[Row], bool]) -> int:
    return sum(
        int(row[column] or 0) for row in rows("us/us_issues.csv") if row["type_id"].startswith(type_id) and where(row)
    )


def everywhere(_row: Row) -> bool:
    return True


def years(first: int, last: int) -> Callable[[Row], bool]:
    return lambda row: first <= int(row["year"]) <= last


def without_motto(row: Row) -> bool:
    """Seated half dollars of the no-motto type: no arrows at the date, no scroll above the eagle."""
    if row["type_id"] == "half-seated-heavy" or row["variety"] == "no motto":
        return True
    return row["type_id"] == "half-seated-1853-1873" and 1856 <= int(row["year"]) <= 1865


def at_carson_city(row: Row) -> bool:
    return row["mint"] == "CC"


def second_type(row: Row) -> bool:
    return int(row["year"]) >= 1917 and row["variety"] != "type 1"


@pytest.mark.parametrize("name", FILES)
def test_every_row_carries_a_known_evidence_word_and_a_source(name: str) -> None:
    for row in rows(name):
        assert row["evidence"] in VOCABULARY, row
        assert source_of(row).strip(), row


@pytest.mark.parametrize("name", FILES)
def test_rows_are_whole_and_ids_are_unique(name: str) -> None:
    table = rows(name)
    assert table
    assert all(None not in row and None not in row.values() for row in table)
    counted = Counter(tuple(row[column] for column in IDS[name]) for row in table)
    assert [key for key, times in counted.items() if times > 1] == []


@pytest.mark.parametrize("name", FILES)
def test_files_are_utf8_with_unix_line_ends(name: str) -> None:
    raw = (DATA / name).read_bytes()
    assert b"\r" not in raw
    assert raw.endswith(b"\n")
    assert not raw.startswith(b"\xef\xbb\xbf")
    raw.decode("utf-8")


@pytest.mark.parametrize("name", FILES)
def test_an_evidence_word_and_its_source_text_agree(name: str) -> None:
    """Unverified text never carries a checked word, and a remembered row always says so."""
    for row in rows(name):
        source = source_of(row)
        if row["evidence"] in CHECKED:
            assert not re.fullmatch(r"from memory(, unverified)?", source), row
        if row["evidence"] == "memory":
            assert "memory" in source, row
        if row["evidence"] == "total":
            assert "sums to the published total" in source, row


@pytest.mark.parametrize("name", ["us/us_types.csv", "world/world_types.csv", "world/bullion_types.csv"])
def test_fine_ounces_are_weight_times_fineness(name: str) -> None:
    """Gross grams x fineness / 31.1034768, to the places stored, half up."""
    for row in rows(name):
        stored = Decimal(row["fine_ozt"])
        computed = Decimal(row["gross_weight_g"]) * Decimal(row["fineness"]) / TROY_OUNCE_G
        assert computed.quantize(stored, rounding=ROUND_HALF_UP) == stored, row["type_id"]


@pytest.mark.parametrize(
    ("type_id", "grams", "fineness"),
    [
        # Act of Feb 12 1873, sec. 15 (17 Stat. 427): 12.5 g, its half, its fifth; trade dollar 420 grains.
        ("half-franklin", Decimal("12.5"), Decimal("0.9")),
        ("quarter-washington-silver", Decimal("6.25"), Decimal("0.9")),
        ("dime-mercury", Decimal("2.5"), Decimal("0.9")),
        ("dollar-trade", Decimal(420) * Decimal("0.06479891"), Decimal("0.9")),
        # Act of Jan 18 1837, secs. 8-9 (5 Stat. 136-137): 412.5 grains to the dollar.
        ("dollar-seated", Decimal("412.5") * Decimal("0.06479891"), Decimal("0.9")),
        # Act of Apr 2 1792, secs. 9 and 13 (1 Stat. 246-249): 416 grains at 1485/1664.
        ("dollar-draped-bust", Decimal(416) * Decimal("0.06479891"), Decimal(1485) / Decimal(1664)),
        # Act of Mar 3 1851: 12 3/8 grains at three quarters.
        ("three-cent-1851-1853", Decimal("12.375") * Decimal("0.06479891"), Decimal("0.75")),
        # Act of Feb 12 1873, sec. 16: 77.16 grains; alloy from the Mint's own page of facts.
        ("five-cent-wartime", Decimal("77.16") * Decimal("0.06479891"), Decimal("0.35")),
    ],
)
def test_weights_and_fineness_are_those_of_the_acts(type_id: str, grams: Decimal, fineness: Decimal) -> None:
    row = next(row for row in rows("us/us_types.csv") if row["type_id"] == type_id)
    assert abs(Decimal(row["gross_weight_g"]) - grams) <= Decimal("0.0002")
    assert abs(Decimal(row["fineness"]) - fineness) <= Decimal("0.0001")


@pytest.mark.parametrize(
    ("type_id", "where", "business", "proof"),
    [
        # Printed in dealers' encyclopaedia articles on each series, read November 2026.
        ("dime-roosevelt-silver", everywhere, 6_595_617_673, 19_837_717),
        ("dime-mercury", everywhere, 2_677_153_880, 78_648),
        ("half-walking-liberty", everywhere, 485_320_340, 74_400),
        ("half-franklin", everywhere, 465_814_455, 15_886_955),
        ("dollar-peace", everywhere, 190_577_279, 0),
        ("dollar-trade", everywhere, 35_954_535, 11_404),
        ("three-cent-1854-1873", years(1859, 1873), 1_572_600, 10_840),
        # Printed in dealers' articles on one design type, read November 2026.
        ("half-kennedy-40", lambda row: row["type_id"] == "half-kennedy-40", 848_895_006, 8_608_947),
        ("quarter-standing-liberty", second_type, 214_516_400, 0),
        ("half-dime-seated-light", years(1853, 1855), 25_060_020, None),
        ("half-dime-seated-light", years(1860, 1873), 15_552_600, 10_040),
        ("dime-seated-1873-1891", years(1873, 1874), 6_041_608, 1_500),
        ("half-seated", without_motto, 76_238_285, None),
        ("half-seated-1853-1873", years(1853, 1853), 4_860_708, None),
        ("half-seated-1853-1873", years(1854, 1855), 12_799_450, None),
        ("half-seated-1873-1891", years(1873, 1874), 5_070_310, 1_250),
        # A public wiki article, 'Twenty Cent Coin: 1875-1878', read November 2026; it gives both years as well.
        ("twenty-cent", everywhere, 1_349_840, None),
        ("twenty-cent", years(1875, 1875), 1_325_200, None),
        ("twenty-cent", years(1876, 1876), 24_640, None),
        # A coin club's article, 'Carson City Mint', read November 2026: all pieces of the mint, by denomination. Its
        # half dollars are misprinted as 105,307,627; the $2,653,814 beside them is half of 5,307,627.
        ("dime", at_carson_city, 20_912_588, None),
        ("twenty-cent", at_carson_city, 143_290, None),
        ("quarter", at_carson_city, 10_330_542, None),
        ("half-seated", at_carson_city, 5_307_627, None),
        # Proofs alone: the business totals in print do not fit (see docs/data.md).
        ("dime-barber", everywhere, None, 17_353),
        ("quarter-barber", everywhere, None, 17_299),
        ("half-barber", everywhere, None, 17_313),
        ("quarter-washington-silver", everywhere, None, 19_911_592),
    ],
)
def test_series_add_up_to_totals_in_print(
    type_id: str, where: Callable[[Row], bool], business: int | None, proof: int | None
) -> None:
    if business is not None:
        assert struck(type_id, "mintage_business", where) == business
    if proof is not None:
        assert struck(type_id, "mintage_proof", where) == proof


def test_the_dollars_of_carson_city_add_up_but_for_the_two_figures_of_1870() -> None:
    """17,996,729 in the same article counts 12,462 dollars of 1870; the row has 11,758, the figure of other lists."""
    total = struck("dollar", "mintage_business", at_carson_city)
    seventy = struck("dollar-seated", "mintage_business", lambda row: at_carson_city(row) and row["year"] == "1870")
    assert (total - seventy, seventy) == (17_996_729 - 12_462, 11_758)


@pytest.mark.parametrize(
    ("type_id", "cents", "dollars", "left"),
    [
        # The Mint's table of silver coins, amount coined to June 30, 1884, proofs included: G. G. Evans, 'Illustrated
        # History of the United States Mint', 1888, read November 2026. Both denominations had ended by then.
        ("twenty-cent", 20, Decimal("271000.00"), 0),
        # Proofs of 1858 have no count in the file.
        ("three-cent", 3, Decimal("1281850.20"), 300),
    ],
)
def test_denominations_that_ended_come_to_the_mints_own_table(
    type_id: str, cents: int, dollars: Decimal, left: int
) -> None:
    pieces = sum(struck(type_id, column, everywhere) for column in ("mintage_business", "mintage_proof"))
    assert (pieces + left) * cents == dollars * 100


def test_trade_dollars_add_up_to_the_mints_own_table() -> None:
    """Coined by 1887, by mint (Evans, as above), without the fifteen proofs of 1884 and 1885.

    Philadelphia is printed as 5,107,024, but the sum of the table asks for 5,107,524. That the fifteen were not on the
    Mint's books is common knowledge, no source.
    """

    def booked(mint: str) -> int:
        def counted(row: Row) -> bool:
            return row["mint"] == mint and int(row["year"]) < 1884

        return sum(struck("dollar-trade", column, counted) for column in ("mintage_business", "mintage_proof"))

    assert (booked("S"), booked("CC")) == (26_647_000, 4_211_400)
    assert booked("P") + booked("S") + booked("CC") == 35_965_924


def test_the_dollars_of_1886_are_what_the_mints_own_table_grew_by_in_that_year() -> None:
    """Total coinage of standard dollars on January 1 of 1886 and of 1887, proofs included (Evans, as above)."""
    pieces = sum(struck("dollar-morgan", column, years(1886, 1886)) for column in ("mintage_business", "mintage_proof"))
    assert pieces == 249_683_647 - 218_259_761


def test_proof_sets_of_1950_to_1964_hold_one_dime_quarter_and_half() -> None:
    """Proofs were sold in sets, so their counts agree (common knowledge of the hobby, from memory)."""
    counts: defaultdict[str, set[str]] = defaultdict(set)
    halves = ("half-franklin", "half-kennedy-90")
    for row in rows("us/us_issues.csv"):
        wanted = row["type_id"] in {"dime-roosevelt-silver", "quarter-washington-silver", *halves}
        if wanted and row["mintage_proof"] and 1950 <= int(row["year"]) <= 1964:
            counts[row["year"]].add(row["mintage_proof"])
    assert sorted(counts) == [str(year) for year in range(1950, 1965)]
    assert {year: found for year, found in counts.items() if len(found) != 1} == {}


def test_no_denver_half_dollar_is_dated_1955_or_1956() -> None:
    """Wikipedia, 'Franklin half dollar': Philadelphia alone struck halves with those dates."""
    found = {
        (row["year"], row["mint"])
        for row in rows("us/us_issues.csv")
        if row["type_id"] == "half-franklin" and row["year"] in {"1955", "1956"}
    }
    assert found == {("1955", "P"), ("1956", "P")}


def test_every_date_lies_within_its_types_span() -> None:
    allowed = spans()
    for name in ("us/us_issues.csv", "us/keys.csv", "us/not_struck.csv"):
        for row in rows(name):
            assert int(row["year"]) in allowed[row["type_id"]], (name, row)


def test_pairs_not_struck_are_exactly_the_gaps_between_issues() -> None:
    """For each type: the years of its span, times the mints that ever struck it, less the issues listed."""
    issued: defaultdict[str, set[tuple[int, str]]] = defaultdict(set)
    for row in rows("us/us_issues.csv"):
        issued[row["type_id"]].add((int(row["year"]), row["mint"]))
    allowed = spans()
    gaps = {
        (type_id, year, mint)
        for type_id, pairs in issued.items()
        for year in allowed[type_id]
        for mint in {mint for _, mint in pairs}
        if (year, mint) not in pairs
    }
    listed = {(row["type_id"], int(row["year"]), row["mint"]) for row in rows("us/not_struck.csv")}
    assert listed == gaps


def test_key_dates_are_listed_issues() -> None:
    issues = {tuple(row[column] for column in ISSUE_KEY) for row in rows("us/us_issues.csv")}
    keys = {tuple(row[column] for column in ISSUE_KEY) for row in rows("us/keys.csv")}
    assert keys <= issues
    assert {row["rank"] for row in rows("us/keys.csv")} == {"key", "semi-key", "better"}


def stated_shares() -> dict[str, Decimal]:
    """File name to the percentage of checked rows that docs/data.md claims."""
    line = re.compile(r"^\| (\w+\.csv) \|.*\| (\d+\.\d) % \|$", re.MULTILINE)
    return {name: Decimal(percent) for name, percent in line.findall(DOC.read_text(encoding="utf-8"))}


def test_the_share_of_checked_rows_is_what_the_page_claims(capsys: pytest.CaptureFixture[str]) -> None:
    stated = stated_shares()
    assert set(stated) == {Path(name).name for name in FILES}
    report = ["", "evidence of the packaged data (checked = law, published, total):"]
    short: list[str] = []
    for name in FILES:
        words = Counter(row["evidence"] for row in rows(name))
        checked = sum(words[word] for word in CHECKED)
        share = Decimal(100 * checked) / words.total()
        base = Path(name).name
        mix = ", ".join(f"{word} {count}" for word, count in words.most_common())
        report.append(f"  {base:<27} {checked:>4} of {words.total():>4} checked {share:5.1f} %  ({mix})")
        if share < stated[base]:
            short.append(f"{base}: {share:.2f} % checked, docs/data.md claims {stated[base]} %")
    with capsys.disabled():
        print("\n".join(report))  # noqa: T201 - the report is the point
    assert short == []


def test_the_page_counts_the_evidence_words_as_the_files_do() -> None:
    order = ("law", "published", "total", "part", "convention", "derived", "memory")
    page = DOC.read_text(encoding="utf-8")
    for name in FILES:
        table = rows(name)
        words = Counter(row["evidence"] for row in table)
        cells = " | ".join(str(words[word]) for word in order)
        assert f"| {Path(name).name} | {len(table)} | {cells} |" in page
