"""Helpers of the tests of stages: a house over a book, a file handed in, what a page says, where a fault stands."""

import re
import time
from collections.abc import Callable
from html import unescape

import httpx
from starlette.applications import Starlette

from ninefine.desk import purchase, records
from ninefine.desk.exit_form import put_exit
from ninefine.desk.kit import Kit
from ninefine.web.app import make_app
from ninefine.web.keys import Keys
from web.conftest import OWN, Caller
from web.sampler import AUTHORITY

#: Makes a caller for an application, as the fixture of that name does.
AppCaller = Callable[[Starlette, Keys], Caller]


def house_of(kit: Kit, app_caller: AppCaller) -> Caller:
    """The whole application over a book."""
    keys = Keys()
    return app_caller(make_app(lambda: kit, keys, authority=AUTHORITY), keys)


def send_file(house: Caller, path: str, file: tuple[str, str, bytes, str], **typed: str) -> httpx.Response:
    """Send a file as the page's form does: its field, its name, its bytes and its media type."""
    field, name, data, media = file
    return house.send(
        "POST",
        path,
        data={"form_key": house.keys.form_key, **typed},
        files={field: (name, data, media)},
        headers={**house.cookie, **OWN},
    )


def settled(house: Caller, sent: httpx.Response, meanwhile: str) -> httpx.Response:
    """The page to which a form led once its work is done; until then it says `meanwhile`, and asks again by itself."""
    assert sent.status_code == 303
    for _ in range(600):
        answer = house.get(sent.headers["location"])
        if "refresh" not in answer.headers:
            return answer
        assert meanwhile in text_of(answer.text)
        time.sleep(0.05)
    raise AssertionError(f"still {meanwhile} after 30 seconds")


def text_of(html: str) -> str:
    """What a page says, without its markup."""
    return " ".join(unescape(re.sub(r"<[^>]+>", "", re.sub(r"<(td|th|li|p|small)", r" <\1", html))).split())


def faults_of(html: str) -> set[str]:
    """The fields under which a fault stands; each is also marked as invalid for who cannot see it."""
    told = set(re.findall(r'class="fault" id="([^"]+)-fault"', html))
    marked = {name for name in told if re.search(rf'<(?:input|select|textarea) id="{name}"[^>]*aria-invalid', html)}
    assert marked == told
    return told


def column_of(html: str, head: str) -> list[str]:
    """The figures of a ledger's column, from the top, by the head above it: `Landed, USD`."""
    cells = re.findall(rf'data-head="{re.escape(head)}">(.*?)</td>', html, re.DOTALL)
    return [match[1] if (match := re.search(r'class="n">([^<]*)<', cell)) else "" for cell in cells]


def entries(kit: Kit) -> int:
    """How many entries the book holds."""
    return len(kit.journal.records())


def foreign(house: Caller, path: str, fields: dict[str, str]) -> int:
    """The status of a form with a key that is not this run's."""
    return house.post(path, {**fields, "form_key": "another"}).status_code


def a_book(kit: Kit) -> None:
    """A price, a way out, a bag that is here and a parcel on its way."""
    records.price(kit, {"on": "2025-03-04", "at": "10:15", "per_ozt": "32", "whose": "the shop's screen"})
    put_exit(kit, {"name": "Brook Street", "what-1": "90", "bid-1": "22x", "what-2": "ozt", "bid-2": "spot-0.90"})
    bag = {"kind-1": "90%", "amount-1": "250 face", "price-1": "20x", "place": "A1"}
    purchase.buy(kit, {"on": "2023-05-06", "seller": "Harbor Coin (invented)", **bag})
    parcel = {"kind-1": "90% halves", "amount-1": "100 face", "price-1": "24.60x", "carriage": "9.95"}
    purchase.buy(kit, {"on": "2025-02-20", "seller": "Cattail Post", "arrived": "no", **parcel})
