"""Serving the pages on this machine alone, and opening a browser on them."""

import gc
import os
import socket
import sys
import webbrowser
from collections.abc import Callable, Mapping
from threading import Thread

import uvicorn
from starlette.types import ASGIApp

from ninefine.errors import InputError
from ninefine.web.keys import Keys

HOST = "127.0.0.1"
_BACKLOG = 64

Say = Callable[[str], object]
Opener = Callable[[str], object]


def bind(port: int = 0) -> socket.socket:
    """A listening socket on the loopback address; port 0 takes any free one.

    Raises:
        InputError: the port is taken or not allowed.
    """
    # with IPPROTO_TCP named, asyncio turns the sending delay off; without it every answer waits some 40 ms
    made = socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    try:
        if os.name == "posix":  # elsewhere this option would let two programs share a port
            made.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        made.bind((HOST, port))
        made.listen(_BACKLOG)
    except (OSError, OverflowError) as error:
        made.close()
        raise InputError(
            f"Port {port} cannot be used on this machine.",
            expected="It may be taken by another program, or need more rights.",
            instead=("--port 0 for any free one",),
        ) from error
    return made


def serve(
    make: Callable[[str, Keys], ASGIApp],
    *,
    port: int = 0,
    open_browser: bool = True,
    say: Say = print,
    opener: Opener | None = None,
) -> None:
    """Serve until interrupted (Ctrl-C) or told to end.

    Args:
        make: makes the application for an address (`127.0.0.1:PORT`) and the keys of this run.
        port: 0 for any free one.
        open_browser: open the pages; without a display this quietly does nothing.
        say: takes each line for the person.
        opener: opens an address; the system's browser when not given.
    """
    with bind(port) as listening:
        authority = f"{HOST}:{listening.getsockname()[1]}"
        keys = Keys()
        app = make(authority, keys)
        say(f"The pages are at http://{authority}/?start={keys.token}")
        say("They answer to this machine alone. Ctrl-C closes them.")
        if open_browser:
            _open(f"http://{authority}/?start={keys.mint_once()}", opener)
        _run(app, listening)
    say("Closed.")


def _run(app: ASGIApp, listening: socket.socket) -> None:
    # what was loaded by now stays; looking through it for garbage again and again would hold an answer up by 40 ms
    gc.freeze()
    config = uvicorn.Config(
        app,
        log_level="warning",
        access_log=False,
        lifespan="off",
        ws="none",
        server_header=False,
        timeout_graceful_shutdown=2,
        proxy_headers=False,
    )
    try:
        uvicorn.Server(config).run(sockets=[listening])
    except KeyboardInterrupt:  # the server has shut down in order and passes the signal on
        return


def _open(address: str, opener: Opener | None) -> None:
    if opener is not None:
        open_beside(address, opener)
    elif has_display(os.environ, sys.platform):
        open_beside(address, webbrowser.open)


def open_beside(address: str, opener: Opener) -> Thread:
    """Open a browser beside the server, for some openers wait until the browser is closed; a failure is let pass."""
    thread = Thread(target=_quietly, args=(opener, address), daemon=True)
    thread.start()
    return thread


def _quietly(opener: Opener, address: str) -> None:
    try:
        opener(address)
    except (webbrowser.Error, OSError):
        return  # the address is printed; a browser that will not start is no reason to stop


def has_display(surroundings: Mapping[str, str], platform: str) -> bool:
    """Whether a graphical browser can open here; a text browser would take over the terminal."""
    if platform in {"win32", "darwin"}:
        return True
    return bool(surroundings.get("DISPLAY") or surroundings.get("WAYLAND_DISPLAY"))
