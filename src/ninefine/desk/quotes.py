"""A quote said in every other way: by each basis of ounces, by face, by piece and by roll."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from functools import partial

from ninefine.book.entries import Amount
from ninefine.catalog.kinds import Basis, Kind
from ninefine.desk.amounts import read_amount
from ninefine.desk.fields import Fields
from ninefine.desk.goods import SHORT_NAMES, read_named
from ninefine.desk.kit import Kit
from ninefine.desk.tables import resolve_with
from ninefine.errors import Fault, Faults, InputError, NotFoundError, RangeError
from ninefine.market.answer import QuoteAnswer, answer
from ninefine.market.content import Content, content, content_names
from ninefine.market.goods import Goods
from ninefine.market.prices import Stamp
from ninefine.market.quote import Quote, QuoteForm, basis_of, convert
from ninefine.market.read_quote import read_quote
from ninefine.market.terms import Terms

#: The forms of a quote, in the order in which they are heard at a table, with what each is called.
FORM_WORDS = {
    QuoteForm.TIMES_FACE: "times face",
    QuoteForm.PER_FACE: "for a face dollar",
    QuoteForm.FOR_FACE: "for ten face dollars",
    QuoteForm.EACH: "for each piece",
    QuoteForm.SPOT_PLUS: "against spot, an ounce",
    QuoteForm.PERCENT_OVER: "against spot, per cent",
    QuoteForm.PERCENT_OF_MELT: "as a part of melt",
    QuoteForm.EACH_OVER_MELT: "against melt, each piece",
    QuoteForm.PER_OUNCE: "for a fine ounce",
    QuoteForm.PER_GRAM: "for a gram, gross",
    QuoteForm.FLAT: "for the lot",
}
#: Places to which a quote is written where its figure has no end.
PLACES = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class Wording:
    """One way of saying a price; a way that counts no ounces says the same on every basis.

    Attributes:
        form: the way.
        words: what it is called.
        said: the quote on each basis that can be told, without the words that name the basis.
    """

    form: QuoteForm
    words: str
    said: Mapping[Basis, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class QuoteSheet:
    """A quote in every form.

    Attributes:
        answer: its figures.
        basis: the ounces that the quote itself counts.
        wordings: the price said in every other form that these goods have.
        stamp: the price of the metal that it was struck on; none where none is known or spot was given.
        amount: how much is on offer, where that was said.
        total: what that comes to, to the cent's fraction; none without an amount.
    """

    answer: QuoteAnswer
    basis: Basis
    wordings: tuple[Wording, ...]
    stamp: Stamp | None
    amount: Amount | None
    total: Decimal | None


def goods_choices() -> tuple[tuple[str, str], ...]:
    """The trade's own names for goods, with plain words for each."""
    return tuple((name, content(name).name) for name in content_names())


def convert_quote(kit: Kit, form: Mapping[str, str]) -> QuoteSheet:
    """Say a quote in every form.

    Fields: `quote`; `goods` (a trade name, a slug or plain words; 90% small coin if empty); `spot` (the price on record
    if empty); `amount` (needed for a flat price; with a weight, ounces by scale are told too).

    Raises:
        Faults: every fault of the form.
    """
    fields = Fields(form, source="the quote")
    quote = fields.read("quote", read_quote, None, needed=True)
    kind = fields.read("goods", partial(_kind, kit), None) or kit.catalog().kind(SHORT_NAMES["90"])
    spot = fields.positive("spot")
    amount = fields.read("amount", partial(read_amount, kind=kind), None)
    fields.done()
    stamp = None
    if spot is None:
        stamp = _stamp(kit, kind.metal)
        spot = None if stamp is None else stamp.per_ozt
    if quote is None:  # pragma: no cover - `done` has raised
        raise Faults([Fault(where="quote", wrong="This is needed.")])
    try:
        terms = _terms(_holds(kit, fields.raw("goods"), kind), kind, amount, spot)
        found = answer(quote, terms)
    except InputError as error:
        raise Faults([Fault(where="quote", wrong=str(error))], source="the quote") from error
    return QuoteSheet(
        answer=found,
        basis=basis_of(quote, terms),
        wordings=tuple(_wordings(quote, terms)),
        stamp=stamp,
        amount=amount,
        total=None if terms.units is None else found.usd_per_unit * _decimal(terms.units),
    )


def _kind(kit: Kit, text: str) -> Kind:
    return read_named(kit.catalog(), text).kind


def _stamp(kit: Kit, metal: str) -> Stamp | None:
    try:
        return kit.stamp(metal=metal)
    except NotFoundError:
        return None


def _holds(kit: Kit, said: str, kind: Kind) -> Content:
    """What a unit of the goods holds: as the trade counts them under its own names, else as the catalog does."""
    try:
        return content(said or "90")
    except NotFoundError:
        return resolve_with(kit)(kind.slug)


def _terms(holds: Content, kind: Kind, amount: Amount | None, spot: Decimal | None) -> Terms:
    if amount is None:
        return Terms(content=holds, spot=None if spot is None else Fraction(spot))
    goods = Goods(kind=kind.slug, content=holds, count=amount.count, face=amount.face, gross_g=amount.gross_g)
    return goods.terms(spot)


def _wordings(quote: Quote, terms: Terms) -> list[Wording]:
    found = []
    for form, words in FORM_WORDS.items():
        bases = list(Basis) if form.counts_ounces else [basis_of(quote, terms)]
        if form is QuoteForm.PER_GRAM:  # a weight settles which grams are meant
            bases = [Basis.TRADE, Basis.UNWORN] if terms.scale_g is None else [Basis.SCALE]
        said: dict[Basis, str] = {}
        for basis in bases:
            words_now = _said(quote, form, basis, terms)
            if words_now is not None:
                said[basis] = words_now
        if said:
            found.append(Wording(form=form, words=words, said=said))
    return found


def _said(quote: Quote, form: QuoteForm, basis: Basis, terms: Terms) -> str | None:
    """A quote in one form on one basis; none where these goods have no such form, or spot or a weight is lacking."""
    if basis is Basis.SCALE and terms.scale_g is None:
        return None
    try:
        return replace(convert(quote, form, terms, basis=basis), basis_said=False).text(PLACES)
    except RangeError:
        return None


def _decimal(value: Fraction) -> Decimal:
    return Decimal(value.numerator) / Decimal(value.denominator)
