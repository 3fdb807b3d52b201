"""The mintage picture of a series, with what is held of it, or was found in a bag, by year and mint."""

from collections.abc import Iterable, Mapping

from ninefine.desk.kit import Kit
from ninefine.sorting.expected import Expected
from ninefine.sorting.found import finds_of
from ninefine.sorting.mintage import MintagePicture, mintage_picture
from ninefine.sorting.tally import Row


def mintage_of(kit: Kit, slug: str) -> MintagePicture | None:
    """The picture of a kind; none where no mintage of it is held.

    Raises:
        NotFoundError: no such kind.
    """
    if not kit.catalog().issues(slug):
        return None
    return kit.keep(("mintage", slug), lambda: mintage_picture(kit.catalog(), slug))


def held_by_date(kit: Kit, slug: str) -> Mapping[str, int]:
    """Pieces of a kind that are held and told apart, by year and mint."""
    heaps = kit.holdings().heaps
    return finds_of(slug, (Row(kind=heap.kind, issue=heap.issue, count=heap.count or 0) for heap in heaps))


def pictures_of(
    kit: Kit, expected: Expected, rows: Iterable[Row]
) -> tuple[tuple[MintagePicture, Mapping[str, int]], ...]:
    """The pictures of every series in a mix, each with what a bag holds of it."""
    told = tuple(rows)
    kinds = dict.fromkeys(row.struck.kind for row in expected.shares)
    found = ((mintage_of(kit, slug), finds_of(slug, told)) for slug in kinds)
    return tuple((picture, finds) for picture, finds in found if picture is not None)
