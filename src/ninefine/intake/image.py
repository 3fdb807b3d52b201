"""A picture from a file: upright, in grey and colour, with the resolution of a scan or the lens of a camera.

Every fault is told in words. A file that would unfold to more than it should is refused by its header, unread.
"""

import io
from pathlib import PurePath

import numpy as np
from PIL import ExifTags, Image, ImageOps, UnidentifiedImageError

from ninefine.assay.tray_picture import Picture
from ninefine.errors import RangeError, UnreadableError

#: Formats that are read, by the names that the imaging library gives them; a phone's pair of pictures opens as JPEG.
FORMATS = ("JPEG", "PNG", "TIFF", "WEBP", "BMP")
#: The largest picture taken, in dots: a Letter page at 900 dots to the inch has 76 million.
MOST_DOTS = 80_000_000
#: The least of the shorter side: below this a dime on a tray has too few dots.
LEAST_SIDE = 200
#: Resolutions in a file below this are what programs write who know of none (72, 96).
LEAST_DPI, MOST_DPI = 100.0, 4800.0
MM_PER_INCH = 25.4
_INSTEAD = ("a JPEG", "a PNG", "a TIFF")
_TURNED = {5, 6, 7, 8}
#: How a file of this kind begins, from its fifth byte on, which telephones write and the imaging library does not read.
_HEIC = (b"ftypheic", b"ftypheix", b"ftypmif1", b"ftyphevc")


def read_picture(data: bytes, name: str) -> Picture:
    """Read a picture's bytes.

    Raises:
        UnreadableError: it is no picture, or none of a kind that is read, or it is cut short.
        RangeError: it is too large or too small.
    """
    said = PurePath(name).name[:60] or "The file"
    if not data:
        raise UnreadableError(f"{said} is empty.", expected="A picture was expected.", instead=_INSTEAD)
    if data[4:12] in _HEIC:
        raise UnreadableError(
            f"{said} is of a kind that is not read here (HEIC).",
            expected="Set the camera to its most compatible format, or save the picture as JPEG.",
        )
    try:
        with Image.open(io.BytesIO(data), formats=FORMATS) as image:
            _check_size(said, image.size)
            return _picture(image)
    except UnidentifiedImageError as error:
        raise UnreadableError(f"{said} is no picture that can be read.", instead=_INSTEAD) from error
    except (Image.DecompressionBombError, Image.DecompressionBombWarning) as error:
        raise _too_large(said) from error
    except (OSError, SyntaxError, ValueError) as error:
        if isinstance(error, UnreadableError | RangeError):
            raise
        raise UnreadableError(f"{said} is damaged or cut short.", expected="Save or send it again.") from error


def _check_size(said: str, size: tuple[int, int]) -> None:
    if size[0] * size[1] > MOST_DOTS:
        raise _too_large(said)
    if min(size) < LEAST_SIDE:
        raise RangeError(
            f"{said} is {size[0]} by {size[1]} dots, too few to measure by.",
            expected=f"The shorter side needs {LEAST_SIDE} at least.",
        )


def _too_large(said: str) -> RangeError:
    return RangeError(
        f"{said} holds more than {MOST_DOTS // 1_000_000} million dots and was not opened.",
        expected="A letter page at 600 dots to the inch has 34 million, which is plenty.",
    )


def _picture(image: Image.Image) -> Picture:
    exif = image.getexif()
    turned = exif.get(ExifTags.Base.Orientation) in _TURNED
    focal = _focal(exif)
    exposed = exif.get_ifd(ExifTags.IFD.Exif).get(ExifTags.Base.ExposureTime) is not None
    dots = None if exposed or focal is not None else _dots(image)  # a camera knows of no resolution
    image.load()
    upright = ImageOps.exif_transpose(image)
    if dots is not None and turned:
        dots = dots[1], dots[0]
    if upright.mode.startswith(("I", "F")):
        return Picture(grey=_eight_bits(upright), dots_per_mm=dots, focal_35=focal)
    if upright.mode in {"1", "L", "LA", "La"}:
        return Picture(grey=np.asarray(upright.convert("L")), dots_per_mm=dots, focal_35=focal)
    colour = upright.convert("RGB")
    return Picture(grey=np.asarray(colour.convert("L")), colour=np.asarray(colour), dots_per_mm=dots, focal_35=focal)


def _eight_bits(image: Image.Image) -> np.ndarray[tuple[int, int], np.dtype[np.uint8]]:
    """Sixteen bits of grey, or more, as eight."""
    deep = np.asarray(image, dtype=np.float64)
    top = 65535.0 if float(deep.max()) > 255 else 255.0
    return np.asarray(np.clip(deep * (255.0 / top), 0, 255), dtype=np.uint8)


def _focal(exif: Image.Exif) -> float | None:
    """The focal length as for 35 mm film, as a camera writes it (Exif 2.3, tag 41989)."""
    said = exif.get_ifd(ExifTags.IFD.Exif).get(ExifTags.Base.FocalLengthIn35mmFilm)
    return float(said) if isinstance(said, int | float) and 8 <= float(said) <= 400 else None


def _dots(image: Image.Image) -> tuple[float, float] | None:
    """Dots to the millimetre across and down, where the file states a scan's resolution."""
    said = image.info.get("dpi")
    if not isinstance(said, tuple) or len(said) != 2:
        return None
    across, down = float(said[0]), float(said[1])
    if not (LEAST_DPI <= across <= MOST_DPI and LEAST_DPI <= down <= MOST_DPI):
        return None
    return across / MM_PER_INCH, down / MM_PER_INCH
