"""The tally board in a real browser: hands on keys, a thumb on glass, windows side by side, lids that close."""

import random
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, Request, Route, expect

from browser.conftest import Opener, Served
from browser.stages import Axe, Serve, opened, serve_book, stands_well
from ninefine import wire
from ninefine.catalog.kinds import Form, Issue
from ninefine.catalog.shelf import load_catalog
from ninefine.desk import purchase, sorting
from ninefine.desk.kit import Kit
from ninefine.testing import kit_in_memory
from ninefine.web.pages.sorting_keys import TRAY

pytestmark = pytest.mark.browser

CATALOG = load_catalog()
COINS = 200

#: That no slip of any window is still on its way.
_NOTHING_WAITS = """() => Object.keys(localStorage)
    .filter(key => /^ninefine tally [0-9a-f]/.test(key))
    .every(key => JSON.parse(localStorage[key]).slips.length === 0)"""
#: Writes down every tone and every word instead of sounding the words.
_LISTEN = """() => {
    window.heard = [];
    const start = OscillatorNode.prototype.start;
    OscillatorNode.prototype.start = function (at) { heard.push(this.frequency.value); return start.call(this, at); };
    speechSynthesis.speak = said => heard.push(said.text);
}"""

#: Kind and issue -> how many.
Told = Counter[tuple[str, str]]


@dataclass(frozen=True, slots=True)
class Said:
    """A coin of a list: the keys that say it, and what it is."""

    keys: tuple[str, ...]
    kind: str
    issue: str


def fill(kit: Kit) -> Kit:
    for what, amount in (("us-90", "500 face"), ("us-dime-90", "5000 pieces")):
        purchase.buy(kit, {"on": "2025-02-01", "kind-1": what, "amount-1": amount, "price-1": "9000", "place": "A1"})
    return kit


@pytest.fixture(scope="module")
def kit() -> Kit:
    return fill(kit_in_memory())


@pytest.fixture(scope="module")
def house(serve: Serve, kit: Kit) -> Served:
    return serve_book(serve, kit)


@pytest.fixture
def number(kit: Kit) -> int:
    return sorting.begin(kit, "L1")


@pytest.fixture
def context(browser: Browser) -> Iterator[BrowserContext]:
    """A browser of a person's own, whose network may fail."""
    made = browser.new_context(viewport={"width": 1280, "height": 900})
    yield made
    made.close()


def board(page: Page, *, mixed: bool = False) -> Page:
    """The page, once its script stands; keys of the grid on or off."""
    page.wait_for_selector("#board[data-ready]")
    page.set_checked("#mode-mixed", mixed)
    page.focus("#coin")
    return page


def let_in(context: BrowserContext, served: Served, number: int, *, mixed: bool = False) -> Page:
    context.request.get(served.way_in)
    page = context.new_page()
    page.goto(f"{served.address}/sorting/tallies/{number}")
    return board(page, mixed=mixed)


def type_in(page: Page, *keys: str) -> None:
    for key in keys:
        page.keyboard.press(key)


def told(kit: Kit, number: int) -> Told:
    return Counter({(row.kind, row.issue): row.count for row in sorting.board(kit, number).tally.rows})


def settled(page: Page, pieces: int) -> None:
    """Wait until everything typed is kept and the board says so."""
    words = f"{pieces} pieces told" if pieces != 1 else "1 piece told"
    expect(page.locator("#tally-answer")).to_contain_text(words, timeout=20_000)
    page.wait_for_function(_NOTHING_WAITS)


def lone_issues(word: str) -> list[Issue]:
    """Silver issues of a denomination that their two digits and mint alone tell, proofs and varieties left out."""
    found = []
    first = 1878 if word == "dollar" else 1892
    for year in range(first, 1971):
        struck = CATALOG.struck_in(word, year)
        for kind, issues in struck:
            for issue in issues:
                rivals = [one for _, others in struck for one in others if one.mint == issue.mint]
                silver = kind.form is not Form.NO_SILVER and kind.slug in CATALOG.issues_of
                if silver and len(rivals) == 1 and not issue.proof_only:
                    found.append(issue)
    return found


