"""Printers of the kitchen and the labels that it uses: for owners."""

from __future__ import annotations

from fastapi import Request, Response
from fastapi.responses import HTMLResponse

from lidclock.app import label_setup, printing
from lidclock.app.session import Session
from lidclock.errors import LidclockError, PrinterError
from lidclock.web.answers import says_of, told
from lidclock.web.fields import Fields, Sent
from lidclock.web.forms import FromOurPage
from lidclock.web.pages.parts import Kitchen, Pages, go_to
from lidclock.web.render import render

router = Pages()
PATH = "/kitchen/printers"


@router.get(PATH, response_class=HTMLResponse)
def printers_page(
    request: Request,
    session: Kitchen,
    kind: str = "",
    ask: str = "",
    did: str = "",
) -> str:
    """What there is; `ask` names the printer that is asked how it is now."""
    known = {one.name for one in printing.known_printers(session)}
    standing = None
    if ask in known:
        standing = printing.look_at(printing.find_printer(session, ask))
    return _page(request, session, kind=kind, standing=standing, did=did)


@router.post(PATH, dependencies=[FromOurPage], response_class=HTMLResponse)
def change(request: Request, session: Kitchen, sent: Sent) -> Response:
    """One change: `do` says which."""
    do = _DOES.get(sent.text("do"), _add)
    try:
        return do(session, sent)
    except LidclockError as error:
        typed = {name: sent.text(name) for name in ("name", "address", "stock")}
        page = _page(
            *(request, session),
            problem=says_of(error),
            typed=typed,
            kind=sent.text("kind"),
        )
        return told(error, page)


def _add(session: Session, sent: Fields) -> Response:
    made = printing.add_printer(
        session,
        sent.text("name"),
        sent.text("address"),
        stock=sent.text("stock") or None,
        is_default=bool(sent.text("usual")),
    )
    return go_to(PATH, ask=made.name)


def _remove(session: Session, sent: Fields) -> Response:
    printing.remove_printer(session, sent.text("name"))
    return go_to(PATH, did="saved")


def _usual(session: Session, sent: Fields) -> Response:
    label_setup.make_usual(session, sent.text("name"))
    return go_to(PATH, did="saved")


def _stock(session: Session, sent: Fields) -> Response:
    label_setup.choose_stock(session, sent.text("stock"), sent.text("was"))
    return go_to(PATH, did="saved")


def _test(session: Session, sent: Fields) -> Response:
    name = sent.text("name")
    report = printing.test_printer(session, name, tell=lambda _: None)
    if not report.is_printed:
        raise PrinterError(report.message)
    return go_to(PATH, ask=name, did="printed")


_DOES = {"remove": _remove, "usual": _usual, "stock": _stock, "test": _test}


def _page(
    request: Request,
    session: Session,
    *,
    kind: str = "",
    problem: str = "",
    standing: printing.Standing | None = None,
    did: str = "",
    typed: dict[str, str] | None = None,
) -> str:
    kind = kind if kind in label_setup.KINDS else ""
    every = label_setup.choices(session)
    return render(
        request,
        "printers.html",
        kitchen=session.kitchen,
        printers=printing.known_printers(session),
        queues=printing.list_queues(),
        choices=[one for one in every if kind in ("", one.kind)],
        every=every,
        kinds=label_setup.KINDS,
        kind=kind,
        problem=problem,
        standing=standing,
        did=did,
        typed=typed or {"name": "", "address": "", "stock": ""},
    )
