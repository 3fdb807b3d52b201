"""`ninefine plan swap`: the sentence and its sums, and what is refused."""

from cli.conftest import Ninefine


def test_coin_for_rounds(with_book: Ninefine) -> None:
    """4,483.00 without tax buys 65 rounds at 68.00 and leaves 63.00; having 100 face again at 50x costs 5,000."""
    assert with_book("buy", "100 face of 90% at 24x", "--on", "2020-01-05").code == 0
    ask = ("plan", "swap", "100 face", "--kind", "90%", "--price", "44.83x", "--take", "1 oz round", "--spot", "66")
    more = ("--ask", "spot+2", "--bid", "spot-1", "--again", "50x")
    said = with_book(*ask, *more)
    found = with_book(*ask, *more, "--json").json

    assert said.code == 0, said.err
    assert "become 65 of Generic silver round" in said.out
    assert (found["units"], found["left_over_usd"], found["tax_usd"]) == (65, "63", "0")
    # 4,937 is to come for 65 ounces at 66.00
    assert found["pays_at_bid_percent"] == "115.0816"


def test_without_a_way_out_or_a_price_it_is_refused(with_book: Ninefine) -> None:
    said = with_book("plan", "swap", "100 face", "--kind", "90%", "--take", "1 oz round", "--spot", "66")

    assert said.code == 2
    assert "Say by which way out it is sold" in said.err
