"""One piece on the scale, a heap on the scale, sizes, magnet, edge and household ware, each held against a kind."""

from decimal import Decimal

import pytest

from ninefine.assay.evidence import Ground, Outcome
from ninefine.assay.heap_weight import weigh_heap
from ninefine.assay.household import look_at_ware
from ninefine.assay.instruments import Calipers, CheckWeight, Scale
from ninefine.assay.looks import Edge, Magnet, edge, edges, magnet
from ninefine.assay.piece_weight import PieceWeight, law_words, span_of, weigh_piece
from ninefine.assay.sizes import diameter, thickness
from ninefine.assay.wear import Band, loss_of
from ninefine.catalog.household import construction
from ninefine.catalog.shelf import load_catalog
from ninefine.errors import RangeError

CATALOG = load_catalog()
SCALE = Scale(step_g=0.01, check=CheckWeight(grams=50, within_g=0.005, shown_g=50.0))
PASSED, FAILED, UNSURE = Outcome.PASSED, Outcome.FAILED, Outcome.UNSURE


def weighed(slug: str, grams: float, band: Band = Band.UNSAID, scale: Scale = SCALE) -> PieceWeight:
    return weigh_piece(scale.weigh([[grams]]), CATALOG.kind(slug), CATALOG, band=band)


class TestPiece:
    @pytest.mark.parametrize(
        ("slug", "grams", "band", "outcome", "beyond_wear"),
        [
            ("us-quarter-washington-silver", 6.18, Band.UNSAID, PASSED, False),
            ("us-quarter-washington-silver", 5.67, Band.UNSAID, FAILED, True),  # a clad quarter's weight, from memory
            ("us-quarter-washington-silver", 6.60, Band.UNSAID, FAILED, True),
            ("us-quarter-washington-silver", 6.00, Band.NEW, FAILED, False),
            ("us-half-barber", 11.80, Band.HEAVY, PASSED, False),
            ("us-half-barber", 12.45, Band.HEAVY, PASSED, False),
            ("us-half-barber", 11.30, Band.LIGHT, FAILED, False),
            ("us-half-kennedy-90", 11.50, Band.UNSAID, FAILED, True),  # a 40% half's weight
            ("us-half-kennedy-40", 11.34, Band.UNSAID, UNSURE, False),  # a clad half's weight
            ("us-dime-90", 2.05, Band.UNSAID, UNSURE, False),
            ("us-dime-roosevelt-silver", 2.05, Band.UNSAID, FAILED, True),
            ("us-dollar-morgan", 26.20, Band.UNSAID, PASSED, False),
            ("xag-us-eagle-1oz", 31.10, Band.UNSAID, PASSED, False),
            ("xag-us-eagle-1oz", 30.20, Band.UNSAID, FAILED, True),
        ],
    )
    def test_a_weight_comes_out_as_a_person_would_judge_it(
        self, slug: str, grams: float, band: Band, outcome: Outcome, *, beyond_wear: bool
    ) -> None:
        """Common practice, no source, anchored on weights that were measured (see the module on wear)."""
        found = weighed(slug, grams, band).evidence

        assert (found.outcome, found.beyond_wear) == (outcome, beyond_wear)
        assert found.ground is Ground.WEIGHT

    def test_it_says_why_no_wear_explains_a_weight(self) -> None:
        light, heavy = (weighed("us-quarter-washington-silver", grams).evidence.says for grams in (5.67, 6.60))

        assert "No wear explains so little: worn flat, Washington quarter, 90% silver still weighs more." in light
        assert "That is more than the law let a new piece weigh, and wear adds nothing." in heavy

    def test_a_coarse_scale_cannot_tell_and_says_so(self) -> None:
        found = weighed("us-quarter-washington-silver", 6.0, scale=Scale(step_g=1))

        assert found.evidence.outcome is UNSURE
        assert "finer step" in found.evidence.would_settle

    def test_kinds_that_weigh_alike_are_named(self) -> None:
        found = weighed("us-half-kennedy-40", 11.34)

        assert [one.slug for one in found.also] == ["us-half-clad"]
        assert "So may Kennedy half dollar, copper-nickel clad." in found.evidence.says

    def test_the_law_of_a_new_piece_stands_beside_wear(self) -> None:
        """Act of 12 Feb 1873, sec. 37: 1 1/2 grains, 0.0972 g, for dime, quarter, half and dollar alike."""
        for slug, struck in (("us-dime-90", 2.5), ("us-quarter-90", 6.25), ("us-half-90", 12.5)):
            span = span_of(CATALOG.kind(slug), Band.UNSAID, CATALOG)
            assert span.lawful
            assert span.new == pytest.approx((struck - 0.0972, struck + 0.0972), abs=3e-4)
        assert weighed("us-quarter-90", 6.20).within_law
        assert not weighed("us-quarter-90", 6.10).within_law
        assert "no law is held" in law_words(span_of(CATALOG.kind("xag-us-eagle-1oz"), Band.UNSAID, CATALOG))

    def test_more_wear_is_never_held_to_weigh_more(self) -> None:
        bands = [Band.NEW, Band.LIGHT, Band.MIDDLE, Band.HEAVY, Band.FLAT]
        for slug in ("us-dime-mercury", "us-half-barber", "us-dollar-morgan"):
            losses = [loss_of(CATALOG.kind(slug), band) for band in bands]
            assert [one.mean for one in losses] == sorted(one.mean for one in losses)
            assert all(one.most > one.mean for one in losses)

    def test_smaller_coin_loses_more(self) -> None:
        """Newton's mint papers and Shannon News, 23 Nov 1923: shillings wear faster than half-crowns."""
        losses = [loss_of(CATALOG.kind(f"us-{coin}-barber"), Band.HEAVY).mean for coin in ("half", "quarter", "dime")]

        assert losses[0] <= losses[1] < losses[2]

    def test_a_kind_of_no_set_weight_is_refused(self) -> None:
        with pytest.raises(RangeError, match="has no set weight"):
            weighed("us-90", 6.2)


