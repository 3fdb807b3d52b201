"""What a page function is given: addresses, answers, turns."""

from collections.abc import Callable
from threading import Lock
from time import sleep

import anyio
import httpx
import pytest
from starlette.applications import Starlette
from starlette.responses import PlainTextResponse, Response

from ninefine.testing import kit_in_memory
from ninefine.web.app import Content, make_app
from ninefine.web.frame import FrameFacts
from ninefine.web.keys import Keys
from ninefine.web.visit import Visit, done, shown
from web.conftest import OWN, Caller
from web.sampler import AUTHORITY


class Overlap:
    """Counts how many are inside at one time."""

    def __init__(self) -> None:
        self.inside = self.most = 0
        self.lock = Lock()

    def __call__(self, _: Visit) -> Response:
        with self.lock:
            self.inside += 1
            self.most = max(self.most, self.inside)
        sleep(0.02)
        with self.lock:
            self.inside -= 1
        return PlainTextResponse("done")


TURNS, FREE = Overlap(), Overlap()


def told(visit: Visit) -> Response:
    """What the visit says of itself."""
    lot = visit.part("name")
    words = (
        visit.path_to("lot", name=lot),
        visit.path_to("lot", name=lot, asking={"said": "a b&c"}),
        visit.asked("on"),
        str(visit.partial),
        visit.kit.journal.name,
        str(visit.kit is visit.kit),
    )
    return PlainTextResponse("|".join(words))


def moved(visit: Visit) -> Response:
    """Leads on to where the form says."""
    return visit.goto("lot", name=visit.form.text("to"), asking={"said": "x"})


@pytest.fixture
def small(app_caller: Callable[[Starlette, Keys], Caller]) -> Caller:
    keys = Keys()
    routes = [
        shown("/lot/{name}", told, name="lot"),
        done(
            "/lot/{name}", lambda visit: visit.goto("lot", name=visit.form.text("to"), asking={"said": "x"}), name="mv"
        ),
        shown("/turn", TURNS, name="turn"),
        shown("/free", FREE, name="free", at_once=True),
    ]
    app = make_app(
        kit_in_memory,
        keys,
        authority=AUTHORITY,
        frame_source=lambda kit: FrameFacts(today=kit.today()),
        content=Content(routes=routes),
    )
    return app_caller(app, keys)


def test_a_visit_tells_addresses_what_was_asked_and_the_kit(small: Caller) -> None:
    answer = small.get("/lot/7%20b?on=%202026-03-03%20", **{"HX-Request": "true"})

    assert answer.text == "/lot/7%20b|/lot/7%20b?said=a+b%26c|2026-03-03|True|A book in memory|True"


def test_a_form_leads_on_by_a_plain_visit(small: Caller) -> None:
    answer = small.post("/lot/1", {"to": "9"})

    assert (answer.status_code, answer.headers["location"]) == (303, "/lot/9?said=x")


def test_a_page_that_only_shows_takes_no_form(small: Caller) -> None:
    assert small.send("POST", "/turn", headers={**small.cookie, **OWN}).status_code == 405


def test_pages_take_turns_and_what_asks_no_book_need_not(small: Caller) -> None:
    """The book is one file; a drawing asks for none of it and holds nobody up."""

    async def many(path: str) -> None:
        transport = httpx.ASGITransport(app=small.app)
        async with (
            httpx.AsyncClient(transport=transport, base_url=f"http://{AUTHORITY}", headers=small.cookie) as client,
            anyio.create_task_group() as group,
        ):
            for _ in range(4):
                group.start_soon(client.get, path)

    anyio.run(many, "/turn")
    anyio.run(many, "/free")

    assert TURNS.most == 1
    assert FREE.most > 1
