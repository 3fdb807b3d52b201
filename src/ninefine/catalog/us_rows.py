"""From rows of the packaged U.S. tables to records. Pure: text lines in, records out."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from ninefine.catalog.acts import STANDARDS
from ninefine.catalog.denominations import denomination_of_type
from ninefine.catalog.kinds import Evidence, Form, Issue, Kind, per_face_ozt
from ninefine.catalog.mints import MINTS
from ninefine.catalog.tables import Row, read_table

#: Fine ounces that the trade counts for a dollar of face (common practice; the last two from memory).
TRADE_SMALL_COIN = Decimal("0.715")
TRADE_DOLLAR = Decimal("0.765")
TRADE_40 = Decimal("0.295")

#: The same coin stands in two tables; the identity that entries use, by the other.
SAME_COIN = {"us-silver-eagle-bullion": "xag-us-eagle-1oz", "us-atb-five-ounce-bullion": "xag-us-parks-5oz"}

_US_TYPES = (
    *("type_id", "name", "denomination_usd", "first_year", "last_year", "gross_weight_g", "weight_tolerance_g"),
    *("fineness", "diameter_mm", "thickness_mm", "edge", "composition", "fine_ozt", "constitutional", "roll_count"),
    *("source_specs", "evidence"),
)
_US_ISSUES = (
    *("type_id", "year", "mint", "variety", "mintage_business", "mintage_proof", "note", "source", "evidence"),
)
_KEYS = ("type_id", "year", "mint", "variety", "rank", "reason", "source", "evidence")
_GAPS = ("type_id", "year", "mint", "note", "source", "evidence")
_RUNS = ("slug", "first_year", "last_year", "mints", "note", "source", "evidence")


@dataclass(frozen=True, slots=True, kw_only=True)
class Sought:
    """What sorters look for: a rank and its reason, for one issue."""

    kind: str
    key: str
    rank: str
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Gap:
    """A year and mint of a kind's span in which it was not struck."""

    kind: str
    year: int
    mint: str
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """Years in which a kind without rows of issues was struck, and at which mints."""

    kind: str
    first_year: int
    last_year: int | None
    mints: tuple[str, ...]
    note: str
    source: str
    evidence: Evidence

    def covers(self, year: int) -> bool:
        """Whether the run holds a year."""
        return self.first_year <= year and (self.last_year is None or year <= self.last_year)


def us_slug(type_id: str) -> str:
    """The kind's name in the book for an identity of the U.S. tables."""
    slug = f"us-{type_id}"
    return SAME_COIN.get(slug, slug)


def parse_us_types(lines: Iterable[str], *, source: str = "us_types.csv") -> tuple[Kind, ...]:
    """U.S. types. Weights that an Act set are taken from the Act, exact; the table must agree with it as rounded.

    Raises:
        Faults: every fault of the table.
    """
    return read_table(lines, source=source, columns=_US_TYPES, build=_us_kind)


def _us_kind(row: Row) -> Kind:
    type_id = row.needed("type_id")
    gross, fineness, tolerance = row.needed_decimal("gross_weight_g"), row.fineness("fineness"), None
    tolerance = row.decimal("weight_tolerance_g")
    law = STANDARDS.get(type_id)
    if law is not None:
        _agrees(row, "gross_weight_g", gross, law.gross.grams, Decimal("0.00006"))
        _agrees(row, "fineness", fineness, law.fineness, Decimal("0.00006"))
        if tolerance is not None and law.tolerance is not None:
            _agrees(row, "weight_tolerance_g", tolerance, law.tolerance.grams, Decimal("0.0006"))
            tolerance = law.tolerance.grams
        gross, fineness = law.gross.grams, law.fineness
    face = row.needed_decimal("denomination_usd")
    coin = denomination_of_type(type_id)
    constitutional = row.text("constitutional") == "yes"
    trade = _trade_per_face(type_id, gross, fineness, face, constitutional=constitutional)
    by_face = trade is not None or type_id == "five-cent-wartime"
    roll = row.whole("roll_count")
    return Kind(
        slug=us_slug(type_id),
        name=row.needed("name"),
        form=_us_form(type_id, constitutional=constitutional),
        country="US",
        denomination="" if coin is None else coin.name,
        face=face,
        by_face=by_face,
        first_year=row.year("first_year"),
        last_year=row.whole("last_year"),
        gross_g=gross,
        fineness=fineness,
        trade_ozt=_trade_each(type_id, face, trade),
        fine_ozt_per_face=per_face_ozt(gross, fineness, face) if by_face else None,
        trade_ozt_per_face=trade,
        tolerance_g=tolerance,
        diameter_mm=row.decimal("diameter_mm"),
        thickness_mm=row.decimal("thickness_mm"),
        edge=row.text("edge"),
        composition=row.text("composition"),
        roll=roll,
        source=row.needed("source_specs"),
        evidence=row.evidence(),
    )


