"""Reminders beside a sale or a purchase, and the table in which the person makes them their own."""

from collections.abc import Mapping
from decimal import Decimal
from functools import partial

from ninefine.book.chain import Stored
from ninefine.book.entries import Bought
from ninefine.desk.fields import Fields
from ninefine.desk.goods import read_wide
from ninefine.desk.kit import Kit
from ninefine.desk.records import set_down
from ninefine.desk.sale import SalePlan
from ninefine.errors import NotFoundError
from ninefine.market.goods import Goods
from ninefine.market.reminders import About, Reminder, in_force, reminded, reminder_from
from ninefine.worth.ways_out import goods_of

TABLE = "reminder"


def reminders(kit: Kit) -> tuple[Reminder, ...]:
    """Every reminder: the examples of the United States in a book in dollars, and the person's own over them."""
    own = kit.holdings().tables.get(TABLE, {})
    return kit.keep("reminders", lambda: in_force(own, with_examples=kit.journal.currency == "USD"))


def for_sale(kit: Kit, plan: SalePlan, *, in_cash: bool = False) -> tuple[Reminder, ...]:
    """The reminders that speak up for a sale."""
    catalog = kit.catalog()
    goods = [
        goods_of(catalog.kind(row.heap.kind), row.amount) for row in plan.rows if catalog.kind(row.heap.kind).fineness
    ]
    return reminded(reminders(kit), About.SALE, goods, plan.proceeds, in_cash=in_cash)


def about_sales(kit: Kit) -> tuple[Reminder, ...]:
    """Every reminder about a sale that is not silenced, whether or not it would speak up for a certain one."""
    return tuple(one for one in reminders(kit) if one.about in {About.SALE, About.BOTH} and not one.off)


def for_purchase(kit: Kit, entry: Bought, *, in_cash: bool = False) -> tuple[Reminder, ...]:
    """The reminders that speak up for a purchase."""
    goods: list[Goods] = []
    for line in entry.lines:
        kind = kit.kind_or_none(line.kind)
        if kind is not None and kind.fineness:
            goods.append(goods_of(kind, line.amount))
    paid = sum((line.price for line in entry.lines), sum(entry.other_costs.values(), Decimal(0)))
    return reminded(reminders(kit), About.PURCHASE, goods, paid, in_cash=in_cash)


def words(one: Reminder) -> str:
    """A reminder in one sentence, with where it comes from."""
    example = "An example, not advice. " if one.example else ""
    as_of = f", as of {one.as_of.isoformat()}" if one.as_of else ""
    return f"{one.words} {example}Source: {one.source}{as_of}."


def set_reminder(kit: Kit, form: Mapping[str, str]) -> Stored:
    """Set a reminder down: the person's own, or an example's fields changed.

    Fields: `name`, `about` (sale, purchase, both), `of`, `least`, `over`, `below` (`1000 face`, `50 ozt`, `10000`),
    `cash` (yes), `words`, `source`, `as_of`, `off` (yes: silenced). What is left out of an example stays.

    Raises:
        Faults: every fault of the form.
    """
    fields = Fields(form, source="the reminder")
    name = fields.raw("name")
    if not name:
        fields.fault("name", "Name the reminder; the name of an example puts yours in its place.")
    of = fields.read("of", partial(read_wide, kit.catalog()), "")
    fields.done()
    before = next((one.as_dict() for one in reminders(kit) if one.name == name), {})
    row = before | {key: text for key, text in form.items() if key != "name"} | ({"of": of} if of else {})
    return set_down(kit, TABLE, name, reminder_from(name, row).as_dict())


def silence(kit: Kit, name: str) -> Stored:
    """Silence a reminder; an example too.

    Raises:
        NotFoundError: no such reminder.
    """
    known = [one.name for one in reminders(kit)]
    if name not in known:
        raise NotFoundError(f"There is no reminder {name[:40]!r}.", instead=known)
    return set_reminder(kit, {"name": name, "off": "yes"})