def mixed_list() -> list[Said]:
    """Two hundred coins of all denominations in no order, each by two digits and one key of the grid. Seeded."""
    chance = random.Random(1792)
    keys = {(word, cell.mint): cell.key for word, row in TRAY.items() for cell in row}
    issues = [(word, issue) for word in TRAY for issue in lone_issues(word) if (word, issue.mint) in keys]
    coins = []
    for word, issue in chance.choices(issues, k=COINS - 8):
        date = str(issue.year)[2:]
        coins.append(Said((*date, keys[word, issue.mint]), issue.kind, issue.key))
    coins += [Said(("n", keys["dime", "P"]), "us-dime-clad", ""), Said(("-", keys["half", "D"]), "us-half-90", "")] * 4
    chance.shuffle(coins)
    return coins


def dime_list() -> list[Said]:
    """Two hundred dimes: two digits and a letter; Philadelphia's end where the next coin begins. Seeded."""
    chance = random.Random(1837)
    coins = []
    for issue in chance.choices(lone_issues("dime"), k=COINS - 1):
        letter = "" if issue.mint == "P" else issue.mint.lower()
        coins.append(Said((*str(issue.year)[2:], *letter), issue.kind, issue.key))
    return [*coins, Said(("-",), "us-dime-90", "")]


def expected(coins: Sequence[Said]) -> Told:
    return Counter((coin.kind, coin.issue) for coin in coins)


@pytest.mark.parametrize("mixed", [True, False], ids=["a mixed heap", "one kind"])
def test_two_hundred_coins_at_three_keys_each_make_the_list(
    house: Served, kit: Kit, number: int, open_page: Opener, *, mixed: bool
) -> None:
    """As fast as keys can be pressed, far ahead of the answers; in one sitting, with nothing but keys."""
    coins = mixed_list() if mixed else dime_list()
    page = board(open_page(house, f"/sorting/tallies/{number}"), mixed=mixed)
    for coin in coins:
        assert len(coin.keys) <= 3
        type_in(page, *coin.keys)
    settled(page, COINS)

    assert len(coins) == COINS
    assert told(kit, number) == expected(coins)
    assert page.inner_text("#refused") == ""
    cells = page.locator(".grid tbody td b").all_inner_texts()
    assert sum(int(cell) for cell in cells) == COINS


