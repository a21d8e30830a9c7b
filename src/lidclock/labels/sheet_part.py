"""Sheets of paper for office printers: parts of a page, and pages as PDF bytes."""

from __future__ import annotations

import io
from collections.abc import Sequence

from lidclock.errors import LabelError
from lidclock.labels import fit, fonts
from lidclock.labels.figure import Figure, Panel, Text
from lidclock.labels.grid import grid
from lidclock.labels.ink import Pen
from lidclock.labels.paths import PT_PER_MM

# Width and height in mm: ISO 216; 8.5 by 11 inches.
PAPERS = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
MARGIN, HAIR, LEADING = 14.0, 0.2, 1.3
_DPI = 600  # sheets go to office printers


def paper_size(paper: str) -> tuple[float, float]:
    """Width and height in mm; LabelError names the papers there are."""
    if paper not in PAPERS:
        raise LabelError(f"no paper {paper!r}; there are {', '.join(PAPERS)}")
    return PAPERS[paper]


def draw_pages(figures: Sequence[Figure], title: str, paper: str) -> bytes:
    """Each figure on a page of its own; the same ones always give the same bytes."""
    fonts.register()
    from reportlab.pdfgen.canvas import Canvas

    width, height = paper_size(paper)
    out = io.BytesIO()
    size = (width * PT_PER_MM, height * PT_PER_MM)
    canvas = Canvas(out, pagesize=size, pageCompression=1, invariant=1)
    canvas.setTitle(title)
    pen = Pen(canvas, height, grid(_DPI))
    for figure in figures:
        pen.page()
        pen.label(figure, 0, 0)
        canvas.showPage()
    canvas.save()
    return out.getvalue()


class Part:
    """A part of the page from its own top left corner; `y` is where it ends so far."""

    def __init__(self, width: float) -> None:
        self.width = width
        self.y = 0.0
        self.texts: list[Text] = []
        self.panels: list[Panel] = []

    def text(
        self, x: float, baseline: float, text: str, size_pt: float, *, bold: bool
    ) -> None:
        """One line of type, from `x` on."""
        face = fonts.BOLD if bold else fonts.REGULAR
        self.texts.append(Text(x, baseline, text, face, size_pt))

    def right(
        self, x: float, baseline: float, text: str, size_pt: float, *, bold: bool
    ) -> None:
        """One line of type that ends at `x`."""
        face = fonts.BOLD if bold else fonts.REGULAR
        wide = fonts.width_mm(text, face, size_pt)
        self.text(x - wide, baseline, text, size_pt, bold=bold)

    def rule(self, y: float, *, thick: float = HAIR) -> None:
        """A line across."""
        self.panels.append(Panel(0, y, self.width, thick, True))

    def blank(self, x: float, baseline: float, width: float) -> None:
        """A line to write on."""
        self.panels.append(Panel(x, baseline + 0.8, width, HAIR, True))

    def box(self, x: float, y: float, size: float) -> None:
        """A box to tick."""
        self.panels.append(Panel(x, y, size, size, False))

    def lines(self, text: str, size_pt: float, *, bold: bool) -> None:
        """Wrapped lines across the whole width, below what is there."""
        face = fonts.BOLD if bold else fonts.REGULAR
        wrapped = fit.wrap(text, face, self.width, size_pt)
        if wrapped is None:
            raise LabelError(
                f"{text[:40]!r} has a word wider than the page: shorten it"
            )
        fitted = fit.Fitted(tuple(wrapped), face, size_pt)
        starts = fitted.starts_mm(0, self.width)
        leading = size_pt * LEADING * fonts.MM_PER_PT
        for start, line in zip(starts, wrapped, strict=True):
            self.y += leading
            self.text(start, self.y - leading * 0.25, line, size_pt, bold=bold)


def moved_panel(panel: Panel, x: float, y: float) -> Panel:
    """The same panel further right and down."""
    at = panel.x + x, panel.y + y
    return Panel(*at, panel.width, panel.height, panel.filled)
