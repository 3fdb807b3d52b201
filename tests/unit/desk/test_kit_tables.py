"""What the kit keeps, and the order in which the person's tables stand."""

from datetime import date

from ninefine.desk import records, tables
from ninefine.testing import kit_in_memory


def way(name: str, bid: str) -> dict[str, object]:
    """A way out that buys 90% coin."""
    return {"name": name, "bids": [{"what": "90", "quote": bid}]}


def test_a_way_out_that_is_set_down_again_keeps_its_place() -> None:
    """The first is the usual one; a new bid of its must not make another the usual one."""
    kit = kit_in_memory(today=date(2024, 6, 1))
    for name, bid in (("the shop", "95% of melt"), ("the club", "99% of melt"), ("the shop", "93% of melt")):
        tables.set_exit(kit, way(name, bid))

    assert [found.name for found in tables.exits(kit)] == ["the shop", "the club"]
    assert tables.exit_named(kit, "").bids[0].said == "93% of melt"

    records.set_down(kit, "exit", "the shop", None)
    tables.set_exit(kit, way("the shop", "93% of melt"))
    assert [found.name for found in tables.exits(kit)] == ["the club", "the shop"]


def test_the_catalog_is_made_anew_only_when_own_kinds_change() -> None:
    kit = kit_in_memory(today=date(2024, 6, 1))
    assert kit.catalog() is kit.reference
    tables.set_kind(kit, "club medal", {"weight": "31.2 g", "fineness": "925"})
    first = kit.catalog()

    records.price(kit, {"per_ozt": "30"})
    assert kit.catalog() is first

    tables.set_kind(kit, "club medal", {"weight": "31.1 g", "fineness": "925"})
    assert kit.catalog() is not first
    assert kit.catalog().kind("own-club-medal").gross_g is not None