@pytest.mark.parametrize(
    ("typed", "rows"),
    [
        ("6 4 d", {("us-dime-roosevelt-silver", "1964-D"): 1}),
        ("6 4 Enter", {("us-dime-roosevelt-silver", "1964-P"): 1}),
        ("6 4 d Space Space", {("us-dime-roosevelt-silver", "1964-D"): 3}),
        ("6 4 d x 2 0 Enter", {("us-dime-roosevelt-silver", "1964-D"): 20}),
        ("6 4 d Space x 2 0 Enter", {("us-dime-roosevelt-silver", "1964-D"): 20}),
        ("6 4 x 2 0 Enter Space", {("us-dime-roosevelt-silver", "1964-P"): 21}),
        ("6 4 q 6 4 d", {("us-dime-roosevelt-silver", "1964-P"): 1, ("us-quarter-washington-silver", "1964-D"): 1}),
        ("b 8 9 c c 8 9 s", {("us-dollar-morgan", "1889-CC"): 1, ("us-dollar-morgan", "1889-S"): 1}),
        ("f 4 2 p 4 3 s", {("us-five-cent-wartime", "1942-P"): 1, ("us-five-cent-wartime", "1943-S"): 1}),
        ("6 5 Backspace 4 d", {("us-dime-roosevelt-silver", "1964-D"): 1}),
        ("6 4 d 6 3 d Backspace", {("us-dime-roosevelt-silver", "1964-D"): 1}),
        ("6 4 d 6 3 d Control+z Control+z 6 2 d", {("us-dime-roosevelt-silver", "1962-D"): 1}),
        ("4 2 v", {("us-dime-mercury", "1942-P:2 over 1"): 1}),
        ("4 2 d v", {("us-dime-mercury", "1942-D:2 over 1"): 1}),
        ("4 2 x 3 Enter v", {("us-dime-mercury", "1942-P:2 over 1"): 3}),
        ("1 6 s / b a r b Enter", {("us-dime-barber", "1916-S"): 1}),
        ("1 6 s / b a r b Enter Space", {("us-dime-barber", "1916-S"): 2}),
        ("n - n", {("us-dime-clad", ""): 2, ("us-dime-90", ""): 1}),
        ("6 4 n", {("us-dime-roosevelt-silver", "1964-P"): 1, ("us-dime-clad", ""): 1}),
        ("y 1 8 8 9 s", {("us-dime-seated-1873-1891", "1889-S"): 1}),
        ("6 4 s 6 4 d Backspace Backspace", {}),
        ("6 4 Escape 6 3 d", {("us-dime-roosevelt-silver", "1963-D"): 1}),
    ],
)
def test_keys_say_what_the_legend_says(
    house: Served, kit: Kit, number: int, open_page: Opener, typed: str, rows: dict[tuple[str, str], int]
) -> None:
    page = board(open_page(house, f"/sorting/tallies/{number}"))
    page.check("input[value=dime]", force=True)
    type_in(page, *typed.split())
    page.wait_for_timeout(50)
    if rows:
        settled(page, sum(rows.values()))
    else:
        expect(page.locator("#refused")).to_contain_text("64s")
        page.wait_for_timeout(300)

    assert told(kit, number) == Counter(rows)


def test_a_wrong_combination_is_flagged_in_words_and_a_find_says_what_to_check(
    house: Served, kit: Kit, number: int, open_page: Opener
) -> None:
    """No Denver half dollar of 1955 was struck (encyclopaedia table); 1916-D dimes are faked (common practice)."""
    page = board(open_page(house, f"/sorting/tallies/{number}"))
    type_in(page, *"h55d")
    expect(page.locator("#refused")).to_contain_text("Not marked: 55d (half). No Denver half dollar was struck in 1955")
    type_in(page, *"t16d")
    expect(page.locator("#tally-told")).to_contain_text("Before you believe it")
    expect(page.locator("#tally-told")).to_contain_text("left of the foot of the fasces")
    expect(page.locator("#tally-finds")).to_contain_text("1916-D")
    type_in(page, "Escape", "n")
    expect(page.locator("#tally-told")).to_contain_text("base metal, no silver")

    assert page.inner_text("#refused") == ""
    assert sum(told(kit, number).values()) == 2


def test_a_refused_coin_is_neither_repeated_nor_put_right(
    house: Served, kit: Kit, number: int, open_page: Opener
) -> None:
    """Once its refusal is read, the coin before it is the last again; so is a coin whose variety was refused."""
    page = board(open_page(house, f"/sorting/tallies/{number}"))
    type_in(page, *"t64d64s")
    expect(page.locator("#refused")).to_contain_text("64s")
    type_in(page, "Escape", "Space", "v")
    expect(page.locator("#refused")).to_contain_text("no such variety")
    type_in(page, "Space")
    settled(page, 3)

    assert told(kit, number) == Counter({("us-dime-roosevelt-silver", "1964-D"): 3})


def test_the_second_c_of_carson_city_is_no_stray_key(house: Served, number: int, open_page: Opener) -> None:
    page = board(open_page(house, f"/sorting/tallies/{number}"))
    type_in(page, *"b89cc")
    settled(page, 1)
    assert "look" not in (page.get_attribute("#coin-hint", "class") or "")

    type_in(page, "c")
    expect(page.locator("#coin-hint")).to_contain_text("begins with two digits")


