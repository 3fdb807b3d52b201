"""What a reader is not to be told is gone from every form of a paper, not covered up."""

import json
import re
from collections.abc import Iterator
from datetime import date
from decimal import Decimal

import pytest

from ninefine.desk import papers
from ninefine.desk.kit import Kit
from ninefine.errors import NotFoundError
from ninefine.papers.as_html import as_html
from ninefine.papers.as_text import as_text
from ninefine.papers.document import (
    NOTHING,
    Break,
    Column,
    Document,
    Group,
    Heading,
    Ledger,
    Of,
    Pairs,
    Prose,
    Row,
    Tells,
)
from ninefine.papers.payload import payload
from ninefine.papers.redact import read_tells, redact
from ninefine.papers.written import figure

D = Decimal


def every_word(document: Document) -> str:
    """Everything that any form of a paper is made from."""
    return "\n".join([as_text(document), as_html(document), json.dumps(payload(document), ensure_ascii=False)])


def money_told(document: Document, telling: Tells) -> Iterator[D]:
    """Every amount of money that a paper holds in parts that give something away."""
    for ledger in document.ledgers:
        for place, column in enumerate(ledger.columns):
            if column.of is Of.MONEY and column.tells & telling:
                yield from (row.cells[place] for row in ledger.rows if isinstance(row.cells[place], D))  # type: ignore[misc]
                total = ledger.totals()[place]
                yield from [total] if total is not None else []
    for block in document.blocks:
        if isinstance(block, Pairs):
            yield from (pair.value for pair in block.pairs if isinstance(pair.value, D) and pair.tells & telling)


@pytest.mark.parametrize("name", ["inventory", "letter"])
def test_without_values_no_amount_of_any_value_is_left(demo_papers: dict[str, Document], name: str) -> None:
    amounts = {figure(amount, 2) for amount in money_told(demo_papers[name], Tells.VALUES)}
    # smaller ones might turn up as a weight or a face
    large = {amount for amount in amounts if len(amount) >= len("1,000.00")}

    words = every_word(redact(demo_papers[name], Tells.VALUES))

    assert len(large) > 12
    assert not {amount for amount in large if amount in words}
    assert "Left out for this reader: values." in words
    assert "an ozt" not in words


@pytest.mark.parametrize("name", ["purchase", "gains"])
def test_without_costs_no_price_or_proceeds_are_left(demo_papers: dict[str, Document], name: str) -> None:
    amounts = {figure(amount, 2) for amount in money_told(demo_papers[name], Tells.COSTS) if amount}

    words = every_word(redact(demo_papers[name], Tells.COSTS))

    assert amounts
    assert not {amount for amount in amounts if amount in words}


PLACES = {"inventory", "letter", "storage", "bag-slips", "tube-labels", "key"}


@pytest.mark.parametrize("name", sorted(PLACES))
def test_without_places_no_location_code_is_left(demo_kit: Kit, demo_papers: dict[str, Document], name: str) -> None:
    codes = {heap.place for heap in demo_kit.holdings().heaps} | set(demo_kit.holdings().tables["place"])
    codes.discard("")
    found = re.compile(rf"\b({'|'.join(codes)})\b(?!%|\.)")

    assert found.search(as_text(demo_papers[name])), "the paper had no place to hide"
    assert not found.search(as_text(redact(demo_papers[name], Tells.PLACES)))


def test_without_places_rows_no_longer_lie_by_place(demo_papers: dict[str, Document]) -> None:
    """Their order would tell which lie together."""
    bare = redact(demo_papers["inventory"], Tells.PLACES)

    assert [len(ledger.groups) for ledger in bare.main] == [1, 1]
    names = [str(row.cells[0]) for row in bare.main[0].rows]
    assert names == sorted(names)


@pytest.mark.parametrize("name", sorted(papers.PAPERS))
def test_without_sellers_no_seller_or_way_out_is_named(
    demo_kit: Kit, demo_papers: dict[str, Document], name: str
) -> None:
    held = demo_kit.holdings()
    sellers = {lot.seller for lot in held.lots.values()} | set(held.tables["exit"]) | {"Saltbox Post", "auction room"}
    words = every_word(redact(demo_papers[name], Tells.SELLERS))

    assert not {seller for seller in sellers if seller and seller in words}


def test_without_people_and_notes_neither_are_left(demo_kit: Kit, demo_papers: dict[str, Document]) -> None:
    letter = every_word(redact(demo_papers["letter"], Tells.PEOPLE))
    inventory = every_word(redact(demo_papers["inventory"], Tells.NOTES))

    assert "Ada Fennimore" in every_word(demo_papers["letter"])
    assert "Fennimore" not in letter
    assert demo_kit.journal.name not in letter
    assert "Serial 0471" in every_word(demo_papers["inventory"])
    assert "0471" not in inventory
    assert "LS-0412" not in inventory


def test_headings_and_new_pages_without_matter_go_too() -> None:
    document = Document(
        name="x",
        title="X",
        on=date(2026, 6, 12),
        blocks=(
            Heading(text="Values"),
            Prose(text="66.00", tells=Tells.VALUES),
            Break(),
            Heading(text="Rest"),
            Prose(text="said"),
            Break(),
            Heading(text="Places"),
            Prose(text="A1", tells=Tells.PLACES | Tells.VALUES),
        ),
    )

    assert [type(block).__name__ for block in redact(document, Tells.VALUES).blocks] == ["Break", "Heading", "Prose"]
    assert len(redact(document, Tells.PLACES).blocks) == 5
    assert redact(document, NOTHING) is document


def test_a_ledger_that_tells_by_being_there_goes_whole() -> None:
    ledger = Ledger(
        caption="Asks", columns=(Column(head="For"),), groups=(Group(rows=(Row(cells=("90",)),)),), tells=Tells.VALUES
    )
    document = Document(name="x", title="X", on=date(2026, 6, 12), blocks=(ledger,))

    assert redact(document, Tells.VALUES).blocks == ()
    assert redact(document, Tells.PLACES).blocks == (ledger,)


def test_what_to_leave_out_is_read_from_words() -> None:
    assert read_tells(" values, Places ,") == Tells.VALUES | Tells.PLACES
    assert read_tells("") == NOTHING
    with pytest.raises(NotFoundError, match=r"Try: values, costs, places, sellers, people, notes\."):
        read_tells("everything")
