"""Laws of the journal written out: read back it is the same, digest for digest, and no byte of it can change."""

import random
from dataclasses import replace
from datetime import date

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from ninefine.book.chain import Stored, verify_chain
from ninefine.book.entries import Attachment, Noted
from ninefine.book.fold import fold
from ninefine.book.lines import Count, CountMark, Journal, read_lines, write_lines
from ninefine.errors import BrokenLawError, UnreadableError
from strategies_book import journals, record_all, texts

quick = settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])


def of(records: list[Stored], files: dict[str, bytes] | None = None, name: str = "Quarry Street") -> Journal:
    return Journal(name=name, currency="USD", records=records, files=files or {})


def out(journal: Journal) -> bytes:
    return b"".join(write_lines(journal))


@quick
@given(journals(), texts.filter(bool))
def test_what_was_written_out_reads_back_as_the_same_book(records: list[Stored], name: str) -> None:
    """Equal digests, equal holdings, and the same bytes when written again."""
    written = out(of(records, name=name))

    back = read_lines(written)

    assert (back.name, back.currency) == (name, "USD")
    assert [one.digest for one in back.records] == [one.digest for one in records]
    verify_chain(back.records)
    assert fold(back.records) == fold(records)
    assert out(back) == written


@quick
@given(journals(longest=4), st.integers(min_value=0), st.integers(1, 255))
def test_a_changed_byte_is_refused_naming_a_line_at_or_before_it(
    records: list[Stored], place: int, change: int
) -> None:
    """A byte that becomes a line feed parts one line into two, of which the first no longer reads."""
    written = bytearray(out(of(records)))
    at = place % len(written)
    line = written.count(b"\n", 0, at) + 1
    written[at] ^= change

    with pytest.raises((BrokenLawError, UnreadableError)) as caught:
        read_lines(bytes(written))

    named = 1 if isinstance(caught.value, UnreadableError) else int(str(caught.value).split()[1])
    assert named == line


def test_every_single_byte_of_a_journal_with_a_file_and_a_count_is_held_fast() -> None:
    """Not one byte of head, entries, files, counts or end can be altered."""
    digest = "2d711642b726b04401627ca9fbac32f5c8530fb1903cc4db02258717921a4881"  # SHA-256 of b"x"
    note = Noted(on=date(2026, 1, 1), text="a receipt", attachments=(_file(digest),))
    mark = CountMark(seq=1, kind="us-dime-90", issue="1944-D", delta=3, note="", cancels=None, said_at="then")
    count = Count(count=1, heap="L1", title="dimes", started_at="then", marks=(mark,))
    whole = replace(of(record_all([note]), {digest: b"x"}), counts=(count,))
    written = out(whole)

    assert read_lines(written) == replace(whole, records=tuple(whole.records))
    for at in range(len(written)):
        altered = bytearray(written)
        altered[at] ^= 1
        number = written.count(b"\n", 0, at) + 1
        with pytest.raises((BrokenLawError, UnreadableError), match="." if number == 1 else f"^Line {number} is not"):
            read_lines(bytes(altered))


def _file(digest: str) -> Attachment:
    return Attachment(sha256=digest, name="x.txt", media="text/plain", size=1)


@pytest.mark.parametrize("what", ["cut", "swapped", "twice", "dropped", "windows", "other"])
def test_lines_cut_swapped_doubled_or_converted_are_refused(what: str) -> None:
    """What editors and broken transfers do to a file."""
    entries = [Noted(on=date(2026, 1, 1), text=f"{number}") for number in range(5)]
    written = out(of(record_all(entries)))
    lines = written.splitlines(keepends=True)
    shuffled = lines[1:-1]
    random.Random(9).shuffle(shuffled)
    altered = {
        "cut": written[:-1],
        "swapped": b"".join([lines[0], *shuffled, lines[-1]]),
        "twice": b"".join([*lines, lines[-1]]),
        "dropped": b"".join([*lines[:3], *lines[4:]]),
        "windows": written.replace(b"\n", b"\r\n"),
        "other": b"date,price\n2024-01-01,5\n",
    }

    with pytest.raises((BrokenLawError, UnreadableError)):
        read_lines(altered[what])


def test_a_space_that_changes_nothing_said_is_a_change_all_the_same() -> None:
    """Each line stands as it is written, to the byte; so a file has one wording only."""
    written = out(of(record_all([Noted(on=date(2026, 1, 1), text="one")])))

    with pytest.raises(BrokenLawError, match=r"^Line 2 is not what was written"):
        read_lines(written.replace(b'"serial":1,', b'"serial":1 ,'))