def test_what_else_a_coin_may_be_is_put_right_by_a_press(
    house: Served, kit: Kit, number: int, open_page: Opener
) -> None:
    page = board(open_page(house, f"/sorting/tallies/{number}"))
    page.check("input[value=dime]", force=True)
    type_in(page, *"42d")
    page.click(".other >> text=It is")
    expect(page.locator("#tally-told")).to_contain_text("2 over 1")
    type_in(page, "Space")
    settled(page, 2)

    assert told(kit, number) == Counter({("us-dime-mercury", "1942-D:2 over 1"): 2})


@pytest.fixture
def on_disk(tmp_path: Path) -> Kit:
    """A book in its file, as the program opens it."""
    wire.new_book(tmp_path / "bag.ninefine", None, name="A bag", plain=True).close()
    return fill(wire.open_kit(tmp_path / "bag.ninefine", None))


def test_a_page_killed_in_the_middle_and_reopened_misses_nothing(
    serve: Serve, on_disk: Kit, tmp_path: Path, browser: Browser
) -> None:
    """The whole browser is gone after half of the list; what was told stands in the file and on the new page."""
    served = serve_book(serve, on_disk)
    number = sorting.begin(on_disk, "L1")
    coins = mixed_list()
    for part in (coins[:90], coins[90:]):
        person = browser.new_context()
        page = let_in(person, served, number, mixed=True)
        before = sum(told(on_disk, number).values())
        for coin in part:
            type_in(page, *coin.keys)
        settled(page, before + len(part))
        type_in(page, "6", "4")  # half a coin is no coin
        person.close()

    again = wire.open_kit(tmp_path / "bag.ninefine", None)
    assert told(again, number) == expected(coins)
    assert again.running(number).last == COINS


def test_marks_that_the_book_had_not_taken_are_sent_by_the_next_page(
    house: Served, kit: Kit, number: int, context: BrowserContext
) -> None:
    """The network is gone after twenty coins, the page is closed after sixty: none is lost and none counts twice."""
    coins = mixed_list()[:60]
    page = let_in(context, house, number, mixed=True)
    for coin in coins[:20]:
        type_in(page, *coin.keys)
    context.set_offline(True)
    for coin in coins[20:]:
        type_in(page, *coin.keys)
    expect(page.locator("#waiting")).to_contain_text("ninefine does not answer")
    kept = sum(told(kit, number).values())
    page.close()
    context.set_offline(False)
    page = let_in(context, house, number, mixed=True)
    settled(page, len(coins))

    assert 1 <= kept < len(coins)
    assert told(kit, number) == expected(coins)


def test_a_lost_answer_neither_loses_nor_doubles_a_coin(
    house: Served, kit: Kit, number: int, context: BrowserContext
) -> None:
    """Every third slip reaches the book, and its answer never comes back."""
    seen: list[Request] = []

    def lose_some(route: Route) -> None:
        seen.append(route.request)
        if len(seen) % 3 == 0:
            route.fetch()
            route.abort()
        else:
            route.continue_()

    coins = mixed_list()[:12]
    page = let_in(context, house, number, mixed=True)
    page.route("**/slips", lose_some)
    for coin in coins:
        type_in(page, *coin.keys)
    settled(page, len(coins))

    assert len(seen) > len(coins)
    assert told(kit, number) == expected(coins)


def test_a_program_started_anew_takes_what_waited(
    serve: Serve, on_disk: Kit, tmp_path: Path, context: BrowserContext
) -> None:
    """Another run has other keys: the old page says so and keeps its coins; a page opened anew brings them home."""
    served = serve_book(serve, on_disk)
    number = sorting.begin(on_disk, "L1")
    page = let_in(context, served, number)
    page.evaluate("document.querySelector('#mark [name=form_key]').value")
    page.route("**/slips", lambda route: route.fulfill(status=403, body="closed"))
    type_in(page, *"t64d64d")
    expect(page.locator("#waiting")).to_contain_text("started anew")
    page.close()
    page = let_in(context, served, number)
    settled(page, 2)

    assert told(wire.open_kit(tmp_path / "bag.ninefine", None), number) == Counter(
        {("us-dime-roosevelt-silver", "1964-D"): 2}
    )


