"""The edge of a round thing to a fraction of a dot: rays, half-height crossings, and a circle that lets strays go."""

from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt
from scipy import ndimage

from ninefine.assay.tray_picture import Floats, Greys, Mask

#: Rays of the first look and of the measurement.
FEW_RAYS, MANY_RAYS = 180, 720
#: How far the first look reaches on either side of the expected edge, as a part of the radius.
REACH = 0.16
#: Strays: beyond so many robust standard deviations a point has no weight (Tukey's biweight, usual tuning).
TUKEY = 4.685
#: Turns a median absolute deviation into a standard deviation, for normal errors.
MAD = 1.4826
#: A ray counts that falls by so many levels of grey, and a point that keeps this weight.
LEAST_CONTRAST, LEAST_WEIGHT = 4, 0.05
#: Samples of the mean profile to a dot.
FINE = 4


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Canvas:
    """A picture to measure in: bright things on a dark ground.

    Attributes:
        grey: brightness.
        across, down: dots to the unit of length (millimetres, or 1 where no scale is known).
    """

    grey: Greys
    across: float = 1.0
    down: float = 1.0

    @property
    def dot(self) -> float:
        """The size of a dot, in units of length."""
        return 1.0 / float(np.sqrt(self.across * self.down))


@dataclass(frozen=True, slots=True, kw_only=True)
class Circle:
    """A circle through an edge.

    Attributes:
        x, y, radius: in units of length; a dot's middle is at its index.
        scatter: robust standard deviation of the edge points about it.
        used: of the rays that were looked along, the part that met the edge and fit.
        looked: of all rays, the part that was looked along.
        gap: the widest angle without such a ray, in degrees.
        longer_across: by how much its width exceeds its height, as a part of its diameter.
        level: brightness of the rim; `ground` of what lies around it.
        blur: the distance over which the edge rises, as the standard deviation of a blurred step.
    """

    x: float
    y: float
    radius: float
    scatter: float
    used: float
    looked: float
    gap: float
    longer_across: float
    level: float
    ground: float
    blur: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Crossings:
    """Where rays leave a thing: direction, place, rim and ground levels, steepness, of those that met an edge."""

    angles: Floats
    x: Floats
    y: Floats
    rim: Floats
    ground: Floats
    slope: Floats

    def kept(self, which: Mask) -> "_Crossings":
        """Some of them."""
        return _Crossings(
            angles=self.angles[which],
            x=self.x[which],
            y=self.y[which],
            rim=self.rim[which],
            ground=self.ground[which],
            slope=self.slope[which],
        )


def fit_edge(
    canvas: Canvas, x: float, y: float, radius: float, *, away_from: tuple[float, float] | None = None
) -> Circle | None:
    """The circle of a bright thing near an expected place; none where no round edge is there.

    Args:
        canvas: where to look.
        x: expected, as `y` and `radius`, in units of length.
        y: the same.
        radius: the same.
        away_from: use only the part of the edge that faces away from this point (below a camera, the part that faces
            it shows the wall of the piece); all of it when none.
    """
    steps = int(min(240, max(24, 2 * REACH * radius / canvas.dot)))
    first = _crossings(canvas, (x, y), np.linspace(radius * (1 - REACH), radius * (1 + REACH), steps), FEW_RAYS)
    circle = _circle(first, (x, y), FEW_RAYS)
    if circle is None or _astray(circle, (x, y, radius)):
        return None
    looked = 1.0
    for _ in range(2):
        reach = max(8 * canvas.dot, 0.06 * circle.radius)
        band = np.arange(-reach, reach, canvas.dot / 2) + circle.radius
        seen = _crossings(canvas, (circle.x, circle.y), band, MANY_RAYS)
        if away_from is not None:
            seen, looked = _facing_away(seen, circle, away_from)
        better = _circle(seen, (circle.x, circle.y), MANY_RAYS, looked)
        if better is None or _astray(better, (x, y, radius)):
            return None
        moved = np.hypot(better.x - circle.x, better.y - circle.y) + abs(better.radius - circle.radius)
        circle = better
        if moved < canvas.dot / 2:
            break
    return replace(_settled(canvas, circle, seen), looked=looked)


def _astray(circle: Circle, expected: tuple[float, float, float]) -> bool:
    """Whether a circle has left the place where it was looked for."""
    x, y, radius = expected
    return bool(np.hypot(circle.x - x, circle.y - y) > radius / 2 or not 0.7 < circle.radius / radius < 1.4)


