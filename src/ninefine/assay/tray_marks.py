"""The tray sheet's marks in a photo: found by their rings, told apart by the open one, placed to a part of a dot."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations

import numpy as np
from PIL import Image
from scipy import ndimage

from ninefine.assay import tray_sheet as sheet
from ninefine.assay.tray_edge import Canvas, fit_edge
from ninefine.assay.tray_picture import Floats, Greys, Mask
from ninefine.assay.tray_plane import Plane, plane_through

#: The longer side of the small picture in which rings are looked for.
SMALL_SIDE = 1800
#: Darker than this part of the brightness around it is black.
BLACK = 0.72
#: The hole's part of a whole mark is 0.39 and the dot's part of the hole 0.25, as printed; blur and slant move them.
HOLE_PART, DOT_PART, OPEN_PART = (0.22, 0.52), (0.1, 0.5), 0.04
#: A mark may be this much larger or smaller than the other marks make it.
SIZE_FACTOR = 1.35
#: A side mark is looked for this near to where the corners put it, in millimetres.
NEAR_MM = 6.0
#: Dots to the millimetre of the patch in which a mark is placed.
PATCH_DOTS = 10
#: Most rings that are tried for corners.
MOST_RINGS = 14


@dataclass(frozen=True, slots=True, kw_only=True)
class _Ring:
    """Something like a mark: its middle in dots of the whole picture, its area, whether it is open."""

    x: float
    y: float
    area: float
    open: bool


def find_sheet(grey: Greys) -> Plane | None:
    """The tray sheet in a photo; none where its four corner marks are not all seen."""
    rings = sorted(_rings(grey), key=lambda ring: -ring.area)[:MOST_RINGS]
    best: tuple[int, float, Plane] | None = None
    for corners in _corner_sets(rings):
        plane = plane_through([(mark.x, mark.y) for mark in sheet.CORNERS], [(ring.x, ring.y) for ring in corners])
        wrong = _size_error(plane, corners)
        if wrong > SIZE_FACTOR:
            continue
        seen = sum(1 for mark in sheet.SIDES if _near(plane, mark, rings))
        if best is None or (seen, -wrong) > (best[0], -best[1]):
            best = seen, wrong, plane
    if best is None:
        return None
    sides = [mark for mark in sheet.SIDES if _near(best[2], mark, rings)]
    return _settled(grey, best[2], [*sheet.CORNERS, *sides])


def _rings(grey: Greys) -> Iterator[_Ring]:
    by = max(1, max(grey.shape) // SMALL_SIDE)
    small = np.asarray(Image.fromarray(grey).reduce(by), dtype=np.float32)
    small = ndimage.uniform_filter(small, 3)
    around = ndimage.uniform_filter(small, max(small.shape) // 12 | 1)
    dark = small < BLACK * around
    labels, _ = ndimage.label(dark)
    least, most = max(small.shape) // 130, max(small.shape) // 7
    for number, place in enumerate(ndimage.find_objects(labels), start=1):
        tall, wide = (part.stop - part.start for part in place)
        if not (least <= min(tall, wide) and max(tall, wide) <= most and max(tall, wide) < 2.5 * min(tall, wide)):
            continue
        ring = _ring_of(labels[place] == number, dark[place])
        if ring is not None:
            row, column = place[0].start + ring[1], place[1].start + ring[0]
            half = (by - 1) / 2
            yield _Ring(x=column * by + half, y=row * by + half, area=ring[2] * by * by, open=ring[3])


def _ring_of(part: Mask, dark: Mask) -> tuple[float, float, float, bool] | None:
    """Middle, area and openness of a ring of black; none where the part is no ring."""
    whole = ndimage.binary_fill_holes(part)
    hole = whole & ~part
    area, inner = float(whole.sum()), float(hole.sum())
    if not HOLE_PART[0] * area < inner < HOLE_PART[1] * area:
        return None
    rows, columns = np.nonzero(whole)
    spread = np.cov(np.stack([columns, rows]))
    if abs(area / (4 * np.pi * np.sqrt(max(float(np.linalg.det(spread)), 1e-9))) - 1) > 0.06:
        return None  # no ellipse
    x, y = float(columns.mean()), float(rows.mean())
    hole_rows, hole_columns = np.nonzero(hole)
    if np.hypot(hole_columns.mean() - x, hole_rows.mean() - y) > 0.12 * np.sqrt(area):
        return None
    dot = float((dark & hole).sum()) / inner
    if not (dot < OPEN_PART or DOT_PART[0] < dot < DOT_PART[1]):
        return None
    return x, y, area, dot < OPEN_PART


def _corner_sets(rings: list[_Ring]) -> Iterator[list[_Ring]]:
    """Four rings that may be the corners, clockwise from the open one."""
    closed = [ring for ring in rings if not ring.open]
    for first in (ring for ring in rings if ring.open):
        for three in combinations(closed, 3):
            four = [first, *three]
            x, y = sum(ring.x for ring in four) / 4, sum(ring.y for ring in four) / 4
            around = sorted(four, key=lambda ring: np.arctan2(ring.y - y, ring.x - x))
            start = around.index(first)
            turned = around[start:] + around[:start]
            if _convex(turned):
                yield turned


def _convex(corners: list[_Ring]) -> bool:
    turns = []
    for place in range(4):
        a, b, c = (corners[(place + step) % 4] for step in range(3))
        turns.append((b.x - a.x) * (c.y - b.y) - (b.y - a.y) * (c.x - b.x))
    return min(turns) > 0


def _size_error(plane: Plane, corners: list[_Ring]) -> float:
    """The worst ratio between a mark's size and what its place on the sheet makes it."""
    worst = 1.0
    for mark, ring in zip(sheet.CORNERS, corners, strict=True):
        radius = plane.dots_per_mm(mark.x, mark.y) * sheet.MARK_RADIUS
        ratio = float(np.sqrt(ring.area / np.pi)) / max(radius, 1e-9)
        worst = max(worst, ratio, 1 / ratio)
    return worst


