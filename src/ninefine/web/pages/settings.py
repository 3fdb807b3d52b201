"""What is settled for the whole book, and the reminders beside sales and purchases."""

from starlette.responses import Response

from ninefine.desk.book_settings import DefaultRule, GainsForm, Method, settings, settle
from ninefine.desk.gains import gains, last_year
from ninefine.desk.reminders import reminders, set_reminder, silence, words
from ninefine.desk.sale import RULE_WORDS
from ninefine.market.goods import Limit
from ninefine.market.reminders import About, Reminder
from ninefine.web.forms import Form
from ninefine.web.ledger import Cell, Column, Ledger, Row, Weight
from ninefine.web.pages.booked import lead_on, said
from ninefine.web.pages.gains import METHODS
from ninefine.web.visit import Visit, done, shown

#: Fields of the settings, and of a reminder.
SETTLED = ("rule", "method", "form", "short_rate", "long_rate", "ask", "bid", "note")
REMINDER = ("name", "about", "of", "least", "over", "below", "cash", "words", "source", "as_of")
FORMS = {GainsForm.FORM_8949: "columns in the order of U.S. Form 8949", GainsForm.PLAIN: "a plain table"}
ABOUT = {About.SALE: "a sale", About.PURCHASE: "a purchase", About.BOTH: "both"}


def page(visit: Visit) -> Response:
    """What is settled, as a form."""
    visit.form = Form(starting={name: str(text) for name, text in settings(visit.kit).as_dict().items()})
    return _settings(visit)


def _settings(visit: Visit, status: int = 200) -> Response:
    kit = visit.kit
    now, year = settings(kit), last_year(kit)
    found = gains(kit, year)
    return visit.page(
        "settings.html",
        stage="book",
        status=status,
        now=now,
        rule=RULE_WORDS[now.rule.value],
        method=METHODS[now.method],
        table=FORMS[now.form],
        rules=[(one.value, RULE_WORDS[one.value]) for one in DefaultRule],
        methods=[(one.value, text) for one, text in METHODS.items()],
        forms=[(one.value, text) for one, text in FORMS.items()],
        gains=found,
        other=METHODS[Method.AVERAGE if found.method is Method.LOTS else Method.LOTS],
        said=said(visit),
    )


def put(visit: Visit) -> Response:
    """Settle what was sent; what is sent empty is unsettled."""
    sent = {name: visit.form.text(name) for name in SETTLED if name in visit.form.values}
    stored = visit.form.attempt(settle, visit.kit, sent)
    return _settings(visit, status=400) if stored is None else lead_on(visit, stored, "settings")


def remind(visit: Visit) -> Response:
    """Every reminder, and a form: filled in where one is named for a change."""
    named = visit.asked("name")
    starting = {"about": About.SALE.value, "as_of": visit.kit.today().isoformat()}
    for one in reminders(visit.kit):
        if one.name == named:
            starting = {"name": named, **{key: str(text) for key, text in one.as_dict().items()}}
    visit.form = Form(starting=starting)
    return _reminders(visit)


def _reminders(visit: Visit, status: int = 200) -> Response:
    found = reminders(visit.kit)
    return visit.page(
        "reminders.html",
        stage="book",
        status=status,
        count=sum(1 for one in found if not one.off),
        table=_table(visit, found),
        abouts=[(one.value, text) for one, text in ABOUT.items()],
        speaking=[(one.name, one.name) for one in found if not one.off],
        said=said(visit),
    )


def _table(visit: Visit, found: tuple[Reminder, ...]) -> Ledger:
    return Ledger(
        caption="Reminders; open one by its name to make it your own",
        columns=(
            Column(key="name", head="Name"),
            Column(key="about", head="Beside"),
            Column(key="when", head="Where"),
            Column(key="words", head="What it says"),
        ),
        rows=[
            Row(
                cells={
                    "name": Cell(value=one.name, href=visit.path_to("reminders", asking={"name": one.name}) + "#one"),
                    "about": ABOUT[one.about],
                    "when": _when(one),
                    "words": words(one),
                },
                note="silenced" if one.off else ("an example" if one.example else "yours"),
                weight=Weight.QUIET if one.off else Weight.PLAIN,
            )
            for one in found
        ],
        empty="None has been set down.",
    )


def _when(one: Reminder) -> str:
    """Where a reminder speaks up, in words."""
    parts = [
        f"of {one.of}" if one.of else "",
        f"from {_limit(one.least)} on" if one.least else "",
        f"over {_limit(one.over)}" if one.over else "",
        f"below {_limit(one.below)}" if one.below else "",
        "paid in cash" if one.cash else "",
    ]
    return ", ".join(part for part in parts if part) or "always"


def _limit(limit: Limit) -> str:
    return str(limit).removesuffix(" money")


def put_reminder(visit: Visit) -> Response:
    """Set a reminder down, or silence one; one that is set down speaks up again."""
    if visit.form.text("do") == "silence":
        stored = visit.form.attempt(silence, visit.kit, visit.form.text("which"))
    else:
        sent = {name: visit.form.text(name) for name in REMINDER}
        stored = visit.form.attempt(set_reminder, visit.kit, {**sent, "off": ""})
    return _reminders(visit, status=400) if stored is None else lead_on(visit, stored, "reminders")


routes = [
    shown("/settings", page, name="settings"),
    done("/settings", put, name="settings.put"),
    shown("/reminders", remind, name="reminders"),
    done("/reminders", put_reminder, name="reminders.put"),
]
