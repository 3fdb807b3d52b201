"""What every request must pass before a page sees it, and what every answer carries.

From the outside in: the headers of every answer; the host allow-list; the start key and its cookie; the same-origin
rule for anything that changes the book; a limit on what may be sent. Plain ASGI, so that nothing is buffered.
"""

from collections.abc import Mapping
from urllib.parse import parse_qsl, urlencode, urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.exceptions import HTTPException
from starlette.requests import cookie_parser
from starlette.responses import HTMLResponse, PlainTextResponse, RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from ninefine.web.keys import Keys, cookie_name

SAFE_METHODS = frozenset({"GET", "HEAD", "OPTIONS"})
#: The largest body taken: a dozen photographs of receipts.
LARGEST_BODY = 64 * 1024 * 1024

POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; font-src 'self'; "
    "connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
HEADERS: Mapping[str, str] = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    # not "no-referrer": that makes a browser send `Origin: null` with the program's own forms
    "Referrer-Policy": "same-origin",
    "Permissions-Policy": "camera=(), geolocation=(), microphone=(), payment=(), usb=(), serial=(), hid=()",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
}

_CLOSED = """<!doctype html><html lang="en"><meta charset="utf-8">
<meta name="viewport" content="width=device-width"><title>Closed: ninefine</title>
<h1>These pages are closed to this browser</h1>
<p>ninefine lets a browser in only by the address that it printed when it started, the one with a long key in it.</p>
<p>Open that address again from the window where ninefine runs. If that window is gone, start ninefine again with
<code>ninefine open</code>: it opens the pages by itself.</p></html>
"""


class AnswerHeaders:
    """Adds the headers that every answer carries; pages are never stored unless they say otherwise."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer with the headers added."""

        async def dressed(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for name, value in HEADERS.items():
                    headers.setdefault(name, value)
                headers.setdefault("Cache-Control", "no-store")
            await send(message)

        await self.app(scope, receive, dressed)


class HostList:
    """Refuses any host but this machine by its loopback names and the port in use.

    A foreign name that resolves to 127.0.0.1 (DNS rebinding) is refused here. `localhost` is another origin than
    `127.0.0.1`, so it is led to the one address that the cookie belongs to.

    Args:
        app: the rest.
        authority: the address in use, `127.0.0.1:PORT`.
    """

    def __init__(self, app: ASGIApp, authority: str) -> None:
        self.app = app
        self.authority = authority
        port = authority.rpartition(":")[2]
        self.localhost = f"localhost:{port}"
        self.allowed = {authority, self.localhost, f"[::1]:{port}"}

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass on what is asked of this machine's own address."""
        hosts = Headers(scope=scope).getlist("host")
        if scope["type"] != "http" or len(hosts) != 1 or hosts[0].lower() not in self.allowed:
            await _plain("Refused: ninefine answers only to this machine's own address.", 400)(scope, receive, send)
        elif hosts[0].lower() == self.localhost:
            query = "?" + scope["query_string"].decode("latin-1") if scope["query_string"] else ""
            # 303 turns a form into a plain visit: what was sent to the other origin is not sent on
            led = RedirectResponse(f"http://{self.authority}{_local_path(scope)}{query}", 303)
            await led(scope, receive, send)
        else:
            await self.app(scope, receive, send)


class StartKey:
    """Lets a browser in by the start key once, and by its cookie from then on."""

    def __init__(self, app: ASGIApp, keys: Keys, authority: str) -> None:
        self.app = app
        self.keys = keys
        self.cookie = cookie_name(authority)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass on what comes with the cookie; exchange a start key for one."""
        headers = Headers(scope=scope)
        query = parse_qsl(scope["query_string"].decode("latin-1"), keep_blank_values=True)
        start = [value for name, value in query if name == "start"]
        known = self.keys.knows(cookie_parser(headers.get("cookie", "")).get(self.cookie, ""))
        answer: ASGIApp
        if start and scope["method"] in SAFE_METHODS and (self.keys.opens(start[0]) or known):
            answer = self._let_in(scope, query)
        elif known:
            answer = self.app
        else:
            answer = HTMLResponse(_CLOSED, 403)
        await answer(scope, receive, send)

    def _let_in(self, scope: Scope, query: list[tuple[str, str]]) -> Response:
        """Hand out the cookie and lead to the same page without the key in its address."""
        rest = urlencode([(name, value) for name, value in query if name != "start"])
        answer = RedirectResponse(_local_path(scope) + (f"?{rest}" if rest else ""), 303)
        answer.set_cookie(self.cookie, self.keys.session, httponly=True, samesite="strict", path="/")
        return answer


class SameOrigin:
    """Refuses whatever would change something unless the program's own page sent it.

    A browser says where a request comes from by `Sec-Fetch-Site` and `Origin`. Each that is given must say "from this
    very origin"; a request that gives neither is refused.
    """

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass on what changes nothing, and what this origin sent."""
        if scope["method"] in SAFE_METHODS or _from_here(scope):
            await self.app(scope, receive, send)
        else:
            await _plain("Refused: this was not sent by a page of ninefine.", 403)(scope, receive, send)


def _from_here(scope: Scope) -> bool:
    headers = Headers(scope=scope)
    site, origin = headers.get("sec-fetch-site"), headers.get("origin")
    if site is None and origin is None:
        return False
    if origin is not None:
        try:
            split = urlsplit(origin)
        except ValueError:
            return False
        if (split.scheme, split.netloc) != (scope["scheme"], headers["host"]):
            return False
    return site in {None, "same-origin"}


class BodyLimit:
    """Stops reading a body that is larger than any form of ninefine could be."""

    def __init__(self, app: ASGIApp, largest: int = LARGEST_BODY) -> None:
        self.app = app
        self.largest = largest

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass on a body within the limit."""
        stated = Headers(scope=scope).get("content-length", "0")
        if not stated.isdecimal() or int(stated) > self.largest:
            await _plain(self._words(), 413)(scope, receive, send)
            return
        taken = 0

        async def measured() -> Message:
            nonlocal taken
            message = await receive()
            taken += len(message.get("body", b""))
            if taken > self.largest:
                raise HTTPException(413, self._words())
            return message

        await self.app(scope, measured, send)

    def _words(self) -> str:
        return f"More than {self.largest // (1024 * 1024)} MB was sent. Nothing was written."


def _local_path(scope: Scope) -> str:
    """The path as sent, with one leading slash: `//elsewhere` must not become another host."""
    raw: bytes = scope.get("raw_path") or scope["path"].encode()
    return "/" + raw.split(b"?")[0].decode("latin-1").lstrip("/\\")


def _plain(words: str, status: int) -> Response:
    return PlainTextResponse(words + "\n", status)