def _agrees(row: Row, column: str, printed: Decimal, exact: Decimal, within: Decimal) -> None:
    if printed and abs(printed - exact) > within:
        row.fault(column, f"{printed} does not round {exact}, which the law gives")


def _us_form(type_id: str, *, constitutional: bool) -> Form:
    if constitutional:
        return Form.CONSTITUTIONAL
    return Form.BULLION if type_id.endswith("-bullion") else Form.OTHER_COIN


def _trade_per_face(
    type_id: str, gross: Decimal, fineness: Decimal, face: Decimal, *, constitutional: bool
) -> Decimal | None:
    """Fine ounces that the trade counts for a dollar of face; none where it has no such habit."""
    if type_id in {"dollar-morgan", "dollar-peace"}:
        return TRADE_DOLLAR
    if type_id in {"half-kennedy-40", "half-kennedy-40-bicentennial"}:
        return TRADE_40
    if constitutional and fineness == Decimal("0.9") and gross == face * 25 and face != Decimal("0.20"):
        return TRADE_SMALL_COIN
    return None


def _trade_each(type_id: str, face: Decimal, trade: Decimal | None) -> Decimal | None:
    if type_id == "silver-eagle-bullion":
        return Decimal(1)
    if type_id == "atb-five-ounce-bullion":
        return Decimal(5)
    return None if trade is None else trade * face


def parse_us_issues(lines: Iterable[str], *, source: str = "us_issues.csv") -> tuple[Issue, ...]:
    """Issues of U.S. types, each with its mintage where recorded.

    Raises:
        Faults: every fault of the table.
    """
    return read_table(lines, source=source, columns=_US_ISSUES, build=_issue)


def _mint(row: Row) -> str:
    mint = row.text("mint")
    if mint not in MINTS:
        row.fault("mint", f"{mint!r} is not one of {', '.join(MINTS)}")
    return mint


def _issue(row: Row) -> Issue:
    return Issue(
        kind=us_slug(row.needed("type_id")),
        year=row.year("year"),
        mint=_mint(row),
        variety=row.text("variety"),
        mintage=row.whole("mintage_business"),
        proofs=row.whole("mintage_proof"),
        note=_without_rank(row.text("note")),
        source=row.needed("source"),
        evidence=row.evidence(),
    )


def _without_rank(note: str) -> str:
    """The note less a leading rank, which stands in its own table."""
    head, _, rest = note.partition(";")
    return rest.strip() if head.strip() in {"key", "semi-key", "better"} else note


def parse_keys(lines: Iterable[str], *, source: str = "keys.csv") -> tuple[Sought, ...]:
    """What sorters look for, issue by issue.

    Raises:
        Faults: every fault of the table.
    """
    return read_table(lines, source=source, columns=_KEYS, build=_sought)


def _sought(row: Row) -> Sought:
    rank = row.needed("rank")
    if rank not in {"key", "semi-key", "better"}:
        row.fault("rank", f"{rank!r} is not key, semi-key or better")
    variety = row.text("variety")
    key = f"{row.year('year')}-{_mint(row)}" + (f":{variety}" if variety else "")
    row.evidence()
    return Sought(kind=us_slug(row.needed("type_id")), key=key, rank=rank, reason=row.needed("reason"))


def parse_gaps(lines: Iterable[str], *, source: str = "not_struck.csv") -> tuple[Gap, ...]:
    """Years and mints inside a type's span that saw none of it.

    Raises:
        Faults: every fault of the table.
    """
    return read_table(lines, source=source, columns=_GAPS, build=_gap)


def _gap(row: Row) -> Gap:
    row.evidence()
    return Gap(kind=us_slug(row.needed("type_id")), year=row.year("year"), mint=_mint(row), note=row.needed("note"))


def parse_runs(lines: Iterable[str], *, source: str = "runs.csv") -> tuple[Run, ...]:
    """Years and mints of kinds that have no rows of issues.

    Raises:
        Faults: every fault of the table.
    """
    return read_table(lines, source=source, columns=_RUNS, build=_run)


def _run(row: Row) -> Run:
    mints = tuple(row.needed("mints").split())
    for mint in mints:
        if mint not in MINTS:
            row.fault("mints", f"{mint!r} is not one of {', '.join(MINTS)}")
    return Run(
        kind=row.needed("slug"),
        first_year=row.year("first_year"),
        last_year=row.whole("last_year"),
        mints=mints,
        note=row.text("note"),
        source=row.needed("source"),
        evidence=row.evidence(),
    )
