"""Rendered scenes of pieces on a tray, with the truth about each: scans, and photos of the printed sheet.

Nothing here was photographed. Pieces have a raised rim with a bevel, relief under slanting light, and metal of several
greys; the picture has a lens's blur, noise, uneven light and shadows. A photo sees pieces as thick as they are.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cache

import numpy as np
import numpy.typing as npt
from PIL import Image
from scipy import ndimage

from ninefine.assay import tray_sheet
from ninefine.assay.tray_picture import Picture

Float32 = npt.NDArray[np.float32]
Matrix = npt.NDArray[np.float64]

DIME, QUARTER, HALF, DOLLAR = 17.91, 24.26, 30.61, 38.1
THICKNESS = {DIME: 1.35, QUARTER: 1.75, HALF: 2.15, DOLLAR: 2.4}
#: Brightness of metals: bright, worn, dull, toned; and a copper colour.
SILVERS = (185.0, 160.0, 135.0, 100.0)
SILVER_TINT, COPPER_TINT = (1.0, 0.99, 0.96), (1.15, 0.85, 0.62)


@dataclass(frozen=True, slots=True, kw_only=True)
class Disc:
    """A piece as it truly lies: millimetres from the scene's middle.

    Its brightness falls by `fall` over the last `bevel` millimetres of its rim.
    """

    x: float
    y: float
    diameter: float
    level: float = 160.0
    tint: tuple[float, float, float] = SILVER_TINT
    turn: float = 0.0
    thick: float = 1.75
    bevel: float = 0.15
    fall: float = 0.3


@dataclass(frozen=True, slots=True, kw_only=True)
class Light:
    """How a scene is seen: blur in dots, noise in levels, brightness of the ground, slope of the light, shadow."""

    blur: float = 0.8
    noise: float = 3.0
    ground: float = 24.0
    slope: float = 0.15
    shadow: float = 0.5


def lay(
    rng: np.random.Generator,
    diameters: Sequence[float],
    across: float,
    down: float,
    *,
    close: float = 0.0,
    gap: float = 0.8,
    toned: bool = True,
) -> list[Disc]:
    """Lay pieces apart by `gap` millimetres at least; a part `close` of them touching another."""
    laid: list[Disc] = []
    for diameter in sorted(diameters, reverse=True):
        touching = bool(laid) and rng.random() < close
        x, y = _place(rng, laid, diameter, (across / 2 - 2, down / 2 - 2), touching=touching, gap=gap)
        level = float(rng.choice(SILVERS) if toned else 160.0) * float(rng.uniform(0.92, 1.08))
        laid.append(
            Disc(
                x=x,
                y=y,
                diameter=diameter,
                level=level,
                turn=float(rng.uniform(0, 6.28)),
                thick=THICKNESS.get(diameter, 1.75),
                bevel=float(rng.uniform(0.05, 0.25)),
                fall=float(rng.uniform(0.0, 0.5)),
            )
        )
    return laid


def _place(
    rng: np.random.Generator,
    laid: Sequence[Disc],
    diameter: float,
    half: tuple[float, float],
    *,
    touching: bool,
    gap: float,
) -> tuple[float, float]:
    radius = diameter / 2
    for _ in range(20_000):
        if touching:
            by = laid[int(rng.integers(len(laid)))]
            angle, apart = rng.uniform(0, 2 * np.pi), by.diameter / 2 + radius + rng.uniform(0, 0.05)
            x, y = by.x + apart * np.cos(angle), by.y + apart * np.sin(angle)
        else:
            x, y = rng.uniform(-half[0] + radius, half[0] - radius), rng.uniform(-half[1] + radius, half[1] - radius)
        room = abs(x) <= half[0] - radius and abs(y) <= half[1] - radius
        least = -0.001 if touching else gap
        if room and all(np.hypot(x - one.x, y - one.y) - radius - one.diameter / 2 >= least for one in laid):
            return float(x), float(y)
    raise AssertionError("no room for another piece")


@cache
def _reliefs() -> tuple[Float32, ...]:
    """Patches of relief under slanting light, of unit spread."""
    rng, made = np.random.default_rng(0), []
    for _ in range(4):
        noise = ndimage.gaussian_filter(rng.standard_normal((360, 360)).astype(np.float32), 5)
        shaded = noise - np.roll(noise, (3, 3), axis=(0, 1))
        made.append(np.asarray(shaded / shaded.std(), dtype=np.float32))
    return tuple(made)


def _face(disc: Disc, dots: float, relief: Float32, x: float, y: float) -> tuple[slice, slice, Float32, Float32]:
    """A piece's brightness and cover around its place `x`, `y` in dots."""
    radius = disc.diameter / 2 * dots
    left, top = int(x - radius) - 3, int(y - radius) - 3
    size = int(2 * radius) + 8
    columns = np.arange(left, left + size, dtype=np.float32) - np.float32(x)
    rows = (np.arange(top, top + size, dtype=np.float32) - np.float32(y))[:, None]
    away = np.sqrt(columns**2 + rows**2)
    cover = np.clip(radius - away + 0.5, 0, 1)
    bevel = np.clip((away - radius) / dots / disc.bevel + 1, 0, 1)
    rim = np.clip((away / radius - 0.93) * 60, 0, 1)
    light = (columns * np.cos(disc.turn) + rows * np.sin(disc.turn)) / radius
    scaled = np.asarray(Image.fromarray(relief).resize((size, size), Image.Resampling.BILINEAR))
    field = disc.level * (0.82 + 0.12 * scaled)
    edge = disc.level * (1.1 + 0.12 * light)
    face = (field * (1 - rim) + edge * rim) * (1 - disc.fall * bevel)
    return slice(top, top + size), slice(left, left + size), face.astype(np.float32), cover.astype(np.float32)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Layers:
    """A scene flat: the ground, the pieces' faces, and where they cover it."""

    ground: Float32
    faces: Float32
    cover: Float32
    tints: Float32 | None


