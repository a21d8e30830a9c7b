"""Labels: looked at, opened as a sheet, printed, noted once they are on the lids."""

from __future__ import annotations

from typing import Annotated

from fastapi import Query, Request, Response
from fastapi.responses import HTMLResponse

from lidclock.app import label_pages, printing
from lidclock.app.remarks import lid_remark
from lidclock.errors import PrinterError
from lidclock.web.fields import Fields, Sent
from lidclock.web.forms import FromOurPage
from lidclock.web.pages.parts import Kitchen, Pages, go_to
from lidclock.web.render import render

router = Pages()
Codes = Annotated[list[str], Query()]


@router.get("/labels", response_class=HTMLResponse)
def labels(request: Request, session: Kitchen, code: Codes, labelled: str = "") -> str:
    """What the lids of these containers would say now."""
    with session.read() as unit:
        views = [unit.view(unit.find(one).code) for one in code]
    there = [view for view in views if view.container.is_live]
    return render(
        request,
        "labels.html",
        views=views,
        codes=[view.code for view in there],
        remarks=[lid_remark(view) for view in views],
        is_labelled=all(view.container.labelled for view in there),
        printers=printing.known_printers(session),
        act="",
        is_noted=bool(labelled),
    )


@router.get("/labels/sheet.pdf")
def sheet(session: Kitchen, code: Codes) -> Response:
    """The sheet to print; nothing is recorded by looking at it."""
    drawn = label_pages.sheet_of(session, code)
    return Response(
        drawn.pdf,
        media_type="application/pdf",
        headers={"Content-Disposition": 'inline; filename="labels.pdf"'},
    )


@router.get("/labels/{code}.png")
def picture(session: Kitchen, code: str) -> Response:
    """One label as it would be printed."""
    return Response(label_pages.picture_of(session, code), media_type="image/png")


@router.post("/labels/done", dependencies=[FromOurPage])
def done(session: Kitchen, sent: Sent) -> Response:
    """The labels are on the lids."""
    label_pages.record_labelled(session, sent.all("code"), sent.text("act"))
    return _back(sent)


@router.post("/labels/print", dependencies=[FromOurPage])
def print_them(session: Kitchen, sent: Sent) -> Response:
    """Print and wait; PrinterError says why where nothing came out."""
    report = label_pages.print_for(
        session, sent.all("code"), sent.text("printer"), sent.text("act")
    )
    if not report.is_printed:
        raise PrinterError(report.message)
    return _back(sent)


def _back(sent: Fields) -> Response:
    act, codes = sent.text("act"), sent.all("code")
    if act:
        return go_to("/prep/filled", act=act, labelled="yes")
    return go_to("/labels", code=codes, labelled="yes")