class TestHeap:
    def test_a_heap_is_held_against_what_its_sort_weighs(self) -> None:
        kind = CATALOG.kind("us-quarter-90")
        for grams, outcome in ((247.7, PASSED), (230.0, FAILED), (256.0, FAILED)):
            found = weigh_heap(SCALE, [[grams]], kind, count=40)
            assert found.evidence.outcome is outcome
        assert found.fine_ozt.dominant == "fineness of the heap"

    def test_portions_add_up(self) -> None:
        kind = CATALOG.kind("us-quarter-90")
        whole = weigh_heap(SCALE, [[1000.0]], kind, count=None)
        parts = weigh_heap(SCALE, [[400.0], [600.0]], kind, count=None)

        assert parts.fine_ozt.value == pytest.approx(whole.fine_ozt.value)
        assert parts.weight.u > whole.weight.u
        assert parts.from_spec is parts.from_trade is None
        assert parts.evidence.outcome is UNSURE

    def test_base_metal_has_no_ounces(self) -> None:
        with pytest.raises(RangeError, match="holds no silver"):
            weigh_heap(SCALE, [[100.0]], CATALOG.kind("us-quarter-clad"), count=10)


class TestSizes:
    HALF = CATALOG.kind("us-half-kennedy-90")

    @pytest.mark.parametrize(
        ("shown", "outcome"), [([30.6, 30.62], PASSED), ([31.2], FAILED), ([30.1], FAILED), ([30.72], UNSURE)]
    )
    def test_a_diameter_is_held_against_the_catalogs(self, shown: list[float], outcome: Outcome) -> None:
        assert diameter(Calipers().measure("diameter", shown), self.HALF).evidence.outcome is outcome

    def test_a_worn_piece_may_be_thinner_and_never_thicker(self) -> None:
        barber = CATALOG.kind("us-half-barber")
        thin = thickness(Calipers().measure("thickness", [1.5]), barber)
        thick = thickness(Calipers().measure("thickness", [2.1]), barber)

        assert thin.evidence.outcome is PASSED
        assert thick.evidence.outcome is FAILED
        assert thickness(Calipers().measure("thickness", [1.5]), barber, Band.NEW).evidence.outcome is FAILED

    def test_a_size_that_is_not_held_is_refused(self) -> None:
        with pytest.raises(RangeError, match="No diameter"):
            diameter(Calipers().measure("diameter", [24.0]), CATALOG.kind("us-90"))
        with pytest.raises(RangeError, match="No thickness"):
            thickness(Calipers().measure("thickness", [1.0]), CATALOG.kind("us-half-flowing-hair"))


