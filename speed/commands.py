"""How long whole commands take, start to exit: python speed/commands.py.

Each is run several times as a new process after a warm-up; the median is what to quote.
"""

import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from _machine import describe

RUNS = 15
NINEFINE = [sys.executable, "-m", "ninefine"]


def timed(arguments: list[str], book: Path) -> list[float]:
    """Seconds of each counted run."""
    command = [*NINEFINE, "--book", str(book), *arguments]
    times = []
    for run in range(RUNS + 1):
        start = time.perf_counter()
        subprocess.run(command, check=True, capture_output=True)
        if run:
            times.append(time.perf_counter() - start)
    return times


def main() -> None:
    print(describe())
    print(f"\n{'command':<44} {'min':>8} {'median':>8} {'max':>8}   seconds, {RUNS} runs")
    with tempfile.TemporaryDirectory() as folder:
        book = Path(folder) / "demo.ninefine"
        subprocess.run([*NINEFINE, "--book", str(book), "demo", "--build-only"], check=True, capture_output=True)
        for arguments in (
            ["quote", "49x", "--spot", "66"],
            ["look", "merc", "dime", "1921-D"],
            ["offers", str(Path(__file__).resolve().parent.parent / "examples" / "elm_hollow.toml")],
            ["holdings"],
            ["worth"],
        ):
            times = timed(arguments, book)
            shown = " ".join(["ninefine", *[Path(word).name if "/" in word else word for word in arguments]])
            print(f"{shown:<44} {min(times):8.3f} {statistics.median(times):8.3f} {max(times):8.3f}")


if __name__ == "__main__":
    main()
