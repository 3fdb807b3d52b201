"""How fast the tally board answers a mark on a tally of 10,000 marks: python speed/board.py.

The book is a file in a temporary folder, opened as `ninefine open` opens it and asked over loopback by a plain client,
as the board's script asks: a slip at a time. Beside it stands what adding the tally up anew for every mark would take.
"""

import gc
import http.client
import json
import random
import statistics
import tempfile
import threading
import time
from pathlib import Path
from urllib.parse import urlencode

import uvicorn
from _machine import describe

from ninefine import wire
from ninefine.desk import purchase, sorting
from ninefine.desk.kit import Kit
from ninefine.sorting.tally import tally_of
from ninefine.web.app import make_app
from ninefine.web.keys import Keys
from ninefine.web.serve import HOST, bind

MARKS = 10_000
RUNS = 200
LIMIT_MS = 50
WORDS = {"dime": 1892, "quarter": 1892, "half": 1892, "dollar": 1878}


def fill(kit: Kit) -> int:
    """A tally with marks of every issue of four denominations, one in fifty taken back. Seeded."""
    chance = random.Random(1792)
    purchase.buy(kit, {"on": "2025-02-01", "kind-1": "us-90", "amount-1": "9000 face", "price-1": "200000"})
    number = sorting.begin(kit, "L1")
    catalog = kit.catalog()
    issues = [
        (issue.kind, issue.key)
        for word, first in WORDS.items()
        for year in range(first, 1971)
        for _, struck in catalog.struck_in(word, year)
        for issue in struck
    ]
    rows = [(*chance.choice(issues), 1) for _ in range(MARKS - MARKS // 50)]
    kit.tallies.mark_all(number, rows)
    for _ in range(MARKS // 50):
        kit.tallies.undo(number, chance.randint(1, len(rows)))
    return number


class Window:
    """One window of the board: sends slips over a connection that stays open."""

    def __init__(self, port: int, keys: Keys, number: int) -> None:
        self.connection = http.client.HTTPConnection(HOST, port, timeout=30)
        self.form_key = keys.form_key
        self.path = f"/sorting/tallies/{number}"
        self.headers = {"Host": f"{HOST}:{port}", "Origin": f"http://{HOST}:{port}"}
        head = self.ask("GET", f"/?start={keys.token}")[1]
        self.headers["Cookie"] = head["Set-Cookie"].partition(";")[0]
        self.seen = 0
        self.sent = 0

    def ask(self, method: str, path: str, body: str = "") -> tuple[bytes, http.client.HTTPMessage]:
        headers = {**self.headers, "Content-Type": "application/x-www-form-urlencoded"} if body else self.headers
        self.connection.request(method, path, body=body or None, headers=headers)
        answer = self.connection.getresponse()
        return answer.read(), answer.headers

    def slip(self, **fields: str) -> float:
        """Seconds from a slip to its answer."""
        self.sent += 1
        slip = {"form_key": self.form_key, "slip": f"speed.{self.sent}", "seen": str(self.seen), **fields}
        start = time.perf_counter()
        body, _ = self.ask("POST", f"{self.path}/slips", urlencode(slip))
        took = time.perf_counter() - start
        answer = json.loads(body)
        if answer["fault"]:
            raise SystemExit(answer["fault"])
        self.seen = answer["last"]
        return took


def show(what: str, times: list[float]) -> None:
    ordered = sorted(times)
    nearly_all = ordered[int(len(ordered) * 0.95)]
    print(f"{what:<44} {statistics.median(times) * 1000:8.2f} {nearly_all * 1000:8.2f} {ordered[-1] * 1000:8.2f}")


def main() -> None:
    print(describe())
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "bag.ninefine"
        wire.new_book(path, None, name="A bag", plain=True).close()
        number = fill(wire.open_kit(path, None))
        kit = wire.open_kit(path, None)
        listening = bind(0)
        port, keys = listening.getsockname()[1], Keys()
        app = make_app(lambda: kit, keys, authority=f"{HOST}:{port}")
        server = uvicorn.Server(uvicorn.Config(app, log_level="warning", lifespan="off", ws="none"))
        gc.freeze()  # as serving does
        threading.Thread(target=server.run, kwargs={"sockets": [listening]}, daemon=True).start()
        while not server.started:
            time.sleep(0.01)
        window = Window(port, keys, number)
        start = time.perf_counter()
        window.ask("GET", window.path)
        print(f"\nthe board of {MARKS:,} marks opened the first time in {(time.perf_counter() - start) * 1000:.0f} ms")
        window.seen = kit.running(number).last
        print(f"{'milliseconds, ' + str(RUNS) + ' of each':<44} {'median':>8} {'95%':>8} {'most':>8}")
        marks = [window.slip(do="mark", word="dime", text="44d") for _ in range(RUNS)]
        show("a mark, kept on the disk and answered", marks)
        show("an undo", [window.slip(do="undo", opened="0") for _ in range(RUNS)])
        every = kit.tallies.marks(number)
        anew = []
        for _ in range(10):
            start = time.perf_counter()
            tally_of(kit.tallies.marks(number))
            anew.append(time.perf_counter() - start)
        show("(adding all marks up anew, for comparison)", anew)
        if kit.running(number).now() != tally_of(every):
            raise SystemExit("the running tally is not the tally of all marks")
        worst = max(marks) * 1000
        print(f"\nevery mark under {LIMIT_MS} ms: {'yes' if worst < LIMIT_MS else f'no, one took {worst:.0f}'}")
        server.should_exit = True


if __name__ == "__main__":
    main()
