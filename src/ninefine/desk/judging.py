"""What pieces and hours are held against: a threshold, an hour's worth, one's own speed, shares for what is not sound.

All of it is the person's own, kept in the book's table of settings; nothing has a default that is a price.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from ninefine.book.chain import Stored
from ninefine.desk.assumptions import SETTINGS
from ninefine.desk.fields import Fields
from ninefine.desk.kit import Kit
from ninefine.desk.records import set_down, set_down_all
from ninefine.errors import Fault, Faults, InputError
from ninefine.market.table import Table, filled, text_or_none
from ninefine.measure.numbers import plain
from ninefine.worth.band import FLAWS
from ninefine.worth.collectors import NO_SHARES, FlawShares, flaw_shares_from
from ninefine.worth.guide import STALE_AFTER
from ninefine.worth.span import Grading
from ninefine.worth.verdict import Against

JUDGING, SHARES = "judging", "shares"


@dataclass(frozen=True, slots=True, kw_only=True)
class Judging:
    """What pieces and hours are held against.

    Attributes:
        threshold: a piece is pulled only for more than this over what it brings in the heap.
        hour_worth: what an hour of one's own time is worth.
        pieces_per_hour: how many pieces one tells apart in an hour; none where that was never said.
        against: what a piece brings in the heap: its melt, or the best bid of a buyer of metal.
        grading: whether one's grading of several pieces errs together or apart.
        stale_after: days after which a sheet's price is called stale.
    """

    threshold: Decimal = Decimal(0)
    hour_worth: Decimal = Decimal(0)
    pieces_per_hour: Decimal | None = None
    against: Against = Against.MELT
    grading: Grading = Grading.TOGETHER
    stale_after: int = STALE_AFTER

    def as_dict(self) -> dict[str, object]:
        """The settings in plain values; `judging_from` reads them back."""
        return filled(
            {
                "threshold": plain(self.threshold),
                "hour_worth": plain(self.hour_worth),
                "pieces_per_hour": text_or_none(self.pieces_per_hour),
                "against": str(self.against),
                "grading": str(self.grading),
                "stale_after": str(self.stale_after),
            }
        )


def judging_from(row: Mapping[str, object]) -> Judging:
    """Read the settings from plain values: the fields that `Judging.as_dict` writes.

    Raises:
        Faults: every fault, each at its field.
    """
    faults: list[Fault] = []
    table = Table(row, faults)
    against = table.choice("against", Against, Against.MELT)
    if against is Against.FACE:
        table.fault("against", "A piece is held against its melt or against a bid.")
    found = Judging(
        threshold=table.amount("threshold"),
        hour_worth=table.amount("hour_worth"),
        pieces_per_hour=table.decimal("pieces_per_hour"),
        against=against,
        grading=table.choice("grading", Grading, Grading.TOGETHER),
        stale_after=table.count("stale_after") or STALE_AFTER,
    )
    table.done()
    if faults:
        raise Faults(faults, source="what pieces are held against")
    return found


def judging(kit: Kit) -> Judging:
    """What the person holds pieces against; no threshold and no hourly worth where nothing was set down."""
    row = kit.holdings().tables.get(SETTINGS, {}).get(JUDGING)
    return Judging() if row is None else judging_from(row)


def put_judging(kit: Kit, form: Mapping[str, str], *, on: date | None = None) -> Stored:
    """Set down what pieces are held against, on a day or today; an empty field is as if never said.

    Raises:
        Faults: every fault, each at its field.
    """
    found = _judging_said(form)
    return set_down(kit, SETTINGS, JUDGING, found.as_dict(), on=on)


def _judging_said(form: Mapping[str, str]) -> Judging:
    names = Judging().as_dict().keys() | {"pieces_per_hour"}
    return judging_from({name: form[name].strip() for name in names if form.get(name, "").strip()})


def put_figures(
    kit: Kit, form: Mapping[str, str], shares: Mapping[str, str], *, on: date | None = None
) -> tuple[Stored, ...]:
    """Change what pieces are held against, and replace the shares, where either is said; both or neither.

    Raises:
        Faults: every fault, each at its field.
        InputError: nothing was said.
    """
    rows: list[tuple[str, str, Mapping[str, object]]] = []
    if form:
        rows.append((SETTINGS, JUDGING, _judging_said(judging_fields(judging(kit)) | dict(form)).as_dict()))
    if shares or not form:
        rows.append((SETTINGS, SHARES, _shares_said(shares).as_dict()))
    return set_down_all(kit, rows, on=on)


def judging_fields(found: Judging) -> dict[str, str]:
    """The form, filled in."""
    return {name: str(value) for name, value in found.as_dict().items()}


def flaw_shares(kit: Kit) -> FlawShares:
    """What pieces that are not sound bring; no share at all where nothing was set down."""
    row = kit.holdings().tables.get(SETTINGS, {}).get(SHARES)
    return NO_SHARES if row is None else flaw_shares_from(row)


def put_flaw_shares(kit: Kit, form: Mapping[str, str], *, on: date | None = None) -> Stored:
    """Set down what part of a sound piece's price one brings that is cleaned, holed and so on.

    Raises:
        Faults: every fault, each at its field.
        InputError: nothing was said.
    """
    return set_down(kit, SETTINGS, SHARES, _shares_said(form).as_dict(), on=on)


def _shares_said(form: Mapping[str, str]) -> FlawShares:
    found = flaw_shares_from({flaw: form[flaw].strip() for flaw in FLAWS if form.get(flaw, "").strip()})
    if not found.percent:
        raise InputError("No share was said.", expected="Per cent of a sound piece's price, or metal.")
    return found


def flaw_fields(shares: FlawShares) -> dict[str, str]:
    """The form, filled in."""
    return {flaw: str(said) for flaw, said in shares.as_dict().items()}


def speed_of(fields: Fields, name: str, kept: Decimal | None) -> Decimal | None:
    """A speed in pieces an hour from a form; the kept one where it is left out."""
    return fields.positive(name, kept)
