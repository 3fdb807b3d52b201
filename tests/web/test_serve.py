"""Serving: the socket, the printed address, the browser, and a calm end."""

import os
import re
import signal
import socket
import subprocess
import sys
import webbrowser
from pathlib import Path
from threading import Event

import httpx
import pytest

from ninefine.errors import InputError
from ninefine.web.serve import bind, has_display, open_beside

_PROGRAM = """
import sys
sys.path.insert(0, sys.argv[1])
from web.sampler import sheet_app
from ninefine.web.serve import serve
serve(lambda authority, keys: sheet_app(keys, authority), open_browser=False, say=lambda line: print(line, flush=True))
"""


def test_the_socket_is_of_this_machine_alone_and_sends_without_delay() -> None:
    with bind() as made:
        host, port = made.getsockname()

        assert host == "127.0.0.1"
        assert port > 0
        assert made.proto == socket.IPPROTO_TCP
        with pytest.raises(InputError, match=f"Port {port} cannot be used"):
            bind(port)


@pytest.mark.parametrize("port", [-1, 65536, 10**20])
def test_a_port_that_is_none_is_refused_in_words(port: int) -> None:
    with pytest.raises(InputError, match="cannot be used"):
        bind(port)


def test_a_browser_is_opened_only_where_one_can_be_seen() -> None:
    assert has_display({"DISPLAY": ":0"}, "linux")
    assert has_display({"WAYLAND_DISPLAY": "wayland-0"}, "linux")
    assert not has_display({"DISPLAY": ""}, "linux")
    assert not has_display({}, "linux")
    assert has_display({}, "win32")
    assert has_display({}, "darwin")


@pytest.mark.parametrize("error", [webbrowser.Error("none"), OSError("none")])
def test_a_browser_that_will_not_start_is_no_reason_to_stop(error: Exception) -> None:
    asked, opened = Event(), list[str]()

    def opener(address: str) -> None:
        opened.append(address)
        asked.set()
        raise error

    open_beside("http://127.0.0.1:1/", opener).join(5)

    assert asked.is_set()
    assert opened == ["http://127.0.0.1:1/"]


@pytest.mark.skipif(os.name != "posix", reason="an interrupt is sent to another process in the POSIX way")
def test_the_pages_open_at_the_printed_address_and_an_interrupt_closes_them_calmly() -> None:
    tests = str(Path(__file__).parent.parent)
    with subprocess.Popen(
        [sys.executable, "-c", _PROGRAM, tests], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    ) as program:
        assert program.stdout is not None
        line = program.stdout.readline()
        printed = re.search(r"http://127\.0\.0\.1:\d+/\?start=[\w-]{43}", line)
        assert printed, line
        with httpx.Client(follow_redirects=True, trust_env=False) as browser:
            page = browser.get(printed[0])
            assert (page.status_code, page.url.query) == (200, b"")
            assert "Nothing is on its way" in page.text
            assert "server" not in page.headers
        program.send_signal(signal.SIGINT)
        out, err = program.communicate(timeout=20)

    assert program.returncode == 0
    assert out.endswith("Closed.\n")
    assert err == ""
