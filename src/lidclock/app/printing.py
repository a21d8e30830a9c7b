"""The kitchen's printers, and labels onto lids through them."""

from __future__ import annotations

import io
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from threading import BoundedSemaphore

from lidclock.app.files import write_whole
from lidclock.app.lids import Drawn, Printed
from lidclock.app.session import Session
from lidclock.app.turns import place_in
from lidclock.domain.sentences import figure, sentence
from lidclock.errors import InputError, PrinterError, UnknownThingError
from lidclock.gateways.facts import PrinterFacts
from lidclock.gateways.job import JobReport, Patience, PrintJob, say_nothing
from lidclock.store.printers import Printer, Printers

# The values that are handed out, for those who show them.
__all__ = ["JobReport", "Printer", "PrinterFacts", "Standing"]

PATIENCE = Patience()
# Asking a whole list of printers how they are must not take minutes.
_LOOK = Patience(connect_s=2.0, answer_s=5.0)
_LONGEST_NAME = 40
_TEST = "TEST"
# Who taps again and again at a printer that is silent would hold up every page.
MOST_AT_ONCE = 4
_ROOM = BoundedSemaphore(MOST_AT_ONCE)

Tell = Callable[[str], None]


@dataclass(frozen=True, slots=True)
class Standing:
    """A printer and how it is now: what it says of itself, or why it says nothing."""

    printer: Printer
    facts: PrinterFacts | None = None
    problem: str = ""


def add_printer(
    session: Session,
    name: str,
    address: str,
    *,
    stock: str | None = None,
    is_default: bool = False,
) -> Printer:
    """Add a printer, switched on or not; its stock is the kitchen's unless said.

    As a default it takes the place of the stock's former default.
    """
    from lidclock.gateways.printers import checked_address
    from lidclock.labels import load_stock

    kind = load_stock(stock or session.kitchen.stock)
    printer = Printer(
        _checked_name(name), checked_address(address), kind.name, is_default
    )
    with session.write() as unit:
        Printers(unit.connection, session.kitchen.id).add(printer)
    return printer


def _checked_name(name: str) -> str:
    """The name on one line; not what could be a code after `--print`."""
    from lidclock.domain.codes import is_code, normalise

    tidy = " ".join(name.split())
    if not tidy or not tidy.isprintable() or len(tidy) > _LONGEST_NAME:
        raise InputError(
            sentence(
                "{name} cannot be a printer's name: 1 to {most} characters that can be "
                "printed",
                name=repr(name),
                most=figure(_LONGEST_NAME),
            )
        )
    if tidy.startswith("-") or is_code(normalise(tidy)):
        raise InputError(
            sentence(
                "{name} reads like an option or a code; give the printer another name",
                name=repr(name),
            )
        )
    return tidy


def remove_printer(session: Session, name: str) -> Printer:
    """Forget a printer; labels that came out of it stay what they are."""
    printer = find_printer(session, name)
    with session.write() as unit:
        Printers(unit.connection, session.kitchen.id).remove(printer.name)
    return printer


def known_printers(session: Session) -> list[Printer]:
    """The kitchen's printers, without asking them."""
    with session.read() as unit:
        return Printers(unit.connection, session.kitchen.id).all()


def list_printers(session: Session) -> list[Standing]:
    """The kitchen's printers, each asked how it is."""
    return [look_at(printer) for printer in known_printers(session)]


def look_at(printer: Printer) -> Standing:
    """How one printer is now."""
    from lidclock.gateways.printers import facts_of_printer

    try:
        facts = facts_of_printer(printer.name, printer.address, _LOOK)
    except PrinterError as error:
        return Standing(printer, problem=error.fact)
    return Standing(printer, facts)


def list_queues() -> list[str]:
    """The queues of this computer's CUPS, as addresses to add a printer by."""
    from lidclock.gateways.printers import queues

    return [f"cups:{queue}" for queue in queues()]


def find_printer(session: Session, name: str) -> Printer:
    """The printer of that name; the error names those there are."""
    printers = known_printers(session)
    wanted = name.strip().casefold()
    for printer in printers:
        if printer.name.casefold() == wanted:
            return printer
    there = ", ".join(printer.name for printer in printers) or sentence("none yet")
    fact = sentence(
        "no printer {name} in this kitchen; there is {printers}",
        name=repr(name),
        printers=there,
    )
    raise UnknownThingError(f"{fact} (add one with `lidclock printer add`)", fact)


def default_printer(session: Session, stock: str | None = None) -> Printer | None:
    """The default printer of a stock, the kitchen's if none is named."""
    with session.read() as unit:
        printers = Printers(unit.connection, session.kitchen.id)
        return printers.default(stock or session.kitchen.stock)


