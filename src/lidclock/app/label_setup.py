"""Which labels a kitchen uses, and which printer is the usual one."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache

from lidclock.app.printing import Printer, find_printer, known_printers
from lidclock.app.session import Session
from lidclock.app.stock_words import said_title
from lidclock.errors import EditClashError, LabelError
from lidclock.labels import load_stock
from lidclock.labels.stock import Stock, list_stock
from lidclock.labels.stock_svg import picture
from lidclock.store import Kitchens
from lidclock.store.printers import Printers

SHEET, ROLL, ROUND = "sheet", "roll", "round"
KINDS = (SHEET, ROLL, ROUND)


@dataclass(frozen=True, slots=True)
class Choice:
    """One stock to choose, drawn as SVG; `printers` are those that it lies in.

    `says` is its title, to be said in other languages where it can be.
    """

    stock: Stock
    says: str
    kind: str
    drawn: str
    is_kitchens: bool
    printers: tuple[str, ...]


def kind_of(stock: Stock) -> str:
    """Round lids are a kind of their own, whatever they come on."""
    return ROUND if stock.shape == "round" else stock.kind


def choices(session: Session, kind: str = "") -> list[Choice]:
    """Every stock of a kind, the kitchen's own first; broken files are left out."""
    printers = known_printers(session)
    found = [
        Choice(
            stock,
            said_title(stock.title),
            kind_of(stock),
            picture(stock),
            stock.name == session.kitchen.stock,
            tuple(one.name for one in printers if one.stock == stock.name),
        )
        for name in list_stock()
        if (stock := _loaded(name)) is not None
    ]
    fitting = [one for one in found if kind in ("", one.kind)]
    return sorted(fitting, key=lambda one: (not one.is_kitchens, one.kind != SHEET))


@cache
def _loaded(name: str) -> Stock | None:
    try:
        return load_stock(name)
    except LabelError:
        return None


def choose_stock(session: Session, name: str, was: str) -> Stock:
    """Make it the kitchen's; EditClashError if it is not `was` any more.

    UnknownStockError for a name that none has.
    """
    stock = load_stock(name)
    with session.write() as unit:
        kitchens = Kitchens(unit.connection)
        kitchen = kitchens.get(session.kitchen.id)
        if kitchen.stock != was:
            raise EditClashError((("stock", was, kitchen.stock),))
        kitchens.update(replace(kitchen, stock=stock.name))
        session.adopt_kitchen(replace(kitchen, stock=stock.name))
    return stock


def make_usual(session: Session, name: str) -> Printer:
    """Labels of what lies in it go there where nobody names a printer."""
    printer = find_printer(session, name)
    with session.write() as unit:
        Printers(unit.connection, session.kitchen.id).make_default(printer)
    return replace(printer, is_default=True)
