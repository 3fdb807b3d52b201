"""Laws of landed cost and of exits: lines sum to totals to the cent, nothing is clamped, records read back."""

from decimal import Decimal
from fractions import Fraction

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from ninefine.catalog.kinds import Basis
from ninefine.market.budget import affordable, is_whole, with_amount
from ninefine.market.compare import compare
from ninefine.market.exits import Bid, Exit, Parcels, Treatment, exit_from
from ninefine.market.goods import Limit, Travel
from ninefine.market.landed import CostKind, landed
from ninefine.market.offers import Carriage, Charged, Offer, OfferLine, Taxed, TaxRule, Tier, Way
from ninefine.market.paid import break_even, pays
from ninefine.market.read_offer import offer_from
from ninefine.market.read_quote import read_quote

money = st.decimals(min_value=0, max_value=500, places=2)
rates = st.decimals(min_value=0, max_value=20, places=2)
spots = st.decimals(min_value="4", max_value="200", places=2)
quotes = st.sampled_from(
    ["24.6x", "spot", "spot+2.10", "spot-0.75", "4% over", "6% under", "95% of melt on unworn ounces", "32 an ounce"]
)
COINS = ("90", "dimes", "quarters", "halves", "dollars", "40", "war")


@st.composite
def tiers(draw: st.DrawFn) -> tuple[Tier, ...]:
    starts = draw(st.lists(st.integers(1, 1000).map(Decimal), max_size=3, unique=True))
    said = [draw(quotes) for _ in starts]
    return tuple(
        Tier(start=start, quote=read_quote(text), said=text) for start, text in zip(sorted(starts), said, strict=True)
    )


@st.composite
def lines(draw: st.DrawFn) -> OfferLine:
    said = draw(quotes)
    weighed = draw(st.booleans())
    face = draw(st.integers(1, 800).map(Decimal))
    return OfferLine(
        kind=draw(st.sampled_from(COINS)),
        face=face,
        gross_g=face * draw(st.decimals(min_value="22", max_value="27", places=1)) if weighed else None,
        quote=read_quote(said),
        said=said,
        tiers=draw(tiers()),
    )


taxes = st.builds(
    TaxRule,
    rate_pct=rates,
    taxed=st.sampled_from(Taxed),
    threshold=st.integers(1, 5000).map(Decimal),
    counts=st.sampled_from(Charged),
    exempt_fineness=st.none() | st.just(Decimal("0.9")),
    source=st.just("read on a page"),
)
offers = st.builds(
    Offer,
    name=st.just("A"),
    lines=st.lists(lines(), min_size=1, max_size=3).map(tuple),
    ways=st.lists(
        st.builds(
            Way,
            name=st.sampled_from(["check", "card", "wire"]),
            surcharge_pct=rates,
            surcharge_on=st.sampled_from(Charged),
            fee=money,
        ),
        max_size=3,
        unique_by=lambda way: way.name,
    ).map(tuple),
    carriage=st.none()
    | st.builds(Carriage, flat=money, pct=rates, free_from=st.none() | st.integers(1, 5000).map(Decimal)).filter(
        lambda carriage: carriage.flat or carriage.pct  # nothing for carriage is no carriage
    ),
    tax=st.none() | taxes,
    travel=st.none() | st.builds(Travel, miles=money.filter(bool), per_mile=st.just(Decimal("0.70"))),
    minimum=st.none()
    | st.builds(
        Limit, amount=st.integers(1, 900).map(Decimal), unit=st.sampled_from(["face", "ozt", "pieces", "money"])
    ),
    discount=money,
    discount_pct=rates,
)
exits = st.builds(
    Exit,
    name=st.just("a way out"),
    bids=quotes.map(lambda said: (Bid(what="silver", quote=read_quote(said), said=said),)),
    basis=st.sampled_from([Basis.TRADE, Basis.UNWORN]),
    fee_pct=rates,
    parcels=st.none() | st.builds(Parcels, face=st.integers(1, 50).map(Decimal), fee=money, postage=money),
    payable_pct=st.none() | st.decimals(min_value=50, max_value=100, places=1),
    treatment=st.none() | st.builds(Treatment, per_gross_ozt=st.just(Decimal("0.30")), minimum=money),
    costs=money,
    days=st.none() | st.integers(0, 90),
)


