"""Everything that a kind's page says."""

from decimal import Decimal

import pytest

from ninefine.catalog.catalog import Catalog
from ninefine.catalog.facts import KindFacts, kind_facts
from ninefine.catalog.index import country_name
from ninefine.catalog.kinds import Basis, Evidence, Form
from ninefine.catalog.rolls import packs
from ninefine.errors import NotFoundError


def lines(facts: KindFacts) -> dict[str, list[str]]:
    said: dict[str, list[str]] = {}
    for line in facts.specification:
        said.setdefault(line.label, []).append(f"{line.value} {line.unit}".strip())
    return said


def test_a_half_dollar(catalog: Catalog) -> None:
    facts = kind_facts(catalog, "us-half-walking-liberty")

    assert lines(facts)["Weight"] == ["12.5 g", "192.9 grains"]
    assert lines(facts)["Fineness"] == ["0.9"]
    assert lines(facts)["Struck"] == ["1916 to 1947"]
    assert lines(facts)["Country"] == ["United States"]
    assert facts.act is not None
    assert facts.act.cite.startswith("17 Stat. 427")
    assert facts.evidence == "Read in a statute or an official document."
    assert facts.tolerance is not None
    assert "0.0972 g (1.5 grains)" in facts.tolerance.text
    assert facts.constitutional
    assert "1853" in facts.why[0].text
    assert "obverse" in facts.mint_mark
    assert facts.family == ()
    assert facts.household is None


def test_fine_weight_names_its_basis(catalog: Catalog) -> None:
    unworn, trade = kind_facts(catalog, "us-dime-mercury").fine

    assert (unworn.basis, trade.basis) == (Basis.UNWORN, Basis.TRADE)
    assert unworn.each_ozt is not None
    assert abs(unworn.each_ozt - Decimal("0.072339179779")) < Decimal("1e-12")
    assert (trade.each_ozt, trade.per_face_ozt) == (Decimal("0.0715"), Decimal("0.715"))
    assert "common practice" in trade.note


def test_where_the_trade_has_no_count_it_is_as_struck_and_says_so(catalog: Catalog) -> None:
    unworn, trade = kind_facts(catalog, "ca-50c-800").fine

    assert trade.each_ozt == unworn.each_ozt
    assert trade.note == "the trade has no other count; as struck"
    assert kind_facts(catalog, "us-quarter-clad").fine[1].note == "no silver"
    assert kind_facts(catalog, "xag-us-eagle-1oz").fine[1].note.startswith("the stated weight")


def test_why_a_dollar_is_constitutional(catalog: Catalog) -> None:
    why = kind_facts(catalog, "us-dollar-peace").why

    assert "371 4/16 grains" in why[0].text
    assert "412 1/2 grains" in why[0].text
    assert all("junk silver" in item.text for item in why[-1:])


@pytest.mark.parametrize(
    ("slug", "said"),
    [
        ("us-half-kennedy-40", "four tenths silver"),
        ("us-five-cent-wartime", "wartime alloy"),
        ("us-half-commemorative-classic", "for collectors"),
        ("us-three-cent-1851-1853", "Three quarters silver"),
        ("mx-peso-720", "another country"),
    ],
)
def test_why_others_are_not(catalog: Catalog, slug: str, said: str) -> None:
    facts = kind_facts(catalog, slug)

    assert not facts.constitutional
    assert said in facts.why[0].text


def test_a_heap_says_what_it_may_hold(catalog: Catalog) -> None:
    facts = kind_facts(catalog, "us-90")

    assert len(facts.family) == 13
    assert [pack.name for pack in facts.packs] == ["bag"]
    assert facts.packs[0].count is None


def test_household_pages_carry_marks_plate_and_constructions(catalog: Catalog) -> None:
    facts = kind_facts(catalog, "household-sterling-925.hollow-handle-dinner-knife")

    assert facts.household is not None
    assert "STERLING" in facts.household.standard.marks
    assert facts.household.construction is not None
    assert facts.household.construction.silver_g_low == 10
    assert len(facts.household.constructions) == 15
    assert len(facts.household.plate) == 37
    assert lines(facts)["Share of the weight that is silver"] == ["15 to 40 %"]
    assert kind_facts(catalog, "household-sterling-925").household is not None


def test_every_kind_has_a_page(catalog: Catalog) -> None:
    for kind in catalog.kinds:
        facts = kind_facts(catalog, kind.slug)
        assert facts.source
        assert facts.constitutional == (kind.form is Form.CONSTITUTIONAL)
        assert all(line.value for line in facts.specification)
        for statement in (*facts.why, *facts.law):
            assert statement.source


def test_an_own_kind_has_a_page(catalog: Catalog) -> None:
    own = catalog.with_own({"medal": {"name": "Medal", "weight": "20 g", "fineness": "0.925"}})

    facts = kind_facts(own, "own-medal")

    assert facts.evidence == "Your own entry."
    assert facts.law == ()


def test_a_kind_that_is_not_held_has_none(catalog: Catalog) -> None:
    with pytest.raises(NotFoundError):
        kind_facts(catalog, "us-guinea")


def test_evidence_has_a_sentence_for_each_grade() -> None:
    assert len({evidence.sentence for evidence in Evidence}) == len(Evidence)


def test_kinds_that_nobody_rolls_have_no_packs(catalog: Catalog) -> None:
    assert packs(catalog.kind("us-dollar-draped-bust")) == ()
    assert packs(catalog.kind("not-silver")) == ()
    assert packs(catalog.kind("ca-50c-800")) == ()


def test_bullion_rolls_by_the_tube(catalog: Catalog) -> None:
    (tube,) = packs(catalog.kind("xag-us-eagle-1oz"))

    assert (tube.count, tube.trade_ozt) == (20, Decimal(20))
    assert tube.trade_gross_g is None


def test_countries_by_name() -> None:
    assert country_name("GB") == "United Kingdom"
    assert country_name("XX") == "XX"


def test_every_country_of_the_tables_has_a_name(catalog: Catalog) -> None:
    assert all(len(country_name(kind.country)) > 2 for kind in catalog.kinds if kind.country)
