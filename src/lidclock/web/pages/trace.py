"""Tracing containers, lots and batches, back and forward, to look at or to print."""

from __future__ import annotations

from typing import Annotated

from fastapi import Depends, Query, Request, Response
from fastapi.responses import HTMLResponse

from lidclock.app import deeds
from lidclock.app import trace as app
from lidclock.app.list_words import list_pdf
from lidclock.app.session import Session
from lidclock.app.trace_page import trace_list, trace_page
from lidclock.web.pages.parts import Kitchen, Pages
from lidclock.web.render import render

router = Pages()
_WAYS = {app.BACK: (app.BACK,), app.FORWARD: (app.FORWARD,)}
_BOTH = (app.BACK, app.FORWARD)


def _asked(
    batch: Annotated[list[str], Query(default_factory=list)],
    code: str = "",
    lot: str = "",
    way: str = "",
) -> app.Question:
    """What was typed and ticked: several codes have commas between them."""
    return app.Question(
        tuple(filter(None, (one.strip() for one in code.split(",")))),
        (lot.strip(),) if lot.strip() else (),
        tuple(batch),
        _WAYS.get(way, _BOTH),
    )


Asked = Annotated[app.Question, Depends(_asked)]


@router.get("/trace", response_class=HTMLResponse)
def ask(request: Request, session: Kitchen, asked: Asked) -> str:
    """What to trace, and the answer once something is asked."""
    if asked.codes or asked.lots or asked.batches:
        return _shown(request, session, asked, f"/trace.pdf?{request.url.query}")
    return render(
        request,
        "trace_ask.html",
        batches=app.recent_batches(session),
        lots=app.known_lots(session),
        zone=session.kitchen.zone,
    )


@router.get("/trace.pdf")
def ask_paper(session: Kitchen, asked: Asked) -> Response:
    """The same to print and tick."""
    return _paper(session, asked)


@router.get("/c/{code}/trace", response_class=HTMLResponse)
def of_container(
    request: Request, session: Kitchen, code: str, way: str = "", did: str = ""
) -> str:
    """What went into one container, and where it went.

    `did` is a correction that was just recorded, offered to be taken back.
    """
    asked = app.Question((code,), ways=_WAYS.get(way, _BOTH))
    with session.read() as unit:
        told = deeds.told(unit, did, unit.view(unit.find(code).code))
    paper = f"/c/{code}/trace.pdf" + (f"?way={way}" if way in _WAYS else "")
    return _shown(request, session, asked, paper, did=did, told=told)


@router.get("/c/{code}/trace.pdf")
def container_paper(session: Kitchen, code: str, way: str = "") -> Response:
    """The same to print and tick."""
    return _paper(session, app.Question((code,), ways=_WAYS.get(way, _BOTH)))


def _shown(
    request: Request,
    session: Session,
    asked: app.Question,
    paper: str,
    *,
    did: str = "",
    told: str = "",
) -> str:
    found = app.trace(session, asked)
    return render(
        request,
        "trace.html",
        page=trace_page(found, session),
        paper=paper,
        labels=sorted(found.labels),
        code=asked.codes[0] if told else "",
        did=did,
        told=told,
    )


def _paper(session: Session, asked: app.Question) -> Response:
    page = trace_page(app.trace(session, asked), session)
    return Response(
        list_pdf(trace_list(page, session), session.kitchen),
        media_type="application/pdf",
        headers={"Content-Disposition": 'inline; filename="trace.pdf"'},
    )
