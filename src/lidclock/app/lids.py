"""Labels onto lids: which containers, drawn how, and recorded once they are out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from lidclock.app.files import write_whole
from lidclock.app.projection import label_kind, printed_allergens, printed_dates
from lidclock.app.remarks import has_late_mark
from lidclock.app.session import Fact, Session, Unit, View
from lidclock.app.wording import as_placed, label_for
from lidclock.domain.codes import spaced
from lidclock.domain.snapshots import Snapshot
from lidclock.errors import InputError, RefusedError
from lidclock.labels.content import ActionLabel, Label
from lidclock.scan.keyboard import SET_UP_TEXT
from lidclock.scan.payload import PLACE_ACTION, action_text

_HINTS = {
    "FREEZE": "then scan lids into the freezer",
    "THAW": "then scan lids out of the freezer",
    "OPEN": "then scan what you opened",
    "USE": "then scan what you used up",
    "DISCARD": "then scan what you threw away",
    "LABEL": "prints what the scanned lids need",
    "UNDO": "takes back the last scan",
    "DONE": "back to looking only",
}


@dataclass(frozen=True, slots=True)
class Drawn:
    """Labels that were drawn and are on no lid yet; `facts` hold once they are.

    `shortened` names the part, such as `name`, once for each lid that has it cut;
    `late_marks` counts the lids whose old mark was later than their limit.
    """

    pdf: bytes
    stock: str
    labels: tuple[Label, ...]
    pages: int
    facts: tuple[Fact, ...]
    act: str = ""
    findings: tuple[str, ...] = ()
    shortened: tuple[str, ...] = ()
    late_marks: int = 0
    next_free: int = 1


@dataclass(frozen=True, slots=True)
class Printed:
    """A label sheet: where it went, what did not read back, what was shortened.

    `next_free` is the first label left on the last sheet, 1 where it is used up.
    """

    path: Path | str
    labels: tuple[Label, ...]
    pages: int
    findings: tuple[str, ...] = ()
    shortened: tuple[str, ...] = ()
    late_marks: int = 0
    next_free: int = 1

    @classmethod
    def of(cls, drawn: Drawn, path: Path | str) -> Printed:
        """The labels of `drawn`, now at `path`: a file, or a printer's name."""
        return cls(
            path,
            drawn.labels,
            drawn.pages,
            drawn.findings,
            drawn.shortened,
            drawn.late_marks,
            drawn.next_free,
        )


def views_to_label(
    unit: Unit,
    codes: Sequence[str] = (),
    *,
    batch: int | None = None,
    unlabelled: bool = False,
) -> list[View]:
    """The containers meant: by code, by batch, or all that have no label yet."""
    chosen = [_still_there(unit.find(code)) for code in codes]
    if batch is not None:
        found = unit.snapshots.find(batch=batch)
        if not found:
            raise InputError(f"no live container of batch {batch}; see `lidclock list`")
        if len({one.batch_id for one in found}) > 1:
            raise RefusedError(
                f"two devices numbered a batch {batch} at the same time; "
                "name the codes instead (`lidclock list --json` tells them apart)"
            )
        found.sort(key=lambda one: (one.index or 0, one.code))
        chosen += [one.code for one in found]
    if unlabelled:
        bare = [one for one in unit.snapshots.find() if not one.is_labelled]
        bare.sort(key=lambda one: (one.batch_number or 0, one.index or 0, one.code))
        chosen += [one.code for one in bare]
    if not chosen:
        what = "every container has a label" if unlabelled else "no container named"
        raise InputError(f"{what}; name codes, --batch N or --unlabelled")
    return [unit.view(code) for code in dict.fromkeys(chosen)]


def _still_there(known: Snapshot) -> str:
    if not known.is_live:
        raise RefusedError(
            f"{spaced(known.code)} ({known.food}) was {known.end_kind}: "
            "there is nothing left to label"
        )
    return known.code


