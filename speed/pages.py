"""How long pages take on a book of 20,000 entries, served as they are to a person: python speed/pages.py.

The book is built in a temporary folder, opened as `ninefine open` opens it, and asked over loopback by a plain client.
"""

import http.client
import random
import statistics
import tempfile
import threading
import time
from collections.abc import Callable
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path

import uvicorn
from _machine import describe

from ninefine import wire
from ninefine.book.entries import Amount, Bought, BoughtLine, Entry, HeapRef, Moved, Priced, Sold, SoldLine
from ninefine.desk.kit import Kit
from ninefine.web.app import make_app
from ninefine.web.keys import Keys
from ninefine.web.serve import HOST, bind

ENTRIES = 20_000
RUNS = 30
KINDS = ("us-90", "us-dime-90", "us-quarter-90", "us-half-90", "xag-generic-round-1oz", "us-dollar-morgan")
PAGES = ("/", "/offers", "/arrivals", "/sorting", "/holdings", "/exits", "/prices", "/reference", "/book")


def entries() -> list[Entry]:
    """A long, plausible book: many purchases, some moved, some sold in part, a price now and then. Seeded."""
    chance = random.Random(1792)
    day = date(1994, 1, 3)
    made: list[Entry] = []
    lots: list[tuple[str, str, Amount]] = []
    while len(made) < ENTRIES:
        day += timedelta(days=chance.random() < 0.55)
        what = chance.random()
        if what < 0.7 or not lots:
            lot, kind = f"L{len(made) + 1}", chance.choice(KINDS)
            pieces = chance.randint(10, 200)
            amount = Amount(face=Decimal(pieces)) if kind == "us-90" else Amount(count=pieces)
            line = BoughtLine(lot=lot, kind=kind, amount=amount, price=Decimal(chance.randint(200, 9000)))
            made.append(Bought(on=day, seller="a shop", lines=(line,), place="A1"))
            lots.append((lot, kind, amount))
        elif what < 0.85:
            lot, kind, amount = lots.pop(chance.randrange(len(lots)))
            made.append(Moved(on=day, heap=HeapRef(lot=lot, kind=kind, place="A1"), to="B2"))
        elif what < 0.95:
            lot, kind, amount = lots.pop(chance.randrange(len(lots)))
            heap = HeapRef(lot=lot, kind=kind, place="A1")
            made.append(Sold(on=day, lines=(SoldLine(heap=heap, proceeds=Decimal(chance.randint(200, 9000))),)))
        else:
            made.append(Priced(on=day, per_ozt=Decimal(chance.randint(500, 6000)) / 100))
    return made


def build(folder: Path) -> tuple[Kit, float]:
    """The book in its file, and how long an entry took to be acknowledged (median, seconds)."""
    book = wire.new_book(folder / "long.ninefine", None, name="A long book", plain=True)
    times = []
    for entry in entries():
        start = time.perf_counter()
        book.append(entry)
        times.append(time.perf_counter() - start)
    book.close()
    return wire.open_kit(folder / "long.ninefine", None), statistics.median(times)


def ask(port: int, path: str, cookie: str) -> tuple[int, str, dict[str, str]]:
    """One request over loopback."""
    connection = http.client.HTTPConnection(HOST, port, timeout=30)
    connection.request("GET", path, headers={"Host": f"{HOST}:{port}", "Cookie": cookie})
    answer = connection.getresponse()
    body = answer.read().decode("utf-8")
    connection.close()
    return answer.status, body, dict(answer.getheaders())


def timed(call: Callable[[], object], runs: int) -> list[float]:
    """Seconds of each run."""
    times = []
    for _ in range(runs):
        start = time.perf_counter()
        call()
        times.append(time.perf_counter() - start)
    return times


def main() -> None:
    print(describe())
    with tempfile.TemporaryDirectory() as folder:
        kit, acknowledged = build(Path(folder))
        listening = bind(0)
        port = listening.getsockname()[1]
        keys = Keys()
        app = make_app(lambda: kit, keys, authority=f"{HOST}:{port}")
        server = uvicorn.Server(uvicorn.Config(app, log_level="warning", lifespan="off", ws="none"))
        threading.Thread(target=server.run, kwargs={"sockets": [listening]}, daemon=True).start()
        while not server.started:
            time.sleep(0.01)
        _, _, headers = ask(port, f"/?start={keys.token}", "")
        cookie = headers["set-cookie"].partition(";")[0]
        print(f"\n{ENTRIES:,} entries; one append acknowledged in {acknowledged * 1000:.2f} ms (median)")
        print(f"{'page':<12} {'first':>8} {'median':>8} {'max':>8}   milliseconds, {RUNS} runs after the first")
        for path in PAGES:
            first, *rest = timed(lambda path=path: ask(port, path, cookie), RUNS + 1)  # type: ignore[misc]
            status, _, _ = ask(port, path, cookie)
            shown = f"{path} ({status})" if status != 200 else path
            print(f"{shown:<12} {first * 1000:8.1f} {statistics.median(rest) * 1000:8.1f} {max(rest) * 1000:8.1f}")
        server.should_exit = True


if __name__ == "__main__":
    main()
