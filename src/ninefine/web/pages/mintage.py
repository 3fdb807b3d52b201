"""The mintage picture as pages show it: stems by year and mint, low dates named, gaps marked, unchecked ones hollow."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import partial

from ninefine.catalog.mints import mint_name
from ninefine.desk.mintage import held_by_date, mintage_of
from ninefine.papers.charts_sorting import BAND, FOOT, UNDER, Coinage, mintage_bands
from ninefine.sorting.mintage import MintagePicture
from ninefine.web.charts import Picture
from ninefine.web.format import plural
from ninefine.web.ledger import Column, Ledger, Of, Row, Weight
from ninefine.web.visit import Visit


@dataclass(frozen=True, slots=True, kw_only=True)
class MintagePart:
    """What a kind's page shows of its mintage: the drawing, the gaps in words, the low dates, what is unchecked."""

    plate: Picture
    gaps: str
    low: Ledger
    unchecked: str


def mintage_part(visit: Visit, slug: str) -> MintagePart | None:
    """The mintage of a kind with what is held of it; none where no mintage is held."""
    series = mintage_of(visit.kit, slug)
    if series is None:
        return None
    finds = held_by_date(visit.kit, slug)
    return MintagePart(
        plate=mintage_plate(visit, series, finds, whose="you hold of it, told apart"),
        gaps=gaps_words(series),
        low=low_dates(series, finds),
        unchecked=unchecked_words(series),
    )


def mintage_plate(visit: Visit, series: MintagePicture, finds: Mapping[str, int], *, whose: str) -> Picture:
    """The drawing of a series, with how many pieces of each date are held or were found under its stem.

    Args:
        visit: the visit.
        series: what was struck.
        finds: pieces by year and mint.
        whose: what those pieces are, for the caption: `you hold`, `this bag holds`.
    """
    cells = _cells(series, finds)
    low = ", ".join(f"{row.key} ({row.rank})" for row in series.low)
    none = ", ".join(f"{gap.year}-{gap.mint}" for gap in series.none_struck[:40])
    idle = ", ".join(str(gap.year) for gap in series.idle_years)
    said = [
        f"{series.kind.name}: {series.total:,} struck for use.",
        f"Low dates: {low}." if low else "Sorters look for no date of it.",
        f"None struck though another mint struck it: {none}." if none else "",
        f"Struck nowhere: {idle}." if idle else "",
    ]
    caption = "Stems stand by the logarithm of what was struck: each dotted line is ten times the one below. "
    caption += "Dates that sorters look for are named; a cross marks a year in which the mint struck none"
    caption += "; a hollow stem is a figure that was not held against print" if series.unchecked else ""
    caption += f". Under each stem stands what {whose}." if finds else "."
    return visit.picture(
        partial(mintage_bands, cells),
        alt=" ".join(part for part in said if part),
        caption=caption,
        size=(720, BAND * len(series.mints) + UNDER + FOOT),
    )


def _cells(series: MintagePicture, finds: Mapping[str, int]) -> list[Coinage]:
    cells: list[Coinage] = []
    for mint in series.mints:
        cells += [
            Coinage(
                year=row.year,
                mint=mint_name(mint),
                struck=row.mintage,
                words=f"{row.year % 100:02d}" if row.rank else "",
                unchecked=row.unchecked,
                none=row.mintage is None,
                found=finds.get(row.key, 0),
            )
            for row in series.struck
            if row.mint == mint
        ]
        gaps = [*series.idle_years, *(gap for gap in series.none_struck if gap.mint == mint)]
        cells += [Coinage(year=gap.year, mint=mint_name(mint), struck=None, none=True) for gap in gaps]
    return cells


def low_dates(series: MintagePicture, finds: Mapping[str, int]) -> Ledger:
    """The dates that sorters look for, fewest struck first."""
    return Ledger(
        caption="Dates that sorters look for, the fewest struck first (common practice, no source)",
        columns=(
            Column(key="key", head="Date"),
            Column(key="rank", head="Sought as"),
            Column(key="struck", head="Struck for use", of=Of.COUNT),
            Column(key="place", head="Place in the series", of=Of.COUNT),
            Column(key="held", head="Told apart", of=Of.COUNT),
            Column(key="figure", head="Figure"),
        ),
        rows=[
            Row(
                cells={
                    "key": row.key,
                    "rank": row.rank,
                    "struck": row.mintage,
                    "place": row.place,
                    "held": finds.get(row.key, 0),
                    "figure": "unchecked" if row.unchecked else "checked",
                },
                note=row.look_for,
                weight=Weight.LOOK if row.rank == "key" else Weight.PLAIN,
            )
            for row in series.low
        ],
        empty="Sorters look for no date of it.",
    )


def gaps_words(series: MintagePicture) -> str:
    """The years in which none were struck, in a sentence; empty where there are none."""
    parts = []
    if series.idle_years:
        parts.append(f"No mint struck it in {', '.join(str(gap.year) for gap in series.idle_years)}.")
    for mint in series.mints:
        years = [str(gap.year) for gap in series.none_struck if gap.mint == mint]
        if years:
            parts.append(f"{mint_name(mint)} struck none in {_runs(years)}.")
    return " ".join(parts)


def unchecked_words(series: MintagePicture) -> str:
    """How many figures were not held against print."""
    if not series.unchecked:
        return "Every figure was checked against print or adds up to a published total."
    return f"{plural(len(series.unchecked), 'figure')} of {len(series.struck)} unchecked: drawn hollow."


def _runs(years: list[str]) -> str:
    """Years in a row together: `1878 to 1904, 1921`."""
    runs: list[list[int]] = []
    for year in map(int, years):
        if runs and year == runs[-1][-1] + 1:
            runs[-1].append(year)
        else:
            runs.append([year])
    return ", ".join(str(run[0]) if len(run) == 1 else f"{run[0]} to {run[-1]}" for run in runs)
