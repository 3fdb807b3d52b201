"""The worked example of ten pieces (docs/ideas/triage.md) is run, and each line of its arithmetic worked again."""

import ast
import csv
import re
import tomllib
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from ninefine.catalog.shelf import load_catalog
from ninefine.intake.sheet_csv import SheetHead, read_sheet_csv
from ninefine.market.exits import exit_from
from ninefine.measure.numbers import EXACT, to_places
from ninefine.worth.band import read_band
from ninefine.worth.collectors import collector_exit_from, flaw_shares_from
from ninefine.worth.grader_fees import grader_fees_from
from ninefine.worth.graders import GradingCase, grading_pays, outcomes_from
from ninefine.worth.guide import guide_of
from ninefine.worth.piece import Piece
from ninefine.worth.span import Grading
from ninefine.worth.triage import TriageRules, triage, triage_total
from ninefine.worth.verdict import Triaged, Verdict

CATALOG = load_catalog()
PAGE = (Path(__file__).resolve().parents[3] / "docs" / "ideas" / "triage.md").read_text(encoding="utf-8")
BLOCKS = re.findall(r"^```(\w+)\n(.*?)^```", PAGE, re.DOTALL | re.MULTILINE)
RULES_TEXT, SHEET_TEXT, PIECES_TEXT, OUTCOMES_TEXT, FEES_TEXT = (text for _, text in BLOCKS)
SUMS = re.findall(r"`([^`\n]*\d [x/+-] [^`\n]*|sqrt[^`\n]*|cbrt[^`\n]*) = (-?[\d.]+)`", " ".join(PAGE.split()))


def rules() -> TriageRules:
    said = tomllib.loads(RULES_TEXT)
    sheet = read_sheet_csv(SHEET_TEXT, SheetHead(name="the sheet", on=date(2026, 6, 1)), CATALOG)
    return TriageRules(
        guide=guide_of([sheet], today=date(2026, 11, 25)),
        spots={"XAG": Decimal(said["spot"])},
        exits=tuple(exit_from(row) for row in said["exit"]),
        collectors=tuple(collector_exit_from(row) for row in said["collector"]),
        shares=flaw_shares_from(said["shares"]),
        threshold=Decimal(said["threshold"]),
        hourly=Decimal(said["hourly"]),
    )


def table(text: str) -> list[dict[str, str]]:
    return [dict(row) for row in csv.DictReader(text.splitlines(), skipinitialspace=True)]


def piece(row: dict[str, str]) -> Piece:
    issue = next((one for one in CATALOG.issues(row["kind"]) if one.key == row["issue"]), None)
    return Piece(
        name=row["no"],
        kind=CATALOG.kind(row["kind"]),
        issue=row["issue"],
        band=read_band(row["band"]),
        gross_g=Decimal(row["grams"]) if row["grams"] else None,
        rank=issue.rank if issue else "",
        look_for=issue.look_for if issue else "",
        wanted=row["wanted"],
    )


def answers() -> list[Triaged]:
    return [triage(piece(row), rules()) for row in table(PIECES_TEXT)]


def shown(answer: Triaged) -> list[str]:
    """An answer as the page's table writes it."""
    cells = [answer.piece.name, f"{answer.metal.melt}", f"{answer.metal.bids[0].net}"]
    if answer.collected is None or answer.best is None or answer.extra is None:
        return [*cells, *[""] * 10, str(answer.verdict)]
    worth, net, extra = answer.collected.worth, answer.best.net, answer.extra
    cells += [f"{end:.2f}" for end in (worth.low, worth.mid, worth.high)]
    cells.append(answer.best.exit.name)
    cells += [f"{end:.2f}" for end in (net.low, net.mid, net.high, extra.low, extra.mid, extra.high)]
    return [*cells, str(answer.verdict)]


def test_the_ten_answers_are_those_of_the_page() -> None:
    lines = [line for line in PAGE.splitlines() if re.match(r"\| \d+ \|", line)]

    assert [[cell.strip() for cell in line.strip("|").split("|")] for line in lines] == [
        shown(one) for one in answers()
    ]
    assert len(lines) == 10