def test_two_windows_on_one_bag_merge(house: Served, kit: Kit, number: int, open_page: Opener) -> None:
    """Each sees what the other marks; undo takes back one's own; nothing is lost."""
    left = board(open_page(house, f"/sorting/tallies/{number}"))
    right = board(open_page(house, f"/sorting/tallies/{number}"))
    coins = dime_list()
    for window, part in ((left, coins[:40]), (right, coins[40:80])):
        window.check("input[value=dime]", force=True)
        window.focus("#coin")
        for coin in part:
            type_in(window, *coin.keys)
        type_in(window, "Enter")
    for window in (left, right):
        settled(window, 80)
        expect(window.locator("#tally-answer")).to_contain_text("80 pieces told")
    assert "another window" in left.inner_text("#tally-latest")
    assert told(kit, number) == expected(coins[:80])

    type_in(left, "Backspace")
    for window in (left, right):
        expect(window.locator("#tally-answer")).to_contain_text("79 pieces told")
    assert told(kit, number) == expected([*coins[:39], *coins[40:80]])

    sorting.put_aside(kit, number)
    expect(right.locator("#coin-hint")).to_contain_text("ended in another window", timeout=10_000)


def test_undo_goes_back_over_a_reload_to_the_first_coin(
    house: Served, kit: Kit, number: int, open_page: Opener
) -> None:
    page = board(open_page(house, f"/sorting/tallies/{number}"))
    type_in(page, *"t64d63d62d")
    settled(page, 3)
    page.reload()
    board(page)
    type_in(page, *"61d")
    settled(page, 4)
    type_in(page, *["Backspace"] * 6)
    expect(page.locator("#tally-answer")).to_contain_text("Nothing has been told yet")

    assert told(kit, number) == Counter()
    assert kit.running(number).last == 8


def test_a_thumb_marks_with_targets_that_it_can_reach(house: Served, kit: Kit, number: int, open_page: Opener) -> None:
    """Every target is at least 44 pixels either way (WCAG 2.2, 2.5.5) and stands in the lower part of the screen."""
    page = open_page(house, f"/sorting/tallies/{number}", width=360, has_touch=True, is_mobile=True)
    page.wait_for_selector("#board[data-ready]")

    def tap(*names: str) -> None:
        for row, name in zip(("words", "decades", "digits", "mints"), names, strict=True):
            if name:
                page.tap(f".{row} button[data-name='{name}']")

    tap("dime", "192", "1", "D")
    expect(page.locator(".pad .told")).to_contain_text("semi-key. Before you believe it.")
    tap("", "", "6", "S")
    page.tap(".more button[data-name=again]")
    tap("quarter", "195", "0", "P")
    page.tap(".more button[data-name='-']")
    page.tap(".more button[data-name=undo]")
    expect(page.locator(".pad .told")).to_contain_text("Taken back")

    assert told(kit, number) == Counter(
        {
            ("us-dime-mercury", "1921-D"): 1,
            ("us-dime-mercury", "1926-S"): 2,
            ("us-quarter-washington-silver", "1950-P"): 1,
        }
    )
    boxes = page.evaluate("[...document.querySelectorAll('.pad button')].map(one => one.getBoundingClientRect())")
    assert min(min(box["width"], box["height"]) for box in boxes) >= 44
    assert min(box["top"] for box in boxes) > 300
    assert max(box["bottom"] for box in boxes) <= 900
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    assert page.evaluate("document.activeElement.id") != "coin"


