"""Every way to have a paper: what each is called, how its file ends, and what makes it."""

from collections.abc import Callable
from dataclasses import dataclass

from ninefine.errors import NotFoundError
from ninefine.papers.as_csv import as_csv
from ninefine.papers.as_html import as_html
from ninefine.papers.as_ics import as_ics
from ninefine.papers.as_pdf import Sheet, as_pdf
from ninefine.papers.as_text import as_text
from ninefine.papers.as_xlsx import as_xlsx
from ninefine.papers.document import Document


@dataclass(frozen=True, slots=True, kw_only=True)
class Format:
    """One way to have a paper.

    Attributes:
        name: what a person asks for: `pdf`.
        words: what it is, for a button.
        media: its media type.
        make: makes the bytes of a file.
    """

    name: str
    words: str
    media: str
    make: Callable[[Document, Sheet], bytes]


def _csv(document: Document, sheet: Sheet) -> bytes:
    del sheet
    return as_csv(document).encode("utf-8-sig")  # the mark tells a spreadsheet that it is UTF-8


#: By name, the one for printing first.
FORMATS: dict[str, Format] = {
    one.name: one
    for one in (
        Format(
            name="pdf", words="PDF", media="application/pdf",
            make=lambda document, sheet: as_pdf(document, sheet=sheet),
        ),
        Format(
            name="html", words="Page for a phone (HTML)", media="text/html; charset=utf-8",
            make=lambda document, _: as_html(document).encode(),
        ),
        Format(
            name="xlsx", words="Workbook (XLSX)",
            media="application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
            make=lambda document, sheet: as_xlsx(document, a4=sheet is Sheet.A4),
        ),
        Format(name="csv", words="Table (CSV)", media="text/csv; charset=utf-8", make=_csv),
        Format(
            name="text", words="Text", media="text/plain; charset=utf-8",
            make=lambda document, _: as_text(document).encode(),
        ),
        Format(
            name="ics", words="Calendar (ICS)", media="text/calendar; charset=utf-8",
            make=lambda document, _: as_ics(document),
        ),
    )
}  # fmt: skip
_ENDINGS = {"text": "txt"}


def format_named(name: str) -> Format:
    """A format by its name.

    Raises:
        NotFoundError: there is no such one.
    """
    found = FORMATS.get(name.strip().lower())
    if found is None:
        raise NotFoundError(f"No paper can be had as {name.strip()[:20]!r}.", instead=tuple(FORMATS))
    return found


def formats_for(document: Document) -> tuple[Format, ...]:
    """The formats that a paper can be had in: a calendar where it has days, tables where it has any."""
    without = set()
    if not document.events:
        without.add("ics")
    if not document.ledgers:
        without |= {"csv", "xlsx"}
    return tuple(one for one in FORMATS.values() if one.name not in without)


def file_name(document: Document, one: Format) -> str:
    """A name for a paper's file: `inventory-2026-06-12.pdf`."""
    return f"{document.name}-{document.on.isoformat()}.{_ENDINGS.get(one.name, one.name)}"
