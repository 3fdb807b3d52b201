"""Every page that can be reached by links in the demo book answers, says what it is, and names nothing remote."""

import re
from collections.abc import Callable
from datetime import date
from html import unescape

from starlette.applications import Starlette

from ninefine.desk.demo import build_demo
from ninefine.testing import kit_in_memory
from ninefine.web.app import make_app
from ninefine.web.keys import Keys
from web.conftest import Caller
from web.sampler import AUTHORITY

MOST = 400
#: One of each of these is enough: they differ in their figures alone.
ALIKE = ("/reference/kinds/", "/book/", "/holdings/lots/", "/chart/", "/static/", "/papers/")
OF_EACH = 12


def test_every_link_leads_to_a_page(app_caller: Callable[[Starlette, Keys], Caller]) -> None:
    """Breadth first from the first page; no link is dead, and none leads off this computer."""
    kit = kit_in_memory(today=date(2026, 11, 25))
    build_demo(kit)
    keys = Keys()
    house = app_caller(make_app(lambda: kit, keys, authority=AUTHORITY), keys)
    entries = len(kit.journal.records())
    waiting, seen, alike = ["/"], {"/"}, dict.fromkeys(ALIKE, 0)

    while waiting:
        path = waiting.pop(0)
        answer = house.get(path)
        assert answer.status_code == 200, f"{path} answers {answer.status_code}"
        if not answer.headers["content-type"].startswith("text/html"):
            continue
        assert re.search(r"<title>[^<]+: ninefine</title>", answer.text), path
        assert not re.search(r'(?:src|href|action)="(?:https?:)?//', answer.text), path
        assert " style=" not in answer.text, path
        assert "onclick" not in answer.text, path
        for link in re.findall(r'(?:href|src)="(/[^"#]*)', answer.text):
            target = unescape(link)
            family = next((one for one in ALIKE if target.startswith(one)), "")
            if target in seen or (family and alike[family] >= OF_EACH):
                continue
            if family:
                alike[family] += 1
            seen.add(target)
            waiting.append(target)
        assert len(seen) < MOST, "pages without end"

    for stage in ("/offers", "/arrivals", "/sorting", "/holdings", "/exits", "/prices", "/reference", "/book"):
        assert stage in seen
    assert len(kit.journal.records()) == entries, "looking changed the book"
