"""Picture every page of the demo book into docs/screens, at a desk's width and a phone's, light and dark.

Run `python builders/screens.py [page ...]` with a chromium on the path, and look at what it made.
"""

import shutil
import sys
import threading
import time
from datetime import date
from pathlib import Path

import uvicorn
from playwright.sync_api import sync_playwright

from ninefine.desk.demo import build_demo
from ninefine.testing import kit_in_memory
from ninefine.web.app import make_app
from ninefine.web.keys import Keys
from ninefine.web.serve import HOST, bind

FOLDER = Path(__file__).resolve().parent.parent / "docs" / "screens"
#: The day on which the demo's pages are pictured, so that the pictures only change with the pages.
DAY = date(2026, 11, 25)
TALLEST = 2400
PAGES = {
    "first": "/",
    "offers": "/offers",
    "arrivals": "/arrivals",
    "sorting": "/sorting",
    "mix": "/sorting/mix?of=L17",
    "search": "/sorting/search?what=us-dime-mercury&grade=G4&hour=12",
    "searched": "/sorting/search/paid?lot=L17&hours=4",
    "set": "/sorting/sets/one?name=the+Mercury+album",
    "sheets": "/sorting/sheets?what=merc+dime+1921-D&grade=VG8",
    "triage": "/sorting/triage",
    "piece": "/sorting/triage/piece?label=E1-1",
    "figures": "/sorting/triage/figures",
    "holdings": "/holdings",
    "lot": "/holdings/lots/L1",
    "returns": "/returns",
    "entries": "/entries",
    "given": "/entries/given",
    "swap": "/entries/swap?lot=L22",
    "exits": "/exits",
    "gains": "/gains",
    "bench": "/bench",
    "bench-piece": "/bench/piece",
    "bench-roll": "/bench/roll",
    "bench-water": "/bench/water",
    "ring": "/bench/ring",
    "tray": "/bench/tray",
    "plans": "/plans",
    "plan-buy": "/plans/buy?budget=3100",
    "plan-sell": "/plans/sell",
    "plan-what-if": "/plans/what-if",
    "plan-steady": "/plans/steady?monthly=500&ask=spot%2B3",
    "plan-divide": "/plans/divide",
    "plan-swap": "/plans/swap",
    "prices": "/prices",
    "reference": "/reference?words=merc+dime+1921-D",
    "kind": "/reference/kinds/us-five-cent-wartime",
    "mintage": "/reference/kinds/us-dime-mercury",
    "household": "/reference/kinds/household-sterling-925",
    "book": "/book",
    "bring": "/book/bring",
    "copies": "/book/copies",
    "settings": "/settings",
    "reminders": "/reminders",
    "entry": "/book/2",
}
#: Pages that are pictured with their answer: what is typed, and the button that is pressed.
PRESSED = {
    "plan-sell": ({"#sum": "5000", "#by": "10 days"}, "Make the plan"),
    "plan-divide": (
        {"#people": "Ada 1/2\nBen 1/4\nCleo 1/4", "#wishes": "Ada: L4 100\nBen: L26 50", "#most_cash": "50"},
        "Share it out",
    ),
    "plan-swap": (
        {"#amount": "100 face", "#kind": "90%", "#price": "44.83x", "#take": "gold eagle 1/10 oz", "#ask": "spot+30"},
        "Work it out",
    ),
}
FLAGS = (
    "--no-sandbox --disable-gpu --disable-quic --no-first-run --disable-background-networking "
    "--disable-component-update --disable-sync"
)


def main(*names: str) -> None:
    wanted = {name: PAGES[name] for name in names or PAGES}
    kit = kit_in_memory(today=DAY)
    build_demo(kit)
    listening, keys = bind(), Keys()
    authority = f"{HOST}:{listening.getsockname()[1]}"
    app = make_app(lambda: kit, keys, authority=authority)
    server = uvicorn.Server(uvicorn.Config(app, log_level="warning", lifespan="off", ws="none"))
    threading.Thread(target=server.run, kwargs={"sockets": [listening]}, daemon=True).start()
    while not server.started:
        time.sleep(0.02)
    FOLDER.mkdir(parents=True, exist_ok=True)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=FLAGS.split())
        for width in (1280, 360):
            for scheme in ("light", "dark"):
                context = browser.new_context(viewport={"width": width, "height": 900}, color_scheme=scheme)
                page = context.new_page()
                page.goto(f"http://{authority}/?start={keys.token}")
                for name, path in wanted.items():
                    page.goto(f"http://{authority}{path}")
                    typed, button = PRESSED.get(name, ({}, ""))
                    for field, text in typed.items():
                        page.fill(field, text)
                    if button:
                        page.click(f"button:has-text('{button}')")
                    page.wait_for_load_state("networkidle")
                    tall = min(TALLEST, page.evaluate("document.documentElement.scrollHeight"))
                    page.screenshot(
                        path=FOLDER / f"{name}-{width}-{scheme}.jpg",
                        type="jpeg",
                        quality=72,
                        full_page=True,
                        clip={"x": 0, "y": 0, "width": width, "height": tall},
                    )
                context.close()
        browser.close()
    server.should_exit = True
    print(f"Pictured {len(wanted)} pages in four dresses.")


if __name__ == "__main__":
    main(*sys.argv[1:])
