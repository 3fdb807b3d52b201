"""Round pieces in a picture, each with the circle through its edge; what is no clear disc is said to be unsure."""

from collections.abc import Callable
from dataclasses import dataclass, field, replace

import numpy as np
from scipy import ndimage

from ninefine.assay.tray_edge import Canvas, Circle, fit_edge
from ninefine.assay.tray_ground import WINDOW_PARTS, Coarse, coarse
from ninefine.assay.tray_picture import Mask

#: The smallest and largest radius looked for, in millimetres: a three-cent piece is 7.0, a five-ounce coin 38.1.
SMALLEST, LARGEST = 5.0, 40.0
#: Where no scale is known: the smallest, as a part of the largest thing found.
SMALLEST_PART = 0.4
#: Looks at what the discs found so far have left over.
LOOKS = 4
#: A circle is refused where its edge points scatter by more than this many dots, or its radius by this part.
MOST_SCATTER_DOTS, MOST_SCATTER_PART = 0.9, 0.008
#: The least part of the edge that must be seen, and the widest angle unseen, in degrees.
LEAST_USED, WIDEST_GAP = 0.55, 110.0
LITTLE_SEEN = "too little of its edge is seen"
#: A piece that is partly hidden shows at least this part of its face.
LEAST_LEFT = 0.35
#: What lies around a piece is ground where it is darker than this part of the way from ground to rim.
MOST_GROUND = 0.5
#: Circles may run into each other by this part of the smaller radius before they are in doubt.
OVERLAP = 0.05

