"""What the mix says: found beside expected by year and mint, tests, signs, how large and how many coins to tell."""

from collections.abc import Sequence
from decimal import Decimal
from functools import partial

from starlette.responses import Response

from ninefine.catalog.mints import MINTS, mint_name
from ninefine.desk.assumptions import SURVIVAL_FIELDS, keep_survival, kept_survival, survival_fields
from ninefine.desk.heaps import say_goods
from ninefine.desk.mintage import pictures_of
from ninefine.desk.mix import Catch, Mix, choices, loss_words, mix, source, sources
from ninefine.papers.charts_sorting import BAND, FOOT, UNDER, FoundAt, found_bands
from ninefine.sorting.chances import say_chance
from ninefine.sorting.found import Group
from ninefine.sorting.oddity import Statistic, Tested
from ninefine.sorting.reading import Look
from ninefine.web.charts import Picture
from ninefine.web.format import figure, percent, plural
from ninefine.web.forms import Form
from ninefine.web.ledger import Cell, Column, Ledger, Of, Row, Step, Weight, Worked
from ninefine.web.pages.asked import A_PAGE, first_of
from ninefine.web.pages.booked import lead_on, said
from ninefine.web.pages.mintage import gaps_words, mintage_plate, unchecked_words
from ninefine.web.pages.sorting_links import sorting_links
from ninefine.web.visit import Visit, done, shown

ASKED = ("of", "what", "first", "last", *SURVIVAL_FIELDS)
#: Sources offered by name in the form; all of them stand in the list below.
MOST_OFFERED = 30


def page(visit: Visit) -> Response:
    """The mix of a tally or a lot."""
    kept = survival_fields(kept_survival(visit.kit))
    given = {name: visit.asked(name) for name in ASKED}
    if not any(given[name] for name in SURVIVAL_FIELDS):
        given |= kept
    visit.form = Form(starting=given)
    return _page(visit)


def _page(visit: Visit, status: int = 200) -> Response:
    known = sources(visit.kit)
    form = visit.form
    found = form.attempt(mix, visit.kit, form.fields) if known and form.ok else None
    if found is not None:
        form.values |= {
            "of": [found.source.key],
            "what": [found.what],
            "first": [str(found.expected.first_year)],
            "last": [str(found.expected.last_year)],
        }
    first = first_of(visit, "from")
    of = form.attempt(source, visit.kit, form.text("of")) if known else None
    return visit.page(
        "mix.html",
        stage="sorting",
        status=status,
        ways=sorting_links(visit, "mix"),
        said=said(visit),
        known=known,
        offered=[(one.key, one.title) for one in known[:MOST_OFFERED]],
        choices=list(choices(visit.kit, of)) if of is not None else [],
        found=found,
        words=loss_words(found.expected.survival, found.fitted) if found is not None else "",
        picture=_picture(visit, found) if found is not None else None,
        mints=_mints(found) if found is not None else None,
        years=_by_year(found) if found is not None else None,
        looks=_looks(found) if found is not None else None,
        signs=_signs(found) if found is not None else None,
        outside=_outside(visit, found) if found is not None else None,
        table=_sources(visit, first),
        newer=_more(visit, first - A_PAGE) if first else "",
        older=_more(visit, first + A_PAGE) if len(known) > first + A_PAGE else "",
        flat=found is not None and found.expected.survival.flat,
        again={name: form.text(name) for name in SURVIVAL_FIELDS},
        series=_series(visit, found) if found is not None else [],
    )


def _more(visit: Visit, first: int) -> str:
    return visit.path_to("mix", asking={"from": str(first)}) + "#sources"


def keep(visit: Visit) -> Response:
    """Keep an assumption of survival in the book."""
    stored = visit.form.attempt(keep_survival, visit.kit, visit.form.fields)
    if stored is None:
        return _page(visit, status=400)
    asking = {name: visit.form.text(name) for name in ("of", "what", "first", "last") if visit.form.text(name)}
    return lead_on(visit, stored, "mix", **asking)


