"""Rows of the person's own tables as flat forms of plain text: read into the row, and filled in again for a change.

A row has plain fields, and parts (a carriage, a tax) whose fields lie flat in the form under names of their own.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TypeVar

from ninefine.desk.fields import Fields
from ninefine.desk.kit import Kit
from ninefine.errors import Faults

T = TypeVar("T")
_LONGEST_NAME = 80


@dataclass(frozen=True, slots=True, kw_only=True)
class RowForm:
    """What fields the form of a row has, beside its numbered lines.

    Attributes:
        table: the table's name.
        plain: fields named alike in the row and in the form.
        parts: a part of the row -> its fields, by the name in the part.
        made_by: a part -> the fields of which one must be filled in for the part to count.
    """

    table: str
    plain: tuple[str, ...]
    parts: Mapping[str, Mapping[str, str]]
    made_by: Mapping[str, tuple[str, ...]]

    def row(self, fields: Fields) -> dict[str, object]:
        """The row, all but its lines, as far as anything was typed; a name that is too long is a fault."""
        row: dict[str, object] = {name: fields.raw(name) for name in self.plain if fields.raw(name)}
        row["name"] = name = " ".join(fields.raw("name").split())
        if len(name) > _LONGEST_NAME:
            fields.fault("name", f"A name has at most {_LONGEST_NAME} characters.")
        for part, names in self.parts.items():
            if any(fields.raw(name) for name in self.made_by[part]):
                row[part] = {key: fields.raw(name) for key, name in names.items()}
        return row

    def is_taken(self, kit: Kit, row: Mapping[str, object]) -> bool:
        """Whether the table has a row of this name already."""
        return row["name"] in kit.holdings().tables.get(self.table, {})

    def filled(self, row: Mapping[str, object]) -> dict[str, str]:
        """The form of a row, all but its lines."""
        form = {name: str(row[name]) for name in self.plain if name in row}
        for part, names in self.parts.items():
            held = row.get(part)
            if isinstance(held, Mapping):
                form |= {names[key]: str(value) for key, value in held.items()}
        return form


def settled(
    fields: Fields, read: Callable[[], T], field_of: Callable[[str], str], *, unread: Mapping[str, str] | None = None
) -> T:
    """Make the record of a row, and end the reading of its form.

    Args:
        fields: the form.
        read: makes the record; its faults are told at the form's fields, and not where one was at fault already.
        field_of: the form's field for a fault of the row.
        unread: fields that could not be read, for another that was at fault: `kind-` -> `amount-`.

    Raises:
        Faults: every fault, each at its field.
    """
    try:
        found = read()
    except Faults as error:
        known = fields.at_fault
        for needed, other in (unread or {}).items():
            known |= {where.replace(needed, other) for where in known}
        for one in error.faults:
            where = field_of(one.where)
            if where not in known:
                fields.fault(where, one.wrong)
        fields.done()
        raise  # never reached: a fault that was not told stands at a field that was at fault
    fields.done()
    return found
