"""A paper as PDF: tagged, archival (PDF/A-2a) and accessible (PDF/UA-1), with the package's own letters inside.

The same paper gives the same bytes: its date is the paper's own; neither the system's fonts nor its clock are asked.
"""

import json
import re
from enum import StrEnum
from functools import cache
from importlib.resources import as_file, files
from typing import Any

from ninefine.errors import NotFoundError
from ninefine.papers.document import Document
from ninefine.papers.payload import payload

_TEMPLATES = ("paper.typ", "look.typ", "ledger.typ", "slips.typ")
#: Stands for a letter that none of the packaged fonts can show; an archival PDF may hold no other.
NO_LETTER = "\N{WHITE SQUARE}"
_NO_LETTER_WORDS = f"{NO_LETTER} stands for a letter that the fonts of this paper do not have."
#: From here on lie the scripts of East Asia, pictographs and private letters: none of them is in the fonts.
_BEYOND = 0x2E80
_MOST_LETTERS = 60
_MISSING = re.compile(r'(?:the text|the codepoint) `"(?P<text>.+?)"`')
_ESCAPED = re.compile(r"\\u\{([0-9a-f]+)\}")


class Sheet(StrEnum):
    """Sizes of paper (ISO 216 and ANSI/ASME Y14.1); the value is the typesetter's name."""

    A4 = "a4"
    LETTER = "us-letter"


def read_sheet(text: str) -> Sheet:
    """Read a size of paper: `A4` or `Letter`.

    Raises:
        NotFoundError: another.
    """
    sizes = {"a4": Sheet.A4, "letter": Sheet.LETTER}
    word = text.strip().lower()
    if word not in sizes:
        raise NotFoundError(f"{text.strip()[:20]!r} is not a size of paper known here.", instead=("A4", "Letter"))
    return sizes[word]


def as_pdf(document: Document, *, sheet: Sheet = Sheet.LETTER) -> bytes:
    """Typeset a paper. Text goes in as data and never as markup, so no sign in it means anything.

    A letter that the packaged fonts lack (an emoji, say) becomes a square, and the paper says so.
    """
    import typst  # noqa: PLC0415 - heavy: the typesetter, loaded when the first PDF is asked for

    text = json.dumps(payload(document), ensure_ascii=False)
    for _ in range(_MOST_LETTERS):
        try:
            return _typeset(text, sheet)
        except typst.TypstError as error:
            without = _without(text, str(error))
            if without == text:
                raise
            text = without
    return _typeset(text, sheet)


def _typeset(text: str, sheet: Sheet) -> bytes:
    import typst  # noqa: PLC0415 - as above

    source: Any = dict(_templates())  # several files by name are taken, which the library's stub does not say
    with as_file(files("ninefine.papers") / "fonts") as fonts:
        made: bytes = typst.compile(
            source,
            sys_inputs={"paper": text, "sheet": str(sheet)},
            font_paths=[str(fonts)],
            ignore_system_fonts=True,
            pdf_standards=["a-2a", "ua-1"],
        )
    return made


def _without(text: str, error: str) -> str:
    """The paper's JSON with a square for each letter that the error names, and for every one beyond the fonts."""
    found = _MISSING.search(error)
    if found is None:
        return text
    missing = set(_ESCAPED.sub(lambda match: chr(int(match[1], 16)), found["text"])) - {NO_LETTER}
    if any(ord(letter) >= _BEYOND for letter in missing):
        missing |= {letter for letter in text if ord(letter) >= _BEYOND}
    paper: dict[str, Any] = json.loads(text)
    shown = _replaced(paper, missing)
    return json.dumps({**shown, "missing": _NO_LETTER_WORDS}, ensure_ascii=False)


def _replaced(value: Any, missing: set[str]) -> Any:
    if isinstance(value, str):
        return "".join(NO_LETTER if letter in missing else letter for letter in value)
    if isinstance(value, list):
        return [_replaced(one, missing) for one in value]
    return {key: _replaced(one, missing) for key, one in value.items()} if isinstance(value, dict) else value


@cache
def _templates() -> dict[str, bytes]:
    """The templates by the name that they import each other by; the first is the main one."""
    folder = files("ninefine.papers") / "typst"
    named = {name: (folder / name).read_bytes() for name in _TEMPLATES}
    return {"main.typ": named.pop("paper.typ"), **named}