def _picture(visit: Visit, found: Mix) -> Picture:
    order = list(MINTS)
    cells = sorted((_at(group) for group in found.issues), key=lambda pair: (order.index(pair[0]), pair[1].year))
    drawn = [cell for _, cell in cells]
    beside = found.reading.beside
    bands = len({cell.mint for cell in drawn})
    return visit.picture(
        partial(found_bands, drawn),
        alt=(
            f"Found beside expected by year, a band for each mint: {plural(beside.pieces, 'dated piece')}. "
            + " ".join(_band_words(group) for group in found.mints)
        ),
        caption=(
            "A stem is what was found of a year; the short level line is what a fair draw from the assumed mix would "
            "have held. Each mint has its own scale."
        ),
        size=(720, BAND * bands + UNDER + FOOT),
    )


def _series(visit: Visit, found: Mix) -> list[tuple[str, Picture, str]]:
    """The mintage picture of each design in the mix, with what the bag holds of it."""
    return [
        (
            series.kind.name,
            mintage_plate(visit, series, finds, whose="this bag holds of it"),
            f"{unchecked_words(series)} {gaps_words(series)}",
        )
        for series, finds in pictures_of(visit.kit, found.expected, found.source.rows)
        if finds
    ]


def _at(group: Group) -> tuple[str, FoundAt]:
    year, _, mint = group.label.partition("-")
    return mint, FoundAt(year=int(year), mint=mint_name(mint), found=group.found, expected=group.expected)


def _band_words(group: Group) -> str:
    return f"{mint_name(group.label)}: {group.found:,} found, {figure(group.expected, 1)} expected."


def _in_order(mints: Sequence[Group]) -> list[Group]:
    order = list(MINTS)
    return sorted(mints, key=lambda group: order.index(group.label))


def _mints(found: Mix) -> Ledger:
    return Ledger(
        caption="By mint",
        columns=(
            Column(key="label", head="Mint"),
            Column(key="share", head="Of the mix", of=Of.PERCENT),
            Column(key="expected", head="Expected", of=Of.FIGURE, places=1),
            Column(key="found", head="Found", of=Of.COUNT),
            Column(key="more", head="Found less expected", of=Of.FIGURE, places=1, signed=True),
        ),
        rows=[
            Row(
                cells={
                    "label": mint_name(group.label),
                    "share": group.share * 100,
                    "expected": group.expected,
                    "found": group.found,
                    "more": group.found - group.expected,
                }
            )
            for group in _in_order(found.mints)
        ],
    )


def _by_year(found: Mix) -> Ledger:
    """Every year and mint: found, and expected beside it."""
    mints = [group.label for group in _in_order(found.mints)]
    by_key = {group.label: group for group in found.issues}
    unchecked = {row.struck.key for row in found.expected.shares if row.struck.unchecked}
    columns = [Column(key="year", head="Year")]
    for mint in mints:
        columns.append(Column(key=f"{mint}-found", head=f"{mint} found", of=Of.COUNT))
        columns.append(Column(key=f"{mint}-expected", head=f"{mint} expected", of=Of.FIGURE, places=1))
    columns.append(Column(key="note", head="Figures"))
    rows = []
    for year in found.years:
        cells: dict[str, Cell | str] = {"year": year.label}
        keys = [f"{year.label}-{mint}" for mint in mints]
        for mint, key in zip(mints, keys, strict=True):
            if key in by_key:
                cells[f"{mint}-found"] = Cell(value=by_key[key].found)
                cells[f"{mint}-expected"] = Cell(value=by_key[key].expected)
        doubtful = [key.partition("-")[2] for key in keys if key in unchecked]
        if doubtful:
            cells["note"] = f"{', '.join(doubtful)} unchecked"
        rows.append(Row(cells=cells))
    return Ledger(
        caption="Every year and mint. Unchecked: its mintage was not held against print.",
        columns=columns,
        rows=rows,
        wide=True,
    )


def _looks(found: Mix) -> Ledger:
    return Ledger(
        caption="The same mix taken together in three ways, each held against the expectation",
        columns=(
            Column(key="by", head="Taken together by"),
            Column(key="how", head="Test"),
            Column(key="chance", head="A fair bag is as odd"),
            Column(key="effect", head="Size (w)", of=Of.FIGURE),
            Column(key="tell", head="Coins to tell it", of=Of.COUNT),
            Column(key="least", head="Told from w", of=Of.FIGURE),
        ),
        rows=[
            Row(
                cells={
                    "by": look.by,
                    "how": look.tested.deciding.how,
                    "chance": say_chance(look.chance),
                    "effect": None if look.effect is None else Decimal(look.effect.less_chance),
                    "tell": look.to_tell,
                    "least": Decimal(look.least_told),
                },
                note="" if look.effect is None else f"a {look.effect.words} difference, what chance shows taken off",
                worked=Worked(steps=_steps(look), title="The tests"),
            )
            for look in found.reading.looks
        ],
        empty="There is no mix to test.",
    )


