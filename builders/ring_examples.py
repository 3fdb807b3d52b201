"""Make the recordings among the examples: invented strikes of two dollars and of a copper disc of their size.

Run `python builders/ring_examples.py` after changing what they should hold. They are arithmetic, not recordings of real
pieces: the plate's partials, moved as a rim and relief might move them, three strikes each, in noise.
"""

import sys
from pathlib import Path

import numpy as np
import soundfile

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT / "tests"))

from struck import Tone, recorded, ringing  # noqa: E402 - the maker of the tests' strikes

RATE = 44_100
#: Name, seed, and each partial: hertz, seconds to 1/e, height. The lowest is split in two.
PIECES = {
    "ring-dollar-a": (
        1,
        ((4602, 0.31, 1.0), (4617, 0.28, 0.6), (8126, 0.19, 0.5), (10930, 0.22, 0.6), (18760, 0.1, 0.3)),
    ),
    "ring-dollar-b": (
        2,
        ((4531, 0.29, 1.0), (4552, 0.30, 0.5), (8011, 0.21, 0.4), (10772, 0.20, 0.7), (18470, 0.1, 0.3)),
    ),
    "ring-copper": (3, ((5960, 0.36, 1.0), (5977, 0.30, 0.7), (10560, 0.25, 0.5), (14160, 0.21, 0.6))),
}


def main() -> None:
    """Write each recording as FLAC beside the other examples."""
    for name, (seed, partials) in PIECES.items():
        rng = np.random.default_rng(seed)
        strikes = []
        for _ in range(3):
            tones = [
                Tone(hz=hz, decay=decay, height=height * rng.uniform(0.7, 1.0), phase=rng.uniform(0, 6))
                for hz, decay, height in partials
            ]
            strikes.append(rng.uniform(0.6, 1.0) * ringing(tones, 0.7, rate=RATE))
        sound = recorded(strikes, over_noise=30.0, rng=rng, rate=RATE)
        path = ROOT / "examples" / f"{name}.flac"
        soundfile.write(path, sound, RATE, subtype="PCM_16")
        print(f"Wrote {path.relative_to(ROOT)}, {path.stat().st_size // 1024} kB.")


if __name__ == "__main__":
    main()
