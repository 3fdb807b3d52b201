"""The glossary has every word of the program once; the bibliography names what the code and data lean on."""

import re
from pathlib import Path
from typing import get_args

from ninefine.book.entries import Entry
from ninefine.catalog.acts import STANDARDS
from ninefine.catalog.kinds import Basis, Form
from ninefine.desk.sale import RULE_WORDS
from ninefine.market.series import annual, consumer_prices, monthly

DOCS = Path(__file__).resolve().parents[2] / "docs"
ROW = re.compile(r"^\| ([^|]+?) \| (.+) \|$", re.MULTILINE)


def words() -> dict[str, str]:
    """The glossary's words with their meanings."""
    rows = ROW.findall((DOCS / "glossary.md").read_text(encoding="utf-8"))
    return {word: meaning for word, meaning in rows if word not in {"word", "---"}}


def test_words_stand_in_order_and_once() -> None:
    text = (DOCS / "glossary.md").read_text(encoding="utf-8")
    listed = [word for word, _ in ROW.findall(text) if word not in {"word", "---"}]

    assert len(listed) > 60
    assert listed == sorted(listed, key=str.casefold)
    assert len(set(listed)) == len(listed)


def test_every_entry_basis_form_and_rule_has_its_word() -> None:
    known = words()

    for entry in get_args(Entry):
        assert known[entry.__name__.lower()].startswith("entry: ")
    for basis in Basis:
        assert known[basis.value].startswith("ounce basis: ")
    for form in Form:
        if form is not Form.NO_SILVER:
            assert known[form.value.replace("-", " ")].startswith("form: ")
    for rule in ("first-in", "highest-basis"):
        assert known[RULE_WORDS[rule]].startswith("a rule of sale: ")


def test_every_act_and_every_packaged_series_is_named() -> None:
    text = " ".join((DOCS / "bibliography.md").read_text(encoding="utf-8").split())

    for name in {standard.act.name for standard in STANDARDS.values()}:
        assert name in text
    sources = {point.source for series in (monthly("XAG"), annual("XAG"), monthly("XAU")) for point in series.points}
    assert any("World Bank" in source for source in sources)
    for source in sources | {consumer_prices().source}:
        publisher = next(name for name in ("World Bank", "Geological Survey", "USGS", "Labor", "BLS") if name in source)
        assert {"USGS": "Geological Survey", "BLS": "Labor"}.get(publisher, publisher) in text
