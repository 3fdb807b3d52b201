"""What a person sets down for papers: places and what they bear, whom to ask, reviews, cover, what to keep apart."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import TypeVar

from ninefine.errors import Fault, Faults
from ninefine.market.table import Table
from ninefine.measure.mass import read_mass

T = TypeVar("T")


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A location code: where that is, and how much it bears. `where` stands on the key alone."""

    code: str
    where: str = ""
    limit_g: Decimal | None = None
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Person:
    """Someone to ask: about what, and how to reach them."""

    name: str
    about: str = ""
    reach: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Review:
    """Something to look at again on a day, and perhaps every so many months from then."""

    name: str
    on: date
    every_months: int | None = None
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cover:
    """An insurance that covers the silver, up to a limit."""

    name: str
    limit: Decimal
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Apart:
    """Goods that are not to be melted or sold by weight: a lot, a heap or a kind, and why."""

    what: str
    why: str


def place_from(code: str, row: Mapping[str, object]) -> Place:
    """Read a place: `where`, `limit` (a weight: `25 kg`, `60 lb`), `note`.

    Raises:
        Faults: every fault, each at its field.
    """

    def read(table: Table) -> Place:
        limit = table.read("limit", read_mass, None)
        return Place(
            code=code,
            where=table.text("where"),
            limit_g=None if limit is None else limit.grams,
            note=table.text("note"),
        )

    return _read(row, read, source=f"the place {code}")


def person_from(name: str, row: Mapping[str, object]) -> Person:
    """Read a person to ask: `about`, `reach`, `note`.

    Raises:
        Faults: every fault, each at its field.
    """
    return _read(
        row,
        lambda table: Person(name=name, about=table.text("about"), reach=table.text("reach"), note=table.text("note")),
        source=f"the person {name}",
    )


def review_from(name: str, row: Mapping[str, object]) -> Review:
    """Read a review: `on`, `every` (months), `note`.

    Raises:
        Faults: every fault, each at its field.
    """

    def read(table: Table) -> Review:
        on = table.day("on")
        if on is None and "on" not in table:
            table.fault("on", "This is needed: the day to look again, as 2027-01-15.")
        return Review(name=name, on=on or date.min, every_months=table.count("every"), note=table.text("note"))

    return _read(row, read, source=f"the review {name}")


def cover_from(name: str, row: Mapping[str, object]) -> Cover:
    """Read an insurance: `limit` (money), `note`.

    Raises:
        Faults: every fault, each at its field.
    """

    def read(table: Table) -> Cover:
        limit = table.decimal("limit", needed=True)
        return Cover(name=name, limit=limit or Decimal(0), note=table.text("note"))

    return _read(row, read, source=f"the cover {name}")


def apart_from(what: str, row: Mapping[str, object]) -> Apart:
    """Read what is to be kept apart: `why`.

    Raises:
        Faults: every fault, each at its field.
    """
    return _read(row, lambda table: Apart(what=what, why=table.text("why", needed=True)), source=f"what of {what}")


def _read(row: Mapping[str, object], read: Callable[[Table], T], *, source: str) -> T:
    faults: list[Fault] = []
    table = Table(row, faults)
    found = read(table)
    table.done()
    if faults:
        raise Faults(faults, source=source)
    return found
