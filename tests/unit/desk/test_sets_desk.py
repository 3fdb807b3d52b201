"""Sets by date through the desk: what is lacking and what it costs, what is kept, what may go back."""

from datetime import date
from decimal import Decimal

import pytest

from ninefine.catalog.shelf import load_catalog
from ninefine.desk import pieces, purchase, records, sorting, triage
from ninefine.desk.kit import Kit
from ninefine.desk.say_sorting import set_sentence
from ninefine.desk.sets import kept_for, put_set, read_set, set_fields, set_named, sets, view
from ninefine.desk.sheets import put_sheet
from ninefine.errors import Faults, NotFoundError
from ninefine.sorting.sets import SetBy
from ninefine.testing import kit_in_memory

D = Decimal
CATALOG = load_catalog()
SHORT = {"what": "us-dime-mercury", "first": "1940", "last": "1942"}
TABLE = """kind, issue, grade, low, high
us-dime-mercury, , F12, 4, 6
us-dime-mercury, 1942-D, F12, 3, 3
us-dime-mercury, 1921-D, F12, 80, 98"""


@pytest.fixture
def kit() -> Kit:
    """Dimes of 1940 and 1941 told apart: two Philadelphias of 1940, three Denvers of 1941."""
    made = kit_in_memory(today=date(2026, 11, 25), catalog=CATALOG)
    records.price(made, {"per_ozt": "32"})
    line = {"kind-1": "us-dime-90", "amount-1": "50", "price-1": "100", "place": "A1"}
    purchase.buy(made, {"on": "2026-01-05", **line})
    rows = {"kind-1": "us-dime-mercury#1940-P", "amount-1": "2", "kind-2": "us-dime-mercury#1941-D", "amount-2": "3"}
    sorting.sort(made, {"heap": "L1", **rows})
    put_sheet(made, {"name": "club", "on": "2026-06-01", "table": TABLE})
    return made


def test_what_is_lacking_stands_cheapest_first(kit: Kit) -> None:
    """Nine places of 1940 to 1942; 1942-D by its own price of 3, the rest by any issue's middle of 5."""
    seen = view(kit, read_set(kit, SHORT))

    assert len(seen.wants) == 9
    assert [kept.want.label for kept in seen.state.kept] == ["1940-P", "1941-D"]
    assert [(lack.want.label, lack.price) for lack in seen.state.lacks[:2]] == [("1942-D", D(3)), ("1940-D", D(5))]
    assert seen.state.cost == 3 + 6 * 5
    assert set_sentence(seen) == (
        "Of 9 places, Mercury (Winged Liberty) dime, 2 are filled and 7 lacking; 7 gaps with a price would cost 33.00 "
        "by your sheets at F12. 3 duplicates may go back to the heap."
    )


def test_a_date_that_sorters_look_for_has_no_common_price(kit: Kit) -> None:
    """1921-D has a price of its own; 1921-P and 1916-D have none, though any issue of the kind is listed."""
    seen = view(kit, read_set(kit, {"what": "us-dime-mercury", "first": "1916", "last": "1921"}))

    prices = {lack.want.label: lack.price for lack in seen.state.lacks}
    assert (prices["1921-D"], prices["1921-P"], prices["1916-D"], prices["1917-P"]) == (D(89), None, None, D(5))
    assert seen.state.unpriced == 3
    assert "3 gaps have no price" in set_sentence(seen)


def test_another_grade_gives_another_price_or_none(kit: Kit) -> None:
    seen = view(kit, read_set(kit, {**SHORT, "grade": "VF20"}))

    assert {lack.price for lack in seen.state.lacks} == {None}


def test_the_best_piece_is_kept_and_the_rest_may_go_back(kit: Kit) -> None:
    pieces.lay(kit, {"label": "E1", "heap": "L1/us-dime-mercury/1941-D", "band": "VF20 cleaned"})
    pieces.lay(kit, {"label": "E2", "heap": "L1/us-dime-mercury/1941-D", "band": "F12"})

    state = view(kit, read_set(kit, SHORT)).state

    kept = next(kept.piece for kept in state.kept if kept.want.label == "1941-D")
    assert (kept.ref, kept.grade) == ("E2", D(12))
    back = {(piece.ref, piece.count) for piece in state.back if piece.issue == "1941-D"}
    assert back == {("L1/us-dime-mercury/1941-D@A1", 1), ("E1", 1)}


def test_a_pulled_piece_still_fills_its_place(kit: Kit) -> None:
    pieces.lay(kit, {"label": "E1", "heap": "L1/us-dime-mercury/1941-D", "band": "VF20"})
    triage.pull(kit, {"label": "E1"})

    kept = {kept.want.label: kept.piece.ref for kept in view(kit, read_set(kit, SHORT)).state.kept}

    assert kept == {"1940-P": "L1/us-dime-mercury/1940-P@A1", "1941-D": "E1"}


def test_one_of_each_year_takes_any_mint(kit: Kit) -> None:
    seen = view(kit, read_set(kit, {**SHORT, "by": "year"}))

    assert [want.label for want in seen.wants] == ["1940", "1941", "1942"]
    (lack,) = seen.state.lacks
    assert (lack.issue.key, lack.price) == ("1942-D", D(3))


def test_kept_sets_are_entries_and_say_what_they_keep(kit: Kit) -> None:
    put_set(kit, {"name": "the album", **SHORT, "by": "year and mint"})

    assert [one.name for one in sets(kit)] == ["the album"]
    assert set_fields(set_named(kit, "the album"))["first"] == "1940"
    assert read_set(kit, set_fields(set_named(kit, "the album")), named=True) == set_named(kit, "the album")
    assert set(kept_for(kit).values()) == {"the album"}
    with pytest.raises(NotFoundError, match="the album"):
        set_named(kit, "another")


def test_plain_words_name_a_set(kit: Kit) -> None:
    assert read_set(kit, {"what": "mercury dime"}).what == "us-dime-mercury"
    assert read_set(kit, {"what": "dimes", "by": "variety"}).by is SetBy.VARIETY


def test_faults_of_a_set_stand_at_their_fields(kit: Kit) -> None:
    with pytest.raises(Faults) as error:
        put_set(kit, {"name": "", "what": "moon dust", "by": "colour", "first": "x", "grade": "VF20 holed"})
    assert {fault.where for fault in error.value.faults} == {"name", "what", "by", "first", "grade"}
    with pytest.raises(Faults, match="No issue of us-dime-mercury is held in those years"):
        read_set(kit, {"what": "us-dime-mercury", "first": "1950"})
