"""Render the example pictures of pieces on a tray: a scan, and a photo of the tray sheet. Nothing in them is real.

Run `python builders/tray_examples.py`; the same seeds give the same pictures.
"""

import sys
from dataclasses import replace
from pathlib import Path

import numpy as np
from PIL import Image

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT / "tests"))

import tray_scenes as scenes  # noqa: E402 - found only now


def scan() -> None:
    """Fifteen pieces at 200 dots to the inch: one of copper colour, one of an odd size."""
    rng, size = np.random.default_rng(1964), (140.0, 100.0)
    across = [scenes.DIME] * 6 + [scenes.QUARTER] * 5 + [scenes.HALF] * 2 + [22.9]
    discs = scenes.lay(rng, across, *size, close=0.3)
    discs[4] = replace(discs[4], tint=scenes.COPPER_TINT)
    seen = scenes.scan(rng, discs, size, dpi=200, tinted=True)
    assert seen.colour is not None
    Image.fromarray(seen.colour).save(ROOT / "examples" / "tray-scan.jpg", quality=82, dpi=(200, 200))


def photo() -> None:
    """Twelve pieces on the tray sheet, the camera tilted and turned."""
    rng = np.random.default_rng(1921)
    across = [scenes.DIME] * 3 + [scenes.QUARTER] * 6 + [scenes.HALF] * 2 + [scenes.DOLLAR]
    discs = scenes.lay(rng, across, 150, 190, close=0.2, gap=2.0)
    discs = [replace(disc, thick=disc.thick + 0.3) for disc in discs]
    eye = scenes.camera(rng, tilt=9, turn=84, size=(1600, 1200))
    seen = scenes.photo(rng, discs, eye)
    image = Image.fromarray(seen.grey)
    exif = image.getexif()
    exif.get_ifd(0x8769)[0xA405] = 26  # the focal length as for 35 mm film
    image.save(ROOT / "examples" / "tray-photo.jpg", quality=82, exif=exif)


if __name__ == "__main__":
    scan()
    photo()
    for name in ("tray-scan.jpg", "tray-photo.jpg"):
        print(f"{name}: {(ROOT / 'examples' / name).stat().st_size:,} bytes")
