"""Looking pieces up by plain words."""

from decimal import Decimal

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from ninefine.catalog.catalog import Catalog
from ninefine.catalog.lookup import Look, look
from ninefine.catalog.shelf import load_catalog

CATALOG = load_catalog()


def first(text: str) -> tuple[str, str]:
    hit = look(CATALOG, text).hits[0]
    return hit.kind.slug, hit.issue.key if hit.issue is not None else ""


def slugs(found: Look) -> list[str]:
    return [hit.kind.slug for hit in found.hits]


@pytest.mark.parametrize(
    ("text", "slug", "issue"),
    [
        ("merc dime 1921-D", "us-dime-mercury", "1921-D"),
        ("Mercury Dimes", "us-dime-mercury", ""),
        ("1943 S war nickel", "us-five-cent-wartime", "1943-S"),
        ("'43-s war nickel", "us-five-cent-wartime", "1943-S"),
        ("war nickels", "us-five-cent-wartime", ""),
        ("canada 50c 1967", "ca-50c-800", ""),
        ("canadian quarter 1968", "ca-25c-500", ""),
        ("10 oz bar", "xag-generic-bar-10oz", ""),
        ("10oz gold bar", "xau-generic-bar-10oz", ""),
        ("1 kilo", "xag-generic-bar-1000g", ""),
        ("100 oz", "xag-generic-bar-100oz", ""),
        ("1000 oz bar", "xag-good-delivery-1000oz", ""),
        ("half ounce round", "xag-generic-round-1-2oz", ""),
        ("morgan 1889 cc", "us-dollar-morgan", "1889-CC"),
        ("carson city dollar 1885", "us-dollar-morgan", "1885-CC"),
        ("walker 1938d", "us-half-walking-liberty", "1938-D"),
        ("kennedy 1964", "us-half-kennedy-90", ""),
        ("kennedy 1966", "us-half-kennedy-40", "1966-P"),
        ("kennedy 1971", "us-half-clad", ""),
        ("90% dimes", "us-dime-90", ""),
        ("40% halves", "us-half-40", ""),
        ("junk silver", "us-90", ""),
        ("$1,000 face 90%", "us-90", ""),
        ("$500 face", "us-90", ""),
        ("pre-1965 quarters", "us-quarter-90", ""),
        ("1976 quarter", "us-quarter-clad", ""),
        ("40% kennedy halves", "us-half-kennedy-40", ""),
        ("buffalo round 1 oz", "xag-generic-round-1oz", ""),
        ("sterling 500 g", "household-sterling-925", ""),
        ("sterling", "household-sterling-925", ""),
        (".925", "household-sterling-925", ""),
        ("coin silver", "household-coin-900", ""),
        ("weighted sterling candlestick", "household-sterling-925.weighted-candlestick", ""),
        ("sterling spoons", "household-sterling-925.solid-flatware", ""),
        ("uk shilling 1920", "gb-1s-500", ""),
        ("half crown 1918", "gb-half-crown-925", ""),
        ("florin 1935", "gb-2s-500", ""),
        ("tanner 1940", "gb-6d-500", ""),
        ("2s 1937 uk", "gb-2s-500", ""),
        ("peso 1921", "mx-peso-720", ""),
        ("mexican 50 centavos 1935", "mx-50c-420", ""),
        ("50 pesos gold", "xau-mx-50-pesos", ""),
        ("8 reales", "mx-8r-903", ""),
        ("1 oz gold eagle", "xau-us-eagle-1oz", ""),
        ("silver eagle 1996", "xag-us-eagle-1oz", "1996-P"),
        ("1/10 oz gold maple", "xau-ca-maple-1-10oz", ""),
        ("swiss half franc", "ch-half-franc-835", ""),
        ("german 5 mark 1951", "de-5dm-625", ""),
        ("kronor 1950", "se-1k-400", ""),
        ("maria theresa", "at-mtt-833", ""),
        ("silver dollar 1922", "us-dollar-peace", ""),
        ("ike 1974 s", "us-dollar-eisenhower-40", "1974-S"),
        ("2021 morgan", "us-dollar-morgan-peace-999", ""),
        ("bicentennial half", "us-half-kennedy-40-bicentennial", ""),
        ("silver proof quarter 1999 s", "us-quarter-silver-proof-90", "1999-S"),
        ("commemorative half 1946", "us-half-commemorative-classic", ""),
        ("1942/1 merc", "us-dime-mercury", "1942-P:2 over 1"),
        ("1918/7 standing liberty quarter", "us-quarter-standing-liberty", "1918-S:8 over 7"),
        ("1945-s micro s dime", "us-dime-mercury", "1945-S:micro S"),
        ("type 1 quarter 1917 d", "us-quarter-standing-liberty", "1917-D:type 1"),
        ("seated half 1853 no arrows", "us-half-seated-heavy", "1853-O:no arrows"),
        ("us 3 cents 1851 o", "us-three-cent-1851-1853", "1851-O"),
        ("barber 1904 s half", "us-half-barber", "1904-S"),
        ("quarter 1965", "us-quarter-clad", "1965-P"),
        ("dime 1964", "us-dime-roosevelt-silver", ""),
        ("EPNS", "not-silver", ""),
        ("german silver tray", "not-silver", ""),
        ("fake", "not-silver", ""),
        ("us-dime-mercury", "us-dime-mercury", ""),
    ],
)
def test_plain_words_find_the_piece(text: str, slug: str, issue: str) -> None:
    assert first(text) == (slug, issue)


