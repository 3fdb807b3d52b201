"""Fill the console blocks of the documentation with what the commands truly print.

Run `python builders/console_pages.py` after changing a command. A block opens with three backticks and `console`; a
line that begins with `$ ` is run, a backslash at its end carries it on. `$ export NAME=VALUE` holds for the rest of
the page. Each page runs in an empty folder of its own that holds a copy of `examples`.
"""

import contextlib
import io
import os
import re
import shlex
import shutil
import tempfile
from collections.abc import Iterator
from pathlib import Path

from ninefine.cli.main import run

ROOT = Path(__file__).resolve().parent.parent
DOCS = ROOT / "docs"
BLOCK = re.compile(r"```console\n(.*?)```", re.DOTALL)
#: What differs from run to run and is shown as dots: the digest of the last entry, the day on which a page was run.
OWN = re.compile(
    r"(?<=^Last digest: ).*$"
    r"|(?<=written down on )\d{4}-\d\d-\d\d(?:, \d+ days after)?"
    r"|^\d{1,2} [A-Z][a-z]+ \d{4}(?=, .*$)"
    r"|(?<=, )\d{4}-\d\d-\d\d(?=\. Set down the (?:setting 'books'|reported|instrument))",
    re.MULTILINE,
)


def pages() -> list[Path]:
    """Every page with a console block."""
    return sorted(page for page in DOCS.rglob("*.md") if BLOCK.search(page.read_text(encoding="utf-8")))


def filled(text: str) -> str:
    """A page with every console block run anew."""
    with _folder():
        return BLOCK.sub(lambda block: f"```console\n{_transcript(block[1])}```", text)


def _transcript(block: str) -> str:
    return "".join(f"$ {command}\n{_output(command)}" for command in _commands(block))


def _commands(block: str) -> Iterator[str]:
    lines = iter(block.splitlines())
    for line in lines:
        if line.startswith("$ "):
            command = line.removeprefix("$ ")
            while command.endswith("\\"):
                command += "\n" + next(lines)
            yield command


def _output(command: str) -> str:
    words = shlex.split(command.replace("\\\n", " "))
    if words[0] == "export":
        name, _, value = words[1].partition("=")
        os.environ[name] = value
        return ""
    if words[0] != "ninefine":
        raise ValueError(f"{command!r} is no command of ninefine")
    printed = io.StringIO()
    with contextlib.redirect_stdout(printed), contextlib.redirect_stderr(printed), contextlib.suppress(SystemExit):
        run(words[1:])
    return OWN.sub("...", printed.getvalue())


@contextlib.contextmanager
def _folder() -> Iterator[None]:
    """An empty folder and surroundings, put back afterwards."""
    before, here = dict(os.environ), Path.cwd()
    with tempfile.TemporaryDirectory() as folder:
        shutil.copytree(ROOT / "examples", Path(folder) / "examples")
        for name in [name for name in os.environ if name.startswith("NINEFINE_")]:
            del os.environ[name]
        os.environ["NINEFINE_HOME"] = str(Path(folder) / "home")
        os.chdir(folder)
        try:
            yield
        finally:
            os.chdir(here)
            os.environ.clear()
            os.environ.update(before)


if __name__ == "__main__":
    for page in pages():
        page.write_text(filled(page.read_text(encoding="utf-8")), encoding="utf-8")
        print(f"Filled {page.relative_to(ROOT)}.")
