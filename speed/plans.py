"""How long the best basket takes to be proven, by the number of sellers.

    python speed/plans.py [sellers ...]

Each seller has ten lines with three tiers over the whole basket, two ways to pay, carriage that becomes free, and in
half of all cases a tax that ends at a line; prices lie within a few per cent of each other, and that makes it hard. All
sellers and prices are drawn at random. Wall clock and processor time differ where other work shares the machine.
"""

import random
import sys
import time
from decimal import Decimal
from statistics import median

from _machine import describe

from ninefine.market.offers import Carriage, Offer, OfferLine, Taxed, TaxRule, Tier, Way
from ninefine.market.read_quote import read_quote
from ninefine.plan.buying_plan import Plan, best_basket, market
from ninefine.plan.solver import Patience
from ninefine.plan.wishes import Wishes

SIZES = (10, 20, 40, 80, 120, 200)
LINES = 10
BUDGET = Decimal(10_000)
SPOT = Decimal(32)
SEEDS = range(1, 6)
#: Fine ounces of a unit, about which prices are drawn.
OUNCES = {"90": 0.715, "dimes": 0.715, "quarters": 0.715, "halves": 0.715, "dollars": 0.765, "40": 0.295, "ozt": 1.0}


def offer(dice: random.Random, name: str) -> Offer:
    """One seller."""
    level = dice.uniform(0.99, 1.05)
    taxed = dice.random() < 0.5
    return Offer(
        name=name,
        seller=name,
        lines=tuple(_line(dice, level) for _ in range(LINES)),
        ways=(Way(name="check"), Way(name="card", surcharge_pct=Decimal(4))),
        carriage=Carriage(
            flat=Decimal(dice.choice(["5.95", "9.95", "14.50", "25"])), free_from=Decimal(dice.choice([199, 500, 1000]))
        ),
        tax=TaxRule(
            rate_pct=Decimal(dice.choice(["6", "6.25", "7.5"])),
            taxed=Taxed.UNDER,
            threshold=Decimal(dice.choice([500, 1000, 1500])),
        )
        if taxed
        else None,
    )


def _line(dice: random.Random, level: float) -> OfferLine:
    kind = dice.choice(list(OUNCES))
    price = OUNCES[kind] * float(SPOT) * level * dice.uniform(0.985, 1.03)
    said = [f"{price * less:.2f}" + (" each" if kind == "ozt" else "x") for less in (1, 0.99, 0.975)]
    starts = Decimal(dice.choice([50, 100])), Decimal(dice.choice([150, 250, 500]))
    units = dice.randint(5, 60)
    return OfferLine(
        kind=kind,
        count=units if kind == "ozt" else None,
        face=None if kind == "ozt" else Decimal(units),
        quote=read_quote(said[0]),
        said=said[0],
        tiers=tuple(
            Tier(start=start, quote=read_quote(text), said=text) for start, text in zip(starts, said[1:], strict=True)
        ),
    )


def measured(sellers: int, seed: int) -> tuple[Plan, float, float]:
    """One problem: the plan, seconds of the wall clock, and of the processor."""
    dice = random.Random(seed)
    over = market([offer(dice, f"S{number}") for number in range(sellers)], SPOT)
    wall, own = time.perf_counter(), time.process_time()
    plan = best_basket(over, Wishes(budget=BUDGET), patience=Patience(seconds=60))
    return plan, time.perf_counter() - wall, time.process_time() - own


def main(sizes: tuple[int, ...]) -> None:
    print(describe())
    measured(2, 0)  # the libraries are loaded once
    print(f"{'sellers':>8} {'proven':>7} {'processor s':>24} {'wall s':>16}")
    print(f"{'':>8} {'':>7} {'best':>8}{'median':>8}{'worst':>8} {'best':>8}{'median':>8}")
    for size in sizes:
        runs = [measured(size, seed) for seed in SEEDS]
        proven = sum(plan.gap == 0 for plan, _, _ in runs)
        wall, own = [run[1] for run in runs], [run[2] for run in runs]
        print(
            f"{size:>8} {proven:>4}/{len(runs)} {min(own):>8.2f}{median(own):>8.2f}{max(own):>8.2f} "
            f"{min(wall):>8.2f}{median(wall):>8.2f}",
            flush=True,
        )


if __name__ == "__main__":
    main(tuple(int(size) for size in sys.argv[1:]) or SIZES)
