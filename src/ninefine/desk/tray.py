"""Pieces on a tray: a picture read, counted and measured, its contact strip cut, and kept only where a person asks."""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ninefine.assay.tray import Flag, Tray, numbers
from ninefine.assay.tray_sizes import Size, sizes_of, usual_sizes
from ninefine.book.chain import Stored
from ninefine.catalog.catalog import Catalog
from ninefine.catalog.denominations import DENOMINATIONS, denomination
from ninefine.catalog.kinds import Kind
from ninefine.desk.fields import Fields
from ninefine.desk.goods import read_named
from ninefine.desk.kit import Kit
from ninefine.desk.records import Upload, note
from ninefine.errors import NotFoundError, RangeError, UnreadableError
from ninefine.measure.numbers import read_positive, read_reference

if TYPE_CHECKING:
    from ninefine.assay.tray_reading import Reading

#: What each denomination is looked up as: a kind that stands for its size.
_OF_DENOMINATION = {
    "dime": "us-dime-90",
    "quarter": "us-quarter-90",
    "half": "us-half-90",
    "dollar": "us-dollar-90",
    "five-cent": "us-five-cent-wartime",
    "twenty-cent": "us-twenty-cent",
    "half-dime": "us-half-dime-seated-light",
    "three-cent": "us-three-cent-1854-1873",
}
_PLURALS = {coin.name: coin.plural for coin in DENOMINATIONS}
MM_PER_INCH = 25.4
_BARE = re.compile(r"\d+(?:\.\d*)?|\.\d+", re.ASCII)
#: What is said wherever a tray is shown.
CANNOT = "A diameter tells a size, not a metal: silver and its clad successor are equally wide. No date is read."

