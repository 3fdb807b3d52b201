"""What papers rest on, set down by the person: asks, places, people, reviews, cover, and what to keep apart."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import partial

from ninefine.book.chain import Stored
from ninefine.catalog.kinds import Form
from ninefine.desk.goods import SHORT_NAMES, read_named
from ninefine.desk.heaps import read_heap
from ninefine.desk.kit import Kit
from ninefine.desk.records import set_down
from ninefine.errors import Fault, Faults, InputError, NotFoundError
from ninefine.market.asks import Ask, ask_from
from ninefine.measure.money import METALS
from ninefine.papers.settings import (
    Apart,
    Cover,
    Person,
    Place,
    Review,
    apart_from,
    cover_from,
    person_from,
    place_from,
    review_from,
)

Row = Mapping[str, object]
LONGEST_KEY = 80
#: What an ask may be for beside a kind: a form of metal, or a metal.
_WIDE = {form.value for form in Form} | {name for _, name in METALS.values()}


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """One of the tables: what a row is, its key, and its fields with the words that ask for them.

    Attributes:
        table: the table's name in the book.
        title: what its rows are, for a heading.
        words: what they are for.
        key: what names a row, and a word on how.
        fields: name, label and hint of each field.
        read: reads a row by its key, or raises Faults.
    """

    table: str
    title: str
    words: str
    key: tuple[str, str]
    fields: tuple[tuple[str, str, str], ...]
    read: Callable[[str, Row], object]


NOTE = ("note", "Remarks", "")
SETTINGS: dict[str, Setting] = {
    one.table: one
    for one in (
        Setting(
            table="ask",
            title="Asks",
            words="What sellers ask today for goods like yours: replacement values rest on it.",
            key=("Name", "Such as: mixed 90% at the counter"),
            fields=(
                ("what", "For", "90, dollars, ozt, sterling, a kind, a form, or silver"),
                ("quote", "Asked", "As it was said: 50.60x, spot+4.25, 1.10 each over melt"),
                ("whose", "By whom", ""),
                ("on", "Read on", "Today if empty"),
                NOTE,
            ),
            read=lambda _, row: ask_from(row),
        ),
        Setting(
            table="place",
            title="Places",
            words="Your location codes: where that is stands on the key alone.",
            key=("Code", "As heaps have it: A1"),
            fields=(
                ("where", "Where that is", "Printed on the key and nowhere else"),
                ("limit", "Bears at most", "25 kg, 60 lb"),
                NOTE,
            ),
            read=place_from,
        ),
        Setting(
            table="person",
            title="Whom to ask",
            words="People whom your family may turn to.",
            key=("Name", ""),
            fields=(("about", "Ask about", ""), ("reach", "Reach", "A number, an address"), NOTE),
            read=person_from,
        ),
        Setting(
            table="review",
            title="Reviews",
            words="What to look at again, and when: an insurance, a price, this letter.",
            key=("What", "Such as: the insurance"),
            fields=(("on", "Due on", "2027-01-15"), ("every", "Again every", "Months; once if empty"), NOTE),
            read=review_from,
        ),
        Setting(
            table="cover",
            title="Cover",
            words="Insurances that cover the silver, held against its replacement value.",
            key=("Name", ""),
            fields=(("limit", "Pays at most", "In the book's currency"), NOTE),
            read=cover_from,
        ),
        Setting(
            table="apart",
            title="Not to be melted",
            words="Lots, heaps or kinds that are not to be sold by weight, and why.",
            key=("What", "A lot, a heap, or a kind: L4, L17/us-dime-90, us-dollar-morgan"),
            fields=(("why", "Why", ""),),
            read=apart_from,
        ),
    )
}


def setting(table: str) -> Setting:
    """A table by its name.

    Raises:
        NotFoundError: no such table.
    """
    if table not in SETTINGS:
        raise NotFoundError(f"{table[:30]!r} is nothing that papers rest on.", instead=tuple(SETTINGS))
    return SETTINGS[table]


def set_row(kit: Kit, table: str, key: str, form: Mapping[str, str]) -> Stored:
    """Set down a row of one of the tables.

    Raises:
        NotFoundError: no such table.
        Faults: every fault of the row, each at its field; `key` is the field of its name.
    """
    wanted = setting(table)
    name = " ".join(key.split())
    row: dict[str, object] = {field: text.strip() for field, text in form.items() if text.strip()}
    faults: list[Fault] = []
    if not name:
        faults.append(Fault(where="key", wrong="This is needed."))
    elif len(name) > LONGEST_KEY:
        faults.append(Fault(where="key", wrong=f"A name has at most {LONGEST_KEY} characters."))
    elif table == "apart":
        _check_apart(kit, name, faults)
    if table == "ask":
        _settle_ask(kit, row, faults)
    known = {fault.where for fault in faults}
    try:
        wanted.read(name, row)
    except Faults as error:
        faults += [fault for fault in error.faults if fault.where not in known]
    if faults:
        raise Faults(faults, source=wanted.title.lower())
    return set_down(kit, table, name, row)


def strike_row(kit: Kit, table: str, key: str) -> Stored:
    """Strike a row off.

    Raises:
        NotFoundError: no such table or row.
    """
    return set_down(kit, setting(table).table, key, None)


def rows(kit: Kit, table: str) -> Mapping[str, Row]:
    """The rows of one of the tables, by their keys."""
    return kit.holdings().tables.get(setting(table).table, {})


def asks(kit: Kit) -> tuple[Ask, ...]:
    """Every ask, in the order in which they were set down."""
    return tuple(ask_from(row) for row in rows(kit, "ask").values())


def places(kit: Kit) -> Mapping[str, Place]:
    """Every place by its code, in the order of codes."""
    return {code: place_from(code, row) for code, row in sorted(rows(kit, "place").items())}


def people(kit: Kit) -> tuple[Person, ...]:
    """Everyone to ask."""
    return tuple(person_from(name, row) for name, row in rows(kit, "person").items())


def reviews(kit: Kit) -> tuple[Review, ...]:
    """Every review."""
    return tuple(review_from(name, row) for name, row in rows(kit, "review").items())


def covers(kit: Kit) -> tuple[Cover, ...]:
    """Every insurance."""
    return tuple(cover_from(name, row) for name, row in rows(kit, "cover").items())


def kept_apart(kit: Kit) -> Mapping[str, Apart]:
    """What is not to be melted, by lot, heap or kind."""
    return {what: apart_from(what, row) for what, row in rows(kit, "apart").items()}


def _settle_ask(kit: Kit, row: dict[str, object], faults: list[Fault]) -> None:
    """What an ask is for must be a name that goods can have, else it would never be found; it was read on a day."""
    row.setdefault("on", kit.today().isoformat())
    what = " ".join(str(row.get("what", "")).lower().split())
    if what and what not in SHORT_NAMES and what not in _WIDE:
        try:
            what = read_named(kit.catalog(), what).kind.slug
        except InputError as error:
            faults.append(Fault(where="what", wrong=str(error)))
    if what:
        row["what"] = what


def _check_apart(kit: Kit, name: str, faults: list[Fault]) -> None:
    held = kit.holdings()
    if name in held.lots or kit.kind_or_none(name) is not None:
        return
    find = partial(read_heap, held)
    try:
        find(name)
    except NotFoundError as error:
        faults.append(Fault(where="key", wrong=f"No lot, heap or kind {name[:40]!r}. {error}"))