def _flat(
    discs: Sequence[Disc],
    size: tuple[float, float],
    dots: float,
    light: Light,
    *,
    tinted: bool,
) -> _Layers:
    width, height = round(size[0] * dots), round(size[1] * dots)
    ground = np.full((height, width), light.ground, dtype=np.float32)
    faces, cover = np.zeros_like(ground), np.zeros_like(ground)
    tints = np.ones((height, width, 3), dtype=np.float32) if tinted else None
    reliefs = _reliefs()
    for number, disc in enumerate(discs):
        x, y = (disc.x + size[0] / 2) * dots - 0.5, (disc.y + size[1] / 2) * dots - 0.5
        if light.shadow:
            moved = replace(disc, diameter=disc.diameter + 1.0)
            rows, columns, _, dark = _face(moved, dots, reliefs[0], x + 0.5 * dots, y + 0.5 * dots)
            part = ground[_cut(rows, height), _cut(columns, width)]
            part *= 1 - light.shadow * _inside(dark, rows, columns, ground.shape)
        rows, columns, face, covers = _face(disc, dots, reliefs[number % 4], x, y)
        where = _cut(rows, height), _cut(columns, width)
        covers, face = _inside(covers, rows, columns, ground.shape), _inside(face, rows, columns, ground.shape)
        faces[where] = np.where(covers > cover[where], face, faces[where])
        cover[where] = np.maximum(covers, cover[where])
        if tints is not None:
            tints[where] = np.where(covers[..., None] > 0.5, np.asarray(disc.tint, dtype=np.float32), tints[where])
    return _Layers(ground=ground, faces=faces, cover=cover, tints=tints)


def _cut(part: slice, most: int) -> slice:
    return slice(max(0, part.start), min(most, part.stop))


