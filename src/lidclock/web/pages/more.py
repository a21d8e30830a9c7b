"""Everything else: the way to the other pages."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse

from lidclock.web.pages.parts import Kitchen
from lidclock.web.render import render

router = APIRouter(include_in_schema=False)


@router.get("/more", response_class=HTMLResponse)
@router.head("/more")
def more(request: Request, session: Kitchen) -> str:
    """Links to all pages, alerts first."""
    return render(request, "more.html", kitchen=session.kitchen)
