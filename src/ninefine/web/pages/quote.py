"""A quote said in every other way: asked by address, so that it can be kept and shared between windows."""

from starlette.responses import Response

from ninefine.catalog.kinds import Basis
from ninefine.desk.amounts import say_amount
from ninefine.desk.quotes import QuoteSheet, convert_quote, goods_choices
from ninefine.web.ledger import Column, Ledger, Of, Row
from ninefine.web.pages.asked import ask
from ninefine.web.visit import Visit, shown

_BASES = {Basis.TRADE: "the trade's count", Basis.UNWORN: "as struck", Basis.SCALE: "by the scale"}


def page(visit: Visit) -> Response:
    """The converter, and its answer where a quote was typed."""
    ask(visit, "quote", "spot", "amount", "other", goods="90")
    asked = dict(visit.form.fields)
    sheet: QuoteSheet | None = None
    if asked["quote"]:
        asked["goods"] = asked["other"] or asked["goods"]
        sheet = visit.form.attempt(convert_quote, visit.kit, asked)
        if asked["other"] and visit.form.fault("goods"):
            visit.form.faults["other"] = visit.form.faults.pop("goods")
    return visit.page(
        "quote.html",
        stage="offers",
        status=200 if visit.form.ok else 400,
        sheet=sheet,
        amount="" if sheet is None or sheet.amount is None else say_amount(sheet.amount),
        goods=goods_choices(),
        ounces=None if sheet is None else _ounces(visit, sheet),
        pieces=None if sheet is None or not sheet.answer.pieces else _pieces(visit, sheet),
        plain=None if sheet is None else _plain(sheet),
        counted=None if sheet is None else _counted(sheet),
    )


def _ounces(visit: Visit, sheet: QuoteSheet) -> Ledger:
    found, unit = sheet.answer, visit.kit.journal.currency
    figures = {
        Basis.TRADE: (
            found.usd_per_ozt_trade,
            found.premium_usd_per_ozt_trade,
            found.premium_pct_trade,
            found.pct_of_melt_trade,
        ),
        Basis.UNWORN: (
            found.usd_per_ozt_unworn,
            found.premium_usd_per_ozt_unworn,
            found.premium_pct_unworn,
            found.pct_of_melt_unworn,
        ),
        Basis.SCALE: (
            found.usd_per_ozt_scale,
            found.premium_usd_per_ozt_scale,
            found.premium_pct_scale,
            found.pct_of_melt_scale,
        ),
    }
    keys = ("each", "over", "pct", "melt")
    return Ledger(
        caption="For a fine ounce, on each count of ounces",
        columns=(
            Column(key="basis", head="Ounces"),
            Column(key="each", head="A fine ounce", of=Of.MONEY, places=4, unit=unit),
            Column(key="over", head="Over spot", of=Of.MONEY, places=4, signed=True, unit=unit),
            Column(key="pct", head="Over spot", of=Of.PERCENT, signed=True),
            Column(key="melt", head="Of melt", of=Of.PERCENT),
        ),
        rows=[
            Row(
                cells={"basis": f"ozt {basis}", **dict(zip(keys, row, strict=True))},
                note=_BASES[basis] + (", as the quote counts" if basis is sheet.basis else ""),
            )
            for basis, row in figures.items()
            if row[0] is not None
        ],
    )


def _pieces(visit: Visit, sheet: QuoteSheet) -> Ledger:
    return Ledger(
        caption="For a piece and for a roll",
        columns=(
            Column(key="piece", head="Piece"),
            Column(key="price", head="Price", of=Of.MONEY, unit=visit.kit.journal.currency),
        ),
        rows=[Row(cells={"piece": piece.name, "price": piece.usd}) for piece in sheet.answer.pieces],
    )


def _plain(sheet: QuoteSheet) -> Ledger:
    """The forms that count no ounces."""
    return Ledger(
        caption="By face, by piece, by weight",
        columns=(Column(key="words", head="Said"), Column(key="said", head="The price")),
        rows=[
            Row(cells={"words": one.words, "said": next(iter(one.said.values()))})
            for one in sheet.wordings
            if len(one.said) == 1
        ],
        empty="These goods are quoted by the ounce alone.",
    )


def _counted(sheet: QuoteSheet) -> Ledger:
    """The forms that mean nothing without saying which ounces."""
    rows = [one for one in sheet.wordings if len(one.said) > 1]
    bases = [basis for basis in _BASES if any(basis in one.said for one in rows)]
    return Ledger(
        caption="By the ounce, on each count of ounces",
        columns=(
            Column(key="words", head="Said"),
            *(Column(key=basis, head=f"On {basis} ounces") for basis in bases),
        ),
        rows=[
            Row(cells={"words": one.words, **{basis: one.said[basis] for basis in bases if basis in one.said}})
            for one in rows
        ],
        empty="No price of this metal is known, so nothing is said against it.",
    )


routes = [shown("/quote", page, name="quote")]
