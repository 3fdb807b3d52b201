"""Trials of the tray on rendered scenes: how many pieces are met, how far diameters are off, how often intervals hold.

Every scene is rendered; none says how a real scanner or a real camera does.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

import tray_scenes as scenes
from ninefine.assay.tray import Flag, Tray
from ninefine.assay.tray_reading import CARD_MM, read_tray
from ninefine.assay.tray_sheet import FRAME_ACROSS, FRAME_DOWN
from ninefine.assay.tray_sizes import usual_sizes
from ninefine.assay.tray_view import LINE_MM, SCAN_SPREAD, Asked
from ninefine.catalog.shelf import load_catalog

PAGE = (216.0, 280.0)
#: How many pieces of each size lie on a page, and on the tray sheet.
FIFTY = (scenes.DIME,) * 18 + (scenes.QUARTER,) * 20 + (scenes.HALF,) * 12
SHEETFUL = (scenes.DIME,) * 10 + (scenes.QUARTER,) * 10 + (scenes.HALF,) * 6 + (scenes.DOLLAR,) * 2
#: Parts of the pieces that touch another: apart, some, nearly all.
DENSITIES = (0.0, 0.5, 0.95)


@dataclass(frozen=True, slots=True, kw_only=True)
class Trial:
    """What came of one scene.

    Attributes:
        laid: pieces that lay there.
        told: pieces told, unsure ones with them.
        met: pieces that are told once where they lie, and measured.
        off: what each of these is off, millimetres.
        held: whether its stated 95% interval holds the truth.
    """

    laid: int
    told: int
    met: int
    off: tuple[float, ...]
    held: tuple[bool, ...]

    @property
    def counted(self) -> bool:
        """Whether the count is right and every piece was met."""
        return self.laid == self.told == self.met


def some_light(rng: np.random.Generator) -> scenes.Light:
    """Blur, noise, ground, slope and shadow as they come."""
    return scenes.Light(
        blur=float(rng.uniform(0.5, 1.6)),
        noise=float(rng.uniform(1, 8)),
        ground=float(rng.uniform(12, 45)),
        slope=float(rng.uniform(0, 0.35)),
        shadow=float(rng.uniform(0, 0.7)),
    )


def page_scan(seed: int, close: float, dpi: float = 600) -> Trial:
    """A page with fifty pieces."""
    rng = np.random.default_rng(seed)
    discs = scenes.lay(rng, FIFTY, *PAGE, close=close)
    seen = scenes.scan(rng, discs, PAGE, dpi=dpi, light=some_light(rng))
    return _trial(discs, read_tray(seen, _asked()).tray, dpi / 25.4, (PAGE[0] / 2, PAGE[1] / 2))


def small_scan(seed: int, dpi: float = 300) -> Trial:
    """Four pieces of any diameter about the usual ones, on a scanner whose scale is off as stated."""
    rng, size = np.random.default_rng(seed), (104.0, 90.0)
    across = [float(rng.choice([scenes.DIME, scenes.QUARTER, scenes.HALF]) + rng.normal(0, 0.05)) for _ in range(4)]
    discs = scenes.lay(rng, across, *size, close=float(rng.uniform(0, 0.9)))
    light = some_light(rng)
    said = dpi * (1 + float(rng.normal(0, SCAN_SPREAD)))
    seen = scenes.scan(rng, discs, size, dpi=dpi, light=light, said_dpi=said)
    return _trial(discs, read_tray(seen, _asked()).tray, dpi / 25.4, (size[0] / 2, size[1] / 2))


def sheet_photo(seed: int, *, size: tuple[int, int] = (3200, 2400), pieces: Sequence[float] = SHEETFUL) -> Trial:
    """The tray sheet, seen by a camera tilted by up to 25 degrees and turned by any angle."""
    rng = np.random.default_rng(seed)
    half = FRAME_ACROSS - LINE_MM, FRAME_DOWN - LINE_MM
    discs = scenes.lay(rng, pieces, 2 * half[0], 2 * half[1], close=float(rng.uniform(0, 0.6)))
    discs = [replace(disc, thick=disc.thick + CARD_MM) for disc in discs]
    eye = scenes.camera(rng, tilt=float(rng.uniform(0, 25)), turn=float(rng.uniform(0, 360)), size=size)
    light = replace(some_light(rng), blur=float(rng.uniform(0.6, 1.2)))
    tray = read_tray(scenes.photo(rng, discs, eye, light=light), _asked()).tray
    return _trial(discs, tray, tray.scale.dots_per_mm, half, near=3.0)


def _asked() -> Asked:
    return Asked(sizes=usual_sizes(load_catalog()))


def _trial(
    discs: Sequence[scenes.Disc], tray: Tray, dots: float, middle: tuple[float, float], near: float = 1.5
) -> Trial:
    off, held = [], []
    for disc in discs:
        here = [
            piece
            for piece in tray.pieces
            if np.hypot(piece.x / dots - middle[0] - disc.x, piece.y / dots - middle[1] - disc.y) < near
        ]
        if len(here) != 1 or Flag.UNSURE in here[0].flags:
            continue
        piece = here[0]
        assert piece.diameter is not None
        assert piece.low is not None
        assert piece.high is not None
        off.append(piece.diameter - disc.diameter)
        held.append(piece.low <= disc.diameter <= piece.high)
    return Trial(laid=len(discs), told=len(tray.pieces), met=len(off), off=tuple(off), held=tuple(held))