@pytest.mark.parametrize(
    ("text", "refused", "near"),
    [
        ("franklin 1955 d", "No Denver half dollar was struck in 1955.", "Franklin half dollar 1955-P"),
        ("half 1955 d", "No Denver half dollar was struck in 1955.", "half dollar 1955-P"),
        ("half 1956-D", "No Denver half dollar was struck in 1956.", "half dollar 1957-D"),
        ("dollar 1940", "No dollar was struck in 1940.", "dollar 1935"),
        ("dime 1922", "No dime was struck in 1922.", "dime 1921"),
        ("quarter 1975", "No quarter was struck in 1975.", "quarter 1976"),
        ("quarter 1931", "No quarter was struck in 1931.", "quarter 1932"),
        ("wartime nickel 1942 D", "No Denver Wartime Jefferson five-cent was struck in 1942.", ""),
        ("canada 50c 1970", "No Canada 50 cents, .800 was struck in 1970.", "Canada 50 cents, .800 1967"),
        ("peace 1964", "No dollar was struck in 1964.", "dollar 1935"),
    ],
)
def test_what_was_never_struck_is_refused_and_what_was_is_offered(text: str, refused: str, near: str) -> None:
    found = look(CATALOG, text)

    assert found.refusal is not None
    assert found.refusal.wrong == refused
    assert not near or near in found.near
    for offered in found.near:
        assert look(CATALOG, offered).hits, offered
        assert look(CATALOG, offered).refusal is None, offered


def test_no_refusal_where_some_kind_meant_bears_the_date() -> None:
    """Barber dimes ended in 1916; 1921 means the Mercury dime."""
    assert look(CATALOG, "dime 1921").refusal is None
    assert look(CATALOG, "florin 1935").refusal is None


@pytest.mark.parametrize(
    ("text", "offered"),
    [("franlkin 1952", "franklin 1952"), ("stering", "sterling"), ("kenedy 1964", "kennedy 1964")],
)
def test_misspelt_words_are_mended_and_the_mended_text_is_offered(text: str, offered: str) -> None:
    found = look(CATALOG, text)

    assert found.hits
    assert found.near[0] == offered


@pytest.mark.parametrize("text", ["", "   ", "penny", "wheat cents", "qwrtz", "12 oz", "2 reales", "!?"])
def test_where_nothing_fits_examples_are_offered(text: str) -> None:
    found = look(CATALOG, text)

    assert found.hits == ()
    assert found.near
    assert found.refusal is None


