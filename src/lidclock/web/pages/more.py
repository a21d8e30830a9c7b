"""Everything else: the other pages, and what needs somebody now."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse

from lidclock.app.alerts_page import alerts_now
from lidclock.web.pages.parts import Kitchen
from lidclock.web.render import render

router = APIRouter(include_in_schema=False)


@router.get("/more", response_class=HTMLResponse)
@router.head("/more")
def more(request: Request, session: Kitchen) -> str:
    """Links to all pages, alerts first."""
    return render(request, "more.html", kitchen=session.kitchen)


@router.get("/alerts", response_class=HTMLResponse)
@router.head("/alerts")
def alerts(request: Request, session: Kitchen) -> str:
    """What needs somebody now, the most urgent first; answered on its own page."""
    return render(
        request, "alerts.html", lines=alerts_now(session), kitchen=session.kitchen
    )
