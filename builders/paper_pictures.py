"""Draw every paper of the invented demo book into docs/papers, page by page, to be looked at.

Run `python builders/paper_pictures.py` after changing a paper. Needs poppler's pdftoppm (Debian: apt install
poppler-utils). The same book on the same day gives the same pictures.
"""

import shutil
import subprocess
import tempfile
from pathlib import Path

from ninefine.desk.demo import EARLIEST, build_demo
from ninefine.desk.papers import PAPERS, make_paper
from ninefine.papers.as_pdf import Sheet, as_pdf
from ninefine.testing import kit_in_memory

FOLDER = Path(__file__).resolve().parent.parent / "docs" / "papers"
#: Pages of a paper that are kept, and dots to the inch.
MOST_PAGES, DOTS = 3, 84
#: Sheets that are all alike.
ONE_SHEET = frozenset({"bag-slips", "tube-labels"})
HEAD = """# Papers

<!-- Written by builders/paper_pictures.py; edit that instead. -->

Every paper of the invented demo book as it is printed on Letter: `ninefine paper NAME --out FILE`. A4 does as well.
What a reader need not know is left out by `--redact`; the last picture is the inventory without values and places.
"""


def pictures(pdf: bytes, name: str) -> list[str]:
    """Draw a PDF's first pages; answers the files' names."""
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "paper.pdf"
        file.write_bytes(pdf)
        stem = str(Path(folder) / name)
        command = [
            "pdftoppm",
            "-r",
            str(DOTS),
            "-gray",
            "-png",
            "-l",
            str(1 if name in ONE_SHEET else MOST_PAGES),
            str(file),
            stem,
        ]
        subprocess.run(command, check=True, stderr=subprocess.DEVNULL)  # noqa: S603 - our own command
        names = []
        for number, drawn in enumerate(sorted(Path(folder).glob("*.png")), 1):
            names.append(f"{name}-{number}.png")
            shutil.copyfile(drawn, FOLDER / names[-1])
    return names


def main() -> None:
    if shutil.which("pdftoppm") is None:
        raise SystemExit("pdftoppm is not here. Debian: apt install poppler-utils")
    kit = kit_in_memory(today=EARLIEST)
    kit.journal.name = "The demo household (invented)"  # type: ignore[misc]
    build_demo(kit)
    FOLDER.mkdir(parents=True, exist_ok=True)
    for old in FOLDER.glob("*.png"):
        old.unlink()
    parts = [HEAD]
    asked: list[tuple[str, str, str, dict[str, str]]] = [
        (name, paper.title, paper.words, {}) for name, paper in PAPERS.items()
    ]
    asked.append(("inventory", "Inventory, values and places left out", "After a theft.", {"redact": "values,places"}))
    for name, title, words, form in asked:
        document = make_paper(kit, name, form)
        drawn = pictures(as_pdf(document, sheet=Sheet.LETTER), f"{name}-redacted" if form else name)
        shown = " ".join(f"![{title}, page {number}]({file})" for number, file in enumerate(drawn, 1))
        parts.append(f"## {title}\n\n{words}\n\n{shown}\n")
    (FOLDER / "README.md").write_text("\n".join(parts), encoding="utf-8")
    print(f"Drew {len(list(FOLDER.glob('*.png')))} pages.")


if __name__ == "__main__":
    main()
