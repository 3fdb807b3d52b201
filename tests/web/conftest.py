"""The sheet's application, and a caller that sends it requests as a browser would."""

from collections.abc import Callable
from typing import Any

import anyio
import httpx
import pytest
from starlette.applications import Starlette

from ninefine.web.keys import Keys, cookie_name
from web.sampler import AUTHORITY, sheet_app

#: What a browser says with a form of the program's own page.
OWN = {"Origin": f"http://{AUTHORITY}", "Sec-Fetch-Site": "same-origin"}


class Caller:
    """Sends requests to an application without a network; keeps no cookies by itself."""

    def __init__(self, app: Starlette, keys: Keys, report: list[str]) -> None:
        self.app = app
        self.keys = keys
        self.report = report
        self.cookie = {"Cookie": f"{cookie_name(AUTHORITY)}={keys.session}"}

    def send(self, method: str, path: str, *, base: str = AUTHORITY, **asked: Any) -> httpx.Response:
        """Send a request just as given."""

        async def call() -> httpx.Response:
            transport = httpx.ASGITransport(app=self.app, raise_app_exceptions=False)
            async with httpx.AsyncClient(transport=transport, base_url=f"http://{base}") as client:
                return await client.request(method, path, **asked)

        return anyio.run(call)

    def get(self, path: str, **headers: str) -> httpx.Response:
        """Ask for a page with the cookie of this run."""
        return self.send("GET", path, headers={**self.cookie, **headers})

    def post(self, path: str, fields: dict[str, str], **headers: str) -> httpx.Response:
        """Send a form as the program's own page would."""
        data = {"form_key": self.keys.form_key, **fields}
        return self.send("POST", path, data=data, headers={**self.cookie, **OWN, **headers})


@pytest.fixture
def caller() -> Caller:
    keys, report = Keys(), list[str]()
    return Caller(sheet_app(keys, report=report), keys, report)


@pytest.fixture
def app_caller() -> Callable[[Starlette, Keys], Caller]:
    """Makes a caller for another application."""
    return lambda app, keys: Caller(app, keys, [])
