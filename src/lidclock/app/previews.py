"""Labels to look at: drawn as they would be printed, read back, recorded nowhere."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from lidclock.app.lids import views_to_label
from lidclock.app.session import Session
from lidclock.app.stock import write_picture
from lidclock.app.wording import label_for
from lidclock.labels.verify import Reading


@dataclass(frozen=True, slots=True)
class Look:
    """One label: its page, and what an independent reader makes of its symbols."""

    code: str
    stock: str
    dpi: int
    width_mm: float
    height_mm: float
    pdf: bytes
    read: tuple[Reading, ...] = ()
    findings: tuple[str, ...] = ()
    shortened: tuple[str, ...] = ()

    def in_characters(self, columns: int) -> list[str]:
        """The label for a terminal."""
        from lidclock.labels import preview

        return list(preview.in_characters(preview.picture(self.pdf, self.dpi), columns))

    def write(self, path: Path) -> None:
        """The label as a file, a pixel for each printer dot if it is a PNG."""
        write_picture(self.pdf, path, self.dpi)


def look_at(
    session: Session,
    codes: Sequence[str],
    *,
    stock: str | None = None,
    dpi: int | None = None,
    check: bool = True,
) -> list[Look]:
    """What the lids of these containers would say now, each on a page of its own."""
    from lidclock.labels import arrange_all, draw_figures, load_stock, verify
    from lidclock.labels.stock import single
    from lidclock.labels.verify import read_back

    kind = load_stock(stock or session.kitchen.stock)
    dots = dpi or kind.dpi
    with session.read() as unit:
        views = views_to_label(unit, codes)
        labels = [label_for(view, session) for view in views]
    looks = []
    for label in labels:
        (figure,) = arrange_all([label], kind, dpi=dots)
        pdf = draw_figures([figure], single(kind), dpi=dots)
        looks.append(
            Look(
                *(label.code, kind.name, dots),
                *(kind.label_width_mm, kind.label_height_mm, pdf),
                read=tuple(read_back(pdf, dots)[0]) if check else (),
                findings=tuple(verify(pdf, [label], dots, stock=kind)) if check else (),
                shortened=figure.shortened,
            )
        )
    return looks
