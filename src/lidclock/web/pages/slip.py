"""The slip that goes with what is handed on: chosen, named, opened for paper."""

from __future__ import annotations

from typing import Annotated

from fastapi import Query, Request, Response
from fastapi.responses import HTMLResponse

from lidclock.app import slip as app
from lidclock.app.list_words import list_pdf
from lidclock.errors import InputError
from lidclock.web.pages.parts import Kitchen, Pages
from lidclock.web.render import render

router = Pages()
Codes = Annotated[list[str], Query(default_factory=list)]


@router.get("/slip", response_class=HTMLResponse)
def choose(request: Request, session: Kitchen, code: str = "") -> str:
    """A container and those of its batch: which may be handed on, and why not."""
    if not code:
        raise InputError("name the containers that are handed on")
    return render(
        request,
        "slip.html",
        found=app.with_its_batch(session, code),
        by=session.who,
    )


@router.get("/slip.pdf")
def paper(session: Kitchen, code: Codes, by: str = "", to: str = "") -> Response:
    """The slip to print and sign; refused if one of them may not be handed on."""
    return Response(
        list_pdf(app.slip(session, code, by, to), session.kitchen),
        media_type="application/pdf",
        headers={"Content-Disposition": 'inline; filename="slip.pdf"'},
    )
