"""A kitchen's printers, and which of them is meant where none is named."""

from __future__ import annotations

from dataclasses import dataclass

import sqlalchemy as sa

from lidclock.domain.sentences import sentence
from lidclock.errors import RefusedError
from lidclock.store.rows import named
from lidclock.store.statements import adding, run
from lidclock.store.tables import printer as printers

_UM = 1000
_ADD = adding(printers)
_OF_KITCHEN = printers.c.kitchen_id == sa.bindparam("kitchen_id")
_ALL = sa.select(printers).where(_OF_KITCHEN).order_by(printers.c.name_key)
_DROP = sa.delete(printers).where(
    _OF_KITCHEN, printers.c.name_key == sa.bindparam("name_key")
)
_NO_DEFAULT = (
    sa.update(printers)
    .where(_OF_KITCHEN, printers.c.stock == sa.bindparam("stock"))
    .values(is_default=sa.bindparam("is_default", type_=sa.Integer))
)
_DEFAULT = (
    sa.update(printers)
    .where(_OF_KITCHEN, printers.c.name_key == sa.bindparam("wanted"))
    .values(is_default=sa.bindparam("is_default", type_=sa.Integer))
)
_MOVE = (
    sa.update(printers)
    .where(_OF_KITCHEN, printers.c.name_key == sa.bindparam("wanted"))
    .values(
        offset_right_um=sa.bindparam("offset_right_um", type_=sa.Integer),
        offset_down_um=sa.bindparam("offset_down_um", type_=sa.Integer),
    )
)


@dataclass(frozen=True, slots=True)
class Printer:
    """A printer as the kitchen knows it, with the label stock that lies in it.

    `offset_mm` is how far to the right and down its print has to be moved.
    """

    name: str
    address: str
    stock: str
    is_default: bool = False
    offset_mm: tuple[float, float] = (0.0, 0.0)


class Printers:
    """The printers of one kitchen, within one transaction."""

    def __init__(self, connection: sa.Connection, kitchen_id: str) -> None:
        self._connection = connection
        self._kitchen_id = kitchen_id

    def all(self) -> list[Printer]:
        """Every printer, by name."""
        rows = run(self._connection, _ALL, {"kitchen_id": self._kitchen_id})
        return [_printer_of(row) for row in rows]

    def get(self, name: str) -> Printer | None:
        """The printer of that name, in any case."""
        wanted = name.strip().casefold()
        return next((one for one in self.all() if one.name.casefold() == wanted), None)

    def default(self, stock: str) -> Printer | None:
        """The printer that labels of `stock` go to where none is named."""
        return next(
            (one for one in self.all() if one.is_default and one.stock == stock), None
        )

    def add(self, printer: Printer) -> None:
        """Add a printer; as a default it takes the place of the one before it.

        RefusedError if one of that name, in any case, is there.
        """
        if self.get(printer.name) is not None:
            raise RefusedError(
                sentence(
                    "there is a printer {name} already: remove it first, or choose "
                    "another name",
                    name=repr(printer.name),
                )
            )
        if printer.is_default:
            self._end_default(printer.stock)
        row = {
            "kitchen_id": self._kitchen_id,
            "name_key": printer.name.casefold(),
            "name": printer.name,
            "address": printer.address,
            "stock": printer.stock,
            "is_default": int(printer.is_default),
            **_micrometres(printer.offset_mm),
        }
        run(self._connection, _ADD, row)

    def make_default(self, printer: Printer) -> None:
        """Have labels of its stock go there; the default before it is none any more."""
        self._end_default(printer.stock)
        wanted = printer.name.casefold()
        key = {"kitchen_id": self._kitchen_id, "wanted": wanted, "is_default": 1}
        run(self._connection, _DEFAULT, key)

    def _end_default(self, stock: str) -> None:
        key = {"kitchen_id": self._kitchen_id, "stock": stock, "is_default": 0}
        run(self._connection, _NO_DEFAULT, key)

    def set_offset(self, name: str, offset_mm: tuple[float, float]) -> bool:
        """Move the print of a printer from now on; whether there is one so called."""
        key = {"kitchen_id": self._kitchen_id, "wanted": name.strip().casefold()}
        found = run(self._connection, _MOVE, {**key, **_micrometres(offset_mm)})
        return found.rowcount == 1

    def remove(self, name: str) -> bool:
        """Forget a printer; whether there was one of that name."""
        key = {"kitchen_id": self._kitchen_id, "name_key": name.strip().casefold()}
        return run(self._connection, _DROP, key).rowcount == 1


def _printer_of(row: tuple[object, ...]) -> Printer:
    facts = named(printers, row)
    del facts["kitchen_id"], facts["name_key"]
    right, down = facts.pop("offset_right_um"), facts.pop("offset_down_um")
    return Printer(
        **{**facts, "is_default": bool(facts["is_default"])},
        offset_mm=(right / _UM, down / _UM),
    )


def _micrometres(offset_mm: tuple[float, float]) -> dict[str, int]:
    right, down = (round(one * _UM) for one in offset_mm)
    return {"offset_right_um": right, "offset_down_um": down}