def draw_labels(
    unit: Unit,
    views: Sequence[View],
    *,
    stock: str | None = None,
    start: int = 1,
    check: bool = True,
    act: str = "",
    offset_mm: tuple[float, float] = (0.0, 0.0),
) -> Drawn:
    """Draw the labels and read them back; nothing is recorded until they are out.

    `offset_mm` moves the print to the right and down.
    """
    from lidclock.labels import arrange_all, draw_figures, load_stock, verify

    session = unit.session
    kind = load_stock(stock or session.kitchen.stock)
    labels = tuple(label_for(view, session) for view in views)
    figures = arrange_all(labels, kind, dpi=kind.dpi)
    pdf = draw_figures(figures, kind, start, dpi=kind.dpi, offset_mm=offset_mm)
    return Drawn(
        pdf=pdf,
        stock=kind.name,
        labels=labels,
        pages=_pages(len(labels), kind.across * kind.down, start),
        facts=tuple(labelled_fact(view, session, kind.name) for view in views),
        act=act,
        findings=tuple(verify(pdf, labels, kind.dpi, stock=kind)) if check else (),
        shortened=tuple(part for figure in figures for part in figure.shortened),
        late_marks=sum(1 for view in views if has_late_mark(view)),
        next_free=(start - 1 + len(labels)) % (kind.across * kind.down) + 1,
    )


def print_labels(
    unit: Unit,
    views: Sequence[View],
    path: Path,
    *,
    stock: str | None = None,
    start: int = 1,
    check: bool = True,
    act: str = "",
    offset_mm: tuple[float, float] = (0.0, 0.0),
) -> Printed:
    """Write the label sheet, read it back, and record that the lids are labelled.

    With `act` the labelling is undone together with the filling it belongs to.
    """
    drawn = draw_labels(
        *(unit, views),
        stock=stock,
        start=start,
        check=check,
        act=act,
        offset_mm=offset_mm,
    )
    write_whole(path, [drawn.pdf])
    unit.record(drawn.facts, act)
    return Printed.of(drawn, path)


def _pages(count: int, per_page: int, start: int) -> int:
    return -(-(count + start - 1) // per_page)


def print_actions(
    session: Session,
    path: Path,
    *,
    stock: str | None = None,
    offset_mm: tuple[float, float] = (0.0, 0.0),
) -> tuple[ActionLabel, ...]:
    """Write the sheet of action codes."""
    kind = stock or session.kitchen.stock
    actions, pdf = draw_action_sheet(session, kind, offset_mm=offset_mm)
    write_whole(path, [pdf])
    return actions


def draw_action_sheet(
    session: Session, stock: str, *, offset_mm: tuple[float, float] = (0.0, 0.0)
) -> tuple[tuple[ActionLabel, ...], bytes]:
    """Every action code on a stock, and the pages."""
    from lidclock.labels import draw_actions, load_stock

    actions, kind = action_labels(session), load_stock(stock)
    return actions, draw_actions(actions, kind, dpi=kind.dpi, offset_mm=offset_mm)


def action_list(session: Session) -> str:
    """The same as lines to type from, or to copy by hand."""
    from lidclock.labels import plain_actions

    return plain_actions(action_labels(session))


def action_labels(session: Session) -> tuple[ActionLabel, ...]:
    """Every action that a scan can choose, one for each place as well."""
    base = session.kitchen.symbol_base
    words = [(word, word, hint) for word, hint in _HINTS.items()]
    words += [
        (
            place.name,
            action_text(PLACE_ACTION, str(place.number)),
            "then scan lids into it",
        )
        for place in session.places
    ]
    actions = [
        ActionLabel(word, code, f"{base}/A/{code}", hint) for word, code, hint in words
    ]
    # Every symbol that a code or an address can hold: what comes of them tells the
    # keyboard's layout. Far too long for bars.
    hint = "after lidclock scan --set-up"
    return (*actions, ActionLabel("SET UP", "", SET_UP_TEXT, hint))


def tape_list(unit: Unit, views: Sequence[View], *, act: str = "") -> str:
    """The same labels as lines to copy onto tape by hand; the lids count as done."""
    from lidclock.labels import plain

    text = plain([label_for(view, unit.session) for view in views])
    unit.record([labelled_fact(view, unit.session, "tape") for view in views], act)
    return text


def labelled_fact(view: View, session: Session, stock: str) -> Fact:
    """What the lid says from now on, so that a later change can be told from it."""
    shown = as_placed(view, session)
    body = {
        "stock": stock,
        "kind": label_kind(shown.container, shown.food, shown.verdict),
        "number": view.container.next_label,
        **printed_dates(shown.verdict),
        **printed_allergens(view.inventory, view.container),
    }
    return Fact("labelled", view.code, body)
