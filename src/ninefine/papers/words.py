"""Words that several papers share: how much, which lots, prices and whose they are."""

from collections.abc import Iterable, Sequence
from datetime import date
from decimal import Decimal

from ninefine.market.prices import Stamp
from ninefine.measure.money import METALS
from ninefine.measure.numbers import as_price, plain
from ninefine.papers.document import ZERO, Tells
from ninefine.papers.valued import Line
from ninefine.papers.written import day_words, figure
from ninefine.worth.ounces import Measured

PLACE_UNKNOWN = "not told"


def say_much(held: Measured) -> str:
    """How much there is: `1,179 pieces, 117.90 face`; by weight only where that is all that is known."""
    parts = []
    if held.count is not None:
        parts.append(f"{figure(held.count)} piece{'' if held.count == 1 else 's'}")
    if held.face is not None:
        parts.append(f"{figure(held.face, 2)} face")
    if not parts and held.gross_g is not None:
        parts.append(f"{figure(held.gross_g, 1)} g")
    return ", ".join(parts)


def money(amount: Decimal, currency: str) -> str:
    """An amount with its currency: `21,925.00 USD`."""
    return f"{figure(amount, 2)} {currency}"


def metal_word(code: str) -> str:
    """A metal's plain name."""
    return METALS[code][1]


def stamp_lines(stamps: Sequence[Stamp], currency: str) -> tuple[tuple[str, Tells], ...]:
    """Each price with its day, and apart from it, because it may be left out, who said it."""
    lines: list[tuple[str, Tells]] = []
    for stamp in stamps:
        metal = metal_word(stamp.metal)
        lines.append((f"Price of {metal}: {as_price(stamp.per_ozt)} {currency} an ozt, {stamp.note}.", Tells.VALUES))
    whose = ", ".join(dict.fromkeys(stamp.whose for stamp in stamps))
    if whose:
        lines.append((f"Prices said by {whose}.", Tells.VALUES | Tells.SELLERS))
    return tuple(lines)


def ounces_words(lines: Iterable[Line]) -> str:
    """Fine ounces by metal in a sentence: `310.25 ozt of fine silver and 0.1177 ozt of fine gold`."""
    sums: dict[str, Decimal] = {}
    for line in lines:
        metal = line.pile.kind.metal
        sums[metal] = sums.get(metal, ZERO) + line.ozt
    parts = [
        f"{figure(ozt, 2 if metal == 'XAG' else 4)} ozt of fine {metal_word(metal)}"
        for metal, ozt in sorted(sums.items(), key=lambda one: one[0] != "XAG")
        if ozt
    ]
    return " and ".join(parts) or "no metal"


def and_list(words: Iterable[str]) -> str:
    """`a`, `a and b`, `a, b and c`."""
    said = list(words)
    return " and ".join([", ".join(said[:-1]), said[-1]]) if len(said) > 1 else "".join(said)


def as_of(on: date) -> str:
    """`on 12 June 2026`."""
    return f"on {day_words(on)}"


def percent(share: Decimal) -> str:
    """A share of one as per cent: `0.4` -> `40%`."""
    return f"{plain(share * 100)}%"