def test_a_nickel_of_1942_is_silver_or_not_and_the_caution_says_how_to_tell() -> None:
    found = look(CATALOG, "nickel 1942")

    assert {"us-five-cent-wartime", "us-five-cent-copper-nickel"} <= set(slugs(found))
    for hit in found.hits:
        if hit.kind.country == "US":
            assert any("large mint mark above the dome" in caution for caution in hit.cautions)


def test_a_year_alone_lists_what_bears_it() -> None:
    assert set(slugs(look(CATALOG, "1916-d"))) >= {"us-dime-mercury", "us-quarter-barber", "us-half-walking-liberty"}


def test_a_year_without_a_mint_offers_each_mint() -> None:
    found = look(CATALOG, "washington 1932")

    keys = {hit.issue.key for hit in found.hits if hit.issue is not None}
    assert keys == {"1932-P", "1932-D", "1932-S"}
    assert found.hits[0].issue is None


def test_two_alloys_of_one_date_are_both_offered() -> None:
    assert set(slugs(look(CATALOG, "canada 25c 1967"))) >= {"ca-25c-800", "ca-25c-500"}
    assert {"gb-6d-500", "gb-6d-925"} <= set(slugs(look(CATALOG, "6d 1920")))


def test_hits_come_best_first_and_are_few() -> None:
    for text in ("silver", "half", "gold", "1921 dollar", "canada"):
        found = look(CATALOG, text)
        scores = [hit.score for hit in found.hits]
        assert scores == sorted(scores, reverse=True)
        assert 0 < len(scores) <= 12


def test_every_kind_is_reached_by_its_own_name_and_slug() -> None:
    for kind in CATALOG.kinds:
        for text in (kind.name, kind.name.upper(), kind.slug):
            assert kind in [hit.kind for hit in look(CATALOG, text).hits], text


def test_every_sought_issue_is_reached_by_name_year_and_mint() -> None:
    for slug, issues in CATALOG.issues_of.items():
        for issue in issues:
            if issue.rank == "key":
                found = look(CATALOG, f"{CATALOG.kind(slug).name} {issue.year}-{issue.mint}")
                assert issue in [hit.issue for hit in found.hits]


@settings(max_examples=300, deadline=None)
@given(st.text(max_size=200))
@example("1/0 oz")
@example("0 oz 1/0 franc")
@example("'00-d")
@example("2 1/2 gulden 1898")
@example("$0 $00")
@example("½ oz ¼ ¢")
@example(".0001 %")
@example("100% 0%")
def test_any_text_has_an_answer(text: str) -> None:
    """Arbitrary text never breaks a look-up, and its hits have what pages need."""
    found = look(CATALOG, text)

    assert found.text == text
    assert len(found.hits) <= 12


@settings(max_examples=300, deadline=None)
@given(
    st.lists(
        st.sampled_from(
            [
                *(
                    "merc",
                    "half",
                    "dime",
                    "nickel",
                    "1942",
                    "1955",
                    "d",
                    "cc",
                    "s",
                    "1/2",
                    "oz",
                    "gold",
                    "90%",
                    "sterling",
                ),
                *(
                    "canada",
                    "peso",
                    "kilo",
                    "'43",
                    "over",
                    "1918/7",
                    "weighted",
                    "$5",
                    "face",
                    "crown",
                    "c",
                    "50",
                    "EPNS",
                ),
            ]
        ),
        max_size=7,
    ).map(" ".join)
)
def test_any_heap_of_known_words_has_an_answer(text: str) -> None:
    """Words in any order: each hit told apart into an issue is of its kind, and fits a year that was typed."""
    for hit in look(CATALOG, text).hits:
        assert hit.issue is None or hit.issue.kind == hit.kind.slug
        assert hit.kind.fineness <= Decimal(1)


def test_looking_up_reads_the_catalog_that_it_is_given(catalog: Catalog) -> None:
    own = catalog.with_own({"zinnia": {"name": "Zinnia medal", "weight": "20 g", "fineness": "0.925"}})

    assert look(catalog, "zinnia").hits == ()
    assert slugs(look(own, "zinnia"))[0] == "own-zinnia"
