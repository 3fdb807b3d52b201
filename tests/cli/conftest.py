"""Running commands as a person would, in a home of their own, without a new process for each."""

import json
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from ninefine.cli.main import run


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """What a command printed, and how it ended."""

    code: int
    out: str
    err: str

    @property
    def json(self) -> Any:
        """Its output read as JSON."""
        return json.loads(self.out)


Ninefine = Callable[..., Said]


@pytest.fixture
def ninefine(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Ninefine:
    """The command, with its own empty home."""
    monkeypatch.setenv("NINEFINE_HOME", str(tmp_path / "home"))
    for name in ("NINEFINE_BOOK", "NINEFINE_PASSPHRASE_FILE", "NINEFINE_TRACE"):
        monkeypatch.delenv(name, raising=False)

    def call(*arguments: str) -> Said:
        with pytest.raises(SystemExit) as ended:
            run(list(arguments))
        said = capsys.readouterr()
        code = ended.value.code
        return Said(code=code if isinstance(code, int) else 1, out=said.out, err=said.err)

    return call


@pytest.fixture
def with_book(ninefine: Ninefine) -> Ninefine:
    """The command, with a new book kept without a passphrase."""
    assert ninefine("new", "--without-passphrase").code == 0
    return ninefine
