"""What papers rest on: rows read and refused with every fault at its field; asks found by the narrowest name."""

from datetime import date
from decimal import Decimal

import pytest

from ninefine.desk import paper_tables as tables
from ninefine.desk import purchase
from ninefine.desk.kit import Kit
from ninefine.errors import Faults, NotFoundError, RangeError
from ninefine.market.asks import Ask, ask_for, ask_from, replacement
from ninefine.market.content import content, content_of
from ninefine.market.goods import Goods
from ninefine.papers.settings import Apart, Cover, Person, Place, Review
from ninefine.testing import kit_in_memory

D = Decimal


@pytest.fixture
def kit() -> Kit:
    made = kit_in_memory(today=date(2026, 6, 12))
    purchase.buy(made, {"on": "2024-01-05", "amount-1": "10 face", "kind-1": "dimes", "price-1": "100"})
    return made


def faults_of(error: Faults) -> set[str]:
    return {fault.where for fault in error.faults}


def test_rows_are_set_down_read_back_and_struck(kit: Kit) -> None:
    tables.set_row(kit, "ask", "coin", {"what": "90%", "quote": "50.60x", "whose": "the shop"})
    tables.set_row(kit, "place", "A1", {"where": "drawer", "limit": "60 lb"})
    tables.set_row(kit, "person", "Ada", {"about": "coin", "reach": "club"})
    tables.set_row(kit, "review", "cover", {"on": "2027-01-15", "every": "12"})
    tables.set_row(kit, "cover", "rider", {"limit": "$20,000"})
    tables.set_row(kit, "apart", "L1/us-dime-90", {"why": "kept"})

    (ask,) = tables.asks(kit)
    assert (ask.what, ask.said, ask.whose, ask.on) == ("90%", "50.60x", "the shop", date(2026, 6, 12))
    assert tables.places(kit) == {"A1": Place(code="A1", where="drawer", limit_g=D("27215.5422"))}
    assert tables.people(kit) == (Person(name="Ada", about="coin", reach="club"),)
    assert tables.reviews(kit) == (Review(name="cover", on=date(2027, 1, 15), every_months=12),)
    assert tables.covers(kit) == (Cover(name="rider", limit=D(20000)),)
    assert tables.kept_apart(kit) == {"L1/us-dime-90": Apart(what="L1/us-dime-90", why="kept")}
    tables.strike_row(kit, "cover", "rider")
    assert tables.covers(kit) == ()
    with pytest.raises(NotFoundError, match="There is no cover 'rider' to strike"):
        tables.strike_row(kit, "cover", "rider")


@pytest.mark.parametrize(
    ("table", "key", "form", "fields"),
    [
        ("ask", "x", {"what": "unobtainium", "quote": "many", "on": "soon"}, {"what", "quote", "on"}),
        ("ask", "x", {}, {"what", "quote"}),
        ("ask", " ", {"what": "90", "quote": "50x", "price": "3"}, {"key", "price"}),
        ("place", "A1", {"limit": "heavy"}, {"limit"}),
        ("review", "x", {"every": "0.5"}, {"on", "every"}),
        ("review", "x", {"on": "in spring"}, {"on"}),
        ("cover", "x", {"limit": "-5"}, {"limit"}),
        ("cover", "x", {}, {"limit"}),
        ("apart", "L9", {}, {"key", "why"}),
        ("person", "n" * 81, {"about": "coin"}, {"key"}),
    ],
)
def test_every_fault_is_at_its_field_and_nothing_is_written(
    kit: Kit, table: str, key: str, form: dict[str, str], fields: set[str]
) -> None:
    before = len(kit.journal.records())

    with pytest.raises(Faults) as refused:
        tables.set_row(kit, table, key, form)

    assert faults_of(refused.value) == fields
    assert len(kit.journal.records()) == before


def test_a_table_of_another_name_is_refused(kit: Kit) -> None:
    with pytest.raises(NotFoundError, match="Try: ask, place, person, review, cover, apart"):
        tables.set_row(kit, "exit", "x", {})


def asks(*rows: tuple[str, str]) -> tuple[Ask, ...]:
    return tuple(ask_from({"what": what, "quote": quote}) for what, quote in rows)


def test_the_narrowest_ask_holds() -> None:
    """As with bids: a kind before its way of quoting, that before its form, that before the metal."""
    kind = kit_in_memory().catalog().kind("us-dime-mercury")
    known = asks(("silver", "4% over"), ("90", "50x"), ("us-dime-mercury", "55x"), ("constitutional", "49x"))
    goods = (content_of(kind), content("90"), content("dollars"), content("ozt"))

    found = [ask_for(known, one) for one in goods]

    assert [one.said for one in found if one is not None] == ["55x", "50x", "49x", "4% over"]
    assert ask_for(asks(("90", "50x")), content("ozt")) is None
    later = ask_for(asks(("90", "50x"), ("90%", "51x")), content("90"))
    assert later is not None
    assert str(later.quote) == "51x"


def test_what_goods_would_cost_at_an_ask() -> None:
    """350 x 50.60; 60 x (66 + 4.25); 2450 g x 0.9 / 31.1034768 x 66 x 1.02, or 71.5 x 66 x 1.02 where not weighed."""
    coin, rounds = Goods(kind="", content=content("90"), face=D(350)), Goods(kind="", content=content("ozt"), count=60)
    by_scale = Goods(kind="", content=content("90"), face=D(100), gross_g=D(2450))
    (over,) = asks(("90", "2% over by scale"))

    assert replacement(asks(("90", "50.60x"))[0], coin, D(66)) == D("17710.00")
    assert replacement(asks(("ozt", "spot+4.25"))[0], rounds, D(66)) == D("4215.00")
    assert replacement(over, by_scale, D(66)) == D("4772.48")
    assert replacement(over, Goods(kind="", content=content("90"), face=D(100)), D(66)) == D("4813.38")
    with pytest.raises(RangeError):
        replacement(asks(("ozt", "50x"))[0], rounds, D(66))


def test_an_ask_is_written_as_it_is_read() -> None:
    row = {"what": "90", "quote": "spot+1.20", "whose": "the shop", "on": "2026-06-01", "note": "cash"}

    assert ask_from(row).as_dict() == row
    assert ask_from(ask_from(row).as_dict()) == ask_from(row)
