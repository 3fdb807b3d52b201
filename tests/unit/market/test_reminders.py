"""Reminders: when they speak up, whose they are, and that examples say so."""

from datetime import date
from decimal import Decimal

import pytest

from ninefine.errors import Faults
from ninefine.market.content import content
from ninefine.market.goods import Goods
from ninefine.market.reminders import About, Reminder, examples, in_force, reminded, reminder_from

D = Decimal
RULE = {"words": "It may be reported.", "source": "a form", "as_of": "2026-06-12"}


def coin(face: str) -> Goods:
    return Goods(kind="us-90", content=content("90"), face=D(face))


def rounds(count: int) -> Goods:
    return Goods(kind="round", content=content("ozt"), count=count)


def heard(
    rule: dict[str, str], goods: list[Goods], money: str = "1", about: About = About.SALE, *, in_cash: bool = False
) -> bool:
    one = reminder_from("r", RULE | rule)
    return bool(reminded([one], about, goods, D(money), in_cash=in_cash))


@pytest.mark.parametrize(
    ("rule", "goods", "money", "speaks"),
    [
        ({"of": "constitutional", "least": "1000 face"}, [coin("999.90")], "1", "no"),
        ({"of": "constitutional", "least": "1000 face"}, [coin("600"), coin("400")], "1", "yes"),
        ({"of": "constitutional", "least": "1000 face"}, [rounds(5000)], "1", "no"),
        ({"of": "90%", "least": "1 face"}, [coin("1")], "1", "yes"),
        ({"of": "bullion", "least": "1000 ozt"}, [rounds(999)], "1", "no"),
        ({"of": "bullion", "least": "1000 ozt"}, [rounds(1000), coin("5")], "1", "yes"),
        ({"over": "10000"}, [rounds(1)], "10000", "no"),
        ({"over": "10000"}, [rounds(1)], "10000.01", "yes"),
        ({"below": "1000"}, [rounds(1)], "999.99", "yes"),
        ({"below": "1000"}, [rounds(1)], "1000", "no"),
        ({"least": "10 pieces"}, [rounds(10)], "1", "yes"),
        ({}, [], "1", "no"),
        ({"off": "yes"}, [rounds(1)], "1", "no"),
    ],
)
def test_a_reminder_speaks_up_at_its_limits(rule: dict[str, str], goods: list[Goods], money: str, speaks: str) -> None:
    assert heard(rule, goods, money) is (speaks == "yes")


@pytest.mark.parametrize(
    ("about", "spoken"),
    [("sale", {About.SALE}), ("purchase", {About.PURCHASE}), ("both", {About.SALE, About.PURCHASE})],
)
def test_it_speaks_of_sales_of_purchases_or_of_both(about: str, spoken: set[About]) -> None:
    heard_at = {one for one in (About.SALE, About.PURCHASE) if heard({"about": about}, [rounds(1)], about=one)}

    assert heard_at == spoken


def test_cash_is_another_matter() -> None:
    assert not heard({"cash": "yes"}, [rounds(1)])
    assert heard({"cash": "yes"}, [rounds(1)], in_cash=True)
    assert heard({}, [rounds(1)], in_cash=True)


def test_every_example_names_its_source_and_day_and_says_that_it_is_one() -> None:
    for one in examples():
        assert one.example
        assert one.source
        assert one.as_of is not None
        assert one.words.endswith(".")
        assert "\n" not in one.words


def test_the_examples_in_a_household_s_sales_and_purchases() -> None:
    """$1,000 face and 1,000-ounce bars (lists of the trade, disputed), cash over 10,000, a sale below 1,000."""
    all_ = examples()

    def names(about: About, goods: list[Goods], money: str, *, cash: bool = False) -> set[str]:
        return {one.name for one in reminded(all_, about, goods, D(money), in_cash=cash)}

    small = {"a gain belongs on the return", "collectibles"}
    assert names(About.SALE, [coin("400")], "17932") == small
    assert names(About.SALE, [coin("1000")], "44830") == small | {"90% coin a broker may report"}
    assert names(About.SALE, [rounds(1000)], "64500") == small | {"large bars a broker may report"}
    assert names(About.PURCHASE, [coin("100")], "4900") == set()
    assert names(About.PURCHASE, [coin("300")], "14700", cash=True) == {"cash over 10,000"}
    assert names(About.PURCHASE, [coin("10")], "490") == {"sales tax below a sum"}


def test_the_persons_own_take_the_place_of_examples() -> None:
    own = {"collectibles": {**RULE, "about": "sale"}, "my state": RULE, "cash over 10,000": {"off": "yes"}}

    found = {one.name: one for one in in_force(own)}

    assert len(found) == len(examples()) + 1
    assert found["collectibles"].words == "It may be reported."
    assert not found["collectibles"].example
    assert found["cash over 10,000"].off
    assert {one.name for one in in_force(own, with_examples=False)} == set(own)


def test_a_reminder_is_read_back_as_it_was_written() -> None:
    one = reminder_from("r", {**RULE, "of": "90", "least": "1000 face", "over": "5", "below": "7 ozt", "cash": "yes"})

    assert reminder_from("r", one.as_dict()) == one
    for shipped in examples():
        again = reminder_from(shipped.name, shipped.as_dict(), example=True)
        assert again == shipped


def test_every_fault_is_told_at_once() -> None:
    with pytest.raises(Faults) as caught:
        reminder_from("r", {"about": "gift", "least": "many", "cash": "perhaps", "colour": "red"})

    assert {fault.where for fault in caught.value.faults} == {
        "about", "least", "cash", "words", "source", "as_of", "colour",
    }  # fmt: skip
    assert isinstance(reminder_from("r", {"off": "yes"}), Reminder)
    assert date(2026, 6, 12) == reminder_from("r", RULE).as_of
