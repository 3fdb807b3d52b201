"""The layers of the house: imports only go down, and parts on one floor never see each other."""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

import ninefine

ROOT = Path(ninefine.__file__).parent
FLOORS = {
    "errors": 0,
    "measure": 1,
    "catalog": 2,
    "book": 2,
    "market": 3,
    "assay": 3,
    "sorting": 3,
    "worth": 4,
    "plan": 5,
    "papers": 6,
    "store": 7,
    "intake": 7,
    "desk": 8,
    "wire": 9,
    "testing": 9,
    "cli": 10,
    "web": 10,
    "api": 10,
    "__main__": 11,
}
#: Lower floors that a part must still not see, with the reason.
CLOSED = {
    ("desk", "store"): "the desk is handed its journal and opens no file",
    ("cli", "store"): "only the wire joins the faces to a file",
    ("web", "store"): "only the wire joins the faces to a file",
}
#: What a face of the program may see of another: starting the pages is a command.
OPEN = {("cli", "web")}


def modules() -> list[Path]:
    return sorted(ROOT.rglob("*.py"))


def part_of(path: Path) -> str:
    first = path.relative_to(ROOT).parts[0]
    return first.removesuffix(".py")


def imported_names(tree: ast.AST, package: list[str]) -> Iterator[tuple[int, str]]:
    """Every import in a module, at whatever depth, late and relative ones included, as dotted names."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            for alias in node.names:
                yield node.lineno, alias.name
        elif isinstance(node, ast.ImportFrom):
            base = package[: len(package) - node.level + 1] if node.level else []
            whole = ".".join([*base, *(node.module.split(".") if node.module else [])])
            yield node.lineno, whole
            if whole == "ninefine":
                for alias in node.names:
                    yield node.lineno, f"ninefine.{alias.name}"
        elif isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute | ast.Name):
            name = node.func.attr if isinstance(node.func, ast.Attribute) else node.func.id
            if name in {"import_module", "__import__"} and node.args and isinstance(node.args[0], ast.Constant):
                yield node.lineno, str(node.args[0].value)


def faults_of(path: Path, text: str) -> list[str]:
    part = part_of(path)
    package = ["ninefine", *path.relative_to(ROOT).parts[:-1]]
    faults = []
    for line, name in imported_names(ast.parse(text), package):
        pieces = name.split(".")
        if pieces[0] != "ninefine" or len(pieces) == 1:
            continue
        target = pieces[1]
        if target in {part, "__version__"} or (part, target) in OPEN:
            continue
        where = f"{path.relative_to(ROOT)}:{line} imports {name}"
        if part == "__init__":
            faults.append(f"{where}: the package root imports nothing")
        elif target not in FLOORS:
            faults.append(f"{where}: {target} stands on no floor")
        elif (part, target) in CLOSED:
            faults.append(f"{where}: {CLOSED[part, target]}")
        elif FLOORS[target] >= FLOORS[part]:
            faults.append(f"{where}: floor {FLOORS[part]} may not see floor {FLOORS[target]}")
    return faults


def test_every_part_stands_on_a_floor() -> None:
    """A new part of the program must be given its floor."""
    parts = {part_of(path) for path in modules()} - {"__init__"}

    assert parts <= FLOORS.keys()


@pytest.mark.parametrize("path", modules(), ids=lambda path: str(path.relative_to(ROOT)))
def test_imports_only_go_down(path: Path) -> None:
    """No module imports from its own floor's neighbours or from above."""
    assert not faults_of(path, path.read_text(encoding="utf-8"))


@pytest.mark.parametrize(
    ("where", "text"),
    [
        ("measure/mass.py", "from ninefine.catalog import kinds"),
        ("measure/mass.py", "def late():\n    import ninefine.web.app"),
        ("catalog/kinds.py", "from ..book import entries"),
        ("book/fold.py", "from ninefine import market"),
        ("desk/kit.py", "from ninefine.store.file import open_book"),
        ("market/quote.py", "import importlib\nimportlib.import_module('ninefine.worth.stack')"),
        ("errors.py", "from .measure.mass import Mass"),
    ],
)
def test_a_planted_upward_import_is_caught(where: str, text: str) -> None:
    """The walk itself is tested: late, relative, sideways and dynamic imports are all seen."""
    assert faults_of(ROOT / where, text)


def test_no_modules_import_each_other_in_a_circle() -> None:
    """Imports at load time form no loop between modules."""
    graph: dict[str, set[str]] = {}
    names = {".".join(["ninefine", *path.relative_to(ROOT).with_suffix("").parts]): path for path in modules()}
    for name, path in names.items():
        tree = ast.parse(path.read_text(encoding="utf-8"))
        package = name.split(".")[:-1]
        found = {target for _, target in imported_names(tree, package)}
        graph[name] = {target for target in found if target in names and target != name}
    done: set[str] = set()

    def visit(name: str, trail: tuple[str, ...]) -> None:
        assert name not in trail, " -> ".join([*trail, name])
        if name not in done:
            for target in graph[name]:
                visit(target, (*trail, name))
            done.add(name)

    for name in graph:
        visit(name, ())
