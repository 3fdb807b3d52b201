"""Ways out to collectors and tables of graders' fees: set down from plain forms, read back, filled in again."""

import re
from collections.abc import Mapping
from datetime import date

from ninefine.book.chain import Stored
from ninefine.desk.kit import Kit
from ninefine.desk.records import set_down
from ninefine.errors import Fault, Faults, NotFoundError, UnreadableError
from ninefine.measure.numbers import plain
from ninefine.worth.collectors import CollectorExit, collector_exit_from
from ninefine.worth.grader_fees import GraderFees, grader_fees_from

COLLECTOR, GRADER = "collector", "grader"
COLLECTOR_FIELDS = (
    "name",
    "pct_of_sheet",
    "fee_pct",
    "fee",
    "postage",
    "costs",
    "minutes",
    "least",
    "days",
    "note",
)
GRADER_FIELDS = (
    "name",
    "per_piece",
    "parcel",
    "insurance_pct",
    "membership",
    "pieces_a_year",
    "minutes",
    "source",
    "read_on",
)
#: Written even where nothing is taken off; a form shows them as empty.
_NOTHING = {"fee_pct", "fee", "postage", "costs", "minutes", "least", "per_piece", "parcel", "insurance_pct"}
_NOTHING |= {"membership"}
_TIER = re.compile(r"(?:up to\s+)?(?P<limit>[\d.,$]+|any|over)\s*[:=]\s*(?P<fee>[\d.,$]+)", re.ASCII | re.IGNORECASE)


def collectors(kit: Kit) -> tuple[CollectorExit, ...]:
    """The ways out to collectors, as set down."""
    return tuple(collector_exit_from(row) for row in kit.holdings().tables.get(COLLECTOR, {}).values())


def collector_named(kit: Kit, name: str) -> CollectorExit:
    """A way out to collectors by its name; the first where none is named.

    Raises:
        NotFoundError: no such way out, or none at all.
    """
    rows = kit.holdings().tables.get(COLLECTOR, {})
    key = name or next(iter(rows), "")
    if key not in rows:
        raise NotFoundError(
            f"There is no way out to collectors {name[:40]!r}."
            if name
            else "No way out to collectors is set down yet.",
            expected="Set one down with what part of the sheet's price it brings, and what it takes off.",
            instead=list(rows),
        )
    return collector_exit_from(rows[key])


def put_collector(kit: Kit, form: Mapping[str, str], *, on: date | None = None) -> Stored:
    """Set a way out to collectors down, on a day or today; the fields are those of `COLLECTOR_FIELDS`.

    Raises:
        Faults: every fault, each at its field.
    """
    row = _filled(form, COLLECTOR_FIELDS)
    for name in ("pct_of_sheet", "fee_pct"):
        if name in row:
            row[name] = row[name].removesuffix("%").strip()
    found = collector_exit_from(row)
    _check_name(found.name)
    return set_down(kit, COLLECTOR, found.name, found.as_dict(), on=on)


def collector_fields(way: CollectorExit) -> dict[str, str]:
    """The form, filled in."""
    return _shown(way.as_dict(), COLLECTOR_FIELDS)


def graders(kit: Kit) -> tuple[GraderFees, ...]:
    """The tables of graders' fees, as set down."""
    return tuple(grader_fees_from(row) for row in kit.holdings().tables.get(GRADER, {}).values())


def grader_named(kit: Kit, name: str) -> GraderFees:
    """A table of fees by its name; the first where none is named.

    Raises:
        NotFoundError: no such table, or none at all.
    """
    rows = kit.holdings().tables.get(GRADER, {})
    key = name or next(iter(rows), "")
    if key not in rows:
        raise NotFoundError(
            f"There is no table of fees {name[:40]!r}." if name else "No table of graders' fees is set down yet.",
            expected="Set one down from the grader's own page, with the day on which you read it.",
            instead=list(rows),
        )
    return grader_fees_from(rows[key])


def put_grader(kit: Kit, form: Mapping[str, str], *, on: date | None = None) -> Stored:
    """Set a table of fees down, on a day or today.

    The fields are those of `GRADER_FIELDS`, and `tiers`, a line each: `300: 22`, `any: 90`.

    Raises:
        Faults: every fault, each at its field.
    """
    faults: list[Fault] = []
    try:
        tiers = read_tiers(form.get("tiers", ""))
    except UnreadableError as error:
        faults.append(Fault(where="tiers", wrong=str(error)))
        tiers = [{"fee": "1"}]
    row: dict[str, object] = {**_filled(form, GRADER_FIELDS), "tiers": tiers}
    try:
        found = grader_fees_from(row)
    except Faults as error:
        faults += [Fault(where=_tier_field(fault.where), wrong=fault.wrong) for fault in error.faults]
    if faults:
        raise Faults(faults, source="the fees")
    _check_name(found.name)
    return set_down(kit, GRADER, found.name, found.as_dict(), on=on)


def read_tiers(text: str) -> list[dict[str, str]]:
    """Read fees by declared value, a line each: `300: 22` up to 300, `any: 90` of any value.

    Raises:
        UnreadableError: a line that is no fee.
    """
    found = []
    for line in re.split(r"[\n;]", text):
        if not line.strip():
            continue
        read = _TIER.fullmatch(line.strip())
        if read is None:
            raise UnreadableError(
                f"{line.strip()[:40]!r} is not a fee.",
                expected="Write the declared value that it reaches, a colon, and the fee; `any` where there is no end.",
                instead=("300: 22", "any: 90"),
            )
        tier = {"fee": read["fee"].replace(",", "").strip("$")}
        if read["limit"][0].isdigit() or read["limit"][0] in "$.":
            tier["up_to"] = read["limit"].replace(",", "").strip("$")
        found.append(tier)
    return found


def grader_fields(fees: GraderFees) -> dict[str, str]:
    """The form, filled in."""
    tiers = [f"{'any' if tier.up_to is None else plain(tier.up_to)}: {plain(tier.fee)}" for tier in fees.tiers]
    return {**_shown(fees.as_dict(), GRADER_FIELDS), "tiers": "\n".join(tiers)}


def _filled(form: Mapping[str, str], names: tuple[str, ...]) -> dict[str, str]:
    return {name: " ".join(form[name].split()) for name in names if form.get(name, "").strip()}


def _shown(row: Mapping[str, object], names: tuple[str, ...]) -> dict[str, str]:
    form = {name: str(row[name]) for name in names if name in row}
    return {name: "" if name in _NOTHING and text == "0" else text for name, text in form.items()}


def _tier_field(where: str) -> str:
    return "tiers" if where.startswith("tiers") else where


def _check_name(name: str) -> None:
    if len(name) > 80:
        raise Faults([Fault(where="name", wrong="A name has at most 80 characters.")], source="the name")
