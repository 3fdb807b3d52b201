"""PDFs: archival and accessible by their own word, the same bytes each time, nothing cut, sums carried over.

Text and places on the page are read back by poppler's `pdftotext` and `pdfinfo`; where those are not installed these
tests are skipped, and say so.
"""

import hashlib
import itertools
import json
import re
import shutil
import subprocess
from datetime import date
from decimal import Decimal
from importlib.resources import files
from pathlib import Path
from typing import Any
from xml.etree import ElementTree as ET

import pytest
import typst

from ninefine.catalog.kinds import Basis
from ninefine.errors import NotFoundError
from ninefine.papers.as_pdf import NO_LETTER, Sheet, as_pdf, read_sheet
from ninefine.papers.document import (
    NOTHING,
    Block,
    Code,
    Column,
    Cut,
    Document,
    Group,
    Ledger,
    Notes,
    Of,
    Pair,
    Pairs,
    Prose,
    Row,
    Slip,
    Slips,
)
from ninefine.papers.payload import BROUGHT, CARRIED, payload
from ninefine.papers.written import figure

D = Decimal
POPPLER = pytest.mark.skipif(
    not (shutil.which("pdftotext") and shutil.which("pdfinfo")),
    reason="poppler's pdftotext and pdfinfo are not installed (Debian: apt install poppler-utils)",
)
SIZES = {Sheet.A4: (595.276, 841.89), Sheet.LETTER: (612.0, 792.0)}


def paper(*blocks: Block) -> Document:
    return Document(name="try", title="A try", on=date(2026, 6, 12), book="Our silver", blocks=blocks)


