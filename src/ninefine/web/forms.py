"""A form as it was sent: its fields as typed, and what was wrong with each.

The desk reads the fields and tells every fault at once; here each fault is put under its field, and what was typed is
kept, so that a page can be shown again just as the person left it.
"""

from collections.abc import Callable, Iterable, Mapping
from typing import ParamSpec, TypeVar

from starlette.datastructures import FormData, UploadFile
from starlette.exceptions import HTTPException
from starlette.requests import Request

from ninefine.errors import BookError, Fault, Faults, InputError
from ninefine.measure.text import unfit
from ninefine.web.keys import Keys

FORM_KEY = "form_key"
_MOST_FILES = 24
_MOST_FIELDS = 2000
_LONGEST_PART = 2 * 1024 * 1024

T = TypeVar("T")
P = ParamSpec("P")


class Form:
    """The fields of one form. An empty one stands for a form not sent yet.

    Args:
        values: each field's texts, as typed.
        files: the files sent, by field: name and content.
        starting: what the fields show before anything is sent.
    """

    def __init__(
        self,
        values: Mapping[str, list[str]] | None = None,
        *,
        files: Mapping[str, tuple[str, bytes]] | None = None,
        starting: Mapping[str, str] | None = None,
    ) -> None:
        self.values: dict[str, list[str]] = {name: [text] for name, text in (starting or {}).items()}
        self.values.update(values or {})
        self.files = dict(files or {})
        self.faults: dict[str, str] = {}
        self.general: list[str] = []

    @property
    def ok(self) -> bool:
        """Whether no fault has been found so far."""
        return not self.faults and not self.general

    @property
    def fields(self) -> dict[str, str]:
        """Each field as typed, ready for the desk; of a field sent several times, the last."""
        return {name: texts[-1] for name, texts in self.values.items() if texts}

    @property
    def trimmed(self) -> dict[str, str]:
        """Each field without the blanks around it."""
        return {name: text.strip() for name, text in self.fields.items()}

    def text(self, name: str) -> str:
        """A field as typed, without the blanks around it; empty when it was not sent."""
        texts = self.values.get(name, [])
        return texts[-1].strip() if texts else ""

    def texts(self, name: str) -> list[str]:
        """Every text of a field that may be sent several times, as typed."""
        return [text.strip() for text in self.values.get(name, [])]

    def ticked(self, name: str) -> bool:
        """Whether a box was ticked."""
        return bool(self.text(name))

    def fault(self, name: str) -> str:
        """What was wrong with a field; empty when nothing was."""
        return self.faults.get(name, "")

    def attempt(self, verb: Callable[P, T], *args: P.args, **kwargs: P.kwargs) -> T | None:
        """Do what the form asks for; a refusal of the desk is kept as faults and `None` comes back.

        A field that holds what no text can is refused here, before the desk sees any of it.
        """
        unfits = {name: wrong for name, texts in self.values.items() for text in texts if (wrong := unfit(text))}
        if unfits:
            self.blame(Faults([Fault(where=name, wrong=wrong) for name, wrong in unfits.items()]))
            return None
        try:
            return verb(*args, **kwargs)
        except (InputError, BookError) as error:
            self.blame(error)
            return None

    def blame(self, error: InputError | BookError, *, field: str = "") -> None:
        """Put an error where it belongs: each of several faults under its field, any other above the form."""
        if isinstance(error, Faults):
            for fault in error.faults:
                if fault.where in self.values or fault.where in self.files:
                    self.faults.setdefault(fault.where, fault.wrong)
                else:
                    self.general.append(str(fault))
        elif field:
            self.faults.setdefault(field, str(error))
        else:
            self.general.append(str(error))


async def read_form(request: Request, keys: Keys) -> Form:
    """Read what was posted, refusing a form without this run's form key.

    Raises:
        HTTPException: 403 without the right key; 400 for more files or fields than any form has.
    """
    async with request.form(max_files=_MOST_FILES, max_fields=_MOST_FIELDS, max_part_size=_LONGEST_PART) as sent:
        given = sent.get(FORM_KEY)
        if not isinstance(given, str) or not keys.owns_form(given):
            raise HTTPException(
                403, "This form was opened in an earlier run of ninefine. Open the page again and send it anew."
            )
        return Form(_texts(sent.multi_items()), files=await _files(sent))


def _texts(items: Iterable[tuple[str, UploadFile | str]]) -> dict[str, list[str]]:
    values: dict[str, list[str]] = {}
    for name, value in items:
        if isinstance(value, str) and name != FORM_KEY:
            values.setdefault(name, []).append(value)
    return values


async def _files(sent: FormData) -> dict[str, tuple[str, bytes]]:
    files: dict[str, tuple[str, bytes]] = {}
    for name, value in sent.multi_items():
        if isinstance(value, UploadFile) and value.filename:
            files[name] = (value.filename, await value.read())
    return files
