"""The packaged static files, served under an address with the digest of them all, so that browsers may keep them."""

import hashlib
from collections.abc import Mapping
from functools import cache
from importlib import resources
from importlib.resources.abc import Traversable

from starlette.requests import Request
from starlette.responses import PlainTextResponse, Response
from starlette.routing import Route

_TYPES: Mapping[str, str] = {
    "css": "text/css; charset=utf-8",
    "js": "text/javascript; charset=utf-8",
    "svg": "image/svg+xml",
    "woff2": "font/woff2",
}
FOREVER = "private, max-age=31536000, immutable"


@cache
def shelf() -> Mapping[str, bytes]:
    """Every file that a page may ask for, by its path; read once."""
    found: dict[str, bytes] = {}
    _gather(resources.files("ninefine.web") / "static", "", found)
    return found


def _gather(folder: Traversable, under: str, found: dict[str, bytes]) -> None:
    for item in sorted(folder.iterdir(), key=lambda one: one.name):
        if item.is_dir():
            _gather(item, f"{under}{item.name}/", found)
        elif item.name.rpartition(".")[2] in _TYPES:
            found[under + item.name] = item.read_bytes()


@cache
def edition() -> str:
    """A digest of all the static files together: it changes when any of them does."""
    whole = hashlib.sha256()
    for path, content in shelf().items():
        whole.update(f"{path}\0{len(content)}\0".encode())
        whole.update(content)
    return whole.hexdigest()[:16]


def address(path: str) -> str:
    """Where a static file is served from.

    Raises:
        KeyError: no such file in the package; a template names a file that is not there.
    """
    if path not in shelf():
        raise KeyError(path)
    return f"/static/{edition()}/{path}"


def _serve(request: Request) -> Response:
    content = shelf().get(request.path_params["path"])
    if content is None or request.path_params["edition"] != edition():
        return PlainTextResponse("No such file.", 404)
    kind = _TYPES[request.path_params["path"].rpartition(".")[2]]
    return Response(content, headers={"Cache-Control": FOREVER, "Content-Type": kind})


def _favicon(_: Request) -> Response:
    """Browsers ask for this address unbidden; a 404 would stand in the console."""
    return Response(shelf()["mark.svg"], headers={"Cache-Control": FOREVER, "Content-Type": _TYPES["svg"]})


routes = [
    Route("/static/{edition}/{path:path}", _serve, name="static"),
    Route("/favicon.ico", _favicon),
]
