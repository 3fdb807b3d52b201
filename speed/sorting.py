"""How long it takes to read a bag's mix, by its size and its series, and what the parts of that take.

    python speed/sorting.py [pieces ...]

The bags are drawn at random from the mintage of their series.
"""

import random
import resource
import sys
import time
from collections import Counter
from collections.abc import Callable
from functools import partial

from _machine import describe

from ninefine.catalog.shelf import load_catalog
from ninefine.sorting.expected import Expected, expected_mix
from ninefine.sorting.gauge import DRAWS, drawn, listed
from ninefine.sorting.reading import Yardstick, read_mix
from ninefine.sorting.tally import Row

SIZES = (50, 500, 10_000)
HEAPS = ("us-dime-roosevelt-silver", "dimes", "quarters", "halves", "dollars")
REPEATS = 5


def bag(mix: Expected, pieces: int) -> list[Row]:
    """A bag drawn fairly."""
    shares = [float(row.share) for row in mix.shares]
    counts = Counter(random.Random(pieces).choices([row.cell for row in mix.shares], weights=shares, k=pieces))
    return [Row(kind=kind, issue=issue, count=count) for (kind, issue), count in counts.items()]


def best(work: Callable[[], object]) -> float:
    """The shortest of a few runs, milliseconds of the wall clock."""
    times = []
    for _ in range(REPEATS):
        started = time.perf_counter()
        work()
        times.append(time.perf_counter() - started)
    return min(times) * 1000


def main(sizes: tuple[int, ...]) -> None:
    print(describe())
    catalog = load_catalog()
    started = time.perf_counter()
    read_mix(expected_mix(catalog, HEAPS[0]), [], draws=100)
    listed((1, 2), (0.5, 0.5))
    print(f"the first chance, libraries and all: {(time.perf_counter() - started) * 1000:,.0f} ms")
    print(f"{'heap':<26} {'cells':>6} {'pieces':>8} {'expected':>9} {'yardstick':>10} {'whole':>8}  ms")
    for heap in HEAPS:
        mix = expected_mix(catalog, heap)
        reckoned = best(partial(expected_mix, catalog, heap))
        for size in sizes:
            drawing, whole = best(partial(Yardstick, mix, size)), best(partial(read_mix, mix, bag(mix, size)))
            line = f"{heap:<26} {len(mix.shares):>6} {size:>8,} {reckoned:>9.1f} {drawing:>10.1f} {whole:>8.1f}"
            print(line, flush=True)
    print(
        f"the yardstick draws {DRAWS:,} fair bags; expected, yardstick and whole in milliseconds, the best of {REPEATS}"
    )
    print(f"listing 45,451 outcomes {best(lambda: listed((150, 100, 50), (0.5, 0.3, 0.2))):.1f} ms")
    print(f"drawing 20,000 bags of 12 cells {best(lambda: drawn((4,) * 12, (1,) * 12, draws=20_000)):.1f} ms")
    print(f"largest memory {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:,.0f} MB")


if __name__ == "__main__":
    main(tuple(int(size) for size in sys.argv[1:]) or SIZES)
