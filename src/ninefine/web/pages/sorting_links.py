"""The pages beside the sorting table: what a mix says, what searching pays, sets, guide sheets, triage."""

from dataclasses import dataclass

from ninefine.web.visit import Visit

#: The first route of each page, its words, and what it is for.
PAGES = (
    ("mix", "What the mix says", "Dates found, beside what mintage would have"),
    ("search", "What searching pays", "Chances of finds, and money an hour"),
    ("sets", "Sets", "What a date set lacks, and what may go back"),
    ("sheets", "Guide sheets", "Your own tables of collector prices"),
    ("triage", "Triage", "Keep it, pull it, or back to the heap"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class SortingLink:
    """A way to one of the pages; `here` where it is the page itself."""

    words: str
    note: str
    href: str
    here: bool


def sorting_links(visit: Visit, here: str = "") -> tuple[SortingLink, ...]:
    """Ways to the pages, in their order; `here` is the first route of the page itself."""
    return tuple(
        SortingLink(words=words, note=note, href=visit.path_to(name), here=name == here) for name, words, note in PAGES
    )
