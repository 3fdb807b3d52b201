"""Reference: looking a kind up by plain words, and all that its page says."""

from dataclasses import dataclass

from ninefine.catalog.facts import KindFacts, kind_facts
from ninefine.catalog.kinds import Issue, Kind
from ninefine.catalog.lookup import Look, look
from ninefine.desk.holdings import HeapLine
from ninefine.desk.kit import Kit
from ninefine.worth.ounces import ounces_of


@dataclass(frozen=True, slots=True, kw_only=True)
class KindPage:
    """A kind with its facts, its issues, and what of it is held."""

    kind: Kind
    facts: KindFacts
    issues: tuple[Issue, ...]
    held: tuple[HeapLine, ...]


def search(kit: Kit, text: str) -> Look:
    """Kinds and issues by plain words, best first, with near misses and refusals."""
    return look(kit.catalog(), text)


def kind_page(kit: Kit, slug: str) -> KindPage:
    """All that a kind's page says.

    Raises:
        NotFoundError: no such kind; near misses are offered.
    """
    catalog = kit.catalog()
    kind = catalog.kind(slug)
    held = [heap for heap in kit.holdings().heaps if heap.kind == kind.slug]
    return KindPage(
        kind=kind,
        facts=kind_facts(catalog, kind.slug),
        issues=catalog.issues(kind.slug),
        held=tuple(HeapLine(heap=heap, kind=kind, ounces=ounces_of(heap, kind)) for heap in held),
    )
