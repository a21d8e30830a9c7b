"""The month: what was made, and what became of it."""

from __future__ import annotations

from fastapi import Request, Response
from fastapi.responses import HTMLResponse

from lidclock.app.waste_figure import waste_svg
from lidclock.app.waste_page import month_page, month_report
from lidclock.web.pages.parts import Kitchen, Pages
from lidclock.web.render import render

router = Pages()


@router.get("/report", response_class=HTMLResponse)
def report(request: Request, session: Kitchen, month: str = "", food: str = "") -> str:
    """The last 28 days, or a calendar month such as `2026-11`; of all or of a food."""
    return render(
        request,
        "report.html",
        found=month_page(session, month.strip(), food.strip()),
        food=food.strip(),
        kitchen=session.kitchen,
    )


@router.get("/report/weeks.svg")
def weeks(session: Kitchen, month: str = "", food: str = "") -> Response:
    """What was wasted week by week, drawn."""
    found = month_report(session, month.strip(), food.strip())
    picture = waste_svg(session, found)
    return Response(picture, media_type="image/svg+xml")
