"""A struck piece at the desk: a recording listened to, held against what is known of its kind, booked as a test."""

from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING

from ninefine.assay.ring_heard import Heard, Partial
from ninefine.book.chain import Stored
from ninefine.catalog.kinds import Kind
from ninefine.desk.bench import book_test
from ninefine.desk.goods import read_named
from ninefine.desk.heaps import say_goods
from ninefine.desk.kit import Kit
from ninefine.desk.records import Upload
from ninefine.desk.ring_bank import known_rings

if TYPE_CHECKING:
    from ninefine.assay.ring_compare import Held
    from ninefine.assay.ring_verdict import Comparison

#: Told how far listening is: strikes done, strikes in all.
Tell = Callable[[int, int], object]

#: What is said wherever a ring is shown.
CANNOT = "A ring tells that a piece vibrates as others do. It does not tell what lies in it: weight and density do."


def listen(data: bytes, name: str, tell: Tell | None = None) -> Heard:
    """Listen to a recording's bytes; asks nothing of the book, so it may run on a thread of its own.

    Raises:
        UnreadableError: no recording that can be read.
        RangeError: too long, too large or too coarse.
    """
    from ninefine.assay.ring import hear  # noqa: PLC0415 - heavy: array work, loaded when a recording is handed in
    from ninefine.intake.sound import read_sound  # noqa: PLC0415 - heavy: the same

    sound = read_sound(data, name)
    return hear(sound.samples, sound.rate, progress=tell)


def read_kind(kit: Kit, text: str) -> Kind:
    """The kind that a person takes a piece for.

    Raises:
        NotFoundError: nothing fits, or several kinds do.
    """
    return read_named(kit.catalog(), text).kind


def hold(kit: Kit, heard: Heard, kind: Kind) -> "Comparison":
    """Hold a recording against the known rings of a kind, or against a flat disc where there are none."""
    from ninefine.assay.ring_verdict import compare  # noqa: PLC0415 - heavy: array work

    return compare(heard, kind, known_rings(kit, kind.slug), name=say_goods(kind.slug, "", kit.catalog()))


def book_ring(kit: Kit, heard: Heard, kind: Kind, form: Mapping[str, str], uploads: Sequence[Upload] = ()) -> Stored:
    """Book what a ring said as a test. Fields: `on`, `heap`, `piece`, `count`, `note`; a heap or a piece is named.

    Raises:
        Faults: every fault of the form and of each file.
    """
    return book_test(kit, {**form, "kind": kind.slug}, [hold(kit, heard, kind).evidence], uploads)


def likely_words(held: "Held") -> str:
    """How many times as likely as some other ring, in words: `400 times`, `1 in 20`."""
    from ninefine.assay.ring_verdict import odds_words  # noqa: PLC0415 - heavy: array work

    return odds_words(held.log_odds)


def ring_sentence(heard: Heard) -> str:
    """What was heard, in a sentence."""
    if heard.main is None:
        return heard.remarks[0].says if heard.remarks else "Nothing was heard."
    return (
        f"{_counted(len(heard.strikes), 'strike')} in {heard.seconds:.1f} s, "
        f"{_counted(len(heard.partials), 'partial')}; the strongest lies at "
        f"{hz_words(heard.main)} and dies away to a third in {decay_words(heard.main)}."
    )


def _counted(number: int, what: str) -> str:
    return f"{number} {what}{'' if number == 1 else 's'}"


def hz_words(partial: Partial) -> str:
    """A partial's frequency with its uncertainty: `4,461.0 ± 0.1 Hz`; never finer than a hundredth."""
    places = _places(partial.hz_u)
    return f"{partial.hz:,.{places}f} ± {max(partial.hz_u, 10.0**-places):,.{places}f} Hz"


def decay_words(partial: Partial) -> str:
    """A partial's decay with its uncertainty in milliseconds."""
    places = _places(partial.decay_u * 1000.0)
    least = max(partial.decay_u * 1000.0, 10.0**-places)
    return f"{partial.decay * 1000.0:,.{places}f} ± {least:,.{places}f} ms"


def _places(uncertainty: float) -> int:
    """Places for one digit of an uncertainty, two at most."""
    return 0 if uncertainty >= 0.95 else 1 if uncertainty >= 0.095 else 2
