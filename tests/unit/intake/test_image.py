"""Pictures from files: upright, with a scan's resolution or a camera's lens; what is no good is told, not met."""

import io
import struct
import zlib
from typing import Any

import numpy as np
import pytest
from PIL import Image

from ninefine.errors import RangeError, UnreadableError
from ninefine.intake.image import MOST_DOTS, read_picture

ORIENTATION, MAKE, EXIF_PART, EXPOSURE, FOCAL_35 = 0x0112, 0x010F, 0x8769, 0x829A, 0xA405


def picture(mode: str = "RGB", size: tuple[int, int] = (400, 300)) -> Image.Image:
    """A slope of grey with a white corner at the top left, so that turning shows."""
    grey = np.tile(np.linspace(20, 120, size[0]).astype(np.uint8), (size[1], 1))
    grey[:40, :40] = 255
    return Image.fromarray(grey).convert(mode)


def saved(image: Image.Image, kind: str = "JPEG", **how: Any) -> bytes:
    kept = io.BytesIO()
    image.save(kept, kind, **how)
    return kept.getvalue()


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "TIFF"])
@pytest.mark.parametrize("dpi", [300, 600])
def test_a_scan_s_resolution_is_read(kind: str, dpi: int) -> None:
    read = read_picture(saved(picture(), kind, dpi=(dpi, dpi)), "scan")

    assert read.dots_per_mm == pytest.approx((dpi / 25.4, dpi / 25.4), rel=1e-4)
    assert read.size == (400, 300)
    assert read.colour is not None
    assert read.focal_35 is None


@pytest.mark.parametrize("dpi", [72, 96])
def test_a_resolution_that_programs_write_by_habit_is_none(dpi: int) -> None:
    assert read_picture(saved(picture(), dpi=(dpi, dpi)), "web.jpg").dots_per_mm is None


def test_a_camera_s_resolution_is_none_and_its_lens_is_read() -> None:
    """Cameras write 300 dots to the inch and mean nothing by it; Exif 2.3 names the focal length as for 35 mm film."""
    image = picture()
    exif = image.getexif()
    exif.get_ifd(EXIF_PART)[FOCAL_35] = 26
    lens = read_picture(saved(image, exif=exif, dpi=(300, 300)), "phone.jpg")
    exif = image.getexif()
    del exif.get_ifd(EXIF_PART)[FOCAL_35]
    exif.get_ifd(EXIF_PART)[EXPOSURE] = 0.01
    bare = read_picture(saved(image, exif=exif, dpi=(300, 300)), "camera.jpg")

    assert (lens.focal_35, lens.dots_per_mm) == (26.0, None)
    assert (bare.focal_35, bare.dots_per_mm) == (None, None)


def test_a_scanner_that_names_its_maker_keeps_its_resolution() -> None:
    image = picture()
    exif = image.getexif()
    exif[MAKE] = "A scanner"

    assert read_picture(saved(image, exif=exif, dpi=(600, 600)), "scan.jpg").dots_per_mm is not None


@pytest.mark.parametrize(("turn", "corner"), [(1, (0, 0)), (3, (-1, -1)), (6, (0, -1)), (8, (-1, 0))])
def test_a_turned_picture_stands_upright(turn: int, corner: tuple[int, int]) -> None:
    """Where the file's own top left lies upright, by the orientations of TIFF 6.0: 3 half turned, 6 and 8 a quarter."""
    image = picture("L")
    exif = image.getexif()
    exif[ORIENTATION] = turn
    read = read_picture(saved(image, "PNG", exif=exif), "turned.png")

    assert read.size == ((400, 300) if turn in {1, 3} else (300, 400))
    assert read.grey[corner] == 255
    assert (read.grey[[0, 0, -1, -1], [0, -1, 0, -1]] == 255).sum() == 1


def test_a_scan_turned_by_a_quarter_swaps_its_resolutions() -> None:
    image = picture("L")
    exif = image.getexif()
    exif[ORIENTATION] = 6
    read = read_picture(saved(image, "TIFF", exif=exif, dpi=(600, 300)), "scan.tif")

    assert read.dots_per_mm == pytest.approx((300 / 25.4, 600 / 25.4), rel=1e-3)


@pytest.mark.parametrize("mode", ["1", "L", "LA", "P", "RGBA", "I;16"])
def test_other_kinds_of_dots_are_read(mode: str) -> None:
    if mode == "I;16":
        image = Image.fromarray(np.asarray(picture("L"), dtype=np.uint16) * 257)
    else:
        image = picture("L").convert(mode)
    read = read_picture(saved(image, "PNG"), "odd.png")

    assert read.grey.shape == (300, 400)
    assert read.grey[5, 5] == 255
    assert read.grey[290, 5] < 60
    assert (read.colour is None) is (mode not in {"P", "RGBA"})


def test_what_cannot_be_read_is_said_in_words() -> None:
    whole = saved(picture())

    for data, words in (
        (b"", "is empty"),
        (b"\x00\x00\x00\x18ftypheic\x00\x00", "HEIC"),
        (b"%PDF-1.7 and so on, some text", "is no picture"),
        (saved(picture(), "GIF"), "is no picture"),
        (whole[: len(whole) // 2], "cut short"),
    ):
        with pytest.raises(UnreadableError, match=words) as told:
            read_picture(data, "C:/Users/someone/x.jpg")
        assert "someone" not in str(told.value)
    with pytest.raises(RangeError, match="too few"):
        read_picture(saved(picture(size=(400, 150))), "small.jpg")


def bomb(width: int, height: int) -> bytes:
    """A PNG of few bytes that says it holds so many dots."""

    def chunk(name: bytes, body: bytes) -> bytes:
        return struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))

    head = struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(b"")) + chunk(b"IEND", b"")


@pytest.mark.parametrize("side", [9_000, 10_000, 60_000])
def test_a_file_that_would_unfold_beyond_measure_is_refused_by_its_header(side: int) -> None:
    data = bomb(side, side)

    assert len(data) < 200
    assert side**2 > MOST_DOTS
    with pytest.raises(RangeError, match="was not opened"):
        read_picture(data, "bomb.png")


def test_a_letter_page_at_600_dots_to_the_inch_is_taken() -> None:
    """8.5 by 11 inches: 5,100 by 6,600 dots, 33.7 million; and 35 million."""
    for size in ((5100, 6600), (5000, 7000)):
        read = read_picture(saved(Image.new("L", size, 30), "PNG", dpi=(600, 600)), "page.png")
        assert read.size == size
