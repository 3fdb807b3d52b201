"""The reference of commands is what the commands say themselves, and the README keeps to the project file."""

import importlib.util
import tomllib
from pathlib import Path

import pytest

from ninefine.cli.main import COMMANDS, main

ROOT = Path(__file__).resolve().parents[2]


def test_the_reference_is_what_the_commands_say() -> None:
    """Run `python builders/command_reference.py` after changing a command."""
    spec = importlib.util.spec_from_file_location("command_reference", ROOT / "builders" / "command_reference.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)

    assert (ROOT / "docs" / "reference" / "commands.md").read_text(encoding="utf-8") == module.reference()


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_shows_an_example(name: str) -> None:
    command = main.get_command(main.make_context("ninefine", ["--help"], resilient_parsing=True), name)

    assert command is not None
    assert command.help is not None
    assert f"ninefine {name}" in command.help or f" {name} " in command.help, "no example in the help"


def test_the_readme_and_the_project_file_agree_on_python() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    oldest = project["requires-python"].removeprefix(">=")

    assert f"Python {oldest}" in (ROOT / "README.md").read_text(encoding="utf-8")
