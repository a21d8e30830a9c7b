"""Everything else: the way to the other pages."""

from __future__ import annotations

from fastapi import Request
from fastapi.responses import HTMLResponse

from lidclock.web.pages.parts import Kitchen, Pages
from lidclock.web.render import render

router = Pages()


@router.get("/more", response_class=HTMLResponse)
def more(request: Request, session: Kitchen) -> str:
    """Links to all pages, alerts first."""
    return render(request, "more.html", kitchen=session.kitchen)
