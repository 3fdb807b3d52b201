"""The tray on many rendered scenes: counts, diameters, intervals; and how long a page of 35 million dots takes.

    python speed/tray.py [part of the full number, 0.1 to 1]

Scenes are rendered (tests/tray_scenes.py); the figures say nothing of a real scanner or camera. Processor time is what
the reading itself used, whatever else the machine was doing.
"""

import io
import sys
import time
from collections.abc import Callable, Iterable
from pathlib import Path

import numpy as np
from _machine import describe
from PIL import Image

sys.path.insert(0, str(Path(__file__).resolve().parent.parent / "tests"))

import tray_scenes as scenes
import tray_trials as trials
from ninefine.assay.tray_reading import read_tray
from ninefine.assay.tray_sizes import usual_sizes
from ninefine.assay.tray_view import Asked
from ninefine.catalog.shelf import load_catalog
from ninefine.desk.tray import Wanted, look
from ninefine.intake.image import read_picture

SCANS_EACH, PHOTOS, SMALL = 8, 24, 500
LARGE = (5000, 7000)
REPEATS = 3


def told(name: str, found: Iterable[trials.Trial]) -> None:
    """Print what came of trials of one kind."""
    all_of = list(found)
    off = np.concatenate([np.asarray(one.off) for one in all_of])
    held = np.concatenate([np.asarray(one.held) for one in all_of])
    laid, met = sum(one.laid for one in all_of), sum(one.met for one in all_of)
    right = sum(one.counted for one in all_of)
    extra = sum(max(0, one.told - one.laid) for one in all_of)
    print(
        f"{name:<28} scenes {len(all_of):>4}, all right {right:>4}; pieces {laid:>5}, met {met:>5} ({met / laid:.2%}), "
        f"told beside them {extra}; off {off.mean():+.3f} mm, sd {off.std():.3f}, worst {np.abs(off).max():.3f}; "
        f"95% intervals hold {held.mean():.1%}",
        flush=True,
    )


def used(work: Callable[[], object]) -> tuple[float, float]:
    """The least processor and wall time of a few runs, seconds."""
    times = []
    for _ in range(REPEATS):
        wall, processor = time.perf_counter(), time.process_time()
        work()
        times.append((time.process_time() - processor, time.perf_counter() - wall))
    return min(times)[0], min(one[1] for one in times)


def large_page() -> None:
    """Time a page of 35 million dots with fifty pieces: the reading alone, and all from the file's bytes."""
    rng = np.random.default_rng(35)
    size = (LARGE[0] / 600 * 25.4, LARGE[1] / 600 * 25.4)
    discs = scenes.lay(rng, trials.FIFTY, *size, close=0.5)
    seen = scenes.scan(rng, discs, size)
    sizes = usual_sizes(load_catalog())
    kept = io.BytesIO()
    Image.fromarray(seen.grey).save(kept, "JPEG", quality=90, dpi=(600, 600))
    data = kept.getvalue()
    print(f"a page of {seen.grey.size / 1e6:.1f} million dots, {len(discs)} pieces, JPEG of {len(data) / 1e6:.1f} MB")
    for name, work in (
        ("opening the file", lambda: read_picture(data, "page.jpg")),
        ("reading the tray", lambda: read_tray(seen, Asked(sizes=sizes))),
        ("all, with the strip cut", lambda: look(data, "page.jpg", Wanted(sizes=sizes))),
    ):
        processor, wall = used(work)
        print(f"  {name:<24} processor {processor:.2f} s, wall {wall:.2f} s", flush=True)


def main(part: float) -> None:
    print(describe())
    large_page()
    count = max(1, round(SCANS_EACH * part))
    for number, close in enumerate(trials.DENSITIES):
        found = [trials.page_scan(1000 * number + seed, close) for seed in range(count)]
        told(f"scans, 600 dpi, touching {close:.0%}", found)
    told("photos of the sheet", [trials.sheet_photo(7000 + seed) for seed in range(max(1, round(PHOTOS * part)))])
    told("small scans, 300 dpi", [trials.small_scan(40_000 + seed) for seed in range(max(1, round(SMALL * part)))])


if __name__ == "__main__":
    main(float(sys.argv[1]) if len(sys.argv) > 1 else 1.0)
