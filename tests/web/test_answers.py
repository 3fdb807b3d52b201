"""Errors as pages, static files, the ground, and what stands around every page."""

import re
from collections.abc import Callable
from datetime import date

import pytest
from starlette.applications import Starlette
from starlette.responses import Response

from ninefine.errors import DamagedFileError
from ninefine.testing import kit_in_memory
from ninefine.web import assets
from ninefine.web.app import Content, make_app
from ninefine.web.frame import FrameFacts, facts_of
from ninefine.web.keys import Keys
from ninefine.web.visit import Visit, shown
from web.conftest import Caller
from web.sampler import AUTHORITY


@pytest.mark.parametrize(
    ("what", "status", "words"),
    [
        ("unreadable", 400, "Try: 1461 g, 47.0 ozt."),
        ("faults", 400, "line 9: no mint"),
        ("lost", 404, "Try: lot 9."),
        ("book", 409, "it cannot be moved after that."),
        ("store", 409, "does not open this book"),
    ],
)
def test_an_error_of_the_tree_becomes_a_plain_page(caller: Caller, what: str, status: int, words: str) -> None:
    answer = caller.get(f"/refuse/{what}")

    assert answer.status_code == status
    assert words in answer.text
    assert "Traceback" not in answer.text
    assert caller.report == []


def test_an_unexpected_error_becomes_a_calm_page_and_one_line(caller: Caller) -> None:
    answer = caller.get("/refuse/defect")

    assert answer.status_code == 500
    assert "Nothing was written" in answer.text
    assert "RuntimeError" not in answer.text
    assert len(caller.report) == 1
    assert re.fullmatch(
        r"ninefine: unexpected RuntimeError at sampler\.py:\d+ on GET /refuse/defect: a defect, told in two lines",
        caller.report[0],
    )


def test_a_page_that_is_not_there_and_a_method_that_is_not_meant(caller: Caller) -> None:
    assert "There is no such page." in caller.get("/nowhere").text
    assert caller.post("/sheet", {}).status_code == 400
    assert caller.get("/ground").status_code == 405


def test_a_refusal_stands_even_where_the_book_cannot_be_read(
    app_caller: Callable[[Starlette, Keys], Caller],
) -> None:
    def broken() -> None:
        raise DamagedFileError("The book does not read whole.")

    def show(visit: Visit) -> Response:
        return visit.page("bare.html")

    keys = Keys()
    app = make_app(
        broken,  # type: ignore[arg-type]  # it answers nothing: it raises
        keys,
        authority=AUTHORITY,
        content=Content(routes=[shown("/", show, name="first")]),
    )

    answer = app_caller(app, keys).get("/")

    assert answer.status_code == 409
    assert "does not read whole" in answer.text


def test_static_files_are_kept_for_ever_at_an_address_with_their_digest(caller: Caller) -> None:
    page = caller.get("/sheet").text
    addresses = set(re.findall(r'(?:href|src)="(/static/[^"]+)"', page))

    assert len(addresses) >= 8
    for address in addresses:
        answer = caller.get(address)
        assert answer.status_code == 200, address
        assert "immutable" in answer.headers["cache-control"]
    assert caller.get("/static/0123456789abcdef/page.css").status_code == 404
    assert caller.get(f"/static/{assets.edition()}/%2e%2e/app.py").status_code == 404
    assert caller.get(f"/static/{assets.edition()}/VENDORED.md").status_code == 404
    assert caller.get("/favicon.ico").headers["content-type"] == "image/svg+xml"


def test_style_sheets_and_scripts_have_their_types(caller: Caller) -> None:
    """With nosniff, a browser refuses a style sheet or a script of the wrong type."""
    assert caller.get(assets.address("page.css")).headers["content-type"] == "text/css; charset=utf-8"
    assert caller.get(assets.address("htmx.min.js")).headers["content-type"] == "text/javascript; charset=utf-8"
    font = caller.get(assets.address("fonts/vollkorn-latin-wght-normal.woff2"))
    assert (font.headers["content-type"], font.content[:4]) == ("font/woff2", b"wOF2")


def test_a_template_cannot_name_a_file_that_is_not_packaged() -> None:
    with pytest.raises(KeyError):
        assets.address("nothing.css")


def test_the_ground_is_kept_in_a_cookie_and_leads_back(caller: Caller) -> None:
    answer = caller.post("/ground", {"ground": "slate", "back": "/sheet?x=1"})

    assert (answer.status_code, answer.headers["location"]) == (303, "/sheet?x=1")
    assert "ninefine_ground=slate" in answer.headers["set-cookie"]
    chosen = caller.get("/sheet", Cookie=caller.cookie["Cookie"] + "; ninefine_ground=slate").text
    assert 'data-ground="slate"' in chosen
    assert 'value="slate" aria-pressed="true"' in chosen
    assert 'data-ground="auto"' in caller.get("/sheet").text
    assert 'data-ground="auto"' in caller.get("/sheet", Cookie=caller.cookie["Cookie"] + '; ninefine_ground="><b>').text


@pytest.mark.parametrize("back", ["//evil.example", "/\\evil.example", "http://evil.example", "", "javascript:1"])
def test_the_ground_never_leads_to_another_host(caller: Caller, back: str) -> None:
    assert caller.post("/ground", {"ground": "paper", "back": back}).headers["location"] == "/"


def test_a_ground_that_is_not_one_is_not_found(caller: Caller) -> None:
    assert caller.post("/ground", {"ground": "marble", "back": "/"}).status_code == 404


def test_the_way_names_the_stages_in_order_with_what_waits(caller: Caller) -> None:
    page = caller.get("/sheet").text

    way = re.findall(r'<span class="words">([^<]+)</span>', page.split("</nav>")[0])
    assert way == ["First page", "Offers", "Arrivals", "Sorting", "Holdings", "Exits"]
    assert 'aria-current="page"' in page.split("Offers")[0]
    assert "<b>12</b>" in page
    assert ", 12 waiting" in page


def test_a_stage_without_a_page_is_not_drawn(app_caller: Callable[[Starlette, Keys], Caller]) -> None:
    def show(visit: Visit) -> Response:
        return visit.refusal(200, head="Here", words="Nothing else is.")

    keys = Keys()
    app = make_app(
        kit_in_memory,
        keys,
        authority=AUTHORITY,
        frame_source=lambda kit: FrameFacts(today=kit.today()),
        content=Content(routes=[shown("/", show, name="first"), shown("/prices", show, name="prices")]),
    )

    page = app_caller(app, keys).get("/").text

    assert "First page" in page
    assert "Prices" in page
    assert "Sorting" not in page


def test_the_frame_tells_of_the_book_that_is_open() -> None:
    told = facts_of(kit_in_memory(today=date(2026, 3, 3)))

    assert (told.today, told.book, told.currency, told.plain) == (date(2026, 3, 3), "A book in memory", "USD", True)
    assert told.waiting["prices"] >= 1  # a book without a price of its own waits for one
