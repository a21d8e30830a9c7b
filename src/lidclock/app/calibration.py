"""Where a printer's print falls, and moving it to where the labels are."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from lidclock.app import printing
from lidclock.app.session import Session
from lidclock.app.stock import write_picture
from lidclock.errors import InputError
from lidclock.store.printers import Printer, Printers

if TYPE_CHECKING:
    from lidclock.gateways.job import JobReport

Pair = tuple[float, float]

# Further off than this the paper lies wrong, or the stock is another one.
MOST_MM = 20.0


def move_print(
    session: Session,
    name: str,
    by_mm: Pair,
    *,
    reset: bool = False,
) -> Printer:
    """Add what was read on the rulers to a printer's offset; or begin from none."""
    called = printing.find_printer(session, name).name
    with session.write() as unit:
        printers = Printers(unit.connection, session.kitchen.id)
        known = printers.get(called)
        before = known.offset_mm if known is not None and not reset else (0.0, 0.0)
        printers.set_offset(called, _added(called, before, by_mm))
    return printing.find_printer(session, called)


def _added(name: str, before: Pair, by_mm: Pair) -> Pair:
    """Both offsets together; InputError where that is no number, or too far off."""
    right, down = round(before[0] + by_mm[0], 3), round(before[1] + by_mm[1], 3)
    # Not the largest of both: beside a figure, max() loses one that is no number.
    if abs(right) <= MOST_MM and abs(down) <= MOST_MM:
        return right, down
    raise InputError(
        f"{name} would print {right:+g} mm to the right and {down:+g} mm down: an "
        f"offset lies within {MOST_MM:g} mm; so far off, the paper lies wrong or the "
        "stock is another one (`--reset` begins from none)"
    )


@dataclass(frozen=True, slots=True)
class Rulers:
    """Pages of rulers for a stock, and what they say: what to read, what to type."""

    pdf: bytes
    stock: str
    words: tuple[str, ...]


def rulers(session: Session, stock: str | None, printer: Printer | None) -> Rulers:
    """The rulers where the printer prints now; without one, where paper comes.

    The stock is the printer's, or the kitchen's, unless one is named.
    """
    from lidclock.labels import load_stock
    from lidclock.labels.calibrate import draw_calibration, explanation

    there = printer.stock if printer else session.kitchen.stock
    kind = load_stock(stock or there)
    name, offset = (printer.name, printer.offset_mm) if printer else ("", (0.0, 0.0))
    pdf = draw_calibration(kind, dpi=kind.dpi, offset_mm=offset, printer=name)
    return Rulers(pdf, kind.name, explanation(kind, offset, name))


def write_rulers(page: Rulers, path: Path) -> None:
    """The rulers as a file; as a PNG, the first page."""
    write_picture(page.pdf, path)


def print_rulers(
    session: Session, page: Rulers, printer: Printer, *, tell: printing.Tell
) -> JobReport:
    """The rulers, printed."""
    return printing.print_pdf(session, page.pdf, page.stock, printer, tell=tell)
