"""A sheet of offers in TOML: spot, the offers, and the exit to hold them against.

::

    spot = "32.00"                       # dollars per fine troy ounce; needed
    metal = "XAG"                        # what spot is of; silver where not said
    whose = "the shop's screen, Tuesday 10:15"

    [exit]                               # may be left out
    name = "Brook Street"
    bids = [{ what = "90", quote = "22.00x" }, { what = "ozt", quote = "spot less 0.90" }]

    [[offer]]
    name = "A"
    goods = [{ kind = "halves", face = 100, quote = "24.60x" }]
    ways = [{ name = "check" }, { name = "card", surcharge_pct = 4 }]
    carriage = { flat = 9.95 }

An offer's fields are those of `market.read_offer`, an exit's those of `market.exits`. Numbers may be written bare or in
quotes: either way they are read exactly. Every fault of the sheet comes out at once, with its line.
"""

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from ninefine.errors import Fault, Faults
from ninefine.intake.sheet_lines import SheetLines
from ninefine.market.exits import Exit, read_exit
from ninefine.market.goods import Resolve
from ninefine.market.offers import Offer
from ninefine.market.read_offer import read_offer
from ninefine.market.table import Table
from ninefine.measure.money import metal_code

#: Longer than any sheet that a person writes.
LONGEST = 500_000


@dataclass(frozen=True, slots=True, kw_only=True)
class OffersSheet:
    """What a sheet of offers says."""

    offers: tuple[Offer, ...]
    spot: Decimal
    metal: str
    whose: str
    exit: Exit | None


def read_offers(text: str, source: str = "the offers", *, resolve: Resolve | None = None) -> OffersSheet:
    """Read a sheet of offers.

    Args:
        text: TOML.
        source: the file, as the person would name it.
        resolve: finds goods by name, so that unknown kinds are faults; not checked where none.

    Raises:
        Faults: every fault, each with its line where that can be told.
    """
    document = _parse(text, source)
    lines = SheetLines(text)
    placed: list[Fault] = []
    faults: list[Fault] = []
    sheet = Table(document, faults)
    spot = sheet.decimal("spot", needed=True)
    metal = sheet.read("metal", metal_code, "XAG")
    whose = sheet.text("whose")
    way_out = _exit(sheet, lines, placed)
    offers = _offers(sheet, lines, placed, resolve)
    sheet.done()
    placed[:0] = [lines.placed(fault, "") for fault in faults]
    if placed:
        raise Faults(placed, source=source)
    return OffersSheet(offers=offers, spot=spot or Decimal(0), metal=metal, whose=whose, exit=way_out)


def _parse(text: str, source: str) -> Mapping[str, object]:
    if len(text) > LONGEST:
        wrong = f"It is {len(text)} characters long; at most {LONGEST} are read."
        raise Faults([Fault(where="", wrong=wrong)], source=source)
    try:
        return tomllib.loads(text.removeprefix("\N{ZERO WIDTH NO-BREAK SPACE}"), parse_float=Decimal)
    except tomllib.TOMLDecodeError as error:
        place = re.search(r"\(at line (\d+), column (\d+)\)", str(error))
        where = f"line {place[1]}, column {place[2]}" if place else ""
        said = re.sub(r" \(at .*\)", "", str(error))
        wrong = f"This is not TOML: {said}. Text stands in quotes, one field to a line."
        raise Faults([Fault(where=where, wrong=wrong)], source=source) from error
    except RecursionError as error:
        raise Faults([Fault(where="", wrong="Its brackets go too deep.")], source=source) from error
    except (ValueError, ArithmeticError) as error:
        raise Faults([Fault(where="", wrong="A number in it is too long.")], source=source) from error


def _exit(sheet: Table, lines: SheetLines, faults: list[Fault]) -> Exit | None:
    part = sheet.part("exit")
    if part is None:
        return None
    row, own = part.apart()
    found = read_exit(row)
    faults += [lines.placed(fault, "exit") for fault in own]
    return found


def _offers(sheet: Table, lines: SheetLines, faults: list[Fault], resolve: Resolve | None) -> tuple[Offer, ...]:
    offers: list[Offer] = []
    for number, part in enumerate(sheet.parts("offer", needed=True), start=1):
        row, own = part.apart()
        offer = read_offer(row, resolve)
        if offer.name and offer.name in {other.name for other in offers}:
            row.fault("name", f"There are two offers named {offer.name}.")
        faults += [lines.placed(fault, "offer", number, offer.name) for fault in own]
        offers.append(offer)
    return tuple(offers)