def test_a_keyboard_on_glass_writes_coins_too(house: Served, kit: Kit, number: int, open_page: Opener) -> None:
    """Such a keyboard sends text without keys."""
    page = board(open_page(house, f"/sorting/tallies/{number}"))
    page.check("input[value=dime]", force=True)
    page.focus("#coin")
    page.keyboard.insert_text("64d63")
    page.keyboard.insert_text("s")
    page.keyboard.insert_text("21d")
    settled(page, 2)

    assert told(kit, number) == Counter({("us-dime-roosevelt-silver", "1964-D"): 1, ("us-dime-mercury", "1921-D"): 1})


def test_sound_is_off_until_it_is_asked_for(house: Served, number: int, open_page: Opener) -> None:
    page = board(open_page(house, f"/sorting/tallies/{number}"))
    page.evaluate(_LISTEN)
    page.check("input[value=dime]", force=True)
    type_in(page, *"64d")
    settled(page, 1)
    assert page.evaluate("heard") == []

    page.check("#mode-tone")
    page.check("#mode-spoken")
    page.evaluate("heard.length = 0")
    type_in(page, *"21d")
    settled(page, 2)
    assert page.evaluate("heard.at(-1)") == "21 D, semi-key"
    assert page.evaluate("heard.length") == 4


def test_without_scripts_a_coin_is_a_form(house: Served, kit: Kit, number: int, open_page: Opener) -> None:
    page = opened(open_page, house, f"/sorting/tallies/{number}", scripts=False)
    page.check("input[value=half]", force=True)
    page.fill("#coin", "64x3")
    page.press("#coin", "Enter")
    page.fill("#coin", "55d")
    page.click("text=Mark >> nth=0")
    assert "No Denver half dollar was struck in 1955" in page.inner_text("#coin-fault")
    assert page.input_value("#coin") == "55d"
    page.fill("#coin", "55")
    page.press("#coin", "Enter")
    page.click("text=The same again")
    page.click("text=Undo")

    assert "4 pieces told, 2.00 face" in page.inner_text("#tally-answer")
    assert page.is_checked("input[value=half]")
    page.fill("#note", "by candle")
    page.click("text=Book the sorting")
    assert "was booked. Sorted" in page.inner_text(".said")
    assert told(kit, number) == Counter({("us-half-kennedy-90", "1964-P"): 3, ("us-half-franklin", "1955-P"): 1})


def test_a_heap_is_sorted_at_once_from_the_stage(serve: Serve, open_page: Opener) -> None:
    house = serve_book(serve, fill(kit_in_memory()))
    page = open_page(house, "/sorting")
    page.click("text=90% silver coin, mixed dimes, quarters and halves")
    page.fill("#kind-1", "dimes")
    page.fill("#amount-1", "200 face")
    page.fill("#kind-2", "quarters")
    page.fill("#amount-2", "300 face")
    page.click("text=Book the sorting")

    assert "Entry 3 was booked. Sorted" in page.inner_text(".said")


@pytest.mark.parametrize(
    "path", ["/sorting", "/sorting/heap?heap=L1", "/sorting/tallies/{number}", "/sorting/tallies/{number}/paste"]
)
def test_the_pages_are_open_to_everyone_and_fit(
    house: Served, kit: Kit, number: int, open_page: Opener, axe: Axe, path: str
) -> None:
    """No violation of WCAG 2.2 AA that the engine can see, at either width, on paper and on slate."""
    for word, text in (("dime", "16d"), ("dime", "16"), ("quarter", "n"), ("half", "64x20"), ("dime", "42")):
        sorting.mark(kit, number, word, text)
    page = open_page(house, path.format(number=number))
    if path.endswith("{number}"):
        board(page)
        type_in(page, *"h55d", *"t42")
        type_in(page, "Enter")
        expect(page.locator("#tally-told")).to_contain_text("2 over 1")
        page.check("#mode-mixed")
        page.check("#mode-thumb")

    assert stands_well(page, axe) == []
