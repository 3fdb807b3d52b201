"""How long papers take, above all an inventory of 1,000 lines as a PDF: python speed/papers.py.

Each figure is of a new process, from the first import of the typesetter on (`cpu`: the seconds of it that the processor
worked, which a busy machine stretches less), and of the same process a second time.
"""

import json
import statistics
import subprocess
import sys
import time
from datetime import date
from decimal import Decimal
from pathlib import Path

from _machine import describe

from ninefine.book.entries import Amount, Bought, BoughtLine
from ninefine.desk import paper_tables, records, tables
from ninefine.desk.kit import Kit
from ninefine.desk.papers import file_of, make_paper
from ninefine.papers.as_pdf import Sheet
from ninefine.testing import kit_in_memory

LINES, PLACES, RUNS = 1000, 40, 5
TODAY = date(2026, 6, 12)
#: What is made, as what.
MADE = (
    ("inventory", "pdf"),
    ("letter", "pdf"),
    ("inventory", "xlsx"),
    ("inventory", "html"),
    ("inventory", "csv"),
    ("bag-slips", "pdf"),
    ("card", "pdf"),
)


def book() -> Kit:
    """A book with as many lines as asked: kinds of small weight, spread over places, each bought by itself."""
    kit = kit_in_memory(today=TODAY)
    kinds = [kind.slug for kind in kit.catalog().kinds if kind.gross_g and kind.fineness and kind.metal == "XAG"]
    for number in range(LINES):
        kind, place = kinds[number // PLACES % len(kinds)], f"A{number % PLACES + 1}"
        line = BoughtLine(lot=f"L{number + 1}", kind=kind, amount=Amount(count=number % 90 + 1), price=Decimal(120))
        kit.journal.append(Bought(on=date(2020, 1, 4), lines=(line,), place=place, paper=f"R-{number + 1}"))
    records.price(kit, {"per_ozt": "66", "whose": "a screen"})
    tables.set_exit(kit, {"name": "the shop", "bids": [{"what": "silver", "quote": "95% of melt"}]})
    paper_tables.set_row(kit, "ask", "silver", {"what": "silver", "quote": "4% over", "whose": "a seller"})
    return kit


def timed_here(name: str, kind: str) -> dict[str, float]:
    """Seconds of one paper in this process, new and again, with what was made."""
    kit = book()
    document = make_paper(kit, name, {})
    times, busy = [], []
    for _ in range(2):
        start, worked = time.perf_counter(), time.process_time()
        _, _, data = file_of(document, kind, Sheet.LETTER)
        times.append(time.perf_counter() - start)
        busy.append(time.process_time() - worked)
    lines = len(document.main[0].rows) if document.main else 0
    return {"cold": times[0], "cpu": busy[0], "warm": times[1], "bytes": len(data), "lines": lines}


def main() -> None:
    if len(sys.argv) > 1:
        print(json.dumps(timed_here(*sys.argv[1:3])))
        return
    print(describe())
    heads = f"{'paper':<10} {'as':<5} {'lines':>6} {'kB':>7} {'cold':>7} {'most':>7} {'cpu':>7} {'warm':>7}"
    print(f"\n{heads}   seconds, {RUNS} processes")
    for name, kind in MADE:
        runs = []
        for _ in range(RUNS):
            command = [sys.executable, str(Path(__file__).resolve()), name, kind]
            runs.append(json.loads(subprocess.run(command, capture_output=True, text=True, check=True).stdout))
        cold, cpu = [run["cold"] for run in runs], statistics.median(run["cpu"] for run in runs)
        warm = statistics.median(run["warm"] for run in runs)
        size, lines = runs[0]["bytes"] / 1000, int(runs[0]["lines"])
        seconds = " ".join(f"{one:7.2f}" for one in (statistics.median(cold), max(cold), cpu, warm))
        print(f"{name:<10} {kind:<5} {lines:>6,} {size:7.0f} {seconds}")


if __name__ == "__main__":
    main()
