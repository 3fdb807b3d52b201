"""The person's own kinds: read field by field, every fault at once."""

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ninefine.catalog.catalog import Catalog
from ninefine.catalog.kinds import Evidence, Form
from ninefine.catalog.lookup import look
from ninefine.catalog.own import FIELDS, own_slug, read_own
from ninefine.errors import Faults

MEDAL = {"name": "Harbour day medal", "weight": "1 ozt", "fineness": "999", "form": "bullion", "diameter": "39"}


def test_an_own_kind_stands_beside_the_packaged_ones(catalog: Catalog) -> None:
    with_medal = catalog.with_own({"harbour medal": MEDAL})

    kind = with_medal.kind("own-harbour-medal")
    assert (kind.gross_g, kind.fineness, kind.form) == (Decimal("31.1034768"), Decimal("0.999"), Form.BULLION)
    assert kind.trade_ozt == Decimal("0.999")
    assert kind.evidence is Evidence.OWN
    assert "own-harbour-medal" not in catalog.by_slug
    assert look(with_medal, "harbour day medal").hits[0].kind == kind
    assert look(with_medal, "harbor medal").hits[0].kind == kind


def test_without_own_kinds_the_catalog_is_itself(catalog: Catalog) -> None:
    assert catalog.with_own({}) is catalog


def test_a_coin_counted_by_face() -> None:
    (kind,) = read_own({"own-token": {"name": "Token", "weight": "6.25 g", "fineness": ".900", "face": "0.25"}})

    assert kind.slug == "own-token"
    assert kind.by_face
    assert kind.fine_ozt_per_face is not None
    assert abs(kind.fine_ozt_per_face - Decimal("0.723391797794")) < Decimal("1e-12")
    assert kind.form is Form.OTHER_COIN


def test_a_kind_held_by_weight_alone_with_a_share_of_silver() -> None:
    row = {"name": "Lamp foot", "fineness": "0.925", "form": "household", "share_low": "0.1", "share_high": "0.3"}

    (kind,) = read_own({"lamp": row})

    assert kind.gross_g is None
    assert (kind.share_low, kind.share_high) == (Decimal("0.1"), Decimal("0.3"))


def test_a_piece_that_is_metal_in_part_counts_its_low_share_everywhere() -> None:
    row = {
        "name": "Cased token",
        "weight": "20 g",
        "fineness": "0.5",
        "face": "2",
        "form": "bullion",
        "share_low": "0.5",
    }

    (kind,) = read_own({"cased": row})

    assert kind.fine_ozt is not None
    assert abs(kind.fine_ozt - Decimal(5) / Decimal("31.1034768")) < Decimal("1e-12")
    assert kind.trade_ozt == kind.fine_ozt
    assert kind.fine_ozt_per_face is not None
    assert abs(kind.fine_ozt_per_face * 2 - kind.fine_ozt) < Decimal("1e-20")


def test_every_fault_of_every_row_is_reported_at_its_field() -> None:
    rows: dict[str, dict[str, object]] = {
        "a": {"name": "", "weight": "heavy", "fineness": "1.2", "metal": "tin", "form": "jewel", "colour": "red"},
        "b": {"name": "B", "fineness": None, "country": "USA", "face": "-1", "share_low": "2", "share_high": "0.5"},
        "!": {"name": "C", "fineness": "0"},
    }

    with pytest.raises(Faults) as caught:
        read_own(rows)

    places = {fault.where for fault in caught.value.faults}
    assert places >= {
        *("a, name", "a, weight", "a, fineness", "a, metal", "a, form", "a, colour"),
        *("b, fineness", "b, country", "b, face", "b, share_low", "!, key", "!, fineness"),
    }


def test_two_keys_that_make_one_slug_are_a_fault() -> None:
    with pytest.raises(Faults, match="second kind named own-my-bar"):
        read_own({"my bar": MEDAL, "My-Bar": MEDAL})


@pytest.mark.parametrize(
    ("name", "slug"),
    [("My Bar", "own-my-bar"), ("own-my-bar", "own-my-bar"), ("  ", ""), ("x" * 99, "own-" + "x" * 76)],
)
def test_slugs_of_own_kinds(name: str, slug: str) -> None:
    assert own_slug(name) == slug


def test_no_silver_needs_no_fineness() -> None:
    (kind,) = read_own({"w": {"name": "Washer", "form": "no-silver"}})

    assert kind.fineness == 0


@settings(deadline=None)
@given(st.dictionaries(st.sampled_from([*FIELDS, "odd"]), st.text(max_size=12) | st.integers() | st.none(), max_size=8))
def test_whatever_stands_in_a_row_is_read_or_refused_as_faults(row: dict[str, object]) -> None:
    try:
        (kind,) = read_own({"k": row})
    except Faults as error:
        assert error.faults
    else:
        assert kind.slug == "own-k"
        assert 0 <= kind.fineness <= 1
        assert kind.share_low <= kind.share_high