class TestLooks:
    @pytest.mark.parametrize(
        ("slug", "seen", "outcome"),
        [
            ("us-half-90", Magnet.PULLS, FAILED),
            ("us-half-90", Magnet.NOTHING, PASSED),
            ("us-half-90", Magnet.SLOW, PASSED),
            ("us-half-90", Magnet.FAST, FAILED),
            ("us-five-cent-wartime", Magnet.PULLS, UNSURE),
            ("us-quarter-clad", Magnet.NOTHING, UNSURE),
        ],
    )
    def test_a_magnet(self, slug: str, seen: Magnet, outcome: Outcome) -> None:
        """Silver and copper are repelled, iron and nickel drawn (a university physics table); the slide is practice."""
        found = magnet(seen, CATALOG.kind(slug))

        assert found.outcome is outcome
        assert "genuine" not in found.says

    def test_a_pass_by_magnet_says_what_passes_too(self) -> None:
        for seen in (Magnet.NOTHING, Magnet.SLOW):
            assert "opper" in magnet(seen, CATALOG.kind("us-half-90")).says

    @pytest.mark.parametrize(
        ("slug", "seen", "outcome"),
        [
            ("us-quarter-90", Edge.EVEN, PASSED),
            ("us-quarter-90", Edge.COPPER, FAILED),
            ("us-quarter-90", Edge.DULL, FAILED),
            ("us-half-kennedy-40", Edge.DULL, PASSED),
            ("us-half-kennedy-40", Edge.COPPER, FAILED),
            ("us-quarter-clad", Edge.COPPER, PASSED),
            ("us-quarter-clad", Edge.EVEN, FAILED),
            ("us-quarter-90", Edge.SEAM, FAILED),
            ("us-quarter-90", Edge.REEDS, FAILED),
        ],
    )
    def test_an_edge(self, slug: str, seen: Edge, outcome: Outcome) -> None:
        """Common practice, no source: clad shows copper at its edge, 40% a dull stripe."""
        assert edge(seen, CATALOG.kind(slug)).outcome is outcome

    def test_the_edges_of_a_roll(self) -> None:
        """Common practice, no source: one look down the edges tells clad among silver."""
        kind = CATALOG.kind("us-quarter-90")
        even, striped = edges(Edge.EVEN, kind), edges(Edge.COPPER, kind)

        assert (even.test, even.outcome, even.would_settle) == ("edges", PASSED, "")
        assert (striped.outcome, striped.would_settle) == (FAILED, "Take those pieces out, and test them one by one.")
        assert len({edges(seen, kind).says for seen in Edge}) == len(Edge)


class TestWare:
    def test_a_weighted_candlestick_is_a_range(self) -> None:
        """5 to 25% of the weight is sterling (a published dissection: 28.5 g of 274 g, 10.4%); .925 of that is fine."""
        found = look_at_ware(
            "STERLING WEIGHTED", built=construction("weighted-candlestick"), gross_g=Decimal(274), seen=Magnet.PULLS
        )

        assert found.fine is not None
        assert found.fine.low_ozt == pytest.approx(Decimal("0.4074"), abs=Decimal("0.0002"))
        assert found.fine.high_ozt == pytest.approx(Decimal("2.0371"), abs=Decimal("0.0002"))
        assert found.fine.low_ozt < Decimal("28.5") * Decimal("0.925") / Decimal("31.1034768") < found.fine.high_ozt
        outcomes = {one.test: one.outcome for one in found.evidence}
        assert outcomes == {"mark": PASSED, "ware-weight": UNSURE, "magnet": UNSURE}
        assert any(text.startswith("Do not cut") for text in found.cautions)

    def test_a_plate_mark_counts_for_nothing(self) -> None:
        found = look_at_ware("EPNS", gross_g=Decimal(500))

        assert found.evidence[0].outcome is FAILED
        assert found.fine is None
        assert "nothing is counted" in found.evidence[1].says

    def test_a_magnet_fails_what_is_taken_for_solid(self) -> None:
        assert look_at_ware("STERLING", seen=Magnet.PULLS).evidence[1].outcome is FAILED
        assert look_at_ware("STERLING", seen=Magnet.NOTHING).evidence[1].outcome is PASSED

    def test_a_mark_that_is_not_known_claims_nothing(self) -> None:
        for mark in ("", "QZXV"):
            found = look_at_ware(mark, gross_g=Decimal(100))
            assert found.evidence[0].outcome is UNSURE
            assert found.kind is None
