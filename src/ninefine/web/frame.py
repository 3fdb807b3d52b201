"""What stands around every page: the way of the silver, what is waiting at each stage, the book's name, the day."""

from collections import Counter
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum

from starlette.requests import Request

from ninefine.desk.kit import Kit
from ninefine.desk.waiting import waiting


class Ground(StrEnum):
    """The ground that pages are written on."""

    AUTO = "auto"
    PAPER = "paper"
    SLATE = "slate"


GROUND_COOKIE = "ninefine_ground"

#: The stages in the order that silver goes through them: the name of each one's first route, and its words.
STAGES = (
    ("first", "First page"),
    ("offers", "Offers"),
    ("arrivals", "Arrivals"),
    ("sorting", "Sorting"),
    ("holdings", "Holdings"),
    ("exits", "Exits"),
    ("papers", "Papers"),
)
#: What stands beside the way.
BESIDE = (("plans", "Plans"), ("bench", "Bench"), ("prices", "Prices"), ("reference", "Reference"), ("book", "Book"))


@dataclass(frozen=True, slots=True, kw_only=True)
class FrameFacts:
    """What the frame tells of the book; all empty where the book itself cannot be read.

    Attributes:
        today: the day that pages are worked out for.
        book: the book's name.
        currency: the book's currency, ISO 4217.
        plain: the book is kept without a passphrase, and every page says so.
        waiting: how many things wait at a stage, by the stage's route name; none for a stage without.
    """

    today: date | None = None
    book: str = ""
    currency: str = ""
    plain: bool = False
    waiting: Mapping[str, int] = field(default_factory=dict)


#: Tells the frame's facts; asked once for every page.
FrameSource = Callable[[Kit], FrameFacts]


def facts_of(kit: Kit) -> FrameFacts:
    """The frame's facts from the desk's kit."""
    return FrameFacts(
        today=kit.today(),
        book=kit.journal.name,
        currency=kit.journal.currency,
        plain=kit.journal.is_plain,
        waiting=Counter(str(item.stage) for item in waiting(kit)),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Stop:
    """One stage as the frame draws it."""

    words: str
    href: str
    here: bool
    waiting: int


def ground_of(request: Request) -> Ground:
    """The ground that the person chose, or the system's."""
    chosen = request.cookies.get(GROUND_COOKIE, "")
    return Ground(chosen) if chosen in set(Ground) else Ground.AUTO


def stops(
    names: tuple[tuple[str, str], ...], *, hrefs: Mapping[str, str], here: str, waiting: Mapping[str, int]
) -> list[Stop]:
    """The stages that have a page, in order; `here` is the route name of the page's own stage."""
    return [
        Stop(words=words, href=hrefs[name], here=name == here, waiting=waiting.get(name, 0))
        for name, words in names
        if name in hrefs
    ]
