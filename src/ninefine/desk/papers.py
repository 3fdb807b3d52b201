"""The papers: one function makes each from the book and from what was asked, and a list says which there are."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from functools import partial

from ninefine.desk import gains as desk_gains
from ninefine.desk import paper_tables as tables
from ninefine.desk.book_settings import GainsForm, Method
from ninefine.desk.fields import Fields
from ninefine.desk.holdings import summary
from ninefine.desk.kit import Kit
from ninefine.desk.paper_card import bidders, goods_for_card
from ninefine.desk.paper_lines import about, awaited, held_valued, lot_papers
from ninefine.desk.paper_purchase import purchase_paper
from ninefine.desk.paper_slips import slips_paper
from ninefine.desk.tables import exits
from ninefine.errors import NotFoundError
from ninefine.market.prices import FRESH_DAYS
from ninefine.papers.as_pdf import Sheet
from ninefine.papers.document import NOTHING, Document
from ninefine.papers.formats import file_name, format_named
from ninefine.papers.gains import gains
from ninefine.papers.inventory import inventory, place_key
from ninefine.papers.letter import Help, letter
from ninefine.papers.lot_calendar import lot_calendar, turnings
from ninefine.papers.pocket_card import ladder, pocket_card, read_ladder
from ninefine.papers.redact import read_tells, redact
from ninefine.papers.settings import Review
from ninefine.papers.share_picture import share_picture
from ninefine.papers.storage import loads, storage


@dataclass(frozen=True, slots=True, kw_only=True)
class Paper:
    """One paper that can be asked for.

    Attributes:
        name: what it is asked for by.
        title: its name in words.
        words: who it is for and what it says.
        asks: the fields that it takes, by their names in `ASKED`.
        make: makes it.
    """

    name: str
    title: str
    words: str
    asks: tuple[str, ...]
    make: Callable[[Kit, Fields], Document]


#: What papers may be asked for: the field, its label, and a hint.
ASKED: dict[str, tuple[str, str]] = {
    "on": ("As of", "Today if empty"),
    "exit": ("Quick sale to", "The usual way out if empty"),
    "entry": ("Entry", "The number of the purchase's entry; the last one if empty"),
    "year": ("Year", "The last one with a sale if empty"),
    "lots": ("Lots or heaps", "Parted by commas; everything if empty"),
    "goods": ("Goods", "90, dollars, ozt, or kinds, parted by commas; the usual ones if empty"),
    "spots": ("Spots", "60 to 80 by 2; around today's price if empty"),
}


def make_paper(kit: Kit, name: str, form: Mapping[str, str]) -> Document:
    """Make a paper. Fields: those that it asks for, and `redact`: what its reader is not to be told, parted by commas.

    Raises:
        NotFoundError: no such paper.
        Faults: every fault of the form, and what is asked of a paper that does not go by it.
    """
    paper = paper_named(name)
    fields = Fields({**form, "paper": name}, source=f"the paper {name}")
    hide = fields.read("redact", read_tells, NOTHING)
    for asked in ASKED:
        if fields.raw(asked) and asked not in paper.asks:
            takers = [one.name for one in PAPERS.values() if asked in one.asks]
            fields.fault(asked, f"This paper does not go by it. It is for {', '.join(takers)}.")
    made = paper.make(kit, fields)
    return redact(made, hide)


def paper_named(name: str) -> Paper:
    """A paper by its name.

    Raises:
        NotFoundError: no such paper.
    """
    if name not in PAPERS:
        raise NotFoundError(f"There is no paper {name[:30]!r}.", instead=tuple(PAPERS))
    return PAPERS[name]


def sheet_for(kit: Kit) -> Sheet:
    """The size of paper that is usual where the book's currency is."""
    return Sheet.LETTER if kit.journal.currency in {"USD", "CAD", "MXN", "PHP", "CLP"} else Sheet.A4


def _day(kit: Kit, fields: Fields) -> date | None:
    """A past day that was asked for; none for today."""
    on = fields.day("on", kit.today())
    if on > kit.today():
        fields.fault("on", "This day has not come yet.")
    return None if on >= kit.today() else on


def _inventory(kit: Kit, fields: Fields) -> Document:
    on = _day(kit, fields)
    fields.done()
    return inventory(
        about(kit, on),
        held_valued(kit, on=on),
        kept=lot_papers(kit),
        covers=tables.covers(kit),
        awaited=awaited(kit, on),
    )


def _key(kit: Kit, fields: Fields) -> Document:
    fields.done()
    return place_key(about(kit), tuple(tables.places(kit).values()))


