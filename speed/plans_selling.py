"""How long plans of selling and of sharing out take, as lots and people grow. Run: python speed/plans_selling.py.

Processor time, the best of three, since a machine is seldom idle; a search ends after ten seconds and then says how far
from proven it is.
"""

import time
from collections.abc import Callable
from datetime import date
from decimal import Decimal
from fractions import Fraction
from random import Random

from _machine import describe

from ninefine.catalog.shelf import load_catalog
from ninefine.desk import purchase, records, tables
from ninefine.desk.kit import Kit
from ninefine.desk.plan_selling import read_problem
from ninefine.plan.division import Estate, Person, Thing
from ninefine.plan.division_search import share_out
from ninefine.plan.selling_search import best_plan
from ninefine.testing import kit_in_memory

TODAY = date(2026, 6, 12)


def household(lots: int) -> Kit:
    """So many lots of 90% coin bought over the years, and three ways out."""
    draw = Random(lots)
    kit = kit_in_memory(today=TODAY, catalog=load_catalog())
    for _ in range(lots):
        on = date(draw.randint(2012, 2026), draw.randint(1, 5), draw.randint(1, 28)).isoformat()
        price = f"{draw.randint(1100, 4500) / 100:.2f}x"
        purchase.buy(kit, {"on": on, "kind-1": "90%", "amount-1": f"{draw.randint(20, 90)} face", "price-1": price})
    records.price(kit, {"per_ozt": "66.00", "whose": "the shop's screen"})
    for name, quote, days in (("the shop", "44.83x", "0"), ("the club", "46x", "4"), ("by post", "47x", "10")):
        row: dict[str, object] = {"name": name, "days": days, "bids": [{"what": "90", "quote": quote}]}
        tables.set_exit(kit, row | {"capacity": "150 face", "costs": "0" if days == "0" else "9.95"})
    return kit


def best(work: Callable[[], object]) -> tuple[float, object]:
    """The best processor time of three, and what came of it."""
    times = []
    for _ in range(3):
        began = time.process_time()
        found = work()
        times.append(time.process_time() - began)
    return min(times), found


def main() -> None:
    print(describe())
    print("\nSelling 5,000 after tax, the least silver and the most kept")
    print(f"{'lots':>5}  {'goal':<13} {'seconds':>8}  proven")
    for lots in (2, 4, 8, 16, 32):
        kit = household(lots)
        for goal in ("least-silver", "most-kept"):
            ask = {"sum": "5000" if lots > 2 else "1500", "goal": goal, "short_rate": "32", "long_rate": "28"}
            problem, _ = read_problem(kit, ask)
            seconds, found = best(lambda problem=problem: best_plan(problem, seconds=10))  # type: ignore[misc]
            print(f"{lots:>5}  {goal:<13} {seconds:>8.2f}  {getattr(found, 'proven', None)}")
    print("\nSharing out ten kinds of things, the least cash")
    print(f"{'people':>6} {'pieces':>7} {'seconds':>8}  first proven")
    draw = Random(3)
    for people, pieces in ((2, 5), (3, 5), (3, 20), (5, 20)):
        things = tuple(
            Thing(name=f"{at}", count=pieces, worth=Decimal(draw.randint(400, 9000)) / 100) for at in range(10)
        )
        heirs = tuple(Person(name=f"{at}", share=Fraction(1)) for at in range(people))
        estate = Estate(people=heirs, things=things)
        seconds, sharing = best(lambda estate=estate: share_out(estate, seconds=5))  # type: ignore[misc]
        print(f"{people:>6} {pieces:>7} {seconds:>8.2f}  {getattr(sharing, 'first_proven', None)}")


if __name__ == "__main__":
    main()
