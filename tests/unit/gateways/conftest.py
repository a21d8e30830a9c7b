"""Printers that run, printers that play a script, and labels to print."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import pytest

from lidclock.gateways.job import Patience, PrintJob
from lidclock.gateways.media import Size
from lidclock.labels import Label, draw_sheet, load_stock
from unit.gateways.real_printers import CONF, RealPrinter, real_printer, system_bus
from unit.gateways.scripted import Scripted

CODES = ("4F7K2M0", "B1C2D3B", "0000006")
# Long enough for what happens, short enough to be waited for.
QUICK = Patience(
    connect_s=2.0,
    answer_s=5.0,
    poll_s=0.05,
    held_s=0.3,
    silent_s=10.0,
    busy_waits=(0.05, 0.05),
    lost_polls=2,
)


def labels() -> list[Label]:
    """One label for each code."""
    return [
        Label(
            name="Braised filling",
            code=code,
            uri=f"HTTP://LIDCLOCK.LOCAL/C/{code}",
            headline_word="USE BY",
            headline="Tue 3 Nov 2026",
        )
        for code in CODES
    ]


@pytest.fixture(scope="session")
def job_on() -> Callable[[str], PrintJob]:
    """`job_on("roll-50x25")`: the labels on that stock, ready to be sent."""

    def draw(stock: str) -> PrintJob:
        kind = load_stock(stock)
        size = Size.of_mm(kind.page_width_mm, kind.page_height_mm)
        return PrintJob(draw_sheet(labels(), kind), size, stock)

    return draw


@pytest.fixture(scope="session")
def bus() -> Iterator[dict[str, str]]:
    """The environment in which printers find a system bus."""
    with system_bus() as environment:
        yield environment


@pytest.fixture(scope="session")
def _label_printer(bus: dict[str, str]) -> Iterator[RealPrinter]:
    with real_printer(bus, "-a", str(CONF)) as printer:
        yield printer


@pytest.fixture
def label_printer(_label_printer: RealPrinter) -> Iterator[RealPrinter]:
    """A roll label printer with nothing in its way."""
    yield _label_printer
    _label_printer.settle()


@pytest.fixture(scope="session")
def sheet_printer(bus: dict[str, str]) -> Iterator[RealPrinter]:
    """An office printer that takes PDF on Letter, Legal, A4 and two envelopes."""
    with real_printer(bus, "-f", "application/pdf") as printer:
        yield printer


@pytest.fixture
def scripted() -> Iterator[Scripted]:
    """A printer that answers what the test has written down."""
    with Scripted() as printer:
        yield printer
