"""Where a printer's print falls, and moving it to where the labels are."""

from __future__ import annotations

import math
from pathlib import Path
from typing import TYPE_CHECKING

from lidclock.app import printing
from lidclock.app.session import Session
from lidclock.app.stock import write_picture
from lidclock.errors import InputError
from lidclock.store.printers import Printer, Printers

if TYPE_CHECKING:
    from lidclock.gateways.job import JobReport

# Further off than this the paper lies wrong, or the stock is another one.
MOST_MM = 20.0


def move_print(
    session: Session,
    name: str,
    by_mm: tuple[float, float],
    *,
    reset: bool = False,
) -> Printer:
    """Add what was read on the rulers to a printer's offset; or begin from none."""
    known = printing.find_printer(session, name)
    before = (0.0, 0.0) if reset else known.offset_mm
    after = (round(before[0] + by_mm[0], 3), round(before[1] + by_mm[1], 3))
    if not all(math.isfinite(one) and abs(one) <= MOST_MM for one in after):
        raise InputError(
            f"an offset lies within {MOST_MM:g} mm; so far off, the paper lies wrong "
            "or the stock is another one"
        )
    with session.write() as unit:
        Printers(unit.connection, session.kitchen.id).set_offset(known.name, after)
    return printing.find_printer(session, name)


def rulers(
    session: Session, stock: str | None, printer: str | None
) -> tuple[bytes, str]:
    """The page of rulers with the printer's present offset, and the stock it is for."""
    from lidclock.labels import load_stock
    from lidclock.labels.calibrate import draw_calibration

    known = printing.find_printer(session, printer) if printer else None
    kind = load_stock(stock or (known.stock if known else session.kitchen.stock))
    offset = known.offset_mm if known else (0.0, 0.0)
    return draw_calibration(kind, dpi=kind.dpi, offset_mm=offset), kind.name


def write_rulers(
    session: Session, path: Path, stock: str | None, printer: str | None
) -> None:
    """The page of rulers as a file."""
    write_picture(rulers(session, stock, printer)[0], path)


def print_rulers(
    session: Session, printer: str, stock: str | None, *, tell: printing.Tell
) -> JobReport:
    """The page of rulers, printed."""
    pdf, kind = rulers(session, stock, printer)
    known = printing.find_printer(session, printer)
    return printing.print_pdf(session, pdf, kind, known, tell=tell)