Tell = Callable[[str, int, int], None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """A piece that was found.

    Attributes:
        x, y, radius: in units of length.
        circle: the circle through its edge; none where none fits.
        doubt: why it is unsure, in words; empty when it is a clear disc.
    """

    x: float
    y: float
    radius: float
    circle: Circle | None
    doubt: str = ""


def find_discs(
    canvas: Canvas, *, known: bool, away_from: tuple[float, float] | None = None, tell: Tell | None = None
) -> list[Found]:
    """Every piece of a picture, clear ones and doubtful ones, in no order.

    Clear discs are looked for first, again in what they leave over, and once more among dark things that bright ones
    outshone; then what is left is told as doubtful.

    Args:
        canvas: bright pieces on dark ground.
        known: whether its units are millimetres.
        away_from: see `fit_edge`.
        tell: told how far it is: stage, done, of how many.
    """
    if known:
        return _searched(canvas, coarse(canvas), away_from, tell)
    tried: list[list[Found]] = []
    for part in WINDOW_PARTS:
        tried.append(_searched(canvas, coarse(canvas, part), away_from, tell))
        if _told_clearly(tried[-1]) > 0.7 * sum(one.radius**2 for one in tried[-1]):
            break
    return max(tried, key=_told_clearly)


def _told_clearly(found: list[Found]) -> float:
    """The area of clear discs less that of doubtful things, but for a factor."""
    return sum(one.radius**2 * (-1 if one.doubt else 1) for one in found)


def _searched(canvas: Canvas, small: Coarse, away_from: tuple[float, float] | None, tell: Tell | None) -> list[Found]:
    mask = _without_surround(small.mask)
    bounds = (SMALLEST, LARGEST) if small.known else _bounds(mask, small.dot)
    eye = _Search(canvas=canvas, small=small, bounds=bounds, away_from=away_from, tell=tell)
    rest = eye.clear(mask)
    hidden = eye.partly_hidden(rest)
    eye.clear(_without_surround(small.darker(eye.covered)))
    rest &= ~eye.covered
    doubtful, rest = eye.doubtful(rest)
    return [*_overlaps_told(_rings_told([*eye.found, *hidden, *doubtful])), *_left_over(rest, small, bounds[0])]


@dataclass(slots=True, kw_only=True, eq=False)
class _Search:
    """The discs found so far in one picture."""

    canvas: Canvas
    small: Coarse
    bounds: tuple[float, float]
    away_from: tuple[float, float] | None
    tell: Tell | None
    found: list[Found] = field(default_factory=list)
    beside: list[Found] = field(default_factory=list)
    covered: Mask = field(init=False)

    def __post_init__(self) -> None:
        self.covered = np.zeros(self.small.mask.shape, dtype=np.bool_)

    def clear(self, mask: Mask) -> Mask:
        """Take down every clear disc under a mask; answers what they leave of it."""
        rest = mask.copy()
        for look in range(LOOKS):
            new = self._alone(self._fits(rest, "measuring edges" if not look else "looking again"))
            if not new:
                break
            self.found += new
            _take_out(rest, new, self.small)
            _cover(self.covered, new, self.small)
        return rest

    def _alone(self, fits: list[Found]) -> list[Found]:
        """Those that are clear and run into none found before them."""
        taken: list[Found] = []
        for one in fits:
            if one.doubt not in {"", LITTLE_SEEN}:
                continue
            into = any(_overlap(one, other) for other in [*self.found, *taken])
            (self.beside if into or one.doubt else taken).append(one)
        return taken

    def partly_hidden(self, rest: Mask) -> list[Found]:
        """Discs that run into those found clear, or show little of their edge, where much of what they hold is left."""
        hidden: list[Found] = []
        for one in self.beside:
            place = np.zeros_like(rest)
            _cover(place, [one], self.small)
            left = float((rest & place).sum()) / max(1.0, float(place.sum()))
            if left > LEAST_LEFT and one.circle is not None and _fresh(one.circle, [*self.found, *hidden]):
                hidden.append(one)
        _cover(self.covered, hidden, self.small)
        self.beside = []
        return hidden

    def doubtful(self, rest: Mask) -> tuple[list[Found], Mask]:
        """What has some round edge but is no clear disc, and what is left without it."""
        new = self._fits(rest, "looking at what is left")
        left = rest.copy()
        _take_out(left, new, self.small)
        return new, left

    def _fits(self, mask: Mask, stage: str) -> list[Found]:
        new: list[Found] = []
        seeds = _seeds(mask, self.small, *self.bounds)
        for number, (x, y, radius) in enumerate(seeds):
            if self.tell is not None:
                self.tell(stage, number, len(seeds))
            circle = fit_edge(self.canvas, x, y, radius, away_from=self.away_from)
            if circle is not None and _round(circle, self.canvas.dot) and _fresh(circle, [*self.found, *new]):
                doubt = _doubt(circle, self.canvas.dot)
                new.append(Found(x=circle.x, y=circle.y, radius=circle.radius, circle=circle, doubt=doubt))
        return new


def _bounds(mask: Mask, dot: float) -> tuple[float, float]:
    depth = ndimage.distance_transform_edt(mask)
    top = float(depth.max()) * dot
    return SMALLEST_PART * top, 1.5 * top


def _without_surround(mask: Mask) -> Mask:
    """The mask without what runs along the picture's border: paper beside the card, the lid's rim."""
    labels, count = ndimage.label(mask)
    if not count:
        return mask
    rim = np.concatenate([labels[0], labels[-1], labels[:, 0], labels[:, -1]])
    along = np.bincount(rim, minlength=count + 1)
    long = np.flatnonzero(along > 0.3 * min(mask.shape))
    surround = np.isin(labels, long[long > 0])
    return mask & ~surround


def _seeds(mask: Mask, small: Coarse, smallest: float, largest: float) -> list[tuple[float, float, float]]:
    """Where discs may be: the deepest places of the mask, deepest first, none within another's disc."""
    if not _roomy(mask, 1.4 * smallest / small.dot):
        return []
    depth = ndimage.gaussian_filter(ndimage.distance_transform_edt(np.pad(mask, 1))[1:-1, 1:-1], 1.0)
    window = max(3, int(smallest / small.dot) | 1)
    peaks = (depth == ndimage.maximum_filter(depth, size=window)) & (depth * small.dot > 0.8 * smallest)
    rows, columns = np.nonzero(peaks)
    depths = depth[rows, columns]
    taken: list[tuple[float, float, float]] = []
    for place in np.argsort(-depths):
        radius = float(depths[place]) + 0.5
        x, y = float(columns[place]), float(rows[place])
        if all(np.hypot(x - a, y - b) > 0.75 * max(r, radius) for a, b, r in taken):
            taken.append((x, y, radius))
    half = (small.by - 1) / 2
    scale = small.dot / small.by
    return [
        ((x * small.by + half) * scale, (y * small.by + half) * scale, r * small.dot)
        for x, y, r in taken
        if r * small.dot <= 1.15 * largest
    ]


def _roomy(mask: Mask, side: float) -> bool:
    """Whether anything under a mask is wide and tall enough to hold a piece."""
    labels, _ = ndimage.label(mask)
    places = ndimage.find_objects(labels)
    return any(min(part.stop - part.start for part in place) >= side for place in places if place is not None)


def _round(circle: Circle, dot: float) -> bool:
    """Whether a circle is a disc's edge at all, with room for one of poor quality."""
    return (
        circle.used >= 0.8 * LEAST_USED
        and circle.gap <= 1.6 * WIDEST_GAP + 360 * (1 - circle.looked)
        and circle.scatter <= max(5 * MOST_SCATTER_DOTS * dot, 3 * MOST_SCATTER_PART * circle.radius)
    )


def _fresh(circle: Circle, others: list[Found]) -> bool:
    return all(np.hypot(circle.x - one.x, circle.y - one.y) > 0.7 * max(circle.radius, one.radius) for one in others)


def _cover(covered: Mask, new: list[Found], small: Coarse) -> None:
    """Mark where discs lie."""
    rows, columns = np.ogrid[: covered.shape[0], : covered.shape[1]]
    for one in new:
        radius = one.radius / small.dot + 1.5
        x, y = one.x / small.dot, one.y / small.dot
        top, bottom = max(0, int(y - radius)), int(y + radius) + 2
        left, right = max(0, int(x - radius)), int(x + radius) + 2
        inside = (rows[top:bottom] - y) ** 2 + (columns[:, left:right] - x) ** 2 <= radius**2
        covered[top:bottom, left:right] |= inside


def _take_out(rest: Mask, new: list[Found], small: Coarse) -> None:
    """Take discs out of a mask."""
    gone = np.zeros_like(rest)
    _cover(gone, new, small)
    rest &= ~gone


def _doubt(circle: Circle, dot: float) -> str:
    """Why a circle is no measurement, in words; empty where it is one."""
    most = max(MOST_SCATTER_DOTS * dot, MOST_SCATTER_PART * circle.radius)
    if circle.scatter > most:
        return f"its edge strays from a circle by {circle.scatter / most:.1f} times what is taken as a measurement"
    if circle.used < LEAST_USED or circle.gap > WIDEST_GAP + 360 * (1 - circle.looked):
        return LITTLE_SEEN
    return ""


def _overlap(one: Found, other: Found) -> bool:
    """Whether two circles run into each other by more than their errors."""
    apart = float(np.hypot(one.x - other.x, one.y - other.y))
    return one.radius + other.radius - apart > OVERLAP * min(one.radius, other.radius)


def _overlaps_told(found: list[Found]) -> list[Found]:
    """The same, with those in doubt that lie over or under another piece of which the edge is seen."""
    seen = [one for one in found if not one.doubt]
    told = []
    for one in found:
        into = not one.doubt and any(_overlap(one, other) for other in seen if other is not one)
        told.append(replace(one, doubt="another piece lies over or under it") if into else one)
    return told


def _rings_told(found: list[Found]) -> list[Found]:
    """The same, with those in doubt around which no ground is seen: circles in the relief of something larger."""
    circles = [one.circle for one in found if one.circle is not None and not one.doubt]
    if not circles:
        return found
    ground = float(np.median([circle.ground for circle in circles]))
    told = []
    for one in found:
        circle = one.circle
        within = circle is not None and circle.ground > ground + MOST_GROUND * max(circle.level - ground, 0.0)
        told.append(replace(one, doubt="no ground is seen around it") if within and not one.doubt else one)
    return told


def _left_over(rest: Mask, small: Coarse, smallest: float) -> list[Found]:
    """What is on the ground and became no disc, where it is large enough to be a piece."""
    smoothed = ndimage.binary_opening(rest, iterations=max(1, int(0.3 * smallest / small.dot)))
    labels, count = ndimage.label(smoothed)
    left: list[Found] = []
    for number, place in enumerate(ndimage.find_objects(labels), start=1):
        if place is None or number > count:
            continue
        area = float((labels[place] == number).sum()) * small.dot**2
        if area < 0.5 * np.pi * smallest**2:
            continue
        middle = [(part.start + part.stop - 1) / 2 * small.dot for part in place]
        reach = max(part.stop - part.start for part in place) / 2 * small.dot
        left.append(Found(x=middle[1], y=middle[0], radius=reach, circle=None, doubt="it is no clear disc"))
    return left
