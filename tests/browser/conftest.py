"""A real browser on real pages. Skipped aloud unless NINEFINE_BROWSER names a chromium (`./check --browser` does)."""

import os
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from threading import Thread
from typing import Any

import axe_playwright_python
import pytest
import uvicorn
from playwright.sync_api import Browser, Page, Request, sync_playwright
from starlette.types import ASGIApp

from ninefine.web.keys import Keys
from ninefine.web.serve import bind
from web.sampler import sheet_app

_FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
_RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Served:
    """An application that is being served: where, with which keys, and what it reported."""

    address: str
    keys: Keys
    report: list[str] = field(default_factory=list)

    @property
    def way_in(self) -> str:
        """The address with the start key."""
        return f"{self.address}/?start={self.keys.token}"


#: Makes an application for keys, an address and a report.
Maker = Callable[[Keys, str, list[str]], ASGIApp]


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """A chromium for one file of tests: its event loop must be gone before other tests run theirs."""
    chromium = os.environ.get("NINEFINE_BROWSER", "")
    if not chromium:
        pytest.skip("no browser: run ./check --browser, or name a chromium in NINEFINE_BROWSER")
    with sync_playwright() as playwright:
        launched = playwright.chromium.launch(executable_path=chromium, args=_FLAGS)
        yield launched
        launched.close()


@pytest.fixture(scope="module")
def serve() -> Iterator[Callable[[Maker], Served]]:
    """Serves applications on threads until the file's tests are over."""
    running: list[tuple[uvicorn.Server, Thread]] = []

    def start(make: Maker) -> Served:
        listening = bind()
        authority = f"127.0.0.1:{listening.getsockname()[1]}"
        served = Served(address=f"http://{authority}", keys=Keys())
        config = uvicorn.Config(
            make(served.keys, authority, served.report), log_level="error", lifespan="off", ws="none"
        )
        server = uvicorn.Server(config)
        thread = Thread(target=server.run, kwargs={"sockets": [listening]}, daemon=True)
        thread.start()
        running.append((server, thread))
        return served

    yield start
    for server, thread in running:
        server.should_exit = True
        thread.join(5)


@pytest.fixture(scope="module")
def sheet(serve: Callable[[Maker], Served]) -> Served:
    """The page that holds every part of the look."""
    return serve(lambda keys, authority, report: sheet_app(keys, authority, report=report))


#: Opens a page of a served application: its path, and the browser context's own settings.
Opener = Callable[..., Page]


@pytest.fixture
def open_page(browser: Browser) -> Iterator[Opener]:
    """Opens pages, already let in; a complaint in the console fails the test."""
    complaints: list[str] = []
    contexts = []

    def failed(request: Request) -> None:
        if request.failure != "net::ERR_ABORTED":  # what the page no longer wants when it is left
            complaints.append(f"failed: {request.url}")

    def start(served: Served, path: str, *, width: int = 1280, **settings: Any) -> Page:
        context = browser.new_context(viewport={"width": width, "height": 900}, **settings)
        contexts.append(context)
        page = context.new_page()
        page.on("console", lambda message: complaints.append(message.text))
        page.on("pageerror", lambda error: complaints.append(str(error)))
        page.on("requestfailed", failed)
        context.request.get(served.way_in)  # hands out the cookie
        page.goto(served.address + path)
        return page

    yield start
    for context in contexts:
        context.close()
    assert [one for one in complaints if "status of 400" not in one] == []


@pytest.fixture(scope="session")
def axe() -> Callable[[Page], list[str]]:
    """Asks the accessibility engine about a page; answers each violation with the elements at fault.

    The engine is evaluated, not put in as a script: the page's policy rightly refuses a script from elsewhere.
    """
    source = next(Path(axe_playwright_python.__file__).parent.rglob("axe.min.js")).read_text(encoding="utf-8")

    def ask(page: Page) -> list[str]:
        page.evaluate(source)
        found = page.evaluate("rules => axe.run({runOnly: rules})", _RULES)
        assert found["passes"], "the engine looked at nothing"
        return [
            f"{one['id']}: {one['help']}: {[node['html'][:120] for node in one['nodes']]}"
            for one in found["violations"]
        ]

    return ask
