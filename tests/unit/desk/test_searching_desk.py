"""What searching may pay and did pay, through the desk."""

from datetime import date
from decimal import Decimal

import pytest

from ninefine.catalog.shelf import load_catalog
from ninefine.desk import purchase, records, sale, sorting
from ninefine.desk.collectors import put_collector
from ninefine.desk.judging import put_judging
from ninefine.desk.kit import Kit
from ninefine.desk.say_sorting import after_sentence, before_sentence
from ninefine.desk.searched import after, keep_search, lots_searched, read_finds
from ninefine.desk.searching import before, read_worth
from ninefine.desk.sheets import put_sheet
from ninefine.errors import Faults, UnreadableError
from ninefine.measure.numbers import to_places
from ninefine.testing import kit_in_memory

CATALOG = load_catalog()
D = Decimal
WORTH = "1916-D = 600\n1921-D: 60; 1921 = 50\n1926-s = 12"


@pytest.fixture
def kit() -> Kit:
    made = kit_in_memory(today=date(2025, 3, 6), catalog=CATALOG)
    records.price(made, {"per_ozt": "31.50", "whose": "the shop's screen"})
    return made


def test_the_invented_example_of_the_documentation(kit: Kit) -> None:
    """2,500 Mercury dimes at 800 an hour: 282.89, 90.53 an hour, give or take 308.91 (docs/ideas)."""
    found = before(kit, {"what": "us-dime-mercury", "worth": WORTH})

    seen = found.prospect
    assert (found.pieces, seen.hours) == (2500, D("3.125"))
    assert [str(to_places(one, 2)) for one in (seen.worth, seen.per_hour, seen.spread)] == ["282.89", "90.53", "308.91"]
    key = found.hopes[0]
    assert (key.struck.key, key.likely.for_half, key.likely.for_nearly) == ("1916-D", 7029, 30378)
    assert "282.89 over melt on average, give or take 308.91, in 3.13 hours: 90.53 an hour" in before_sentence(found)


def test_dates_without_a_worth_are_shown_and_add_nothing(kit: Kit) -> None:
    found = before(kit, {"what": "us-dime-mercury"})

    assert found.prospect.worth == 0
    assert found.unpriced == len(found.hopes) == 15
    assert "nobody has said yet" in before_sentence(found)


def test_a_rank_prices_every_date_that_has_it_and_a_date_goes_before_it(kit: Kit) -> None:
    found = before(kit, {"what": "us-dime-mercury", "worth": "better = 4\nsemi-key = 30\n1921-D = 60"})

    worth = {hope.struck.key: hope.over_melt for hope in found.hopes}
    assert (worth["1921-D"], worth["1926-S"], worth["1931-D"], worth["1916-D"]) == (D(60), D(30), D(4), None)


def test_a_sheet_prices_dates_that_it_lists_by_themselves(kit: Kit) -> None:
    """60 x 80% = 48.00; the dime melts at 0.0715 x 31.50 = 2.25; a common price never makes every dime a find."""
    put_collector(kit, {"name": "the club table", "pct_of_sheet": "80"})
    table = "kind,issue,grade,low,high\nus-dime-mercury,1921-D,G4,60,60\nus-dime-mercury,,G4,40,40"
    put_sheet(kit, {"name": "club", "on": "2025-01-01", "table": table})

    found = before(kit, {"what": "us-dime-mercury", "grade": "G4"})

    priced = [hope for hope in found.hopes if hope.over_melt is not None]
    assert [(hope.struck.key, hope.over_melt) for hope in priced] == [("1921-D", D("45.75"))]
    assert priced[0].whence == "club, 2025-01-01, at G4 by the club table"


def test_a_bag_that_was_searched_holds_fewer_of_what_is_sought(kit: Kit) -> None:
    """A tenth left: the share p of all sought dates falls to p / 10 over 1 - 0.9 p, and each in proportion."""
    whole = before(kit, {"what": "us-dime-mercury", "worth": WORTH})
    tenth = before(kit, {"what": "us-dime-mercury", "worth": WORTH, "left": "10%"})

    p = sum((hope.likely.sought.share for hope in whole.hopes), D(0))
    shrunk = p / 10 / (1 - p * D("0.9"))
    assert abs(sum((hope.likely.sought.share for hope in tenth.hopes), D(0)) - shrunk) < D("1e-20")
    assert "if 10% of them are still there" in before_sentence(tenth)


def test_the_persons_own_speed_is_kept_and_an_hour_s_worth_decides(kit: Kit) -> None:
    put_judging(kit, {"pieces_per_hour": "400", "hour_worth": "50"})

    found = before(kit, {"what": "us-dime-mercury", "worth": WORTH})

    assert found.prospect.hours == D("6.25")
    assert not found.prospect.pays
    assert before_sentence(found).count("it does not pay") == 1


