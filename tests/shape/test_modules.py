"""Every module imports alone and silently, stays readable in size, and says what it is."""

import ast
import subprocess
import sys
from pathlib import Path

import pytest

import ninefine

ROOT = Path(ninefine.__file__).parent
NAMES = sorted(
    ".".join(["ninefine", *path.relative_to(ROOT).with_suffix("").parts]).removesuffix(".__init__")
    for path in ROOT.rglob("*.py")
    if path.name != "__main__.py"
)
LONGEST_MODULE = 400
#: Imported only inside the part that needs them, so that a quick command stays quick.
HEAVY = {"vl_convert", "numpy", "scipy", "starlette", "uvicorn", "jinja2"}

#: One module of each part, the last by name: these are imported with nothing else loaded.
ALONE = sorted({name.split(".")[1]: name for name in NAMES if name != "ninefine"}.values())

_IMPORT_EACH = """
import importlib, sys, io, contextlib
for name in sys.argv[1:]:
    out = io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(out):
        importlib.import_module(name)
    if out.getvalue():
        sys.exit(f"{name} says something when imported: {out.getvalue()[:200]!r}")
"""


def _import_each(*names: str) -> None:
    finished = subprocess.run(
        [sys.executable, "-W", "error", "-c", _IMPORT_EACH, *names], capture_output=True, text=True, check=False
    )

    assert finished.returncode == 0, finished.stderr
    assert not finished.stdout


def test_every_module_imports_silently() -> None:
    """As no imports form a circle (see the layers), what imports at all imports alone."""
    _import_each(*NAMES)


@pytest.mark.parametrize("name", ALONE)
def test_a_part_imports_with_nothing_loaded_before_it(name: str) -> None:
    _import_each(name)


@pytest.mark.parametrize("path", sorted(ROOT.rglob("*.py")), ids=lambda path: str(path.relative_to(ROOT)))
def test_a_module_is_not_too_long_and_says_what_it_is(path: Path) -> None:
    """At most 400 lines, and a docstring on top."""
    text = path.read_text(encoding="utf-8")

    assert len(text.splitlines()) <= LONGEST_MODULE
    assert ast.get_docstring(ast.parse(text))


def test_a_quick_command_loads_nothing_heavy() -> None:
    """The command line's front door and its quote load no web, chart or array library."""
    code = "import sys; import ninefine.cli.main, ninefine.cli.quote; print(*sorted(sys.modules))"
    finished = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)

    assert not HEAVY & set(finished.stdout.split())
