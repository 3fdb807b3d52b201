"""What a mix says through the desk: where coins are told apart, what they are set beside, the person's assumption."""

from datetime import date
from decimal import Decimal

import pytest

from ninefine.catalog.shelf import load_catalog
from ninefine.desk import mix as mixes
from ninefine.desk import pieces, purchase, sorting, triage
from ninefine.desk.assumptions import (
    keep_survival,
    kept_survival,
    read_loss,
    read_melts,
    survival_fields,
    survival_from,
    survival_row,
)
from ninefine.desk.kit import Kit
from ninefine.errors import Faults, NotFoundError, RangeError, UnreadableError
from ninefine.sorting.reading import read_mix
from ninefine.sorting.survival import FLAT, Melt, Survival
from ninefine.testing import kit_in_memory

CATALOG = load_catalog()
D = Decimal
TOLD = ("64dx60", "64x40", "63dx20", "58dx12", "45x10", "44x9", "41x8", "39x2", "21d", "-x5")


@pytest.fixture
def kit() -> Kit:
    made = kit_in_memory(today=date(2026, 3, 1), catalog=CATALOG)
    form = {"on": "2026-02-01", "kind-1": "us-dime-90", "amount-1": "40 face", "price-1": "900", "place": "A1"}
    purchase.buy(made, form)
    return made


def told(kit: Kit, *, finish: bool = True) -> int:
    number = sorting.begin(kit, "L1")
    for coin in TOLD:
        sorting.mark(kit, number, "dime", coin)
    if finish:
        sorting.finish(kit, number)
    return number


def test_nothing_told_apart_says_how_to_begin(kit: Kit) -> None:
    assert mixes.sources(kit) == ()
    with pytest.raises(NotFoundError, match="Tally a heap"):
        mixes.mix(kit, {})


def test_an_open_tally_and_a_sorted_lot_say_the_same(kit: Kit) -> None:
    number = told(kit, finish=False)
    open_one = mixes.mix(kit, {"of": f"tally {number}"})
    sorting.finish(kit, number)
    booked = mixes.mix(kit, {"of": "L1"})

    assert open_one.source.tally == number
    assert booked.source.tally is None
    assert open_one.reading == booked.reading
    assert booked.source.pieces == 162


def test_the_reading_is_that_of_the_core(kit: Kit) -> None:
    told(kit)

    found = mixes.mix(kit, {"of": "L1"})

    assert (found.what, found.expected.first_year, found.expected.last_year) == ("dime", 1916, 1964)
    assert found.reading == read_mix(found.expected, found.source.rows)
    assert sum(group.found for group in found.mints) == 162
    assert [(one.issue, one.count) for one in found.reading.beside.outside] == [("", 5)]
    s_mint = next(catch for catch in found.catches if catch.sign.name == "S mint")
    assert s_mint.pieces == 323  # half of the S mints gone, told four times in five; worked in test_signs.py


def test_dates_and_designs_are_the_persons_choice(kit: Kit) -> None:
    told(kit)
    values = [value for value, _ in mixes.choices(kit, mixes.source(kit, "L1"))]

    narrow = mixes.mix(kit, {"of": "L1", "what": "us-dime-roosevelt-silver", "first": "1950"})

    assert values == ["dime", "us-dime-mercury", "us-dime-roosevelt-silver"]
    assert {share.struck.kind for share in narrow.expected.shares} == {"us-dime-roosevelt-silver"}
    assert narrow.reading.beside.pieces == 132
    assert {one.why for one in narrow.reading.beside.outside} == {"not told apart by date, or another kind"}


def test_what_cannot_be_asked_is_told_at_its_field(kit: Kit) -> None:
    told(kit)

    with pytest.raises(Faults) as error:
        mixes.mix(kit, {"of": "L1", "first": "now", "loss": "100", "until": "later", "melts": "a fire"})
    assert {fault.where for fault in error.value.faults} == {"first", "loss", "until", "melts"}
    with pytest.raises(Faults, match="what: No kind"):
        mixes.mix(kit, {"of": "L1", "what": "dubloon"})
    with pytest.raises(Faults, match="first: No mintage"):
        mixes.mix(kit, {"of": "L1", "first": "1990", "last": "1991"})
    with pytest.raises(NotFoundError, match=r"L9.*Try: L1"):
        mixes.mix(kit, {"of": "L9"})


def test_an_assumption_is_kept_and_counts_until_another_is_said(kit: Kit) -> None:
    told(kit)
    keep_survival(kit, {"loss": "2%", "until": "1964", "melts": "1980: 20% from 1916\n1918: 5% for the war"})

    kept = mixes.mix(kit, {"of": "L1"}).expected.survival
    said = mixes.mix(kit, {"of": "L1", "loss": "0"}).expected.survival

    assert kept == kept_survival(kit)
    assert kept.yearly_loss == D("0.02")
    assert kept.melts[0] == Melt(year=1980, share=D("0.2"), first_year=1916)
    assert kept.melts[1].words == "for the war"
    assert said == FLAT


def test_an_assumption_reads_back_from_the_book_and_the_form() -> None:
    whole = Survival(
        yearly_loss=D("0.015"),
        until=1970,
        melts=(Melt(year=1980, share=D("0.125"), first_year=1900, words="the rush"),),
    )

    assert survival_from(survival_row(whole)) == whole
    assert survival_fields(whole)["loss"] == "1.5"
    assert read_melts(survival_fields(whole)["melts"]) == whole.melts
    assert survival_from(survival_row(FLAT)) == FLAT


@pytest.mark.parametrize("text", ["-1", "100", "250%"])
def test_a_loss_outside_what_can_be_is_refused(text: str) -> None:
    with pytest.raises(RangeError, match="From 0 to below 100"):
        read_loss(text)


@pytest.mark.parametrize("text", ["1980", "twenty per cent", "1980: 20"])
def test_a_melt_without_its_year_or_share_is_refused(text: str) -> None:
    with pytest.raises(UnreadableError, match="1980: 20%"):
        read_melts(text)


def test_a_piece_that_was_only_pulled_makes_no_bag_but_counts_with_one(kit: Kit) -> None:
    """The scarce dime was taken out first; once the rest is told apart, the bag's mix holds it too."""
    pieces.lay(kit, {"label": "E1", "heap": "L1", "what": "merc dime 1921-D", "band": "G4"})
    triage.pull(kit, {"label": "E1"})
    assert mixes.sources(kit) == ()

    told(kit)

    (source,) = mixes.sources(kit)
    assert next(row.count for row in source.rows if row.issue == "1921-D") == 2


def test_a_piece_that_was_told_apart_is_not_counted_again_when_it_is_pulled(kit: Kit) -> None:
    told(kit)
    before = mixes.source(kit, "L1").rows
    pieces.lay(kit, {"label": "E1", "heap": "L1/us-dime-mercury/1945-P", "band": "VF20"})

    triage.pull(kit, {"label": "E1"})

    assert mixes.source(kit, "L1").rows == before


def test_what_goes_back_to_the_heap_stays_in_the_mix(kit: Kit) -> None:
    told(kit)
    before = mixes.source(kit, "L1").rows

    triage.back(kit, {"heap": "L1/us-dime-mercury/1945-P"})

    assert mixes.source(kit, "L1").rows == before