Tell = Callable[[str, int, int], None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What a person says of a picture, read from a form.

    Attributes:
        sizes: the sizes expected.
        dpi: a scan's resolution in dots to the inch, where typed.
        ruler_mm: the sheet's ruler as printed, where measured.
        known: a piece's number and its diameter in millimetres.
    """

    sizes: tuple[Size, ...]
    dpi: float | None = None
    ruler_mm: float | None = None
    known: tuple[int, float] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Laid:
    """A tray that was read, with its pictures as JPEG.

    Attributes:
        name: the picture's file.
        tray: its pieces.
        marked: the straightened picture with circles and numbers.
        sheet: all pieces numbered on one sheet.
        strip: each piece by itself, in the order of their numbers.
    """

    name: str
    tray: Tray
    marked: bytes
    sheet: bytes
    strip: tuple[bytes, ...]


def wanted(catalog: Catalog, form: Mapping[str, str]) -> Wanted:
    """Read what is said of a picture. Fields: `expect`, `dpi`, `ruler`, `known`, all of them optional.

    Raises:
        Faults: every fault of the form.
    """
    fields = Fields(form, source="the tray")
    sizes = fields.read("expect", lambda text: read_sizes(catalog, text), usual_sizes(catalog))
    dpi = fields.read("dpi", _read_dpi, None)
    ruler = fields.read("ruler", _read_ruler, None)
    known = fields.read("known", lambda text: read_known(catalog, text), None)
    fields.done()
    return Wanted(sizes=sizes, dpi=dpi, ruler_mm=ruler, known=known)


def read_sizes(catalog: Catalog, text: str) -> tuple[Size, ...]:
    """Sizes expected: denominations, kinds or diameters, parted by commas: `dimes, quarters, silver eagle, 22.9 mm`.

    Raises:
        NotFoundError: a word names none, or a kind without a diameter.
    """
    words = [word.strip() for word in text.split(",") if word.strip()]
    bare = [Size(name=word, diameter=wide) for word in words if (wide := _millimetres(word))]
    named = sizes_of(_kind_of(catalog, word) for word in words if not _millimetres(word))
    return tuple(sorted([*named, *bare], key=lambda size: size.diameter))


def _millimetres(word: str) -> float | None:
    """A diameter typed as such, `22.9 mm`; none for anything else."""
    number = word.lower().removesuffix("mm").strip()
    return float(read_positive(number)) if number != word.lower() and _BARE.fullmatch(number) else None


def _kind_of(catalog: Catalog, word: str) -> Kind:
    try:
        kind = catalog.kind(_OF_DENOMINATION[denomination(word).key])
    except NotFoundError:
        kind = read_named(catalog, word).kind
    if kind.diameter_mm is None:
        raise NotFoundError(f"The catalog has no diameter of {kind.name}.", expected="Name a kind that has one.")
    return kind


def read_known(catalog: Catalog, text: str) -> tuple[int, float]:
    """A piece that sets the scale: its number, and its kind or its diameter: `3 = quarter`, `3 = 24.26 mm`.

    Raises:
        InputError: no number, or nothing that has a diameter.
    """
    number, equals, what = (part.strip() for part in text.partition("="))
    piece = read_reference(number)
    if not equals or piece is None or not what:
        raise UnreadableError(
            f"{text.strip()[:40]!r} names no piece and its size.", instead=("3 = quarter", "3 = 24.26 mm")
        )
    wide = _millimetres(f"{what} mm" if _BARE.fullmatch(what) else what)
    if wide is not None:
        return piece, wide
    return piece, float(_kind_of(catalog, what).diameter_mm or 0)


def _read_dpi(text: str) -> float:
    dpi = float(read_positive(text.lower().removesuffix("dpi").strip()))
    if not 50 <= dpi <= 4800:
        raise RangeError(f"A scan of {dpi:g} dots to the inch is not read.", instead=("600", "300"))
    return dpi


def _read_ruler(text: str) -> float:
    ruler = float(read_positive(text.lower().removesuffix("mm").strip()))
    if not 85 < ruler < 115:
        raise RangeError(f"The sheet's ruler of 100 mm cannot be {ruler:g} mm long as printed.", instead=("99.5",))
    return ruler


def look(data: bytes, name: str, asked: Wanted, tell: Tell | None = None) -> Laid:
    """Read a picture: count, measure, name, cut. It takes a second or two; the book is not asked.

    Args:
        data: the file's bytes.
        name: its name.
        asked: what was said of it.
        tell: told how far it is: stage, done, of how many. It may raise to stop the work.

    Raises:
        UnreadableError: no picture, or a damaged one.
        RangeError: too large or too small, or its marks do not fit a flat sheet.
        NotFoundError: nothing lies there, or the known piece is not among what was found.
    """
    # heavy: numpy, scipy and the imaging library, loaded when the first picture is read
    from ninefine.assay.tray_reading import read_tray  # noqa: PLC0415
    from ninefine.assay.tray_view import Asked  # noqa: PLC0415
    from ninefine.intake.image import read_picture  # noqa: PLC0415

    if tell is not None:
        tell("opening the picture", 0, 1)
    dots = None if asked.dpi is None else asked.dpi / MM_PER_INCH
    reading = read_tray(
        read_picture(data, name),
        Asked(sizes=asked.sizes, dots_per_mm=dots, ruler_mm=asked.ruler_mm, known=asked.known),
        tell,
    )
    if not reading.tray.pieces:
        raise NotFoundError(
            "No piece is seen in this picture.",
            expected="Lay the pieces apart on matt black card, under even light, and fill the picture with them.",
        )
    if tell is not None:
        tell("cutting the strip", 0, 1)
    return _cut(name, reading)


def _cut(name: str, reading: "Reading") -> Laid:
    from ninefine.assay.tray_strip import contact_sheet, marked_tray, piece_pictures  # noqa: PLC0415 - heavy, as above

    return Laid(
        name=name,
        tray=reading.tray,
        marked=marked_tray(reading),
        sheet=contact_sheet(reading),
        strip=piece_pictures(reading),
    )


def tray_sentence(tray: Tray) -> str:
    """How many pieces of which sizes, and how many to look at."""
    counts = tray.counts()
    told = [_counted(count, size) for size, count in counts.items() if size]
    loose = counts.get("", 0)
    if told and loose:
        told.append(f"{loose:,} of no one size")
    head = f"{len(tray.clear):,} {'piece' if len(tray.clear) == 1 else 'pieces'}"
    words = head + (f": {', '.join(told)}." if told else ".")
    if tray.unsure:
        words += f" Beside them {len(tray.unsure):,} unsure, not measured: {numbers(tray.unsure)}."
    return words


def look_again(tray: Tray) -> list[tuple[str, str]]:
    """What to look at, and the numbers of the pieces: `("odd colour", "3, 7")`."""
    found = []
    for flag in Flag:
        odd = [piece for piece in tray.pieces if flag in piece.flags]
        if odd:
            found.append((str(flag), numbers(odd)))
    return found


def _counted(count: int, size: str) -> str:
    if size not in _PLURALS:
        return f"{count:,} of {size}"
    return f"1 {size}" if count == 1 else f"{count:,} {_PLURALS[size]}"


def keep_tray(kit: Kit, laid: Laid, form: Mapping[str, str], original: bytes | None = None) -> Stored:
    """Keep a tray's pictures in the book as a note. Fields: `on`, `text`, `lots`.

    Args:
        kit: the kit.
        laid: the tray.
        form: the fields.
        original: the picture itself, where it is to be kept too.

    Raises:
        Faults: every fault of the form and of each file.
    """
    words = form.get("text", "").strip()
    text = f"{words} " if words else ""
    files = [Upload(name="tray-marked.jpg", data=laid.marked), Upload(name="tray-pieces.jpg", data=laid.sheet)]
    if original is not None:
        files.append(Upload(name=laid.name, data=original))
    said = f"{text}A tray: {tray_sentence(laid.tray)} {laid.tray.scale.says}"
    return note(kit, {**form, "text": said}, files)
