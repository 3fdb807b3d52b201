"""Ounces and the stack: each figure on its basis, shares that sum, cents that are conserved."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ninefine.book.entries import Amount
from ninefine.book.holdings import Heap
from ninefine.catalog.catalog import Catalog
from ninefine.catalog.kinds import Basis
from ninefine.catalog.shelf import load_catalog
from ninefine.errors import RangeError
from ninefine.measure.money import cents
from ninefine.measure.numbers import to_places
from ninefine.worth.ounces import ounces_of
from ninefine.worth.stack import stack_of

CATALOG = load_catalog()
KINDS = ["us-90", "us-dime-90", "us-half-40", "us-dollar-morgan", "us-five-cent-wartime", "us-quarter-clad"]


def heap(kind: str, **how: object) -> Heap:
    known = {"place": "", "basis": Decimal(0), "cost_known": True, **how}
    much = {name: known.pop(name) for name in ("count", "face", "gross_g") if name in known}
    amount = Amount(**much)  # type: ignore[arg-type]
    return Heap(lot="L1", kind=kind, issue="", amount=amount, **known)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("kind", "amount", "unworn", "trade"),
    [
        # 25.0 g x 0.900 a face dollar; 0.715 is common practice
        ("us-90", Amount(face=Decimal(100)), "72.3392", "71.5000"),
        # Act of 1837: 412.5 gr .900 = 371.25 gr pure = 0.7734375 ozt; 0.765 common practice
        ("us-dollar-morgan", Amount(count=20), "15.4688", "15.3000"),
        # Coinage Act of 1965: 11.5 g holding 4.6 g; 0.295 a face dollar common practice
        ("us-half-40", Amount(count=20), "2.9579", "2.9500"),
        # 5 g of .350; the trade uses the specification
        ("us-five-cent-wartime", Amount(count=40), "2.2506", "2.2506"),
        ("us-quarter-clad", Amount(count=40), "0.0000", "0.0000"),
    ],
)
def test_ounces_by_specification_and_by_trade(kind: str, amount: Amount, unworn: str, trade: str) -> None:
    ounces = ounces_of(amount, CATALOG.kind(kind))

    assert (to_places(ounces.unworn, 4), to_places(ounces.trade, 4)) == (Decimal(unworn), Decimal(trade))


def test_a_weighed_heap_answers_by_scale_and_an_unweighed_one_by_trade() -> None:
    """Elm Hollow's offer C: 60 face at 1,461 g is 42.2750 ozt by scale (PRACTICE.md, invented household)."""
    kind = CATALOG.kind("us-90")
    weighed = ounces_of(Amount(face=Decimal(60), gross_g=Decimal(1461)), kind).on(Basis.SCALE)
    guessed = ounces_of(Amount(face=Decimal(60)), kind).on(Basis.SCALE)

    assert (to_places(weighed.ozt, 4), weighed.basis) == (Decimal("42.2750"), Basis.SCALE)
    assert (guessed.ozt, guessed.basis) == (Decimal("42.9"), Basis.TRADE)


def test_forty_weighed_quarters_by_scale() -> None:
    """Triola, Elementary Statistics, 12th ed. (2014), data set 21: 40 pre-1964 quarters, mean 6.192673 g."""
    gross = Decimal("6.192673") * 40
    ounces = ounces_of(Amount(count=40, face=Decimal(10), gross_g=gross), CATALOG.kind("us-quarter-90"))

    assert ounces.scale is not None
    assert to_places(ounces.scale / 10, 4) == Decimal("0.7168")
    assert to_places((gross / (Decimal("6.25") * 40) - 1) * 100, 3) == Decimal("-0.917")


def test_a_kind_of_no_set_size_must_be_weighed() -> None:
    sterling = next(kind for kind in CATALOG.kinds if kind.slug.startswith("household-sterling"))

    with pytest.raises(RangeError, match="weigh it"):
        ounces_of(Amount(count=6), sterling)
    assert to_places(ounces_of(Amount(gross_g=Decimal("311.034768")), sterling).unworn, 4) == Decimal("9.2500")


@st.composite
def heaps(draw: st.DrawFn) -> list[Heap]:
    def one() -> Heap:
        slug = draw(st.sampled_from(KINDS))
        kind = CATALOG.kind(slug)
        count = draw(st.integers(1, 5000))
        face = kind.face * count if kind.face else Decimal(count)
        grams = draw(st.none() | st.decimals("0.1", "100000", places=1))
        return heap(
            slug,
            count=count if kind.face else None,
            face=face,
            gross_g=grams,
            place=draw(st.sampled_from(["", "A1", "B2"])),
            basis=draw(st.decimals(0, 10000, places=2)),
        )

    return [one() for _ in range(draw(st.integers(0, 12)))]


class TestTheStackAddsUp:
    """Whatever is held: shares sum to the whole, rows of melt sum to the rounded whole, piles lose nothing."""

    catalog: Catalog = CATALOG

    @given(heaps(), st.sampled_from(list(Basis)), st.decimals("1", "200", places=2))
    def test_shares_and_cents(self, held: list[Heap], basis: Basis, spot: Decimal) -> None:
        stack = stack_of(held, self.catalog.kind, basis=basis, spots={"XAG": spot})

        whole = sum((ounces_of(one, self.catalog.kind(one.kind)).on(basis).ozt for one in held), Decimal(0))
        assert abs(stack.ozt() - whole) < Decimal("1e-20")
        assert stack.cost == sum((one.basis for one in held), Decimal(0))
        for shares in (stack.by_form(), stack.by_place(), stack.by_kind()):
            assert abs(sum((share.ozt for share in shares), Decimal(0)) - stack.ozt()) < Decimal("1e-20")
            if stack.ozt():
                assert abs(sum((share.part for share in shares), Decimal(0)) - 1) < Decimal("1e-20")
            assert sum((share.melt or Decimal(0) for share in shares), Decimal(0)) == (stack.melt() or 0)
        if held:
            assert stack.melt() == cents(stack.ozt() * spot)

    def test_a_kind_that_the_catalog_does_not_hold_is_listed_and_counts_only_as_cost(self) -> None:
        strange = heap("own-gone", count=1, basis=Decimal(10))

        stack = stack_of([strange, heap("us-90", face=Decimal(10))], self.catalog.kind, spots={"XAG": Decimal(30)})

        assert stack.unknown == (strange,)
        assert (stack.ozt(), stack.cost) == (Decimal("7.15"), Decimal(10))


def test_a_dollar_forty_of_face_is_about_an_ounce() -> None:
    """Common practice, no source: face divided by 1.40 is ounces, the round figure beside 0.715 a face dollar."""
    by_trade = ounces_of(Amount(face=Decimal("1.40")), CATALOG.kind("us-90")).trade

    assert to_places(by_trade, 3) == Decimal("1.001")
    assert abs(by_trade - 1) < Decimal("0.0015")
