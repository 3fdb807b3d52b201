"""A sale shown before it is booked: its lots, every other way of choosing them, and the reminders beside it."""

from collections.abc import Mapping

from ninefine.cli.show import ledger, money, say, say_json
from ninefine.desk.kit import Kit
from ninefine.desk.reminders import for_sale, words
from ninefine.desk.sale import SalePlan
from ninefine.desk.sale_compare import Way, compare_ways


def show_sale(kit: Kit, form: Mapping[str, str], plan: SalePlan, *, in_cash: bool, as_json: bool) -> None:
    """Show a sale, the other ways and the reminders."""
    ways = compare_ways(kit, form)
    heard = for_sale(kit, plan, in_cash=in_cash)
    if as_json:
        say_json(
            {
                "ways": [_record(way) for way in ways],
                "reminders": [{"name": one.name, "words": words(one)} for one in heard],
            }
        )
        return
    for row in plan.rows:
        basis = money(row.basis) if row.cost_known else "not known"
        say(
            f"lot {row.lot}: {row.amount_words}, proceeds {money(row.proceeds)}, basis {basis}, "
            f"gain {money(row.gain)}, {row.term} term"
        )
    say(f"In all: proceeds {money(plan.proceeds)}, fees {money(plan.fees)}, gain {money(plan.gain)}.")
    say()
    taxed = any(way.tax is not None for way in ways)
    heads = ["way", "basis", "gain", "short term", "long term", *(["tax", "kept"] if taxed else [])]
    say(ledger(heads, [_row(way, taxed=taxed) for way in ways]))
    for way in ways:
        if way.plan is None:
            say(f"{way.words}: {way.why}")
    if heard:
        say()
    for one in heard:
        say(words(one))


def _row(way: Way, *, taxed: bool) -> list[str]:
    plan = way.plan
    cells = ["-"] * 4
    if plan is not None:
        cells = [money(plan.basis), money(plan.gain), money(way.short), money(way.long)]
    return [way.words, *cells, *([money(way.tax), money(way.kept)] if taxed else [])]


def _record(way: Way) -> dict[str, object]:
    plan = way.plan
    return {
        "way": way.rule,
        "asked": way.asked,
        "why_not": way.why,
        "gain_usd": None if plan is None else plan.gain,
        "gain_usd_short_term": way.short,
        "gain_usd_long_term": way.long,
        "tax_usd": way.tax,
        "kept_usd": way.kept,
        "lots": []
        if plan is None
        else [
            {
                "lot": row.lot,
                "amount": row.amount_words,
                "proceeds_usd": row.proceeds,
                "fees_usd": row.fees,
                "basis_usd": row.basis if row.cost_known else None,
                "gain_usd": row.gain,
                "term": row.term.value,
            }
            for row in plan.rows
        ],
    }