def _crossings(canvas: Canvas, centre: tuple[float, float], band: Floats, rays: int) -> _Crossings:
    angles = np.arange(rays) * (2 * np.pi / rays)
    profile, whole = _profiles(canvas, centre, angles, band)
    profile = ndimage.uniform_filter1d(profile, 3, axis=1, mode="nearest")
    rim = np.percentile(profile[:, : len(band) // 2], 70, axis=1)
    ground = np.percentile(profile[:, len(band) // 2 :], 15, axis=1)
    half = (rim + ground) / 2
    above = profile > half[:, None]
    falls = above[:, :-1] & ~above[:, 1:]
    last = falls.shape[1] - 1 - falls[:, ::-1].argmax(axis=1)
    rows = np.arange(rays)
    high, low = profile[rows, last], profile[rows, last + 1]
    step = float(band[1] - band[0])
    drop = np.maximum(high - low, 1e-6)
    radii = band[last] + step * (high - half) / drop
    met = _Crossings(
        angles=angles,
        x=centre[0] + radii * np.cos(angles),
        y=centre[1] + radii * np.sin(angles),
        rim=rim,
        ground=ground,
        slope=drop / step,
    )
    return met.kept(falls.any(axis=1) & whole & (rim - ground > LEAST_CONTRAST))


def _profiles(
    canvas: Canvas, centre: tuple[float, float], angles: Floats, band: Floats
) -> tuple[npt.NDArray[np.float32], Mask]:
    """Brightness along rays, and which rays stay within the picture."""
    across = (centre[0] + np.outer(np.cos(angles), band)) * canvas.across
    down = (centre[1] + np.outer(np.sin(angles), band)) * canvas.down
    profile = np.empty(across.shape, dtype=np.float32)
    ndimage.map_coordinates(canvas.grey, [down, across], output=profile, order=1, mode="constant", cval=0.0)
    height, width = canvas.grey.shape
    within = (down >= 0) & (down <= height - 1) & (across >= 0) & (across <= width - 1)
    return profile, within.all(axis=1)


def _facing_away(seen: _Crossings, circle: Circle, point: tuple[float, float]) -> tuple[_Crossings, float]:
    """Those whose edge faces away from a point, and the part of the whole edge that does."""
    outward = (seen.x - point[0]) * np.cos(seen.angles) + (seen.y - point[1]) * np.sin(seen.angles)
    away = float(np.hypot(circle.x - point[0], circle.y - point[1]))
    whole = 1.0 if away <= circle.radius else float(np.arccos(-circle.radius / away) / np.pi)
    return seen.kept(outward >= 0), whole


def _circle(seen: _Crossings, start: tuple[float, float], rays: int, looked: float = 1.0) -> Circle | None:
    """A circle through crossings seen from a point, by Gauss-Newton with Tukey's weights."""
    if len(seen.angles) < rays // 8:
        return None
    (x, y), radius = start, float(np.median(np.hypot(seen.x - start[0], seen.y - start[1])))
    scatter, weight = float("inf"), np.ones_like(seen.x)
    for turn in range(14):
        out_x, out_y = seen.x - x, seen.y - y
        distance = np.maximum(np.hypot(out_x, out_y), 1e-9)
        off = distance - radius
        scatter = max(MAD * float(np.median(np.abs(off))), 1e-6 * radius)
        weight = np.clip(1 - (off / (TUKEY * scatter)) ** 2, 0, 1) ** 2
        slopes = np.stack([out_x / distance, out_y / distance, np.ones_like(off)], axis=1)
        by = slopes * weight[:, None]
        try:
            step = np.linalg.solve(by.T @ slopes, by.T @ off)
        except np.linalg.LinAlgError:  # the points that count lie on no arc
            return None
        x, y, radius = x + float(step[0]), y + float(step[1]), radius + float(step[2])
        if turn > 2 and np.abs(step).max() < 1e-6 * radius:
            break
    return _described(seen, (x, y, radius), weight, scatter, looked * rays)


def _described(
    seen: _Crossings, circle: tuple[float, float, float], weight: Floats, scatter: float, rays: float
) -> Circle | None:
    fits = weight > LEAST_WEIGHT
    if fits.sum() < rays / 8:
        return None
    met = seen.kept(fits)
    out_x, out_y = met.x - circle[0], met.y - circle[1]
    angles = np.sort(np.arctan2(out_y, out_x))
    gaps = np.diff(np.append(angles, angles[0] + 2 * np.pi))
    twice = 2 * np.arctan2(out_y, out_x)
    contrast = float(np.median(met.rim - met.ground))
    return Circle(
        x=circle[0],
        y=circle[1],
        radius=circle[2],
        scatter=scatter,
        used=min(1.0, float(fits.sum()) / rays),
        looked=1.0,
        gap=float(np.degrees(gaps.max())),
        longer_across=2 * float(np.mean((np.hypot(out_x, out_y) - circle[2]) * np.cos(twice))) / circle[2],
        level=float(np.median(met.rim)),
        ground=float(np.median(met.ground)),
        blur=contrast / max(float(np.median(met.slope)), 1e-6) / float(np.sqrt(2 * np.pi)),
    )


def _settled(canvas: Canvas, circle: Circle, seen: _Crossings) -> Circle:
    """The circle with its radius where brightness falls most steeply, by the mean profile of the rays that fit.

    Half height lies inside the edge of a rim that is rounded and so darker towards it; the steepest fall does not.
    """
    off = np.hypot(seen.x - circle.x, seen.y - circle.y) - circle.radius
    met = seen.kept(np.abs(off) < max(3 * circle.scatter, canvas.dot / 4))
    reach = max(3 * canvas.dot, 2.5 * circle.blur)
    band = np.arange(-reach, reach, canvas.dot / FINE)
    angles = np.arctan2(met.y - circle.y, met.x - circle.x)
    profile, _ = _profiles(canvas, (circle.x, circle.y), angles, circle.radius + band)
    mean = ((profile - met.ground[:, None]) / (met.rim - met.ground)[:, None]).mean(axis=0)
    fall = -np.gradient(ndimage.gaussian_filter1d(mean, FINE / 2))
    top = int(fall.argmax())
    near = slice(max(0, top - FINE), top + FINE + 1)
    bend = np.polyfit(band[near], fall[near], 2)
    if bend[0] >= 0 or not 0 < top < len(band) - 1:
        return circle
    shift = float(-bend[1] / bend[0] / 2)
    return replace(circle, radius=circle.radius + shift) if abs(shift) < reach else circle
