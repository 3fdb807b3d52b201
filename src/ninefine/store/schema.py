"""The tables of the book's file, as named steps: each is taken whole or not at all, once, and recorded."""

from dataclasses import dataclass

import apsw

from ninefine.errors import NewerFileError

#: "9fin", in the header of every book.
APPLICATION_ID = 0x3966696E


@dataclass(frozen=True, slots=True)
class Step:
    """One change of the tables. A step that was released is never edited; another follows it."""

    name: str
    sql: tuple[str, ...]


def _append_only(table: str, what: str) -> str:
    return f"""
    CREATE TRIGGER {table}_is_never_changed BEFORE UPDATE ON {table}
    BEGIN SELECT RAISE(ABORT, '{what} are never changed'); END;
    CREATE TRIGGER {table}_is_never_emptied BEFORE DELETE ON {table}
    BEGIN SELECT RAISE(ABORT, '{what} are never deleted'); END;
    """


_JOURNAL = """
CREATE TABLE meta (key TEXT PRIMARY KEY, value TEXT NOT NULL) STRICT;
CREATE TABLE journal (
    serial INTEGER PRIMARY KEY,
    said_at TEXT NOT NULL,
    body BLOB NOT NULL,
    digest BLOB NOT NULL CHECK (length(digest) = 32),
    previous BLOB NOT NULL CHECK (length(previous) = 32)
) STRICT;
CREATE TRIGGER journal_has_no_gaps BEFORE INSERT ON journal
WHEN NEW.serial IS NOT (SELECT coalesce(max(serial), 0) + 1 FROM journal)
BEGIN SELECT RAISE(ABORT, 'entries follow one another without gaps'); END;
"""

_ATTACHMENTS = """
CREATE TABLE attachment (
    sha256 TEXT PRIMARY KEY CHECK (length(sha256) = 64),
    size INTEGER NOT NULL CHECK (size >= 0),
    added_at TEXT NOT NULL
) STRICT;
CREATE TABLE attachment_part (
    sha256 TEXT NOT NULL REFERENCES attachment (sha256),
    part INTEGER NOT NULL,
    bytes BLOB NOT NULL,
    UNIQUE (sha256, part)
) STRICT;
"""

_TALLIES = """
CREATE TABLE tally (
    number INTEGER PRIMARY KEY,
    heap TEXT NOT NULL,
    title TEXT NOT NULL,
    started_at TEXT NOT NULL
) STRICT;
CREATE TABLE tally_mark (
    tally INTEGER NOT NULL REFERENCES tally (number),
    seq INTEGER NOT NULL,
    kind TEXT NOT NULL,
    issue TEXT NOT NULL,
    delta INTEGER NOT NULL,
    note TEXT NOT NULL,
    cancels INTEGER,
    said_at TEXT NOT NULL,
    PRIMARY KEY (tally, seq),
    UNIQUE (tally, cancels),
    FOREIGN KEY (tally, cancels) REFERENCES tally_mark (tally, seq)
) STRICT;
CREATE TABLE tally_end (
    tally INTEGER PRIMARY KEY REFERENCES tally (number),
    serial INTEGER REFERENCES journal (serial),
    ended_at TEXT NOT NULL
) STRICT;
"""

STEPS = (
    Step(
        "the journal and what is said of the book",
        (
            _JOURNAL,
            _append_only("journal", "entries"),
        ),
    ),
    Step(
        "attachments in parts",
        (
            _ATTACHMENTS,
            _append_only("attachment", "attachments"),
            _append_only("attachment_part", "attachments"),
        ),
    ),
    Step(
        "tallies mark by mark",
        (
            _TALLIES,
            _append_only("tally", "tallies"),
            _append_only("tally_mark", "marks"),
            _append_only("tally_end", "tallies"),
        ),
    ),
)


def version_of(connection: apsw.Connection) -> int:
    """How many steps the file has taken."""
    return int(connection.pragma("user_version"))


def bring_up_to_date(connection: apsw.Connection, now: str, steps: tuple[Step, ...] = STEPS) -> None:
    """Take the steps that are missing, each in a transaction of its own.

    Raises:
        NewerFileError: the file has taken steps that are not known here.
    """
    while (taken := version_of(connection)) < len(steps):
        _take(connection, taken, steps[taken], now)
    if taken > len(steps):
        raise NewerFileError(
            f"{connection.filename}: this book was written by a later ninefine (its tables are at step {taken}, this "
            f"one knows {len(steps)}). Use a later ninefine; nothing was changed."
        )


def _take(connection: apsw.Connection, taken: int, step: Step, now: str) -> None:
    connection.execute("BEGIN IMMEDIATE")
    try:
        if version_of(connection) == taken:  # else another window took the step meanwhile
            connection.execute(
                "CREATE TABLE IF NOT EXISTS step "
                "(number INTEGER PRIMARY KEY, name TEXT NOT NULL, taken_at TEXT NOT NULL) STRICT"
            )
            for sql in step.sql:
                connection.execute(sql)
            connection.execute("INSERT INTO step VALUES (?, ?, ?)", (taken + 1, step.name, now))
            connection.pragma("user_version", taken + 1)
        connection.execute("COMMIT")
    except BaseException:
        if connection.in_transaction:
            connection.execute("ROLLBACK")
        raise
