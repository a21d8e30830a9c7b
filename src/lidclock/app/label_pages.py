"""Labels from a page: a sheet to open, a picture to look at, a printer to send to."""

from __future__ import annotations

import io
from collections.abc import Sequence

from lidclock.app import printing
from lidclock.app.lids import Drawn, draw_labels, labelled_fact, views_to_label
from lidclock.app.previews import look_at
from lidclock.app.printing import JobReport
from lidclock.app.session import Session, View
from lidclock.domain.sentences import quoted, sentence
from lidclock.labels.content import Label


def sheet_of(session: Session, codes: Sequence[str]) -> Drawn:
    """The labels of these containers on the kitchen's stock; nothing is recorded."""
    with session.read() as unit:
        return draw_labels(unit, views_to_label(unit, codes), check=False)


def lid_words(session: Session, view: View) -> str:
    """What the lid will say of a container that is in no place yet; else nothing."""
    if view.container.place or not view.container.is_live:
        return ""
    with session.read() as unit:
        label = draw_labels(unit, [view], check=False).labels[0]
    return as_if_stored(label)


def as_if_stored(label: Label) -> str:
    """A label is made for the fridge that its container is on its way to."""
    note = f" ({label.headline_note})" if label.headline_note else ""
    says = f"{label.headline_word.lower()} {label.headline}{note}"
    return sentence(
        "on the lids: {says}, as if they went into a fridge now", says=quoted(says)
    )


def picture_of(session: Session, code: str) -> bytes:
    """One label as a PNG, a pixel for each printer dot."""
    (look,) = look_at(session, [code], check=False)
    out = io.BytesIO()
    look.dots.convert("1").save(out, "PNG", optimize=True)
    return out.getvalue()


def record_labelled(session: Session, codes: Sequence[str], act: str = "") -> None:
    """These lids bear their labels now; with `act` undone together with the filling."""
    stock = session.kitchen.stock
    with session.write() as unit:
        views = views_to_label(unit, codes)
        unit.record([labelled_fact(view, session, stock) for view in views], act)


def print_for(
    session: Session, codes: Sequence[str], printer: str, act: str = ""
) -> JobReport:
    """Print them on that printer and wait; recorded once the printer says they are out.

    With its name empty on the one that has the kitchen's stock in it.
    """
    chosen = printing.printer_for(session, printer)
    with session.read() as unit:
        drawn = draw_labels(
            *(unit, views_to_label(unit, codes)),
            stock=chosen.stock,
            act=act,
            offset_mm=chosen.offset_mm,
        )
    return printing.print_drawn(session, drawn, chosen)
