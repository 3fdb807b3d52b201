"""Papers of two invented households: the demo's, with all that papers rest on, and Harbor Lane's after its sale."""

from datetime import date
from typing import Any

import pytest

from ninefine.desk import paper_tables, papers, purchase, records, sale, tables
from ninefine.desk.demo import build_demo
from ninefine.desk.kit import Kit
from ninefine.papers.document import Document
from ninefine.testing import kit_in_memory

DEMO_DAY = date(2026, 11, 25)
SALE_DAY = date(2026, 6, 12)

#: What the demo household's papers rest on: table, name of the row, fields.
RESTS_ON: list[tuple[str, str, dict[str, str]]] = [
    ("ask", "90 at the counter", {"what": "90", "quote": "42.10x", "whose": "Linden Street counter"}),
    ("ask", "rounds", {"what": "ozt", "quote": "spot+4.25", "whose": "Saltbox Post", "on": "2026-11-20"}),
    ("ask", "spoons", {"what": "household", "quote": "85% of melt", "whose": "an auction room"}),
    ("place", "A1", {"where": "left drawer of the desk", "limit": "12 kg"}),
    ("place", "A3", {"where": "grey box behind the preserves", "limit": "5 lb"}),
    ("person", "Ada Fennimore", {"about": "what to sell, and where", "reach": "through the club"}),
    ("review", "the insurance", {"on": "2027-01-15", "every": "12", "note": "Hold its limit against the inventory."}),
    ("cover", "collections rider 4", {"limit": "60000"}),
    ("apart", "L4", {"why": "club medals: the club buys them back"}),
]


@pytest.fixture(scope="session")
def demo_kit() -> Kit:
    """The demo household's book; no test may write to it."""
    kit = kit_in_memory(today=DEMO_DAY)
    build_demo(kit)
    for table, key, form in RESTS_ON:
        paper_tables.set_row(kit, table, key, form)
    records.note(kit, {"text": "Serial 0471 stamped on the rim of the first round.", "lots": "L10"})
    return kit


@pytest.fixture(scope="session")
def demo_papers(demo_kit: Kit) -> dict[str, Document]:
    """Every paper of the demo household."""
    return {name: papers.make_paper(demo_kit, name, {}) for name in papers.PAPERS}


@pytest.fixture
def lane() -> Kit:
    """Harbor Lane after its sale by the highest basis: $350 face and sixty rounds; asks and bids of the day."""
    kit = kit_in_memory(today=SALE_DAY)
    bought: list[dict[str, Any]] = [
        {"on": "2019-03-11", "amount-1": "300 face", "price-1": "11.20x"},
        {"on": "2020-03-23", "amount-1": "100 face", "price-1": "14.90x", "carriage": "18.00"},
        {"on": "2021-02-08", "amount-1": "200 face", "price-1": "24.10x", "surcharge": "168.70"},
        {"on": "2024-05-02", "amount-1": "60", "price-1": "1790", "kind-1": "1 oz round", "lot-1": "R"},
        {"on": "2025-11-14", "amount-1": "150 face", "price-1": "38.50x", "lot-1": "L4"},
    ]
    for form in bought:
        purchase.buy(kit, {"kind-1": "90%", "place": "A1", **form})
    records.price(kit, {"per_ozt": "66.00", "at": "10:15", "whose": "the shop's screen"})
    bids = [{"what": "90", "quote": "44.83x"}, {"what": "ozt", "quote": "spot - 1.50"}]
    tables.set_exit(kit, {"name": "the shop", "bids": bids})
    form = {"kind": "90%", "amount": "400 face", "price": "44.83x", "rule": "highest-basis", "buyer": "the shop"}
    sale.sell(kit, sale.read_sale(kit, form))
    paper_tables.set_row(kit, "ask", "coin", {"what": "90", "quote": "50.60x", "whose": "the shop"})
    paper_tables.set_row(kit, "ask", "rounds", {"what": "ozt", "quote": "spot + 4.25", "whose": "the shop"})
    return kit
