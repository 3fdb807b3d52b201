"""The chain of digests, byte for byte."""

import hashlib
from datetime import UTC, datetime, timedelta, timezone

import pytest

from ninefine.book.chain import GENESIS, moment, seal, store, verify_chain
from ninefine.book.codec import encode
from ninefine.errors import BookError, BrokenLawError
from short_entries import book, bought, ref, sold


def test_the_digest_is_sha_256_over_previous_serial_moment_and_body() -> None:
    """Reckoned here from the description in docs/journal-format.md, without `seal`."""
    first, second = book(bought("L1", count=5), sold(ref("L1"), "9"))
    body = encode(second.entry)
    parts = first.digest + bytes([0, 0, 0, 0, 0, 0, 0, 2]) + b"2026-06-12T14:03:11.000000Z" + body

    assert second.digest == hashlib.sha256(parts).digest()
    assert (first.previous, second.previous) == (bytes(32), first.digest)


def test_every_flipped_bit_of_a_record_changes_its_digest() -> None:
    (record,) = book(bought("L1", count=5))
    body, said_at = bytearray(encode(record.entry)), "2026-06-12T14:03:11.000000Z"
    assert seal(GENESIS, 1, said_at, bytes(body)) == record.digest

    for bit in range(len(body) * 8):
        body[bit // 8] ^= 1 << bit % 8
        assert seal(GENESIS, 1, said_at, bytes(body)) != record.digest
        body[bit // 8] ^= 1 << bit % 8


def test_a_moment_is_written_in_utc_to_the_microsecond() -> None:
    there = timezone(timedelta(hours=-7))

    assert moment(datetime(2026, 6, 12, 7, 3, 11, 250000, tzinfo=there)) == "2026-06-12T14:03:11.250000Z"


def test_a_moment_without_a_zone_is_refused() -> None:
    with pytest.raises(BookError, match="time zone"):
        moment(datetime(2026, 6, 12))  # noqa: DTZ001 - the fault that is tested


def test_a_whole_chain_passes_and_a_record_out_of_place_is_named() -> None:
    records = book(bought("L1", count=5), bought("L2", count=5), bought("L3", count=5))
    verify_chain(records)

    with pytest.raises(BrokenLawError, match="Entry 2 is missing: entry 3 follows entry 1"):
        verify_chain([records[0], records[2]])


def test_a_record_of_another_book_does_not_fit() -> None:
    mine, other = book(bought("L1", count=5)), book(bought("L9", count=5))
    stranger = store(bought("L2", count=1), said_at=datetime(2026, 1, 1, tzinfo=UTC), after=other[0])

    with pytest.raises(BrokenLawError, match="Entry 2 does not follow entry 1"):
        verify_chain([*mine, stranger])
