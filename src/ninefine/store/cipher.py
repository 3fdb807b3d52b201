"""Opening a database with a passphrase: the cipher, its parameter sets, and what a passphrase may be.

The cipher is AEGIS with a key derived by Argon2id. A file does not say which cost it was made with, so the sets are
numbered here and tried from the newest; one that was ever used stays for good.
"""

import unicodedata
from dataclasses import dataclass
from pathlib import Path

import apsw

from ninefine.errors import PassphraseError

CIPHER = "aegis"


@dataclass(frozen=True, slots=True, kw_only=True)
class Cost:
    """One numbered set of key derivation costs. `memory` is in KiB."""

    number: int
    time: int
    memory: int


#: Newest first. Set 1 takes about a fifth of a second on a computer of 2025.
COSTS = (Cost(number=1, time=3, memory=65536),)


def key_of(passphrase: str) -> str:
    """The passphrase as the cipher takes it: UTF-8 in hexadecimal, accents composed (NFC) as every keyboard can.

    Raises:
        PassphraseError: empty, or one that the cipher would take for a ready-made key.
    """
    text = unicodedata.normalize("NFC", passphrase)
    if not text.strip():
        raise PassphraseError("The passphrase is empty. Type one, or say that the book is to be kept plain.")
    if text.startswith("raw:"):
        raise PassphraseError("A passphrase may not begin with 'raw:'. Choose another.")
    return text.encode("utf-8").hex()


def connect(path: Path, key: str | None, cost: Cost | None = None) -> apsw.Connection:
    """A connection to a file that exists; its key is not yet proven.

    With no key the file is taken as plain; a key without a cost takes the newest set.
    """
    connection = apsw.Connection(str(path), flags=apsw.SQLITE_OPEN_READWRITE)
    if key is not None:
        _set_cost(connection, cost or COSTS[0])
        connection.pragma("hexkey", key)
    return connection


def _set_cost(connection: apsw.Connection, cost: Cost) -> None:
    connection.pragma("cipher", CIPHER)
    connection.pragma("tcost", cost.time)
    connection.pragma("mcost", cost.memory)


def unlock(path: Path, passphrase: str) -> apsw.Connection:
    """A connection whose key fits the file.

    Raises:
        PassphraseError: no parameter set opens the file with it.
    """
    key = key_of(passphrase)
    for cost in COSTS:
        connection = connect(path, key, cost)
        try:
            connection.execute("SELECT count(*) FROM sqlite_schema").fetchall()
        except apsw.NotADBError:
            connection.close()
        except BaseException:
            connection.close()
            raise
        else:
            return connection
    raise PassphraseError(
        f"{path}: the passphrase does not open this file, or its first page is damaged. Encryption hides which."
    )


def rekey(connection: apsw.Connection, passphrase: str, *, is_plain: bool) -> None:
    """Write the whole file anew under a passphrase.

    A plain file leaves the write-ahead log meanwhile, because its pages must all change at once.

    Raises:
        PassphraseError: the passphrase is empty.
    """
    key = key_of(passphrase)
    if is_plain:
        connection.pragma("journal_mode", "delete")
        _set_cost(connection, COSTS[0])
    connection.pragma("hexrekey", key)
    if is_plain:
        connection.pragma("journal_mode", "wal")