class TestLandedCost:
    """What an invoice would say."""

    @given(offers, spots)
    def test_the_total_is_the_sum_of_its_lines_to_the_cent(self, offer: Offer, spot: Decimal) -> None:
        """Every line is whole cents, and the total is their sum, by every way to pay."""
        for row in compare([offer], spot):
            cost = row.landed
            assert cost.total == sum(line.amount for line in cost.lines)
            assert all(line.amount == line.amount.quantize(Decimal("0.01")) for line in cost.lines)
            assert cost.total == cost.sum_of(*CostKind)

    @given(offers, spots)
    def test_cost_per_ounce_and_premium_say_the_same_on_every_basis(self, offer: Offer, spot: Decimal) -> None:
        """Ounces times cost per ounce is the total; the premium is the cost less spot, whichever its sign."""
        cost = landed(offer, spot)
        for basis, ounces in cost.ozt.items():
            assert abs(cost.cost_per_ozt(basis) * ounces - cost.total) < Decimal("1e-12")
            assert cost.premium_usd(basis) == cost.cost_per_ozt(basis) - spot
            assert abs(cost.premium_pct(basis) * spot / 100 - cost.premium_usd(basis)) < Decimal("1e-12")

    @given(lines(), spots, st.integers(1, 60).map(Decimal))
    def test_under_spot_the_premium_is_below_zero(self, line: OfferLine, spot: Decimal, percent: Decimal) -> None:
        """Bought at p per cent under, with nothing added, the premium on trade ounces is -p, to the cent's rounding."""
        assume(spot * percent >= 40)
        plain = Offer(
            name="A", lines=(OfferLine(kind=line.kind, face=Decimal(500), quote=read_quote(f"{percent}% under")),)
        )
        found = landed(plain, spot)
        assert found.premium_pct(Basis.TRADE) < 0
        assert abs(found.premium_pct(Basis.TRADE) + percent) < Decimal("0.01")

    @given(offers)
    def test_an_offer_reads_back_from_its_plain_values(self, offer: Offer) -> None:
        """What the book keeps is the offer, to the last digit."""
        assert offer_from(offer.as_dict()) == offer

    @settings(max_examples=40)
    @given(offers, spots, st.integers(0, 9000).map(Decimal))
    def test_a_budget_is_never_overspent_and_one_more_unit_would(
        self, offer: Offer, spot: Decimal, budget: Decimal
    ) -> None:
        """Whole units, change not below zero; no larger whole amount on offer fits."""
        assume(not is_whole(offer) and offer.discount_pct < 100)
        found = affordable(offer, budget, spot)
        spent = found.landed.total if found.landed else Decimal(0)
        assert found.change == budget - spent >= 0
        offered = int(offer.lines[0].face or 0)
        for more in range(found.units + 1, min(offered, found.units + 25) + 1):
            assert landed(with_amount(offer, more), spot).total > budget


class TestExits:
    """What a settlement would say."""

    @given(exits, offers, spots)
    def test_net_is_the_sum_of_its_lines_to_the_cent(self, way_out: Exit, offer: Offer, spot: Decimal) -> None:
        """Gross less each thing taken off, whole cents each."""
        paid = pays(way_out, landed(offer, spot).goods, spot)
        assert paid.net == sum(line.amount for line in paid.lines) == paid.gross - paid.taken_off
        assert all(line.amount == line.amount.quantize(Decimal("0.01")) for line in paid.lines)

    @given(exits, offers, spots)
    def test_at_the_break_even_spot_the_exit_pays_the_cost(self, way_out: Exit, offer: Offer, spot: Decimal) -> None:
        """Bids struck on spot, asked again at the spot found, pay the cost back within the cents rounded away."""
        assume(all(bid.quote.form.needs_spot for bid in way_out.bids))
        cost = landed(offer, spot)
        even = break_even(way_out, cost.goods, cost.total, spot)
        assume(even is not None and even > Decimal("0.01"))
        assert even is not None
        paid = pays(way_out, cost.goods, even)
        assert abs(paid.net - cost.total) <= Decimal("0.01") * len(paid.lines)

    @given(exits)
    def test_an_exit_reads_back_from_its_plain_values(self, way_out: Exit) -> None:
        """What the book keeps is the exit, to the last digit."""
        assert exit_from(way_out.as_dict()) == way_out

    @given(exits, spots, st.integers(1, 400))
    def test_more_silver_brings_more_before_costs(self, way_out: Exit, spot: Decimal, face: int) -> None:
        """Gross grows in proportion to face, to the cent."""
        small, large = (pays(way_out, landed(_coin(amount), spot).goods, spot).gross for amount in (face, 10 * face))
        assert abs(Fraction(large) - 10 * Fraction(small)) <= Fraction(6, 100)


def _coin(face: int) -> Offer:
    return Offer(name="A", lines=(OfferLine(kind="90", face=Decimal(face), quote=read_quote("spot")),))
