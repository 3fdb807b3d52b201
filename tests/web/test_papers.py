"""The papers stage, over the invented demo book: the list, each paper, its files, and what papers rest on."""

import re
from collections.abc import Callable
from datetime import date
from html import unescape
from urllib.parse import quote

import pytest
from starlette.applications import Starlette

from ninefine.desk import paper_tables
from ninefine.desk.demo import build_demo
from ninefine.desk.kit import Kit
from ninefine.desk.paper_tables import SETTINGS
from ninefine.desk.papers import PAPERS
from ninefine.testing import kit_in_memory
from ninefine.web.app import make_app
from ninefine.web.keys import Keys
from web.conftest import Caller
from web.sampler import AUTHORITY


@pytest.fixture(scope="module")
def told() -> Kit:
    """The demo, only looked at."""
    made = kit_in_memory(today=date(2026, 11, 25))
    build_demo(made)
    paper_tables.set_row(made, "ask", "coin", {"what": "90", "quote": "42.10x", "whose": "Linden Street counter"})
    return made


@pytest.fixture
def shown(told: Kit, app_caller: Callable[[Starlette, Keys], Caller]) -> Caller:
    keys = Keys()
    return app_caller(make_app(lambda: told, keys, authority=AUTHORITY), keys)


@pytest.fixture
def kit() -> Kit:
    """An empty book to write in."""
    return kit_in_memory(today=date(2026, 11, 25))


@pytest.fixture
def house(kit: Kit, app_caller: Callable[[Starlette, Keys], Caller]) -> Caller:
    keys = Keys()
    return app_caller(make_app(lambda: kit, keys, authority=AUTHORITY), keys)


def text_of(html: str) -> str:
    return unescape(" ".join(re.sub(r"<[^>]+>", " ", html).split()))


def test_the_stage_lists_every_paper(shown: Caller) -> None:
    answer = shown.get("/papers")

    assert answer.status_code == 200
    assert 'href="/papers" aria-current="page"' in answer.text
    for paper in PAPERS.values():
        assert f'href="/papers/of/{paper.name}"' in answer.text
        assert paper.words in text_of(answer.text)


@pytest.mark.parametrize("name", PAPERS)
def test_each_paper_is_shown_with_its_files(shown: Caller, name: str) -> None:
    answer = shown.get(f"/papers/of/{name}")

    assert answer.status_code == 200
    assert PAPERS[name].title in answer.text
    assert re.search(rf'href="/papers/of/{name}/pdf\?size=Letter" download', answer.text)
    assert "style=" not in answer.text
    if name == "letter":
        assert "There are 958.12 ozt of fine silver" in text_of(answer.text)


@pytest.mark.parametrize(
    ("path", "media", "start", "name"),
    [
        ("letter/pdf?size=A4", "application/pdf", b"%PDF", "letter-2026-11-25.pdf"),
        ("card/html", "text/html; charset=utf-8", b"<!doctype html>", "pocket-card-2026-11-25.html"),
        ("inventory/csv", "text/csv; charset=utf-8", b"\xef\xbb\xbfPlace,Goods", "inventory-2026-11-25.csv"),
        ("calendar/ics", "text/calendar; charset=utf-8", b"BEGIN:VCALENDAR", "calendar-2026-11-25.ics"),
        ("gains/xlsx?year=2026", None, b"PK", "gains-2026-2026-11-25.xlsx"),
        ("storage/text", "text/plain; charset=utf-8", b"What the shelves bear", "storage-2026-11-25.txt"),
    ],
)
def test_files_are_handed_over_to_be_kept(shown: Caller, path: str, media: str | None, start: bytes, name: str) -> None:
    answer = shown.get(f"/papers/of/{path}")

    assert answer.status_code == 200
    assert answer.content.startswith(start)
    assert media in {None, answer.headers["content-type"]}
    assert answer.headers["content-disposition"] == f'attachment; filename="{name}"'


def test_what_is_to_be_left_out_is_left_out_of_page_and_files(shown: Caller) -> None:
    page = shown.get("/papers/of/inventory?redact=values&redact=places")
    files = re.findall(r'href="(/papers/of/inventory/[^"]+)"', page.text)

    assert "Left out for this reader: values, places." in text_of(page.text)
    assert "Replacement value" not in page.text
    assert page.text.count(" checked") == 2
    assert files
    assert all("redact=values%2Cplaces" in unescape(file) for file in files)
    table = shown.get(unescape(next(file for file in files if "/csv" in file))).text
    assert table.splitlines()[0].removeprefix("\ufeff").startswith("Goods,Pieces")