def _steps(look: Look) -> list[Step]:
    tested = look.tested
    steps = [Step(what="cells", result=figure(tested.cells), how=_pool_words(tested))]
    for name, one in (("chi-square", tested.chi_square), ("G", tested.g)):
        if one is not None and one.value is not None:
            steps.append(
                Step(
                    what=name,
                    result=f"{one.value:.2f}",
                    how=f"{one.freedom} degrees of freedom: {say_chance(one.chance)}",
                )
            )
    deciding = tested.deciding
    steps.append(Step(what="the chance that counts", result=say_chance(deciding.chance), how=_how_words(deciding)))
    return steps


def _pool_words(tested: Tested) -> str:
    if len(tested.pools) == tested.cells:
        return "five or more are expected in each"
    return f"in {plural(len(tested.pools), 'pool')} of five or more expected, neighbours together"


def _how_words(one: Statistic) -> str:
    if not one.trials:
        return one.how
    if one.error:
        return f"{one.trials:,} {one.how}, seed {one.seed}; its error is {percent(Decimal(one.error * 100), 2)}"
    return f"{one.how}: {one.trials:,}"


def _signs(found: Mix) -> Ledger:
    catches = {catch.sign.name: catch for catch in found.catches}
    return Ledger(
        caption="What sorters look for, each by itself (common practice, no source)",
        columns=(
            Column(key="sign", head="Sign"),
            Column(key="expected", head="Expected", of=Of.FIGURE, places=1),
            Column(key="found", head="Found", of=Of.COUNT),
            Column(key="chance", head="Unpicked shows it"),
            Column(key="none", head="None at all"),
            Column(key="gone", head="Told if gone"),
            Column(key="coins", head="Coins to tell a half", of=Of.COUNT),
        ),
        rows=[
            Row(
                cells={
                    "sign": f"{'Too many: ' if sign.many else 'Too few: '}{sign.title}",
                    "expected": sign.expected,
                    "found": sign.found,
                    "chance": say_chance(sign.chance),
                    "none": say_chance(sign.none_chance),
                    "gone": None if sign.gone_to_tell is None else percent(Decimal(sign.gone_to_tell * 100), 0),
                    "coins": _coins(catches.get(sign.name)),
                },
                note=sign.words,
                weight=Weight.LOOK if sign.speaks else Weight.PLAIN,
            )
            for sign in found.reading.signs
        ],
        empty="These dates allow no sign.",
    )


def _coins(catch: Catch | None) -> int | None:
    return None if catch is None else catch.pieces


def _outside(visit: Visit, found: Mix) -> Ledger:
    catalog = visit.kit.catalog()
    return Ledger(
        caption="Told, and not set beside the mix",
        columns=(
            Column(key="goods", head="Coin"),
            Column(key="count", head="Pieces", of=Of.COUNT),
            Column(key="why", head="Why"),
        ),
        rows=[
            Row(cells={"goods": say_goods(one.kind, one.issue, catalog), "count": one.count, "why": one.why})
            for one in found.reading.beside.outside
        ],
    )


def _sources(visit: Visit, first: int) -> Ledger:
    return Ledger(
        caption="Told apart by date: open tallies first, then lots, the latest sorted first",
        columns=(
            Column(key="title", head="Coins"),
            Column(key="pieces", head="Dated pieces", of=Of.COUNT),
        ),
        rows=[
            Row(
                cells={
                    "title": Cell(value=one.title, href=visit.path_to("mix", asking={"of": one.key})),
                    "pieces": one.pieces,
                }
            )
            for one in sources(visit.kit)[first : first + A_PAGE]
        ],
        empty="Nothing has been told apart by date yet.",
    )


routes = [
    shown("/sorting/mix", page, name="mix"),
    done("/sorting/mix/assumption", keep, name="mix.keep"),
]
