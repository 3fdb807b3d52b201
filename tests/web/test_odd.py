"""What a stranger sends: odd addresses, control characters, forms that grew stale while another window wrote."""

import re
from datetime import date
from html import unescape
from urllib.parse import quote

import httpx
import pytest

from ninefine.desk import arrivals, purchase, records
from ninefine.desk.kit import Kit
from ninefine.testing import kit_in_memory
from web.conftest import Caller
from web.told import AppCaller, entries, house_of

ODD = ("\N{SUPERSCRIPT TWO}", "\N{ARABIC-INDIC DIGIT THREE}", "9" * 5000, "-1", "1e3", "L999", " ", "0x10")


@pytest.fixture
def kit() -> Kit:
    made = kit_in_memory(today=date(2026, 6, 12))
    for face in ("100", "200", "300"):
        purchase.buy(made, {"on": "2026-03-02", "kind-1": "90% halves", "amount-1": f"{face} face", "price-1": "24x"})
    return made


@pytest.fixture
def house(kit: Kit, app_caller: AppCaller) -> Caller:
    return house_of(kit, app_caller)


def rows(answer: httpx.Response, stem: str) -> dict[str, str]:
    """What stands beside each name that rows speak of: `heap-2` holds a name, and the stem's field 2 a text."""
    values = {
        unescape(name): unescape(value)
        for name, value in re.findall(r'<input[^>]* name="([^"]+)"[^>]*? value="([^"]*)"', answer.text)
    }
    named = {text: name.rpartition("-")[2] for name, text in values.items() if re.match(r"(heap|lot)-\d", name)}
    return {text: values.get(f"{stem}-{number}", "") for text, number in named.items()}


@pytest.mark.parametrize("part", ODD)
@pytest.mark.parametrize(
    "path", ["/book/{}", "/sorting/tallies/{}", "/bench/tests/{}", "/arrivals/count?parcel={}", "/holdings/lots/{}"]
)
def test_an_odd_address_is_nothing_kept_here(house: Caller, path: str, part: str) -> None:
    assert house.get(path.replace("{}", quote(part, safe=""))).status_code == 404


@pytest.mark.parametrize("part", ODD)
@pytest.mark.parametrize("path", ["/book?before={}", "/holdings?first={}", "/arrivals/weigh?first={}"])
def test_an_odd_place_in_a_list_is_its_beginning(house: Caller, path: str, part: str) -> None:
    assert house.get(path.replace("{}", quote(part, safe=""))).status_code == 200


@pytest.mark.parametrize("row", ["kind-abc", "kind-\N{SUPERSCRIPT TWO}", "kind-" + "9" * 5000, "kind--1"])
def test_a_row_without_a_number_is_none(kit: Kit, house: Caller, row: str) -> None:
    before = entries(kit)

    answer = house.post("/purchase", {row: "90%", "do": "book"})

    assert answer.status_code == 400
    assert entries(kit) == before


@pytest.mark.parametrize("text", ["a\x00b", "a\x1b[31mb", "a\x9bb"])
def test_a_control_character_is_refused_at_its_field_and_the_rest_kept(kit: Kit, house: Caller, text: str) -> None:
    before = entries(kit)

    answer = house.post(
        "/purchase",
        {"on": "2026-06-12", "kind-1": "90%", "amount-1": "5 face", "price-1": "24x", "seller": text, "do": "book"},
    )

    assert answer.status_code == 400
    assert re.search(r'id="seller-fault">There is a control character in this', answer.text)
    assert 'value="5 face"' in answer.text
    assert entries(kit) == before


def test_a_mend_is_refused_at_its_field(house: Caller) -> None:
    answer = house.post("/book/1/mend", {"on": "2026-03-02", "lines.1.price": "dear", "why": "typed wrong"})

    assert answer.status_code == 400
    assert 'id="lines.1.price-fault">This is no number; write digits and at most one point.<' in answer.text
    assert 'value="dear"' in answer.text


def test_an_own_kind_is_refused_at_its_fields(house: Caller) -> None:
    answer = house.post("/reference/kinds", {"name": "///", "fineness": "2000", "weight": "31"})

    assert answer.status_code == 400
    for field, words in (("name", "A kind has a name"), ("fineness", "2000 cannot be"), ("weight", "is not a weight")):
        assert re.search(rf'id="{field}-fault">[^<]*{words}', answer.text), field


FIRST, SECOND, THIRD = (f"L{number}/us-half-90" for number in (1, 2, 3))


@pytest.mark.parametrize(
    ("path", "stem", "more"),
    [
        ("/sale", "amount", {"how": "chosen", "price": "nonsense", "do": "show"}),
        ("/entries/loss", "amount", {"why": "lost", "on": "nonsense", "do": "show"}),
        ("/arrivals/weigh", "weight", {"on": "nonsense"}),
    ],
)
def test_what_was_typed_stays_beside_its_heap_when_another_has_gone(
    kit: Kit, house: Caller, path: str, stem: str, more: dict[str, str]
) -> None:
    """A form is open in one window while the first heap goes elsewhere in another; then the form is refused."""
    typed = {"heap-1": FIRST, "heap-2": SECOND, "heap-3": THIRD, f"{stem}-2": "22.2 g", f"{stem}-3": "33.3 g"}
    records.move(kit, {"heap": "L1", "to": "B2"})

    answer = house.post(path, {**typed, **more})

    assert answer.status_code == 400
    assert rows(answer, stem) == {SECOND: "22.2 g", THIRD: "33.3 g"}


def test_what_was_counted_stays_beside_its_lot_when_another_was_received(kit: Kit, house: Caller) -> None:
    lines = {
        f"{name}-{n}": text for n in "12" for name, text in (("kind", "90%"), ("amount", "5 face"), ("price", "24x"))
    }
    stored = purchase.buy(kit, {"on": "2026-06-01", "arrived": "no", **lines})
    lots = [line.lot for line in stored.entry.lines]  # type: ignore[union-attr]
    arrivals.receive(kit, {"on": "2026-06-12", "lot-1": lots[0], "counted-1": "5 face"})

    answer = house.post(
        "/arrivals/count",
        {"parcel": str(stored.serial), "lot-1": lots[0], "lot-2": lots[1], "counted-2": "4.9 face", "on": "nonsense"},
    )

    assert answer.status_code == 400
    assert rows(answer, "counted") == {lots[1]: "4.9 face"}


def test_a_sheet_of_the_scale_shows_the_heaps_that_were_sent(kit: Kit, house: Caller) -> None:
    """A newer lot would stand first on a fresh sheet."""
    purchase.buy(kit, {"on": "2026-06-12", "kind-1": "90% dimes", "amount-1": "50 face", "price-1": "24x"})

    answer = house.post("/arrivals/weigh", {"heap-1": THIRD, "weight-1": "x", "on": "2026-06-12"})

    assert answer.status_code == 400
    assert rows(answer, "weight") == {THIRD: "x"}


def test_an_entry_cannot_be_mended_to_a_day_ahead(kit: Kit, house: Caller) -> None:
    records.note(kit, {"text": "one"}, [])

    answer = house.post("/book/4/mend", {"on": "2199-01-01"})

    assert answer.status_code == 400
    assert "has not come yet" in answer.text
