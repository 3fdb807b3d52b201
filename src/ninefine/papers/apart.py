"""What is not to be melted or sold by weight before someone has looked at it, and why. Common practice, no source."""

from decimal import Decimal

from ninefine.catalog.kinds import Evidence, Issue, Kind
from ninefine.measure.money import METALS

_DOLLAR = Decimal(1)


def why_kind_apart(kind: Kind) -> str:
    """Why a whole kind is not to be sold by weight; empty where it may be."""
    if kind.metal != "XAG":
        return f"{METALS[kind.metal][1]}, not silver: it is priced apart"
    if kind.country == "US" and kind.face == _DOLLAR and kind.fineness == Decimal("0.9"):
        return "silver dollars sell by the piece, most for more than their metal"
    if kind.evidence is Evidence.OWN:
        return "a kind of your own: look at what was noted of it"
    return ""


def why_issue_apart(issue: Issue | None) -> str:
    """Why pieces of one date and mint are kept out of the heap; empty for common ones."""
    if issue is None or not issue.rank:
        return ""
    return f"{issue.rank}: {issue.look_for}" if issue.look_for else issue.rank
