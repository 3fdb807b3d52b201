"""Cautions lie where they should, and nowhere else."""

import pytest

from ninefine.catalog.catalog import Catalog
from ninefine.catalog.traps import Trap, traps


@pytest.mark.parametrize(
    ("slug", "year", "mint", "said"),
    [
        ("us-five-cent-wartime", 1942, "P", "with and without silver"),
        ("us-five-cent-wartime", 1943, "P", "P included"),
        ("us-dime-roosevelt-silver", 1964, "", "last silver date"),
        ("us-quarter-clad", 1965, "P", "hold no silver"),
        ("us-half-kennedy-40", 1966, "", "40% silver, not 90%"),
        ("us-half-kennedy-40", 1970, "D", "sets only"),
        ("us-half-kennedy-40", 1969, "S", "proof dimes and quarters of those years are clad"),
        ("us-half-kennedy-40-bicentennial", 1976, "S", "1776-1976"),
        ("us-half-clad", 1976, "S", "may be 40% silver"),
        ("us-dime-silver-proof-90", 2001, "S", "from 1992 on"),
        ("us-dollar-eisenhower-clad", 1972, "D", "22.68 g"),
        ("us-dollar-morgan", 1881, "S", "never price dollars at 0.715"),
        ("us-90", None, "", "Dollars do not belong"),
        ("us-dollar-trade", 1877, "S", "often false"),
        ("mx-8r-903", None, "", "Often false"),
        ("cn-dollar-yuan", 1914, "", "Often false"),
        ("ca-10c-800", 1967, "", ".800 and in .500"),
        ("ca-25c-500", 1968, "", "a magnet takes"),
        ("gb-3d-925", 1920, "", "exist in .925 and .500"),
        ("gb-1s-500", 1920, "", "from 1947 on"),
        ("mx-peso-720", 1921, "", "The date decides"),
        ("us-dime-mercury", 1916, "D", "adding a D"),
        ("us-half-seated-1853-1873", 1853, "", "arrows"),
        ("us-dollar-draped-bust", 1798, "", "earlier weight"),
        ("us-quarter-barber", 1901, "S", "4 to 8%"),
        ("household-unmarked", None, "", "until a test"),
        ("household-russia-84-zolotnik", None, "", "plating figure"),
        ("household-sterling-925.weighted-candlestick", None, "", "low end"),
        ("xag-generic-bar-10oz", None, "", "stamp proves nothing"),
    ],
)
def test_a_trap_lies_here(catalog: Catalog, slug: str, year: int | None, mint: str, said: str) -> None:
    assert any(said in trap.sentence for trap in traps(catalog.kind(slug), year, mint))


@pytest.mark.parametrize(
    ("slug", "year", "mint", "said"),
    [
        ("us-five-cent-wartime", 1944, "D", "with and without silver"),
        ("us-dime-roosevelt-silver", 1950, "", "last silver date"),
        ("us-half-kennedy-40", 1968, "D", "sets only"),
        ("us-half-kennedy-40", 1970, "S", "sets only"),
        ("us-half-kennedy-40", 1965, "P", "Proof half dollars"),
        ("us-dime-mercury", 1917, "D", "adding a D"),
        ("us-dime-mercury", 1916, "S", "adding a D"),
        ("ca-10c-800", 1966, "", ".800 and in .500"),
        ("gb-6d-500", 1921, "", "exist in .925 and .500"),
        ("us-half-seated-1853-1873", 1860, "", "arrows"),
        ("us-dime-mercury", 1940, "", "earlier weight"),
        ("household-sterling-925", None, "", "low end"),
    ],
)
def test_no_trap_lies_there(catalog: Catalog, slug: str, year: int | None, mint: str, said: str) -> None:
    assert not any(said in trap.sentence for trap in traps(catalog.kind(slug), year, mint))


def test_every_trap_names_what_it_rests_on_and_lies_at_some_kind(catalog: Catalog) -> None:
    lying = {trap.text for kind in catalog.kinds for trap in _at_any_year(catalog, kind.slug)}

    for kind in catalog.kinds:
        for trap in traps(kind):
            assert trap.source
            assert trap.text.endswith(".")
    assert len(lying) >= 30


def _at_any_year(catalog: Catalog, slug: str) -> list[Trap]:
    kind = catalog.kind(slug)
    years = {None, kind.first_year, kind.last_year, 1853, 1916, 1964, 1970}
    return [trap for year in years for mint in ("", "D", "S") for trap in traps(kind, year, mint)]