def long_ledger(rows: int, *, groups: int = 1, notes: bool = False) -> Ledger:
    made = [
        Row(
            cells=(f"goods {number}", D(number) / 7, D(number) - D("0.5")),
            notes=((f"a remark on {number}", NOTHING),) if notes and number % 5 == 0 else (),
        )
        for number in range(1, rows + 1)
    ]
    share = -(-rows // groups)
    return Ledger(
        caption="Many lines",
        groups_are="Place",
        columns=(
            Column(head="Goods"),
            Column(head="Fine", of=Of.OUNCE, basis=Basis.TRADE, summed=True),
            Column(head="Melt", of=Of.MONEY, unit="USD", summed=True),
        ),
        groups=tuple(
            Group(name=f"A{part}" if groups > 1 else "", rows=tuple(made[part * share : (part + 1) * share]))
            for part in range(groups)
        ),
    )


def text_of(pdf: bytes, folder: Path, *options: str) -> str:
    file = folder / "paper.pdf"
    file.write_bytes(pdf)
    read = subprocess.run(["pdftotext", *options, str(file), "-"], capture_output=True, text=True, check=True)
    return read.stdout


def words_outside(pdf: bytes, folder: Path, size: tuple[float, float], margin: float) -> list[str]:
    """Words that reach past the margin of the sheet, by poppler's boxes (points)."""
    page = re.sub(r"<!DOCTYPE[^>]*>", "", text_of(pdf, folder, "-bbox"))
    root = ET.fromstring(page)  # noqa: S314 - our own tool's output
    name = "{http://www.w3.org/1999/xhtml}"
    outside = []
    for sheet in root.iter(f"{name}page"):
        width, height = float(sheet.attrib["width"]), float(sheet.attrib["height"])
        assert (round(width), round(height)) in {(round(size[0]), round(size[1])), (round(size[1]), round(size[0]))}
        for word in sheet.iter(f"{name}word"):
            left, top, right, bottom = (float(word.attrib[key]) for key in ("xMin", "yMin", "xMax", "yMax"))
            if left < margin or right > width - margin or top < margin or bottom > height - margin:
                outside.append(str(word.text))
    return outside


def pages_of(document: Document) -> int:
    """How many pages the typesetter itself counts."""
    folder = files("ninefine.papers")
    names = ("paper", "look", "ledger", "slips")
    source: Any = {
        f"{'main' if name == 'paper' else name}.typ": (folder / "typst" / f"{name}.typ").read_bytes() for name in names
    }
    answer = typst.query(
        source,
        "<pages>",
        field="value",
        one=True,
        font_paths=[str(folder / "fonts")],
        ignore_system_fonts=True,
        sys_inputs={"paper": json.dumps(payload(document)), "sheet": "us-letter"},
    )
    return int(json.loads(answer))


def test_a_pdf_says_that_it_is_archival_and_accessible() -> None:
    """PDF/A-2a (ISO 19005-2) and PDF/UA-1 (ISO 14289-1), by the marks that both ask for in the file's metadata."""
    pdf = as_pdf(paper(Prose(text="words")))

    assert pdf.startswith(b"%PDF-1.7")
    for mark in (b"<pdfaid:part>2<", b"<pdfaid:conformance>A<", b"<pdfuaid:part>1<", b"A try"):
        assert mark in pdf
    assert b"/StructTreeRoot" in pdf
    assert b"/Lang" in pdf
    assert b"2026-06-12" in pdf


@pytest.mark.parametrize("sheet", Sheet)
@POPPLER
def test_no_paper_of_the_demo_has_anything_cut(demo_papers: dict[str, Document], tmp_path: Path, sheet: Sheet) -> None:
    """Every word of every paper lies inside the sheet's margins of 8 mm."""
    for document in demo_papers.values():
        assert words_outside(as_pdf(document, sheet=sheet), tmp_path, SIZES[sheet], margin=22.7) == [], document.name


@POPPLER
def test_overlong_words_are_broken_and_not_cut(tmp_path: Path) -> None:
    long = "x" * 300
    ledger = Ledger(
        caption="Long",
        columns=(Column(head="Goods"), Column(head="Where"), Column(head="Melt", of=Of.MONEY)),
        groups=(Group(rows=(Row(cells=(long, long, D(10) ** 12), notes=((long, NOTHING),)),)),),
    )
    slip = Slip(name=long[:40], goods=long[:60], lines=((long[:90], NOTHING),), code="L1")
    pairs = Pairs(pairs=(Pair(name="Name", value=long),))

    blocks: tuple[Block, ...] = (Notes(lines=((long, NOTHING),)), Code(text="a", words=long))
    cut = tuple(Slips(cut=size, slips=(slip,)) for size in Cut)

    pdf = as_pdf(paper(Prose(text=long), pairs, ledger, *blocks, *cut))

    assert words_outside(pdf, tmp_path, SIZES[Sheet.LETTER], margin=22.7) == []


@POPPLER
@pytest.mark.parametrize(("rows", "groups"), [(30, 1), (38, 2), (45, 3), (130, 1), (130, 9), (400, 7)])
def test_sums_are_carried_from_page_to_page(tmp_path: Path, rows: int, groups: int) -> None:
    """At each page's end stand the sums of every line up to there; the next page begins with the same."""
    ledger = long_ledger(rows, groups=groups, notes=True)

    sheets = text_of(as_pdf(paper(Prose(text="words " * 500), ledger)), tmp_path, "-layout").split("\f")[:-1]

    assert len(sheets) == pages_of(paper(Prose(text="words " * 500), ledger)) > 1
    seen, carried_before = 0, ""
    for number, sheet in enumerate(sheets):
        brought = re.findall(rf"{BROUGHT}\s+(\S+)\s+(\S+)", sheet)
        carried = re.findall(rf"{CARRIED}\s+(\S+)\s+(\S+)", sheet)
        assert [" ".join(one) for one in brought] == ([carried_before] if carried_before else [])
        seen += len(re.findall(r"^\s*goods \d+", sheet, re.MULTILINE))
        last = number == len(sheets) - 1
        if last or not seen:
            assert carried == []
        else:
            _, fine, melt = next(itertools.islice(ledger.running(ledger.rows), seen - 1, None))
            assert carried == [(figure(fine or D(0), 4), figure(melt or D(0), 2))]
            carried_before = " ".join(carried[0])
        assert f"{number + 1} of {len(sheets)}" in sheet
    _, fine, melt = ledger.totals()
    sums = rf"All\s+{re.escape(figure(fine or D(0), 4))}\s+{re.escape(figure(melt or D(0), 2))}"
    assert re.search(sums, sheets[-1])
    assert seen == rows


@POPPLER
def test_heads_and_places_repeat_on_every_page(tmp_path: Path) -> None:
    sheets = text_of(as_pdf(paper(long_ledger(130, groups=2))), tmp_path, "-layout").split("\f")[:-1]

    assert len(sheets) >= 3
    assert all(re.search(r"Goods\s+ozt trade|Goods\s+Fine|Fine\s+Melt", sheet) for sheet in sheets)
    assert all("Place A" in sheet for sheet in sheets)


@POPPLER
def test_a_short_ledger_is_kept_on_one_page_and_carries_nothing(tmp_path: Path) -> None:
    for room in range(24, 44, 3):
        words = text_of(as_pdf(paper(*[Prose(text="a line")] * room, long_ledger(8))), tmp_path, "-layout")
        assert CARRIED not in words
        assert BROUGHT not in words


SIGNS = r"""$x^2$ #panic("x") *b* _i_ `c` @ref <lab> [a](b) \u{41} // c /* d */ ~ = + - / 'q' "q" {{ 7*7 }}"""


@POPPLER
def test_no_sign_in_a_text_means_anything_to_the_typesetter(tmp_path: Path) -> None:
    ledger = Ledger(
        caption=SIGNS,
        columns=(Column(head=SIGNS, unit="#pagebreak()"),),
        groups=(Group(name="#lorem(9)", rows=(Row(cells=(SIGNS,)),)),),
    )
    pdf = as_pdf(Document(name="x", title="#strong[*T*]", on=date(2026, 6, 12), blocks=(Prose(text=SIGNS), ledger)))

    read = " ".join(text_of(pdf, tmp_path).split())

    assert read.count(" ".join(SIGNS.split())) >= 2
    for text in ("#strong[*T*]", "#pagebreak()", "Part #lorem(9)"):
        assert text in read


@POPPLER
@pytest.mark.parametrize("text", ["銀貨", "\N{GRINNING FACE} coin", "bell\x07", "\ue000", "\N{GRINNING FACE}銀\x07 ok"])
def test_a_letter_that_the_fonts_lack_becomes_a_square_and_the_paper_says_so(tmp_path: Path, text: str) -> None:
    read = text_of(as_pdf(paper(Prose(text=text))), tmp_path)

    assert NO_LETTER in read
    assert "stands for a letter that the fonts of this paper do not have" in " ".join(read.split())


@POPPLER
@pytest.mark.parametrize("text", ["Zażółć gęślą jaźń", "ασήμι", "серебро", "½ × − £ € “quoted”"])  # noqa: RUF001
def test_letters_of_europe_are_shown(tmp_path: Path, text: str) -> None:
    assert text in text_of(as_pdf(paper(Prose(text=text))), tmp_path)


def test_the_same_paper_gives_the_same_bytes(demo_papers: dict[str, Document]) -> None:
    first = as_pdf(demo_papers["letter"])

    assert as_pdf(demo_papers["letter"]) == first
    assert as_pdf(demo_papers["letter"], sheet=Sheet.A4) != first


def test_sizes_of_paper_are_read() -> None:
    assert (read_sheet(" a4 "), read_sheet("LETTER")) == (Sheet.A4, Sheet.LETTER)
    with pytest.raises(NotFoundError, match=r"Try: A4, Letter\."):
        read_sheet("A5")


def test_letters_from_elsewhere_are_unchanged_and_licensed() -> None:
    folder = files("ninefine.papers") / "fonts"
    listed = dict(
        re.findall(r"^\| (\S+) \|.*\| ([0-9a-f]{64}) \|$", (folder / "VENDORED.md").read_text(), re.MULTILINE)
    )
    there = {
        item.name: hashlib.sha256(item.read_bytes()).hexdigest()
        for item in folder.iterdir()
        if item.name != "VENDORED.md"
    }

    assert there == listed
    assert [name for name in there if name.endswith(".LICENSE.txt")]
    assert all("SIL Open Font License" in (folder / name).read_text() for name in there if name.endswith(".txt"))
