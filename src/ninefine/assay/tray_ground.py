"""What in a picture is ground and what lies on it: a small picture, its ground taken away, its pieces as a mask."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from PIL import Image
from scipy import ndimage

from ninefine.assay.tray_edge import Canvas
from ninefine.assay.tray_picture import Greys, Mask

Floats32 = npt.NDArray[np.float32]

#: The small picture in which pieces are looked for: dots to the millimetre, or its longer side
#: where no scale is known.
COARSE_DOTS, COARSE_SIDE = 4.0, 1300
#: A border brighter than this is a light ground: the picture is turned to its negative.
LIGHT_BORDER = 140
#: The window over which ground is sure to be seen: millimetres, or parts of the shorter side, each of which is tried
#: where no scale is known.
WINDOW_MM, WINDOW_PARTS = 46.0, (0.25, 0.45, 0.7)
#: The mask's threshold as a part of Otsu's: dark toned pieces lie between ground and bright ones.
LENIENT = 0.55
#: Less contrast than this many levels of grey is none.
LEAST_LIFT = 8
#: A hole is round enough to be the inside of a piece where its area is at most this much of its largest inner circle.
ROUND_HOLE = 1.25


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Coarse:
    """The small picture.

    Attributes:
        mask: where something lies on the ground.
        lifted: brightness above the ground.
        by: how many dots of the whole picture go to one of its own, along a side.
        dot: the size of one of its dots, in units of length.
    """

    mask: Mask
    lifted: Floats32
    by: int
    dot: float
    known: bool

    def darker(self, covered: Mask) -> Mask:
        """Where something lies on the ground, judged anew by what is not covered: dark pieces among bright ones."""
        return _mask(self.lifted, ~covered, self.dot, known=self.known) & ~covered


def light_ground(grey: Greys) -> bool:
    """Whether the pieces lie on something light, by the picture's border."""
    wide = max(2, min(grey.shape) // 50)
    border = np.concatenate([grey[:wide:2, ::4].ravel(), grey[-wide::2, ::4].ravel(), grey[::4, :wide:2].ravel()])
    return float(np.median(border)) > LIGHT_BORDER


def coarse(canvas: Canvas, part: float | None = None) -> Coarse:
    """Make the small picture and tell pieces from ground in it.

    Args:
        canvas: the picture, bright pieces on dark ground.
        part: where its units are no millimetres, the window as a part of the shorter side.
    """
    height, width = canvas.grey.shape
    known = part is None
    by = max(1, round(1 / (canvas.dot * COARSE_DOTS)) if known else max(height, width) // COARSE_SIDE)
    small = np.asarray(Image.fromarray(canvas.grey).reduce(by), dtype=np.float32)
    dot = canvas.dot * by
    window = WINDOW_MM / dot if part is None else part * min(small.shape)
    lifted = small - _ground(small, window)
    lifted = ndimage.gaussian_filter(lifted, 1.0 if known else 0.5)
    mask = _mask(lifted, np.ones(lifted.shape, dtype=np.bool_), dot, known=known)
    return Coarse(mask=mask, lifted=lifted, by=by, dot=dot, known=known)


def _ground(small: Floats32, window: float) -> Floats32:
    """The ground under everything: an opening with a window wider than any piece, in a still smaller picture."""
    shrink = max(1, int(window // 24))
    tiny = np.asarray(Image.fromarray(small).reduce(shrink))
    side = max(3, int(window / shrink) | 1)
    opened = ndimage.grey_opening(tiny, size=(side, side), mode="nearest")
    smooth = ndimage.gaussian_filter(opened, side / 6)
    height, width = small.shape
    return np.asarray(Image.fromarray(smooth).resize((width, height), Image.Resampling.BILINEAR))


def _mask(lifted: Floats32, among: Mask, dot: float, *, known: bool) -> Mask:
    """What lies above a threshold that is set by a part of the picture."""
    parted = _threshold(lifted[among]) if among.any() else None
    if parted is None:
        return np.zeros(lifted.shape, dtype=np.bool_)
    level, cut = parted
    mask = lifted > cut
    reach = max(1, round(0.35 / dot)) if known else 1
    mask = ndimage.binary_closing(mask, _disc(reach), border_value=0) | mask
    mask = ndimage.binary_opening(mask, _disc(reach))
    return _filled(mask, (lifted - level) / (cut - level))


def _threshold(values: Floats32) -> tuple[float, float] | None:
    """The level of the ground, and one between ground and pieces; none where there is no such parting."""
    top = float(np.percentile(values, 99.5))
    if top < LEAST_LIFT:
        return None
    otsu = _otsu(values, top)
    level, spread = _ground_level(values[values < otsu])
    return level, max(level + LENIENT * (otsu - level), level + 4.5 * spread, level + 5)


def _ground_level(values: Floats32) -> tuple[float, float]:
    """The middle of the ground's brightness, and its robust standard deviation."""
    level = float(np.median(values))
    return level, 1.4826 * float(np.median(np.abs(values - level)))


def _otsu(values: Floats32, top: float) -> float:
    """Otsu's threshold (IEEE Transactions on Systems, Man and Cybernetics 9, 1979): the clearest parting in two."""
    counts, edges = np.histogram(values, bins=256, range=(float(values.min()), top))
    middles = (edges[:-1] + edges[1:]) / 2
    below = np.cumsum(counts)
    above = below[-1] - below
    sums = np.cumsum(counts * middles)
    with np.errstate(divide="ignore", invalid="ignore"):
        apart = below * above * (sums / below - (sums[-1] - sums) / above) ** 2
    return float(middles[int(np.argmax(np.where((below > 0) & (above > 0), apart, 0.0)))])


def _filled(mask: Mask, lifted: Floats32) -> Mask:
    """Fill the holes that are insides of pieces, and leave the gaps between pieces that touch.

    A gap is at the level of the ground and not round; the dark inside of a toned piece is round, and relief is small.
    `lifted` is in parts of the way from ground to threshold.
    """
    holes, count = ndimage.label(ndimage.binary_fill_holes(mask) & ~mask)
    if not count:
        return mask
    index = np.arange(1, count + 1)
    area = ndimage.sum_labels(np.ones_like(lifted), holes, index)
    level = ndimage.mean(lifted, holes, index)
    widest = ndimage.maximum(ndimage.distance_transform_edt(holes > 0), holes, index)
    fills = (level > 0.65) | (widest < 2.5) | (area < ROUND_HOLE * np.pi * widest**2)
    return mask | np.isin(holes, index[fills])


def _disc(radius: int) -> Mask:
    across = np.arange(-radius, radius + 1)
    return across[:, None] ** 2 + across[None, :] ** 2 <= radius**2 + 0.5
