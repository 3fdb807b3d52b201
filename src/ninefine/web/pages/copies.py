"""Book: copies of the file, and everything written out."""

from starlette.responses import Response

from ninefine.desk.copying import make_copy
from ninefine.desk.writing_out import as_zip, write_out
from ninefine.web.visit import Visit, done, shown


def page(visit: Visit, *, status: int = 200) -> Response:
    """What may be taken out of the book, and how it comes back."""
    kit = visit.kit
    records = kit.journal.records()
    return visit.page(
        "copies.html",
        stage="book",
        status=status,
        count=len(records),
        plain=kit.journal.is_plain,
        may_copy=kit.copies is not None,
        digest=records[-1].digest.hex() if records else "",
    )


def copy(visit: Visit) -> Response:
    """Make a copy, prove it, and hand it over."""
    copied = visit.form.attempt(make_copy, visit.kit, visit.form.fields)
    if copied is None:
        return page(visit, status=400)
    return _handed_over(copied.data, copied.name, "application/octet-stream")


def out(visit: Visit) -> Response:
    """Everything in one archive."""
    name = f"silver-{visit.kit.today().isoformat()}.zip"
    return _handed_over(as_zip(write_out(visit.kit)), name, "application/zip")


def _handed_over(data: bytes, name: str, media: str) -> Response:
    return Response(data, media_type=media, headers={"Content-Disposition": f'attachment; filename="{name}"'})


routes = [
    shown("/book/copies", page, name="copies"),
    done("/book/copies", copy, name="copies.make"),
    done("/book/out", out, name="copies.out"),
]
