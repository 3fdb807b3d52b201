"""The person's own tables: exits, offers and kinds, set down as rows and read back by the part that owns them.

Forms are flat and rows are nested: `carriage.flat` is the field `flat` of `carriage`, `goods.2.kind` the kind of the
second of the goods.
"""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date

from ninefine.book.chain import Stored
from ninefine.book.entries import Listed, Mended
from ninefine.catalog.own import own_slug
from ninefine.desk.goods import read_wide
from ninefine.desk.kit import Kit
from ninefine.desk.records import set_down, set_down_all
from ninefine.errors import Fault, Faults, InputError, NotFoundError
from ninefine.market.content import Content
from ninefine.market.exits import Exit, exit_from
from ninefine.market.goods import Resolve, contents_with
from ninefine.market.offers import Offer
from ninefine.market.read_offer import offer_from
from ninefine.measure.numbers import read_reference


def nested(form: Mapping[str, str]) -> dict[str, object]:
    """A flat form as a nested row; empty fields are left out, and lists keep the order of their numbers."""
    root: dict[str, object] = {}
    for name, text in form.items():
        if not text.strip():
            continue
        here = root
        *steps, last = name.split(".")
        for step in steps:
            inner = here.setdefault(step, {})
            if not isinstance(inner, dict):
                raise Faults([Fault(where=name, wrong=f"{step} is a single value, so it has no part {last}.")])
            here = inner
        here[last] = text.strip()
    return {name: _listed(value) for name, value in root.items()}


def _listed(value: object) -> object:
    """Parts named by numbers become a list."""
    if not isinstance(value, dict):
        return value
    parts = {name: _listed(part) for name, part in value.items()}
    if parts and all(read_reference(name) is not None for name in parts):
        return [parts[name] for name in sorted(parts, key=int)]
    return parts


def flat(row: Mapping[str, object], before: str = "") -> dict[str, str]:
    """A nested row as a flat form, for filling in again."""
    form: dict[str, str] = {}
    for name, value in row.items():
        where = f"{before}{name}"
        if isinstance(value, Mapping):
            form |= flat(value, f"{where}.")
        elif isinstance(value, list | tuple):
            for number, part in enumerate(value, 1):
                form |= flat({str(number): part}, f"{where}.")
        elif value is not None:
            form[where] = str(value)
    return form


def field_of(where: str) -> str:
    """The form's field that a fault of a row stands at: `goods 2: quote` -> `goods.2.quote`."""
    return where.replace(": ", ".").replace(" ", ".")


def rows_said_by(kit: Kit, table: str) -> Mapping[str, int]:
    """The entry that last set down each row of a table, by the row's name: where its figures come from."""

    def find() -> dict[str, int]:
        found: dict[str, int] = {}
        for stored in kit.journal.records():
            entry = stored.entry.instead if isinstance(stored.entry, Mended) else stored.entry
            if isinstance(entry, Listed) and entry.table == table:
                found[entry.key] = stored.serial
        return found

    return kit.keep(("rows said by", table), find)


def resolve_with(kit: Kit) -> Resolve:
    """Find what goods hold: by the trade's own names, else by the catalog, the person's own kinds among them."""
    by_name = contents_with(kit.catalog().kind)
    known: dict[str, Content] = {}

    def resolve(name: str) -> Content:
        if name not in known:
            known[name] = by_name(name)
        return known[name]

    return resolve


def exits(kit: Kit, on: date | None = None) -> tuple[Exit, ...]:
    """The ways out, as set down; the first is the usual one."""
    return tuple(exit_from(row) for row in kit.holdings(on).tables.get("exit", {}).values())


def exit_named(kit: Kit, name: str) -> Exit:
    """A way out by its name; the first where none is named.

    Raises:
        NotFoundError: no such way out, or none at all.
    """
    rows = kit.holdings().tables.get("exit", {})
    key = name or next(iter(rows), "")
    if key not in rows:
        raise NotFoundError(
            f"There is no way out {name[:40]!r}." if name else "No way out has been set down yet.",
            expected="Set one down with what it pays.",
            instead=list(rows) or ['ninefine exit "the shop" --bid "90=95% of melt"'],
        )
    return exit_from(rows[key])


def set_exit(kit: Kit, row: Mapping[str, object], *, on: date | None = None) -> Stored:
    """Set down a way out, as it was on a day; today if none is said.

    Raises:
        Faults: every fault of the row.
    """
    found, catalog, bids, faults = exit_from(row), kit.catalog(), [], []
    for number, bid in enumerate(found.bids, 1):
        try:
            bids.append(replace(bid, what=read_wide(catalog, bid.what)))
        except InputError as error:
            faults.append(Fault(where=f"bid {number}", wrong=str(error)))
    if faults:
        raise Faults(faults, source="the exit")
    found = replace(found, bids=tuple(bids))
    return set_down(kit, "exit", found.name, found.as_dict(), on=on)


def offers(kit: Kit) -> tuple[Offer, ...]:
    """The offers on the table, as set down."""
    return tuple(offer_from(row) for row in kit.holdings().tables.get("offer", {}).values())


def offer_named(kit: Kit, name: str) -> Offer:
    """An offer by its name.

    Raises:
        NotFoundError: no such offer.
    """
    rows = kit.holdings().tables.get("offer", {})
    if name not in rows:
        raise NotFoundError(f"There is no offer {name[:40]!r}.", instead=list(rows)[:6])
    return offer_from(rows[name])


def set_offer(kit: Kit, row: Mapping[str, object]) -> Stored:
    """Set down an offer; its goods must be known.

    Raises:
        Faults: every fault of the row.
    """
    found = offer_from(row, resolve=resolve_with(kit))
    return set_down(kit, "offer", found.name, found.as_dict())


def set_offers(kit: Kit, rows: Sequence[Mapping[str, object]]) -> tuple[Stored, ...]:
    """Set down several offers, or none of them where one is at fault.

    Raises:
        Faults: every fault of a row.
    """
    found = [offer_from(row, resolve=resolve_with(kit)) for row in rows]
    return set_down_all(kit, [("offer", one.name, one.as_dict()) for one in found])


def set_kind(kit: Kit, name: str, row: Mapping[str, object]) -> Stored:
    """Set down a kind of one's own.

    Raises:
        Faults: every fault of the row.
    """
    whole = {"name": name, **row}
    faults = {}
    if not own_slug(name):
        faults["name"] = "A kind has a name with a letter or a digit in it, as club medal."
    key = name or "a kind"
    try:
        kit.reference.with_own({key: whole})
    except Faults as error:
        for fault in error.faults:
            field, wrong = fault.where.removeprefix(f"{key}, "), fault.wrong
            if field != "key":
                faults.setdefault(field, f"This {wrong}" if wrong.startswith(("is ", "needs ")) else wrong)
    if faults:
        raise Faults([Fault(where=field, wrong=wrong) for field, wrong in faults.items()], source="the kind")
    return set_down(kit, "kind", name, whole)
