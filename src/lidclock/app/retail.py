"""Labels for sale: drawn, read back, written, and recorded like any other label."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from lidclock.app.files import write_whole
from lidclock.app.lids import labelled_fact
from lidclock.app.retail_label import Order, Worded, word_label
from lidclock.app.session import Fact, Unit, View
from lidclock.errors import InputError
from lidclock.labels.retail_data import Jurisdiction, jurisdiction, jurisdictions

if TYPE_CHECKING:
    from lidclock.labels.figure import Figure
    from lidclock.labels.retail_content import RetailLabel

__all__ = ["ADVICE", "Order", "RetailSheet", "jurisdictions", "print_retail"]

ADVICE = "help with labels, not legal advice: your authority decides"


@dataclass(frozen=True, slots=True)
class RetailSheet:
    """A sheet of labels for sale: where it went, and what the kitchen must know.

    `dropped` names each part that found no room, once for each label without it.
    `warnings` are about allergens.
    """

    path: Path
    count: int
    pages: int
    findings: tuple[str, ...]
    dropped: tuple[str, ...]
    warnings: tuple[str, ...]
    notes: tuple[str, ...]


def print_retail(
    unit: Unit,
    views: Sequence[View],
    path: Path,
    order: Order,
    *,
    stock: str | None = None,
    start: int = 1,
    check: bool = True,
) -> RetailSheet:
    """Write the sheet, read it back, and record that the lids are labelled.

    Nothing is written or recorded where one of the labels is refused.
    """
    from lidclock.labels.draw import draw_figures
    from lidclock.labels.retail_arrange import arrange_retail
    from lidclock.labels.stock import load_stock

    session, under = unit.session, jurisdiction(order.under)
    _check_face(order.face_cm2)
    kind = load_stock(stock or session.kitchen.stock)
    worded = [word_label(view, session, under, order) for view in views]
    figures = [arrange_retail(one.label, kind) for one in worded]
    pdf = draw_figures(figures, kind, start)
    findings = unread(pdf, [one.label for one in worded], figures) if check else []
    write_whole(path, [pdf])
    pairs = zip(views, worded, strict=True)
    unit.record([_fact(view, one, unit, under, kind.name) for view, one in pairs])
    return RetailSheet(
        path=path,
        count=len(figures),
        pages=-(-(len(figures) + start - 1) // (kind.across * kind.down)),
        findings=tuple(findings),
        dropped=tuple(part for figure in figures for part in figure.shortened),
        warnings=_each(views, [one.warnings for one in worded]),
        notes=_each(views, [one.notes for one in worded]),
    )


def unread(
    pdf: bytes, labels: Sequence[RetailLabel], figures: Sequence[Figure]
) -> list[str]:
    """What another library did not read exactly: every code drawn, and no other."""
    from lidclock.labels.verify import CODE128, QR, read_back

    read = Counter(one for page in read_back(pdf) for one in page)
    due = Counter(
        (QR, label.uri) if symbol.kind == "qr" else (CODE128, label.code)
        for label, figure in zip(labels, figures, strict=True)
        for symbol in figure.symbols
    )
    lost = [f"{kind} {text} was not read" for kind, text in (due - read).elements()]
    extra = [f"{kind} {text} is on no label" for kind, text in (read - due).elements()]
    return [*lost, *extra]


def _each(views: Sequence[View], remarks: Sequence[tuple[str, ...]]) -> tuple[str, ...]:
    """Each remark once, with the food's name where there are several foods."""
    foods = [view.food.name for view in views]
    many = len(set(foods)) > 1
    return tuple(
        dict.fromkeys(
            f"{food}: {one}" if many else one
            for food, told in zip(foods, remarks, strict=True)
            for one in told
        )
    )


def _check_face(face_cm2: float | None) -> None:
    if face_cm2 is not None and not 0 < face_cm2 < 100_000:
        raise InputError(f"{face_cm2:g} cm² cannot be the area of a pack's face")


def _fact(
    view: View, worded: Worded, unit: Unit, under: Jurisdiction, stock: str
) -> Fact:
    """What the lid says from now on, and by which rules."""
    fact = labelled_fact(view, unit.session, stock)
    body = {**fact.body, "retail": under.id, "date": worded.date}
    return replace(fact, body=body)