def _letter(kit: Kit, fields: Fields) -> Document:
    on = _day(kit, fields)
    exit_name = fields.raw("exit")
    held = fields.read_value("exit", exit_name, lambda name: held_valued(kit, on=on, exit_name=name))
    fields.done()
    if held is None:  # pragma: no cover - a fault was raised above
        raise NotFoundError("There is no such way out.")
    forms = summary(kit, on=on).here.by_form()
    return letter(
        about(kit, on),
        held,
        help_from=Help(people=tables.people(kit), exits=exits(kit, on)),
        share=share_picture(forms) if len(forms) > 1 else None,
    )


def _gains(kit: Kit, fields: Fields) -> Document:
    """The year's table as its page shows it: by the book's own method and form, with what brokers reported."""
    year = fields.count("year", desk_gains.last_year(kit))
    fields.done()
    table = desk_gains.gains(kit, year or kit.today().year)
    return gains(
        about(kit),
        desk_gains.year_of(kit, table.year),
        describe=partial(desk_gains.describe_disposal, kit),
        form_8949=table.form is GainsForm.FORM_8949,
        gross=frozenset(line.row.disposal.serial for line in table.lines if line.reported and line.reported.gross),
        averaged=table.method is Method.AVERAGE,
    )


def _storage(kit: Kit, fields: Fields) -> Document:
    on = _day(kit, fields)
    fields.done()
    here = summary(kit, on=on).here
    return storage(about(kit, on), loads(here.lines, tables.places(kit)), unknown=len(here.unknown))


def _card(kit: Kit, fields: Fields) -> Document:
    spot = kit.spot_or_none()
    goods = fields.read_value("goods", fields.raw("goods"), lambda said: goods_for_card(kit, said))
    spots = fields.read("spots", read_ladder, ladder(spot) if spot is not None else ())
    if not spots and fields.sound:
        fields.fault("spots", "No price of silver is known. Give a ladder: 60 to 80 by 2.")
    fields.done()
    return pocket_card(about(kit), goods or (), bidders(kit), spots)


def _calendar(kit: Kit, fields: Fields) -> Document:
    fields.done()
    today = kit.today()
    marks = kit.board().own("XAG")
    price = []
    if marks:
        due = max(today, date.fromordinal(marks[-1].on.toordinal() + FRESH_DAYS))
        said = f"Last read on {marks[-1].on.isoformat()}."
        price.append(Review(name="the price of silver", on=due, note=said))
    held = kit.holdings()
    return lot_calendar(about(kit), turnings(held.lots.values(), today), (*price, *tables.reviews(kit)))


PAPERS: dict[str, Paper] = {
    one.name: one
    for one in (
        Paper(
            name="inventory",
            title="Inventory",
            words="For an insurer: every line by location code, what it would cost to have again, when and how that "
            "was found. Leave the values out, and it serves the police after a theft.",
            asks=("on",),
            make=_inventory,
        ),
        Paper(
            name="key",
            title="Key to the location codes",
            words="Where each code is. Keep it where no list of the silver lies.",
            asks=(),
            make=_key,
        ),
        Paper(
            name="letter",
            title="Letter for the family",
            words="For who must sell without you: what there is and where by code, three values, what not to melt, "
            "whom to ask.",
            asks=("on", "exit"),
            make=_letter,
        ),
        Paper(
            name="purchase",
            title="Record of a purchase",
            words="One purchase with all that came of it, and the digest that ties it to the book.",
            asks=("entry",),
            make=purchase_paper,
        ),
        Paper(
            name="gains",
            title="Gains of a year",
            words="For who prepares the return: a line for each disposal, in the order of U.S. Form 8949.",
            asks=("year",),
            make=_gains,
        ),
        Paper(
            name="bag-slips",
            title="Slips for bags",
            words="A slip for each heap, with a code that names it.",
            asks=("lots",),
            make=slips_paper,
        ),
        Paper(
            name="tube-labels",
            title="Labels for tubes",
            words="The same for tubes, small.",
            asks=("lots",),
            make=slips_paper,
        ),
        Paper(
            name="storage",
            title="What the shelves bear",
            words="Kilograms and pounds by place, against the limits that you set.",
            asks=("on",),
            make=_storage,
        ),
        Paper(
            name="card",
            title="Pocket card",
            words="For a show: the most to pay, by spot and by way out. As a page it works on a phone, offline.",
            asks=("goods", "spots"),
            make=_card,
        ),
        Paper(
            name="calendar",
            title="Days to remember",
            words="When each lot turns long-term, and when a price, a cover or this letter is due for review.",
            asks=(),
            make=_calendar,
        ),
    )
}


def file_of(document: Document, name: str, sheet: Sheet) -> tuple[str, str, bytes]:
    """A paper as a file: its name, its media type and its bytes.

    Raises:
        InputError: the paper cannot be had so.
    """
    one = format_named(name)
    return file_name(document, one), one.media, one.make(document, sheet)
