"""`ninefine remind` and `ninefine settle`: what is to be remembered at a sale, and rules for the whole book."""

from typing import Any

import click

from ninefine.cli.common import booked, form_of, json_option, kit_of
from ninefine.cli.show import say, say_json
from ninefine.desk.book_settings import DefaultRule, GainsForm, Method, settings, settle
from ninefine.desk.reminders import reminders, set_reminder, silence, words


@click.command("remind", short_help="The reminders beside sales and purchases, or set one down.")
@click.argument("name", required=False)
@click.option("--about", type=click.Choice(["sale", "purchase", "both"]), help="What it is about.")
@click.option("--of", metavar="GOODS", help="The goods it speaks of: 90, constitutional, bullion, silver.")
@click.option("--least", metavar="LIMIT", help="It speaks up from so much on: 1000 face, 50 ozt, 1500.")
@click.option("--over", metavar="LIMIT", help="It speaks up for more than so much.")
@click.option("--below", metavar="LIMIT", help="It speaks up for less than so much.")
@click.option("--cash", is_flag=True, help="Only where cash is paid.")
@click.option("--words", metavar="WORDS", help="What to say.")
@click.option("--source", metavar="WORDS", help="Where the rule stands.")
@click.option("--as-of", metavar="DATE", help="The day on which you read it.")
@click.option("--silence", "off", is_flag=True, help="Silence it instead.")
@json_option
@click.pass_context
def remind_command(ctx: click.Context, /, name: str | None, **options: Any) -> None:
    r"""List the reminders; with a NAME, set one down or change it. They remind and never decide.

    Those that come with ninefine are examples of the United States and say so.

    \b
    Examples:
      ninefine remind
      ninefine remind "my state" --below 1500 --words "Taxed below 1,500." --source "the shop" --as-of 2026-05-01
      ninefine remind collectibles --silence
    """
    as_json, off, cash = (options.pop(key) for key in ("as_json", "off", "cash"))
    kit = kit_of(ctx)
    if name is None:
        found = reminders(kit)
        if as_json:
            say_json({"reminders": [{"name": one.name, "example": one.example, **one.as_dict()} for one in found]})
            return
        for one in found:
            say(f"{one.name}: silenced." if one.off else f"{one.name}: {words(one)}")
        return
    if off:
        booked(kit, silence(kit, name), as_json=as_json)
        return
    form = form_of(options) | {"name": name} | ({"cash": "yes"} if cash else {})
    booked(kit, set_reminder(kit, form), as_json=as_json)


@click.command("settle", short_help="Settle rules and rates for the whole book.")
@click.option("--rule", type=click.Choice([rule.value for rule in DefaultRule]), help="Which lots go first.")
@click.option("--method", type=click.Choice([method.value for method in Method]), help="How cost is counted.")
@click.option("--form", type=click.Choice([form.value for form in GainsForm]), help="Which table gains stand in.")
@click.option("--short-rate", metavar="PERCENT", help="Your tax rate on short-term gains.")
@click.option("--long-rate", metavar="PERCENT", help="Your tax rate on long-term gains.")
@click.option("--ask", metavar="QUOTE", help="What one-ounce rounds would have cost, as `spot+3`: for a comparison.")
@click.option("--bid", metavar="QUOTE", help="What they would bring, as `spot-1.50`.")
@click.option("--note", metavar="WORDS", help="A remark, such as who advised it and when.")
@json_option
@click.pass_context
def settle_command(ctx: click.Context, /, **options: Any) -> None:
    r"""Settle something for the whole book, or show what is settled. What you do not name stays.

    Average cost is a method of some places only; ninefine does not say which.

    \b
    Examples:
      ninefine settle
      ninefine settle --rule highest-basis --short-rate 32 --long-rate 28
    """
    as_json = options.pop("as_json")
    kit = kit_of(ctx)
    form = {name: str(value) for name, value in options.items() if value is not None}
    if form:
        booked(kit, settle(kit, form), as_json=as_json)
        return
    found = settings(kit).as_dict()
    if as_json:
        say_json(found)
        return
    for name, value in found.items():
        say(f"{name.replace('_', ' ')}: {value}")
