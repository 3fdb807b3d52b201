"""Every console block of the documentation prints what it says it prints."""

import importlib.util
from pathlib import Path
from types import ModuleType

import pytest

ROOT = Path(__file__).resolve().parents[2]


def builder(name: str) -> ModuleType:
    """One of the scripts in `builders`."""
    spec = importlib.util.spec_from_file_location(name, ROOT / "builders" / f"{name}.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


CONSOLE = builder("console_pages")


@pytest.mark.parametrize("page", CONSOLE.pages(), ids=lambda page: page.name)
def test_every_command_prints_what_the_page_says(page: Path) -> None:
    """Run `python builders/console_pages.py` after changing a command."""
    text = page.read_text(encoding="utf-8")

    assert CONSOLE.filled(text) == text


def test_the_story_is_among_the_pages_and_shows_the_way_of_the_silver() -> None:
    names = [page.name for page in CONSOLE.pages()]
    story = (ROOT / "docs" / "story.md").read_text(encoding="utf-8")

    assert "story.md" in names
    for command in ("quote", "offers", "buy", "claim", "receive", "sort", "move", "exit", "worth", "sell", "check"):
        assert f"\n$ ninefine {command}" in story


def test_a_page_that_lies_is_found() -> None:
    page = '```console\n$ ninefine quote "23.4x" --spot 31.50\n23.4x is dear.\n```\n'

    filled = CONSOLE.filled(page)

    assert "23.4x is dear" not in filled
    assert "32.73 a trade ounce" in filled


def test_only_commands_of_ninefine_are_run() -> None:
    with pytest.raises(ValueError, match="no command of ninefine"):
        CONSOLE.filled("```console\n$ ls\n```\n")
