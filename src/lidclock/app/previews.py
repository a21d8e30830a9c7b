"""Labels to look at: drawn as they would be printed, read back, recorded nowhere."""

from __future__ import annotations

import io
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from lidclock.app.files import write_whole
from lidclock.app.lids import views_to_label
from lidclock.app.session import Session
from lidclock.app.wording import label_for

if TYPE_CHECKING:
    from PIL.Image import Image

    from lidclock.labels.content import Label
    from lidclock.labels.stock import Stock
    from lidclock.labels.verify import Reading

_PICTURE = ".png"


@dataclass(frozen=True, slots=True)
class Look:
    """One label: its page, and what an independent reader makes of its dots."""

    code: str
    stock: Stock
    dpi: int
    pdf: bytes
    dots: Image
    read: tuple[Reading, ...] = ()
    findings: tuple[str, ...] = ()
    shortened: tuple[str, ...] = ()

    def in_characters(self, columns: int) -> list[str]:
        """The label for a terminal."""
        from lidclock.labels import preview

        is_round = self.stock.shape == "round"
        return preview.in_characters(self.dots, columns, is_round=is_round)

    def write(self, path: Path) -> None:
        """The label as a PNG, a pixel for each printer dot; else as a PDF."""
        if path.suffix.lower() != _PICTURE:
            write_whole(path, [self.pdf])
            return
        out = io.BytesIO()
        self.dots.convert("1").save(out, "PNG", optimize=True, dpi=(self.dpi, self.dpi))
        write_whole(path, [out.getvalue()])


def look_at(
    session: Session,
    codes: Sequence[str],
    *,
    stock: str | None = None,
    dpi: int | None = None,
    check: bool = True,
) -> list[Look]:
    """What the lids of these containers would say now, each on a page of its own."""
    from lidclock.labels import load_stock

    kind = load_stock(stock or session.kitchen.stock)
    with session.read() as unit:
        views = views_to_label(unit, codes)
        labels = [label_for(view, session) for view in views]
    return [_look(label, kind, dpi or kind.dpi, check=check) for label in labels]


def _look(label: Label, kind: Stock, dpi: int, *, check: bool) -> Look:
    from lidclock.labels import arrange_all, draw_figures
    from lidclock.labels.preview import printed_dots
    from lidclock.labels.stock import single
    from lidclock.labels.verify import faults, read_picture

    (figure,) = arrange_all([label], kind, dpi=dpi)
    pdf = draw_figures([figure], single(kind), dpi=dpi)
    dots = printed_dots(pdf, dpi)
    read = tuple(read_picture(dots)) if check else ()
    return Look(
        *(label.code, kind, dpi, pdf, dots, read),
        findings=tuple(faults(read, [label], stock=kind)) if check else (),
        shortened=figure.shortened,
    )


def path_for(path: Path, look: Look, count: int) -> Path:
    """Where one of several labels is written: its code is put into the name."""
    return path if count == 1 else path.with_stem(f"{path.stem}-{look.code}")