@pytest.mark.parametrize(
    ("path", "words"),
    [
        ("gains?year=last", "is not a count"),
        ("letter?on=2030-01-01", "This day has not come yet"),
        ("letter?exit=nobody", "There is no way out"),
        ("card?spots=many", "is not a ladder of spots"),
        ("inventory?redact=everything", "is nothing that a paper can leave out"),
    ],
)
def test_what_cannot_be_asked_is_said_under_its_field(shown: Caller, path: str, words: str) -> None:
    answer = shown.get(f"/papers/of/{path}")

    assert answer.status_code == 400
    assert re.search(rf'<p class="fault" id="[a-z]+-fault">[^<]*{words}', unescape(answer.text))
    assert "As it stands" not in answer.text


@pytest.mark.parametrize("path", ["/papers/of/will", "/papers/of/letter/docx", "/papers/rest/nothing"])
def test_what_is_not_there_is_said(shown: Caller, path: str) -> None:
    assert shown.get(path).status_code == 404


ROWS = {
    "ask": ("coin", {"what": "90", "quote": "50.60x"}),
    "place": ("A1", {"where": "drawer", "limit": "25 kg"}),
    "person": ("Ada <b>", {"about": "coin & medals"}),
    "review": ("the insurance", {"on": "2027-01-15", "every": "12"}),
    "cover": ("rider", {"limit": "20000"}),
    "apart": ("us-dollar-morgan", {"why": "kept"}),
}


@pytest.mark.parametrize("table", SETTINGS)
def test_a_row_is_set_down_changed_and_struck(kit: Kit, house: Caller, table: str) -> None:
    key, fields = ROWS[table]
    assert house.get(f"/papers/rest/{table}").status_code == 200

    put = house.post(f"/papers/rest/{table}", {"key": key, **fields})
    assert put.status_code == 303
    assert len(kit.journal.records()) == 1
    page = house.get(put.headers["location"])
    assert "Entry 1 was booked." in text_of(page.text)
    assert key in text_of(page.text)

    form = house.get(f"/papers/rest/{table}?key={quote(key)}")
    first, value = next(iter(fields.items()))
    assert f'name="{first}" type="text" value="{value.replace("&", "&amp;")}"' in form.text
    more = {"why": "seen"} if table == "apart" else {**fields, "note": "seen"}
    changed = house.post(f"/papers/rest/{table}", {"known": key, **more})
    assert changed.status_code == 303
    assert "seen" in kit.holdings().tables[table][key].values()

    struck = house.post(f"/papers/rest/{table}/strike", {"key": key})
    assert struck.status_code == 303
    assert key not in kit.holdings().tables.get(table, {})


def test_a_wrong_row_books_nothing_and_keeps_what_was_typed(kit: Kit, house: Caller) -> None:
    refused = house.post("/papers/rest/place", {"key": "", "where": "the <drawer>", "limit": "heavy"})

    assert refused.status_code == 400
    assert kit.journal.records() == ()
    assert 'id="key-fault"' in refused.text
    assert 'id="limit-fault"' in refused.text
    assert 'value="the &lt;drawer&gt;"' in refused.text


@pytest.mark.parametrize("path", ["/papers/rest/place", "/papers/rest/place/strike"])
def test_a_form_of_another_run_is_refused(kit: Kit, house: Caller, path: str) -> None:
    assert house.post(path, {"key": "A1", "form_key": "another"}).status_code == 403
    assert kit.journal.records() == ()


def test_any_text_is_shown_as_it_is(kit: Kit, house: Caller) -> None:
    paper_tables.set_row(kit, "person", "<script>alert(1)</script>", {"about": '"><img src=x>'})

    for path in ("/papers/of/letter", "/papers/rest"):
        page = house.get(path).text
        assert "<script>alert" not in page
        assert "<img src=x" not in page
        assert "&lt;script&gt;alert(1)&lt;/script&gt;" in page


def test_an_empty_book_has_papers_too(house: Caller) -> None:
    for name in PAPERS:
        status = house.get(f"/papers/of/{name}").status_code
        assert status == (400 if name == "purchase" else 200), name
