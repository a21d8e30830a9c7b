"""The shelf: every lid by place, drawn."""

from __future__ import annotations

from fastapi import Request
from fastapi.responses import HTMLResponse

from lidclock.app.shelf import shelves
from lidclock.web.lid import Sheet
from lidclock.web.pages.parts import Kitchen, Pages
from lidclock.web.render import render
from lidclock.web.words import language_of

router = Pages()


@router.get("/shelf", response_class=HTMLResponse)
def shelf(request: Request, session: Kitchen, q: str = "") -> str:
    """Lids by place in the kitchen's order, unmarked ones first; `q` narrows them."""
    groups = shelves(session, q)
    return render(
        request,
        "shelf.html",
        groups=groups,
        sheet=Sheet(
            (lid for group in groups for _, lid in group.lids), language_of(request)
        ),
        count=sum(len(group.lids) for group in groups),
        wanted=q.strip(),
        kitchen=session.kitchen,
    )
