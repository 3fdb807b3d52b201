"""What a magnet does and how an edge looks, as evidence. Both are looked at by the person; nothing is measured.

Silver, copper, gold and lead are not drawn by any magnet (volume susceptibilities: a university physics table); iron,
nickel and cobalt are. Sliding a strong magnet down a piece at 45 degrees tells good conductors from poor ones (common
practice, no source): it slows on silver, and on copper just as well.
"""

from dataclasses import replace
from decimal import Decimal
from enum import StrEnum

from ninefine.assay.evidence import Evidence, Ground, Outcome
from ninefine.catalog.kinds import Kind

#: Fineness of silver clad on a core of silver and copper (Coinage Act of 1965).
_FORTY = Decimal("0.4")


class Magnet(StrEnum):
    """What a strong magnet does."""

    PULLS = "pulls"
    NOTHING = "nothing"
    SLOW = "slow"
    FAST = "fast"


MAGNET_WORDS = {
    Magnet.PULLS: "it is pulled",
    Magnet.NOTHING: "held to it, nothing",
    Magnet.SLOW: "slides down it slowly",
    Magnet.FAST: "slides down it fast",
}


class Edge(StrEnum):
    """How an edge looks."""

    EVEN = "even"
    COPPER = "copper stripe"
    DULL = "dull stripe"
    SEAM = "seam"
    REEDS = "wrong reeds"


EDGE_WORDS = {
    Edge.EVEN: "one colour, silver all through",
    Edge.COPPER: "a copper stripe",
    Edge.DULL: "a dull greyish or brown stripe",
    Edge.SEAM: "a seam or a joint",
    Edge.REEDS: "reeds missing, uneven or where none belong",
}


def magnet(seen: Magnet, kind: Kind) -> Evidence:
    """What a magnet does, held against what a kind is made of."""
    metal = "gold" if kind.metal == "XAU" else "silver"
    settle = ""
    if seen is Magnet.PULLS and kind.slug == "us-five-cent-wartime":
        outcome, words = (
            Outcome.UNSURE,
            "The wartime alloy holds manganese, and how a magnet draws it is not held here.",
        )
        settle = "Weigh it."
    elif seen is Magnet.PULLS:
        outcome, words = Outcome.FAILED, f"A magnet pulls it. {metal.capitalize()} and its alloys are never pulled."
    elif not kind.fineness:
        outcome, words = Outcome.UNSURE, "It is taken for base metal, of which a magnet tells only iron and nickel."
    elif seen is Magnet.FAST:
        outcome, words = Outcome.FAILED, "A strong magnet slides down it fast, as on brass, lead or nickel alloys."
        settle = "Slide the same magnet down a piece that is surely of its kind."
    elif seen is Magnet.SLOW:
        outcome, words = Outcome.PASSED, f"A strong magnet slides down it slowly, as on {metal}, and on copper as well."
        settle = "The weight, or the density, tells copper."
    else:
        outcome, words = (
            Outcome.PASSED,
            "No magnet pulls it: it is not iron or nickel. Copper, brass and lead pass too.",
        )
        settle = "Slide a strong magnet down it at 45 degrees."
    return Evidence(
        test="magnet", ground=Ground.MAGNET, outcome=outcome, against=kind.slug, says=words, would_settle=settle
    )


def edge(seen: Edge, kind: Kind) -> Evidence:
    """How an edge looks, held against how a kind is built."""
    built = f" Its kind has an edge that is {kind.edge}." if kind.edge else ""
    if seen is Edge.REEDS:
        outcome, words = Outcome.FAILED, f"The edge is {EDGE_WORDS[seen]}.{built}"
    elif seen is Edge.SEAM:
        outcome, words = Outcome.FAILED, "There is a seam round the edge: cast, or two halves joined."
    elif seen is Edge.COPPER:
        outcome = Outcome.PASSED if not kind.fineness else Outcome.FAILED
        words = "A copper stripe shows: copper-nickel on a copper core, without silver."
    elif seen is Edge.DULL:
        outcome = Outcome.PASSED if kind.fineness == _FORTY else Outcome.FAILED
        words = "A dull stripe shows: clad, of 40% silver or less."
    else:
        outcome = Outcome.PASSED if kind.fineness else Outcome.FAILED
        words = "The edge is of one colour." + (" A thick plating covers an edge too." if kind.fineness else "")
    return Evidence(test="edge", ground=Ground.LOOK, outcome=outcome, against=kind.slug, says=words)


def edges(seen: Edge, kind: Kind) -> Evidence:
    """How the edges of a whole roll or heap look, every one of them seen."""
    one = edge(seen, kind)
    words = {
        Edge.EVEN: "Every edge was looked at and is of one colour.",
        Edge.COPPER: "Copper stripes show among the edges: pieces of copper-nickel on copper, without silver.",
        Edge.DULL: "Dull stripes show among the edges: clad pieces, of 40% silver or less.",
        Edge.SEAM: "Seams show among the edges: cast pieces, or halves joined.",
        Edge.REEDS: "Edges with wrong reeds are among them.",
    }[seen]
    settle = "" if one.outcome is Outcome.PASSED else "Take those pieces out, and test them one by one."
    return replace(one, test="edges", says=words, would_settle=settle)
