"""The tray sheet on paper: marks at true size by which a photo is straightened, a frame for dark card, a ruler."""

import json
from datetime import date
from functools import cache
from importlib.resources import as_file, files
from typing import Any

from ninefine.assay import tray_sheet as geometry
from ninefine.papers.as_pdf import Sheet

TITLE = "Tray sheet"
WORDS = (
    "Print at 100 per cent, not fitted to the page. Lay matt black card in the frame, and the pieces on it, apart from "
    "each other. Photograph from straight above with all six marks in sight."
)
INSIDE = "matt black card or cloth here"
RULER = "This line is 100 mm long at full size. Measure it; if it is not, say what it measures."
#: The sheet is the same on every day; an archival PDF needs one.
EDITION = date(2026, 11, 25)
_TEMPLATES = ("tray.typ", "look.typ")


def tray_sheet(sheet: Sheet, *, black: bool = False) -> bytes:
    """The sheet as PDF (A-2a and UA-1), the same bytes each time.

    Args:
        sheet: the size of paper; marks stand alike on all.
        black: print the frame solid black, where there is no card.
    """
    return typeset_tray(sheet, black=black)


def typeset_tray(sheet: Sheet, *, black: bool = False, dots: int | None = None) -> bytes:
    """The sheet as PDF or, with `dots` to the inch, as PNG."""
    import typst  # noqa: PLC0415 - heavy: the typesetter, loaded when the first PDF is asked for

    form: dict[str, Any] = {"pdf_standards": ["a-2a", "ua-1"]} if dots is None else {"format": "png", "ppi": dots}
    source: Any = dict(_templates())
    with as_file(files("ninefine.papers") / "fonts") as fonts:
        made: bytes = typst.compile(
            source,
            sys_inputs={"tray": json.dumps(_data(black=black)), "sheet": str(sheet)},
            font_paths=[str(fonts)],
            ignore_system_fonts=True,
            **form,
        )
    return made


def _data(*, black: bool) -> dict[str, object]:
    return {
        "title": TITLE,
        "words": WORDS,
        "inside": INSIDE,
        "black": black,
        "date": [EDITION.year, EDITION.month, EDITION.day],
        "marks": [{"x": mark.x, "y": mark.y, "open": mark.open} for mark in geometry.MARKS],
        "radii": [geometry.MARK_RADIUS, geometry.HOLE_RADIUS, geometry.DOT_RADIUS],
        "frame": {"across": geometry.FRAME_ACROSS, "down": geometry.FRAME_DOWN},
        "text": {"down": geometry.HALF_DOWN - 4, "wide": 2 * geometry.HALF_ACROSS - 30},
        "ruler": {
            "long": geometry.RULER_MM,
            "steps": round(geometry.RULER_MM),
            "down": geometry.RULER_DOWN,
            "words": RULER,
        },
    }


@cache
def _templates() -> dict[str, bytes]:
    folder = files("ninefine.papers") / "typst"
    read = {name: (folder / name).read_bytes() for name in _TEMPLATES}
    return {"main": read.pop("tray.typ"), **read}
