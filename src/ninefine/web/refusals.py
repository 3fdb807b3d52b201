"""Errors as pages: calm words, the right status, never a traceback."""

import sys
import traceback
from collections.abc import Callable
from pathlib import Path

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import HTMLResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from ninefine.errors import BookError, Faults, InputError, NinefineError, NotFoundError, StoreError
from ninefine.web.visit import Visit

#: The status of each branch of the error tree, the narrower first.
_STATUS: tuple[tuple[type[NinefineError], int], ...] = (
    (NotFoundError, 404),
    (InputError, 400),
    (BookError, 409),
    (StoreError, 409),
)
_HEADS = {
    400: "This could not be read",
    403: "Refused",
    404: "Nothing is kept here",
    405: "This page is not asked for in that way",
    409: "The book stays as it was",
    413: "Too much was sent",
}

#: Takes the one line that is kept of an unexpected error.
Report = Callable[[str], object]

_LAST_RESORT = """<!doctype html><html lang="en"><meta charset="utf-8"><title>Something went wrong: ninefine</title>
<h1>Something went wrong inside ninefine</h1><p>Nothing was written to the book by this page. A line about it stands in
the window where ninefine runs.</p><p><a href="/">Back to the first page</a></p></html>
"""


def status_of(error: NinefineError) -> int:
    """400 for what could not be read, 404 for what is not there, 409 for what the book or its file refuses."""
    return next((status for kind, status in _STATUS if isinstance(error, kind)), 400)


def on_known(request: Request, error: Exception) -> Response:
    """Answer an error that ninefine raises on purpose."""
    if not isinstance(error, NinefineError):  # pragma: no cover - registered for the tree alone
        raise error
    status = status_of(error)
    lines = [str(fault) for fault in error.faults] if isinstance(error, Faults) else []
    words = error.wrong if isinstance(error, Faults) else str(error)
    return Visit(request).refusal(status, head=_HEADS[status], words=words, lines=lines)


def on_http(request: Request, error: Exception) -> Response:
    """Answer what the routing refuses: no such page, a wrong method, a form of an earlier run."""
    if not isinstance(error, HTTPException):  # pragma: no cover - registered for this class alone
        raise error
    words = "There is no such page." if error.status_code == 404 else error.detail
    return Visit(request).refusal(error.status_code, head=_HEADS.get(error.status_code, "Refused"), words=words)


class Calm:
    """Turns an unexpected error into a page without a traceback and one line for whoever runs the program."""

    def __init__(self, app: ASGIApp, report: Report) -> None:
        self.app = app
        self.report = report

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer, whatever happens."""
        begun = False

        async def watched(message: Message) -> None:
            nonlocal begun
            begun = begun or message["type"] == "http.response.start"
            await send(message)

        try:
            await self.app(scope, receive, watched)
        except Exception as error:  # noqa: BLE001 - the outermost net; every error below it is reported here
            self.report(line_about(error, f"{scope['method']} {scope['path']}"))
            if not begun:
                await HTMLResponse(_LAST_RESORT, 500)(scope, receive, send)


def line_about(error: Exception, asked: str) -> str:
    """One line: what failed, where in the code, on which request."""
    frames = traceback.extract_tb(error.__traceback__)
    place = f"{Path(frames[-1].filename).name}:{frames[-1].lineno}" if frames else "nowhere"
    words = " ".join(str(error).split())
    return f"ninefine: unexpected {type(error).__name__} at {place} on {asked}: {words}"


def to_stderr(line: str) -> None:
    """Write a line where the program was started."""
    sys.stderr.write(line + "\n")
    sys.stderr.flush()
