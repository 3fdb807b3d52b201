"""Pieces counted in a picture that others made: the coins of Pompeii that scikit-image carries."""

from typing import Any

import numpy as np
import pytest
import skimage
from scipy import ndimage

from ninefine.assay.tray_discs import Found, find_discs
from ninefine.assay.tray_edge import Canvas
from ninefine.assay.tray_picture import Greys

#: The library has no types for most of what it does.
SKIMAGE: Any = skimage


def coins() -> Greys:
    """Greek coins from Pompeii, of the Brooklyn Museum: 24 of them (scikit-image's data, public domain)."""
    return np.asarray(SKIMAGE.data.coins(), dtype=np.uint8)


def found(grey: Greys) -> list[Found]:
    return find_discs(Canvas(grey=grey), known=False)


def test_all_of_the_coins_are_found_each_where_the_library_finds_it() -> None:
    """24 of 24, one to one with scikit-image's own labels (background taken away, Otsu's threshold)."""
    grey = coins()
    square = SKIMAGE.morphology.footprint_rectangle((75, 75), decomposition="separable")
    lifted = grey - SKIMAGE.morphology.opening(grey, square)
    filled = ndimage.binary_fill_holes(lifted > SKIMAGE.filters.threshold_otsu(lifted))
    regions = [region for region in SKIMAGE.measure.regionprops(SKIMAGE.measure.label(filled)) if region.area > 300]

    pieces = found(grey)

    assert len(regions) == 24
    assert len(pieces) == 24
    for region in regions:
        top, left, bottom, right = region.bbox
        column, row, reach = (left + right - 1) / 2, (top + bottom - 1) / 2, max(bottom - top, right - left) / 2
        near = [piece for piece in pieces if np.hypot(piece.x - column, piece.y - row) < reach / 6]
        assert len(near) == 1
        assert near[0].radius == pytest.approx(reach, rel=0.12)


@pytest.mark.parametrize("seed", range(4))
def test_the_count_stands_changes_of_light_and_noise(seed: int) -> None:
    """Other gain and offset, a slope of light across, noise of up to 8 levels."""
    rng = np.random.default_rng(seed)
    grey = coins().astype(float)
    grey = grey * rng.uniform(0.7, 1.2) + rng.uniform(-20, 20) + rng.normal(0, rng.uniform(0, 8), grey.shape)
    grey += np.linspace(-1, 1, grey.shape[1]) * rng.uniform(-25, 25)

    assert len(found(np.clip(grey, 0, 255).astype(np.uint8))) == 24


def test_an_empty_picture_holds_nothing() -> None:
    assert not found(np.full((300, 400), 30, dtype=np.uint8))
