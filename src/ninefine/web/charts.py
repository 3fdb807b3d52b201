"""Pictures of a page: Vega-Lite specifications drawn to SVG on this machine, each kept by the digest of what it shows.

A page hangs a picture on the shelf and names its address; the drawing itself is done when a browser asks for that
address, so a page is never held up by a picture, and only the dress that is looked at is drawn.
"""

import base64
import hashlib
import json
from collections import OrderedDict
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from threading import Lock
from typing import Any

from ninefine.papers.charts import PAPER, SLATE, WHITE, Palette
from ninefine.papers.drawing import plain_svg
from ninefine.web.assets import shelf

Spec = Mapping[str, Any]
#: Charts kept; a page has at most a handful, each in five dresses.
MOST_KEPT = 240
#: Width of the drawing on a phone.
NARROW = 340


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """A chart in its dresses, by address, and what it says in words.

    Attributes:
        alt: what it shows, for who cannot see it; the figures stand in the table beside it.
        caption: what to read off it.
        size: width and height of the wide drawing, CSS pixels; the browser keeps its place by them.
    """

    paper: str
    slate: str
    paper_narrow: str
    slate_narrow: str
    printed: str
    alt: str
    caption: str
    size: tuple[int, int]


class ChartShelf:
    """Specifications and their drawings, the least lately used dropped first."""

    def __init__(self, most: int = MOST_KEPT) -> None:
        self._most = most
        self._specs: OrderedDict[str, str] = OrderedDict()
        self._drawn: dict[str, bytes] = {}
        self._lock = Lock()
        self._pen = Lock()

    def hang(self, draw: Callable[[Palette, int], Spec], *, alt: str, caption: str, size: tuple[int, int]) -> Picture:
        """Put a chart on the shelf in five dresses: paper and slate, wide and narrow, and print.

        Args:
            draw: builds the specification for a palette and a width in pixels.
            alt: what it shows.
            caption: what to read off it.
            size: width and height of the wide dress.
        """
        wide = size[0]
        return Picture(
            paper=self._address(draw(PAPER, wide)),
            slate=self._address(draw(SLATE, wide)),
            paper_narrow=self._address(draw(PAPER, NARROW)),
            slate_narrow=self._address(draw(SLATE, NARROW)),
            printed=self._address(draw(WHITE, wide)),
            alt=alt,
            caption=caption,
            size=size,
        )

    def drawn(self, digest: str) -> bytes | None:
        """The SVG of a digest; none when the shelf no longer holds it."""
        with self._lock:
            text = self._specs.get(digest)
            if text is None:
                return None
            self._specs.move_to_end(digest)
            ready = self._drawn.get(digest)
        if ready is None:
            with self._pen:  # one drawing at a time: the library is one engine
                ready = to_svg(text)
            with self._lock:
                if digest in self._specs:
                    self._drawn[digest] = ready
        return ready

    def _address(self, spec: Spec) -> str:
        text = json.dumps(spec, sort_keys=True, separators=(",", ":"))
        digest = hashlib.sha256(text.encode()).hexdigest()[:32]
        with self._lock:
            self._specs[digest] = text
            self._specs.move_to_end(digest)
            while len(self._specs) > self._most:
                gone, _ = self._specs.popitem(last=False)
                self._drawn.pop(gone, None)
        return f"/chart/{digest}.svg"


def to_svg(spec: str) -> bytes:
    """Draw a Vega-Lite specification, given as JSON, without any network."""
    head, mark, rest = plain_svg(spec).partition("><")
    return f"{head}>{_faces()}{mark[1:]}{rest}".encode()


@cache
def _faces() -> str:
    """The pages' own figures, put inside the drawing: a picture on a page cannot reach the page's fonts."""
    rules = "".join(
        f"@font-face{{font-family:'Alegreya Sans';font-weight:{weight};src:url(data:font/woff2;base64,"
        f"{base64.b64encode(shelf()[f'fonts/alegreya-sans-latin-{weight}-normal.woff2']).decode()}) format('woff2')}}"
        for weight in (400, 700)
    )
    return f"<style>{rules}text{{font-variant-numeric:lining-nums tabular-nums}}</style>"