def _inside(patch: Float32, rows: slice, columns: slice, shape: tuple[int, ...]) -> Float32:
    top, left = max(0, -rows.start), max(0, -columns.start)
    return patch[
        top : top + min(shape[0], rows.stop) - max(0, rows.start),
        left : left + min(shape[1], columns.stop) - max(0, columns.start),
    ]


def _seen(rng: np.random.Generator, scene: Float32, light: Light) -> Float32:
    """A scene through a lens: slope of light, blur, noise."""
    height, width = scene.shape
    angle = rng.uniform(0, 2 * np.pi)
    down, across = (
        np.linspace(-0.5, 0.5, height, dtype=np.float32)[:, None],
        np.linspace(-0.5, 0.5, width, dtype=np.float32),
    )
    lit = 1 + np.float32(light.slope) * (across * np.float32(np.cos(angle)) + down * np.float32(np.sin(angle)))
    scene = scene * lit
    if light.blur:
        scene = ndimage.gaussian_filter(scene, light.blur, truncate=3)
    if light.noise:
        scene += light.noise * rng.standard_normal(scene.shape, dtype=np.float32)
    return scene


def _bytes(scene: Float32) -> npt.NDArray[np.uint8]:
    return np.asarray(np.clip(scene + 0.5, 0, 255), dtype=np.uint8)


def scan(
    rng: np.random.Generator,
    discs: Sequence[Disc],
    size: tuple[float, float],
    *,
    dpi: float = 600,
    light: Light | None = None,
    tinted: bool = False,
    said_dpi: float | None = None,
) -> Picture:
    """A flatbed scan of a scene `size` millimetres wide and high. The file says `said_dpi`, the truth is `dpi`."""
    light = light or Light()
    dots = dpi / 25.4
    flat = _flat(discs, size, dots, light, tinted=tinted)
    scene = _seen(rng, flat.ground * (1 - flat.cover) + flat.faces * flat.cover, light)
    colour = None if flat.tints is None else _bytes(scene[..., None] * flat.tints)
    said = (said_dpi or dpi) / 25.4
    return Picture(grey=_bytes(scene), colour=colour, dots_per_mm=(said, said))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Camera:
    """A pinhole camera over the sheet: 3 x 4, from millimetres (z up from the sheet) to dots."""

    matrix: Matrix
    size: tuple[int, int]
    focal_35: float

    def plane(self, height: float) -> Matrix:
        """From millimetres in a plane at a height above the sheet to dots."""
        return np.column_stack([self.matrix[:, 0], self.matrix[:, 1], self.matrix[:, 3] + height * self.matrix[:, 2]])


def camera(
    rng: np.random.Generator, *, tilt: float, turn: float, size: tuple[int, int] = (4032, 3024), focal_35: float = 26.0
) -> Camera:
    """A camera that sees the whole sheet, tilted by `tilt` and turned by `turn` degrees."""
    width, height = size
    focal = focal_35 * float(np.hypot(width, height)) / 43.27
    lean, spin = np.radians(tilt), np.radians(turn)
    towards = rng.uniform(0, 2 * np.pi)
    axis = np.array([np.cos(towards), np.sin(towards), 0])
    cross = np.array([[0, -axis[2], axis[1]], [axis[2], 0, -axis[0]], [-axis[1], axis[0], 0]])
    leaning = np.eye(3) + np.sin(lean) * cross + (1 - np.cos(lean)) * cross @ cross
    spinning = np.array([[np.cos(spin), -np.sin(spin), 0], [np.sin(spin), np.cos(spin), 0], [0, 0, 1.0]])
    # the sheet's y runs down and its z, here, away from the camera; heights above the sheet are therefore negative z
    turned = leaning @ spinning
    reach = abs(np.cos(spin)) * np.array([108, 140]) + abs(np.sin(spin)) * np.array([140, 108])
    far = 1.1 * max(focal * reach[0] / (width / 2), focal * reach[1] / (height / 2)) + 0.35 * np.sin(lean) * 300
    inner = np.array([[focal, 0, width / 2 - 0.5], [0, focal, height / 2 - 0.5], [0, 0, 1]])
    matrix = inner @ np.column_stack([turned[:, 0], turned[:, 1], -turned[:, 2], [0, 0, far]])
    return Camera(matrix=matrix, size=size, focal_35=focal_35)