def test_every_fault_of_what_was_asked_stands_at_its_field(kit: Kit) -> None:
    with pytest.raises(Faults) as error:
        before(
            kit, {"size": "a bag", "sizes": "10 face, 3 bags", "left": "120", "speed": "0", "grade": "ZZ", "worth": "x"}
        )
    assert {fault.where for fault in error.value.faults} == {"left", "speed", "grade", "worth"}
    with pytest.raises(Faults) as error:
        before(kit, {"size": "a bag", "sizes": "10 face, 3 bags"})
    assert {fault.where for fault in error.value.faults} == {"size", "sizes"}


@pytest.mark.parametrize("text", ["1921-D", "= 4", "1921-D = lots"])
def test_a_worth_that_is_none_is_refused(text: str) -> None:
    with pytest.raises(UnreadableError):
        read_worth(text)


def bag(kit: Kit) -> None:
    """Quarry Street's dimes and quarters, the scarce dime told apart by its own weight."""
    purchase.buy(kit, {"on": "2025-02-10", "amount-1": "250 face", "kind-1": "90%", "price-1": "23.40x"})
    rows = {"kind-1": "90% dimes", "amount-1": "1180", "kind-2": "90% quarters", "amount-2": "492"}
    sorting.sort(kit, {"heap": "L1", **rows, "kind-3": "90% halves", "amount-3": "18"})
    rows = {"kind-1": "us-dime-mercury#1921-D", "amount-1": "1 piece, 2.457 g"}
    sorting.sort(kit, {"heap": "L1/us-dime-90", **rows})


def sell(kit: Kit, heap: str, price: str, fees: str = "0") -> None:
    sale.sell(kit, sale.read_sale(kit, {"heap-1": heap, "price": price, "fees": fees, "buyer": "a collector"}))


class TestQuarryStreet:
    """Scenario: one scarce dime nets 47.00, nine bright quarters 1.50 each over melt, in 6.5 hours; all invented."""

    def test_the_search_paid_58_26_and_8_96_an_hour(self, kit: Kit) -> None:
        """(47.00 - 2.24) + 9 x 1.50; the dime's melt is 2.457 g x 0.9 / 31.1034768 x 31.50 = 2.24."""
        bag(kit)
        sell(kit, "L1/us-dime-mercury/1921-D", "60.00", fees="13.00")

        found = after(kit, {"lot": "L1", "hours": "6.5", "hour": "10", "finds": "9 bright quarters = 1.50"})

        assert [(one.net, one.melt) for one in found.sold] == [(D("47.00"), D("2.24"))]
        assert found.worth == D("58.26")
        assert found.paid is not None
        assert str(to_places(found.paid.per_hour, 2)) == "8.96"
        assert not found.paid.paid
        assert after_sentence(found) == (
            "The search of lot L1 brought 58.26 over melt in 6.50 hours: 8.96 an hour. At 10.00 an hour it did not pay."
        )

    def test_with_the_shop_alone_it_paid_5_50_an_hour(self, kit: Kit) -> None:
        """(38.00 - 2.24) / 6.5; the shop pays melt for the quarters."""
        bag(kit)
        sell(kit, "L1/us-dime-mercury/1921-D", "38.00")

        found = after(kit, {"lot": "L1", "hours": "6.5"})

        assert found.paid is not None
        assert str(to_places(found.paid.per_hour, 2)) == "5.50"

    def test_hours_and_finds_are_kept_in_the_book(self, kit: Kit) -> None:
        bag(kit)
        sell(kit, "L1/us-dime-mercury/1921-D", "60.00", fees="13.00")
        keep_search(kit, {"lot": "L1", "hours": "6.5", "finds": "9 bright quarters = 1.50"})

        found = after(kit, {"lot": "L1"})

        assert (found.hours, found.worth) == (D("6.5"), D("58.26"))
        assert lots_searched(kit)[0] == "L1"


def test_common_coin_that_was_sold_is_no_find(kit: Kit) -> None:
    bag(kit)
    sorting.sort(kit, {"heap": "L1/us-dime-90", "kind-1": "us-dime-mercury#1944-P", "amount-1": "10"})
    sell(kit, "L1/us-dime-mercury/1944-P", "30.00")

    assert after(kit, {"lot": "L1", "hours": "1"}).sold == ()


def test_without_hours_nothing_is_said_an_hour(kit: Kit) -> None:
    bag(kit)

    found = after(kit, {"lot": "L1"})

    assert found.paid is None
    assert "has not been said" in after_sentence(found)


def test_faults_of_a_search_stand_at_their_fields(kit: Kit) -> None:
    with pytest.raises(Faults) as error:
        after(kit, {"lot": "L9", "hours": "-1", "finds": "quarters"})
    assert {fault.where for fault in error.value.faults} == {"lot", "hours", "finds"}
    with pytest.raises(Faults, match="hours: This is needed"):
        keep_search(kit, {"lot": "L1"})


def test_finds_are_read_with_their_number() -> None:
    found = read_finds("9 bright quarters = 1.50\na scarce dime = 44.76; 2 of 1950-D = -0.10")

    assert [(one.pieces, one.what, one.over_melt) for one in found] == [
        (9, "bright quarters", D("1.50")),
        (1, "a scarce dime", D("44.76")),
        (2, "1950-D", D("-0.10")),
    ]
