"""A kitchen's printers by their address, whatever way leads to them."""

from __future__ import annotations

from lidclock.gateways.cups import SCHEME, CupsQueue, queues, read_queue
from lidclock.gateways.facts import PrinterFacts
from lidclock.gateways.ipp import IppPrinter
from lidclock.gateways.job import JobReport, Patience, PrintJob, Tell, say_nothing
from lidclock.gateways.printing import print_job
from lidclock.gateways.transport import Line, read_address

__all__ = ["checked_address", "facts_of_printer", "print_to", "queues"]


def checked_address(text: str) -> str:
    """The address written out whole; InputError says how to write one."""
    text = text.strip()
    if text.startswith(SCHEME):
        return f"{SCHEME}{read_queue(text)}"
    return read_address(text).uri


def facts_of_printer(name: str, address: str, patience: Patience) -> PrinterFacts:
    """What the printer says of itself; PrinterError if it says nothing."""
    if address.startswith(SCHEME):
        return _queue(name, address, patience).printer().facts()
    return _ipp(name, address, patience).facts()


def print_to(
    name: str,
    address: str,
    job: PrintJob,
    patience: Patience,
    tell: Tell = say_nothing,
) -> JobReport:
    """Print a job and stay with it to its end."""
    if address.startswith(SCHEME):
        return _queue(name, address, patience).print(job, tell)
    return print_job(_ipp(name, address, patience), job, patience, tell)


def _queue(name: str, address: str, patience: Patience) -> CupsQueue:
    return CupsQueue(name, read_queue(address), patience)


def _ipp(name: str, address: str, patience: Patience) -> IppPrinter:
    line = Line(name, read_address(address), patience.connect_s, patience.answer_s)
    return IppPrinter(line, patience.send_s)