def printer_for(session: Session, name: str = "", stock: str | None = None) -> Printer:
    """The printer called `name`; without a name, the one that has this stock in it."""
    if name:
        return find_printer(session, name)
    wanted = stock or session.kitchen.stock
    default = default_printer(session, wanted)
    having = [one for one in known_printers(session) if one.stock == wanted]
    if default is not None or len(having) == 1:
        return default or having[0]
    if having:
        names = ", ".join(printer.name for printer in having)
        raise UnknownThingError(
            sentence(
                "several printers have {stock} in them, none is the default: name one "
                "of {printers}",
                stock=wanted,
                printers=names,
            )
        )
    fact = sentence("no printer for {stock} in this kitchen", stock=wanted)
    raise UnknownThingError(
        f"{fact}; add one with `lidclock printer add NAME ADDRESS --stock {wanted} "
        "--default`",
        fact,
    )


def offset_on(
    printer: Printer, more_mm: tuple[float, float] | None = None
) -> tuple[float, float]:
    """How far right and down to print there: as it was told, and `more_mm` on top."""
    right, down = more_mm or (0.0, 0.0)
    return printer.offset_mm[0] + right, printer.offset_mm[1] + down


def test_printer(session: Session, name: str, *, tell: Tell) -> JobReport:
    """Print one label that says it is a test, on the stock that lies in the printer."""
    from lidclock.labels import ActionLabel, draw_actions, load_stock

    printer = find_printer(session, name)
    stock = load_stock(printer.stock)
    uri = f"{session.kitchen.symbol_base}/A/{_TEST}"
    label = ActionLabel(_TEST, _TEST, uri)
    pdf = draw_actions([label], stock, dpi=stock.dpi, offset_mm=printer.offset_mm)
    return print_pdf(session, pdf, printer.stock, printer, tell=tell)


def print_pdf(
    session: Session,
    pdf: bytes,
    stock: str,
    printer: Printer | str | None = None,
    *,
    tell: Tell = say_nothing,
) -> JobReport:
    """Print pages of a stock and wait for what becomes of them; nothing is recorded.

    `tell` hears what holds the job up meanwhile. No transaction may be open: a printer
    takes minutes, and others scan. PrinterError where enough wait already.
    """
    from lidclock.gateways.printers import print_to

    if not isinstance(printer, Printer):
        printer = printer_for(session, printer or "", stock)
    job = _job(session, pdf, stock)
    with place_in(_ROOM, _too_many(printer.name)):
        return print_to(printer.name, printer.address, job, PATIENCE, tell)


def _too_many(name: str) -> PrinterError:
    return PrinterError(
        sentence(
            "{count} jobs wait for printers already, so nothing was sent to {printer}: "
            "see what holds them up, and print again then",
            count=figure(MOST_AT_ONCE),
            printer=name,
        ),
        "too many at once",
    )


def _job(session: Session, pdf: bytes, stock: str) -> PrintJob:
    from lidclock.gateways.media import Size
    from lidclock.labels import load_stock

    kind = load_stock(stock)
    return PrintJob(
        pdf=pdf,
        size=Size.of_mm(kind.page_width_mm, kind.page_height_mm),
        stock=stock,
        who=session.who,
        turn=turned_pages,
        raster=raster_of,
        dpi=kind.dpi,
    )


def print_drawn(
    session: Session, drawn: Drawn, printer: Printer, *, tell: Tell = say_nothing
) -> JobReport:
    """Print labels, and record them as labelled once the printer says they are out."""
    report = print_pdf(session, drawn.pdf, drawn.stock, printer, tell=tell)
    if report.is_printed:
        with session.write() as unit:
            unit.record(drawn.facts, drawn.act)
    return report


def keep_pdf(drawn: Drawn, path: Path) -> Printed:
    """Write the sheet and record nothing: a copy, or one still to be printed."""
    write_whole(path, [drawn.pdf])
    return Printed.of(drawn, path)


def turned_pages(pdf: bytes) -> bytes:
    """The document with every page turned by a quarter."""
    import pypdfium2

    out = io.BytesIO()
    document = pypdfium2.PdfDocument(pdf)
    try:
        for page in document:
            page.set_rotation((page.get_rotation() + 90) % 360)
            page.close()
        document.save(out)
    finally:
        document.close()
    return out.getvalue()


def raster_of(pdf: bytes, dpi: int) -> bytes:
    """The document as PWG raster, in grey, dot for dot as labels are drawn."""
    from lidclock.gateways.raster import GreyPage, pwg_raster
    from lidclock.labels.raster import pages_in_dots

    return pwg_raster(
        [
            GreyPage(*image.size, dpi, image.convert("L").tobytes())
            for image in pages_in_dots(pdf, dpi)
        ]
    )