def test_the_totals_are_those_of_the_page() -> None:
    together, apart = triage_total(answers()), triage_total(answers(), Grading.APART)

    assert dict(together.pieces) == {Verdict.PULL: 4, Verdict.KEEP: 2, Verdict.HEAP: 4}
    for figure in (together.in_heap, *ends(together.net), together.extra.mid, *ends(apart.net)):
        assert f"= {figure:.2f}`" in PAGE or f"= {figure:.2f}." in PAGE, figure


def ends(net: object) -> tuple[Decimal, Decimal, Decimal]:
    return net.low, net.mid, net.high  # type: ignore[attr-defined]


def test_the_sheet_is_as_old_as_the_page_says() -> None:
    first = answers()[0]

    assert first.collected is not None
    assert f"{first.collected.price.age} days old" in PAGE
    assert not first.collected.price.stale
    assert str(next(one.pays_from for one in answers() if one.piece.name == "5")) == "AU50"


def test_the_grading_answer_is_that_of_the_page() -> None:
    usual = rules()
    online = next(way for way in usual.collectors if way.name == "the online sale")
    case = GradingCase(
        kind="us-quarter-washington-silver",
        issue="1932-D",
        raw=read_band("MS60"),
        outcomes=outcomes_from({"outcomes": table(OUTCOMES_TEXT)}),
        declared=Decimal(1100),
        pieces=4,
        raw_exit=online,
        graded_exit=online,
        hourly=usual.hourly,
        shares=usual.shares,
    )
    answer = grading_pays(case, usual.guide, grader_fees_from(tomllib.loads(FEES_TEXT)))

    assert answer.details_break_even is not None
    figures = [answer.raw, answer.cost, answer.expected, answer.gain, *(one.net for one in answer.outcomes)]
    for figure in (*(f"{one:.2f}" for one in figures), f"{to_places(answer.details_break_even.chance, 4)}"):
        assert f"= {figure}`" in PAGE, figure


def worked(node: ast.AST) -> Decimal:
    """Arithmetic as the page writes it: numbers, sums, products, quotients, roots."""
    if isinstance(node, ast.Constant):
        return Decimal(str(node.value))
    if isinstance(node, ast.UnaryOp):
        return -worked(node.operand)
    if isinstance(node, ast.BinOp):
        doing = {ast.Add: EXACT.add, ast.Sub: EXACT.subtract, ast.Mult: EXACT.multiply, ast.Div: EXACT.divide}
        return doing[type(node.op)](worked(node.left), worked(node.right))
    assert isinstance(node, ast.Call)
    assert isinstance(node.func, ast.Name)
    root = {"sqrt": Decimal(2), "cbrt": Decimal(3)}[node.func.id]
    return EXACT.power(worked(node.args[0]), EXACT.divide(Decimal(1), root))


@pytest.mark.parametrize(("sum_", "answer"), SUMS, ids=[f"{one}={other}" for one, other in SUMS])
def test_each_line_of_arithmetic_holds_to_the_place_it_is_written(sum_: str, answer: str) -> None:
    tree = ast.parse(sum_.replace(" x ", " * "), mode="eval").body
    found = worked(tree)
    if isinstance(tree, ast.BinOp) and "x 0.13 - 8.40" in sum_:
        found = _fee_to_the_cent(sum_)
    places = len(answer.partition(".")[2])

    assert to_places(found, places) == Decimal(answer)


def _fee_to_the_cent(sum_: str) -> Decimal:
    """A sale whose fee is rounded to the cent by itself, as the program's lines are."""
    price, fee, flat = (worked(ast.parse(part.replace(" x ", " * "), mode="eval").body) for part in sum_.split(" - "))
    return price - to_places(fee, 2) - flat


def test_the_page_shows_its_arithmetic() -> None:
    """The pattern finds the sums: a page whose sums are no longer found would pass without being checked."""
    assert len(SUMS) == PAGE.count(" = ") - RULES_TEXT.count(" = ") - FEES_TEXT.count(" = ")
    assert len(SUMS) > 60
