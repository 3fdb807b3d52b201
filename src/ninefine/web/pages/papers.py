"""Papers: which there are, what each shows for what was asked, and its files. Nothing leaves this computer."""

from collections.abc import Mapping

from starlette.responses import Response

from ninefine.desk.papers import ASKED, PAPERS, file_of, make_paper, paper_named, sheet_for
from ninefine.papers.as_pdf import Sheet, read_sheet
from ninefine.papers.as_text import left_out_words
from ninefine.papers.document import TELLS_WORDS, Document, Tells
from ninefine.papers.formats import formats_for
from ninefine.web.forms import Form
from ninefine.web.pages.booked import said
from ninefine.web.pages.paper_view import shown as blocks_of
from ninefine.web.visit import Visit, shown

SIZES = {Sheet.A4: "A4", Sheet.LETTER: "Letter"}


def page(visit: Visit) -> Response:
    """Every paper, and who it is for."""
    return visit.page("papers.html", stage="papers", papers=list(PAPERS.values()), said=said(visit))


def paper(visit: Visit) -> Response:
    """One paper as it would be made now, what may be asked of it, and its files."""
    wanted = paper_named(visit.part("name"))
    asked = _asked(visit, wanted.asks)
    visit.form = Form(starting=asked)
    made = visit.form.attempt(make_paper, visit.kit, wanted.name, asked)
    hidden = asked["redact"].split(",")
    blocks = [] if made is None else blocks_of(made)
    return visit.page(
        "paper.html",
        stage="papers",
        status=200 if visit.form.ok else 400,
        paper=wanted,
        fields=[(name, *ASKED[name]) for name in wanted.asks],
        tells=[(str(one.name).lower(), TELLS_WORDS[one], str(one.name).lower() in hidden) for one in Tells],
        answers=[block.holds for block in blocks if block.kind == "answer"],
        blocks=[block for block in blocks if block.kind != "answer"],
        left_out="" if made is None or not made.left_out else left_out_words(made.left_out),
        files=[] if made is None else _files(visit, made, wanted.name, asked),
    )


def _asked(visit: Visit, names: tuple[str, ...]) -> dict[str, str]:
    """What the address asks for; a box ticked for each thing to leave out."""
    asked = {name: visit.asked(name) for name in names}
    boxes = visit.request.query_params.getlist("redact")
    return {**asked, "redact": ",".join(box.strip() for box in boxes if box.strip())}


def _files(visit: Visit, made: Document, name: str, asked: Mapping[str, str]) -> list[tuple[str, str]]:
    """Each file that the paper can be had as: its address and its words; a PDF in both sizes, the usual one first."""
    usual = sheet_for(visit.kit)
    given = {key: text for key, text in asked.items() if text}
    files = []
    for one in formats_for(made):
        if one.name == "pdf":
            for sheet in sorted(Sheet, key=lambda size: size is not usual):
                asking = given | {"size": SIZES[sheet]}
                words = f"{one.words}, {SIZES[sheet]}"
                files.append((visit.path_to("paper.file", name=name, kind=one.name, asking=asking), words))
        else:
            files.append((visit.path_to("paper.file", name=name, kind=one.name, asking=given), one.words))
    return files


def file(visit: Visit) -> Response:
    """A paper's file, to be kept or printed."""
    wanted = paper_named(visit.part("name"))
    made = make_paper(visit.kit, wanted.name, _asked(visit, wanted.asks))
    size = visit.asked("size")
    sheet = read_sheet(size) if size else sheet_for(visit.kit)
    name, media, data = file_of(made, visit.part("kind"), sheet)
    return Response(data, media_type=media, headers={"Content-Disposition": f'attachment; filename="{name}"'})


routes = [
    shown("/papers", page, name="papers"),
    shown("/papers/of/{name}", paper, name="paper"),
    shown("/papers/of/{name}/{kind}", file, name="paper.file"),
]