def sheet_ground(light: Light, dots: float, size: tuple[float, float], *, paper: float = 205.0) -> Float32:
    """The printed sheet with its marks, and black card in its frame; edges as a lens would soften them."""
    across = (np.arange(round(size[0] * dots), dtype=np.float32) + 0.5) / np.float32(dots) - np.float32(size[0] / 2)
    down = (np.arange(round(size[1] * dots), dtype=np.float32)[:, None] + 0.5) / np.float32(dots) - np.float32(
        size[1] / 2
    )

    def within(signed: Float32) -> Float32:
        return np.asarray(np.clip(signed * np.float32(dots) + 0.5, 0, 1), dtype=np.float32)

    card = within(tray_sheet.FRAME_ACROSS - np.abs(across)) * within(tray_sheet.FRAME_DOWN - np.abs(down))
    ground = np.float32(paper) * (1 - card) + np.float32(light.ground) * card
    for mark in tray_sheet.MARKS:
        columns, rows = np.abs(across - mark.x) < 9, np.abs(down[:, 0] - mark.y) < 9
        away = np.hypot(across[columns] - mark.x, down[rows] - mark.y)
        black = within(tray_sheet.MARK_RADIUS - away) - within(tray_sheet.HOLE_RADIUS - away)
        if not mark.open:
            black += within(tray_sheet.DOT_RADIUS - away)
        ground[np.ix_(rows, columns)] = paper + (30.0 - paper) * black
    return ground


def photo(
    rng: np.random.Generator, discs: Sequence[Disc], eye: Camera, *, light: Light | None = None, thick: bool = True
) -> Picture:
    """A photo of the sheet with pieces on it."""
    light = light or Light(blur=0.9)
    dots, size = 12.0, (216.0, 280.0)
    flat = _flat(discs, size, dots, replace(light, ground=1.0), tinted=False)
    sheet = sheet_ground(light, dots, size) * flat.ground
    scene = _warped(sheet, eye, 0.0, dots, size, outside=90.0)
    groups = sorted({disc.thick for disc in discs}) if thick else [0.0]
    for thickness in groups:
        only = [disc for disc in discs if not thick or disc.thick == thickness]
        layer = _flat(only, size, dots, replace(light, shadow=0.0), tinted=False)
        for part in (0.0, 0.5) if thick else ():
            wall = _warped(layer.cover, eye, thickness * part, dots, size)
            scene = scene * (1 - wall) + 70.0 * wall
        cover = _warped(layer.cover, eye, thickness, dots, size)
        face = _warped(layer.faces * layer.cover, eye, thickness, dots, size)
        scene = scene * (1 - cover) + face
    return Picture(grey=_bytes(_seen(rng, scene, light)), focal_35=eye.focal_35)


def _warped(
    layer: Float32, eye: Camera, height: float, dots: float, size: tuple[float, float], *, outside: float = 0.0
) -> Float32:
    to_layer = np.array([[dots, 0, dots * size[0] / 2], [0, dots, dots * size[1] / 2], [0, 0, 1]])
    to_layer[:2, 2] -= 0.5
    back = to_layer @ np.linalg.inv(eye.plane(height))
    half = np.array([[1, 0, 0.5], [0, 1, 0.5], [0, 0, 1]])
    back = half @ back @ np.linalg.inv(half)
    back /= back[2, 2]
    image = Image.fromarray(layer)
    warped = image.transform(
        eye.size, Image.Transform.PERSPECTIVE, tuple(back.ravel()[:8]), Image.Resampling.BILINEAR, fillcolor=outside
    )
    return np.asarray(warped, dtype=np.float32)