def _near(plane: Plane, mark: sheet.SheetMark, rings: list[_Ring]) -> bool:
    places = plane.to_mm([(ring.x, ring.y) for ring in rings])
    return any(np.hypot(x - mark.x, y - mark.y) < NEAR_MM for x, y in places)


def _settled(grey: Greys, plane: Plane, marks: list[sheet.SheetMark]) -> Plane | None:
    """The plane through the marks' middles, each placed by the circle of its outer edge in a straightened patch.

    A slanted circle's middle is not seen in the middle of its picture; in the straightened patch it is.
    """
    for _ in range(3):
        seen = []
        for mark in marks:
            place = _placed(grey, plane, mark)
            if place is None:
                return None
            seen.append(plane.to_dots([place])[0])
        plane = plane_through([(mark.x, mark.y) for mark in marks], np.stack(seen))
    return plane


def _placed(grey: Greys, plane: Plane, mark: sheet.SheetMark) -> tuple[float, float] | None:
    reach = 1.6 * sheet.MARK_RADIUS
    steps = np.arange(-reach, reach, 1 / PATCH_DOTS)
    across, down = np.meshgrid(mark.x + steps, mark.y + steps)
    dots = plane.to_dots(np.column_stack([across.ravel(), down.ravel()]))
    patch: Floats = ndimage.map_coordinates(grey, [dots[:, 1], dots[:, 0]], output=np.float64, order=1, mode="nearest")
    negative = (255 - patch.reshape(across.shape)).clip(0, 255).astype(np.uint8)
    canvas = Canvas(grey=negative, across=PATCH_DOTS, down=PATCH_DOTS)
    circle = fit_edge(canvas, reach, reach, sheet.MARK_RADIUS)
    if circle is None or abs(circle.radius / sheet.MARK_RADIUS - 1) > 0.1:
        return None
    return mark.x - reach + circle.x, mark.y - reach + circle.y
