"""The steps of the tables: whole or not at all, once, recorded."""

from pathlib import Path

import apsw
import pytest

from ninefine.errors import NewerFileError
from ninefine.store.journal import BookFile
from ninefine.store.schema import STEPS, Step, _take, bring_up_to_date, version_of

NOW = "2026-06-12T14:03:11.000000Z"


@pytest.fixture
def empty(tmp_path: Path) -> apsw.Connection:
    return apsw.Connection(str(tmp_path / "empty"))


def tables(connection: apsw.Connection) -> set[str]:
    return {str(name) for (name,) in connection.execute("SELECT name FROM sqlite_schema WHERE type = 'table'")}


def test_a_new_book_has_taken_every_step_and_says_so(book: BookFile) -> None:
    rows = book._connection.execute("SELECT number, name FROM step ORDER BY number").fetchall()

    assert rows == [(number + 1, step.name) for number, step in enumerate(STEPS)]
    assert version_of(book._connection) == len(STEPS)


def test_every_table_is_strict(book: BookFile) -> None:
    rows = book._connection.execute("SELECT name, strict FROM pragma_table_list WHERE name NOT LIKE 'sqlite_%'")

    assert {strict for _, strict in rows} == {1}


def test_steps_are_taken_once_and_only_the_missing_ones(empty: apsw.Connection) -> None:
    bring_up_to_date(empty, NOW, STEPS[:1])
    assert "tally" not in tables(empty)

    bring_up_to_date(empty, NOW)
    bring_up_to_date(empty, NOW)

    assert {"journal", "tally", "attachment"} <= tables(empty)
    assert empty.execute("SELECT count(*) FROM step").fetchall() == [(len(STEPS),)]


def test_a_step_that_fails_is_not_half_taken(empty: apsw.Connection) -> None:
    broken = Step("two tables", ("CREATE TABLE good (x INTEGER) STRICT", "CREATE TABLE good (x INTEGER) STRICT"))

    with pytest.raises(apsw.SQLError, match="already exists"):
        bring_up_to_date(empty, NOW, (*STEPS, broken))

    assert version_of(empty) == len(STEPS)
    assert "good" not in tables(empty)
    assert not empty.in_transaction


def test_a_step_that_another_window_took_meanwhile_is_not_taken_twice(empty: apsw.Connection) -> None:
    bring_up_to_date(empty, NOW, STEPS[:1])

    _take(empty, 0, STEPS[0], NOW)  # as a window that looked before the other was done

    assert version_of(empty) == 1
    assert empty.execute("SELECT count(*) FROM step").fetchall() == [(1,)]


def test_a_file_of_more_steps_is_left_alone(empty: apsw.Connection) -> None:
    bring_up_to_date(empty, NOW)

    with pytest.raises(NewerFileError, match="its tables are at step 3, this one knows 2"):
        bring_up_to_date(empty, NOW, STEPS[:2])
