"""The demo's papers, drawn when it is built, so that no picture of anyone's coin or receipt is shipped."""

import struct
import zlib
from collections.abc import Callable

from ninefine.errors import NotFoundError

_SIDE = 96
_CLOTH, _SILVER, _RIM = bytes((58, 78, 70)), bytes((196, 198, 196)), bytes((140, 143, 142))
#: Radii in pixels: the coin's field ends, its rim ends.
_FIELD, _EDGE = 33, 38

_RECEIPT = """LINDEN STREET COUNTER (invented)
Receipt LS-1322                    4 May 2024

  100 half dollars, 90%        50.00 face
  at 21.60 times face           1,080.00

Paid by check.              Total 1,080.00
"""


def draw(what: str) -> bytes:
    """A paper of the demo: `coin`, a picture (PNG) of a plain disc on a counting cloth; `receipt`, a text.

    Raises:
        NotFoundError: another name.
    """
    if what not in _PAPERS:
        raise NotFoundError(f"The demo draws no {what!r}.", instead=tuple(_PAPERS))
    return _PAPERS[what]()


def _coin() -> bytes:
    middle = (_SIDE - 1) / 2
    rows = []
    for y in range(_SIDE):
        pixels = [_colour((x - middle) ** 2 + (y - middle) ** 2) for x in range(_SIDE)]
        rows.append(b"\x00" + b"".join(pixels))  # each line is led by its filter: none
    return _png(b"".join(rows))


def _colour(squared: float) -> bytes:
    if squared <= _FIELD**2:
        return _SILVER
    return _RIM if squared <= _EDGE**2 else _CLOTH


def _png(lines: bytes) -> bytes:
    """Eight-bit RGB lines as a PNG file (ISO/IEC 15948)."""
    head = struct.pack(">IIBBBBB", _SIDE, _SIDE, 8, 2, 0, 0, 0)
    chunks = ((b"IHDR", head), (b"IDAT", zlib.compress(lines, 9)), (b"IEND", b""))
    return b"\x89PNG\r\n\x1a\n" + b"".join(_chunk(name, data) for name, data in chunks)


def _chunk(name: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))


def _receipt() -> bytes:
    return _RECEIPT.encode()


_PAPERS: dict[str, Callable[[], bytes]] = {"coin": _coin, "receipt": _receipt}
