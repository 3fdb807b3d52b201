"""The fold's working state: every lot as it stands while entries are counted.

Lots are frozen: an entry that changes one sets a new one in its place, so that holdings handed out never change.
"""

from datetime import date
from difflib import get_close_matches
from types import MappingProxyType
from typing import Any

from ninefine.book.heaps import found
from ninefine.book.holdings import Disposal, Heap, Holdings, Lot, PriceMark
from ninefine.book.said import HeapRef
from ninefine.book.share import unit_of
from ninefine.book.take import heap_words
from ninefine.errors import BookError


class Working:
    """All that the fold knows so far.

    Attributes:
        serial: the last serial known.
        unit: the smallest unit of the book's currency.
        lots: every lot that came, by name; a name once used is never free again.
        disposals, prices: what left and what was priced, in the order in which it counts.
    """

    __slots__ = ("_changed", "_rows", "_tables", "disposals", "lots", "prices", "serial", "unit")

    def __init__(self, currency: str, *, tells_changes: bool = False) -> None:
        self.unit = unit_of(currency)
        self.serial = 0
        self.lots: dict[str, Lot] = {}
        self.disposals: list[Disposal] = []
        self.prices: list[PriceMark] = []
        self._rows: dict[str, dict[str, MappingProxyType[str, object]]] = {}
        self._tables: dict[str, MappingProxyType[str, MappingProxyType[str, object]]] = {}
        self._changed: dict[str, None] | None = {} if tells_changes else None

    def lot(self, name: str) -> Lot:
        """The lot of a name.

        Raises:
            BookError: no such lot on that date; offers near names.
        """
        lot = self.lots.get(name)
        if lot is None:
            near = get_close_matches(name, self.lots, n=3, cutoff=0.5) or list(self.lots)[-3:]
            raise BookError(f"There is no lot {name!r} on that date." + (f" Try: {', '.join(near)}." if near else ""))
        return lot

    def heap(self, ref: HeapRef, *, on_its_way: bool = False) -> tuple[Lot, Heap]:
        """The heap that an entry names, with its lot.

        Raises:
            BookError: no such lot or heap on that date, or its lot is still awaited (unless `on_its_way` may be named).
        """
        lot = self.lot(ref.lot)
        if lot.awaited and not on_its_way:
            raise BookError(f"Lot {lot.name} is still on its way. Say first that it was received.")
        heap = found(lot.heaps, ref.kind, ref.issue, ref.place)
        if heap is None:
            held = "; ".join(heap_words(each).partition(", ")[2] for each in lot.heaps[:5])
            asked = heap_words(ref).partition(", ")[2]
            raise BookError(f"Lot {lot.name} holds no {asked} on that date. It holds {held or 'nothing more'}.")
        return lot, heap

    def add(self, lot: Lot) -> None:
        """Take in a new lot.

        Raises:
            BookError: its name was used before; offers a free one.
        """
        if lot.name in self.lots:
            raise BookError(f"There is already a lot {lot.name!r}. Try: {self.free_name(lot.name)}.")
        self.set(lot)

    def set(self, lot: Lot) -> None:
        """Let a lot stand as it is now."""
        self.lots[lot.name] = lot
        if self._changed is not None:
            self._changed[lot.name] = None

    def free_name(self, name: str) -> str:
        """A lot name like this one that is not taken yet."""
        number = 2
        while (free := f"{name[:35]}-{number}") in self.lots:
            number += 1
        return free

    def row(self, table: str, key: str, body: dict[str, Any] | None) -> None:
        """Set down a row of one of the person's tables, or strike it."""
        rows = self._rows.setdefault(table, {})
        if body is None:
            rows.pop(key, None)
        else:
            rows[key] = MappingProxyType(
                body
            )  # a row that is set down again keeps its place: the first exit stays first
        self._tables.pop(table, None)

    def changed(self) -> dict[str, Lot]:
        """The lots that changed since this was last asked; only for a state that was made to tell them."""
        names, self._changed = self._changed or (), {}
        return {name: self.lots[name] for name in names}

    def freeze(self, on: date | None) -> Holdings:
        """The state as it is now, never to change."""
        for table, rows in self._rows.items():
            if table not in self._tables:
                self._tables[table] = MappingProxyType(dict(rows))
        return Holdings(
            on=on,
            serial=self.serial,
            lots=MappingProxyType(self.lots.copy()),
            disposals=tuple(self.disposals),
            prices=tuple(self.prices),
            tables=MappingProxyType({table: rows for table, rows in sorted(self._tables.items()) if rows}),
        )
