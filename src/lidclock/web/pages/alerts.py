"""What needs somebody now, and who sees to it."""

from __future__ import annotations

from fastapi import Request, Response
from fastapi.responses import HTMLResponse

from lidclock.app import alert_answers
from lidclock.app.alerts_page import alerts_now
from lidclock.web.fields import Sent
from lidclock.web.forms import FromOurPage
from lidclock.web.pages.parts import Kitchen, Pages, go_to
from lidclock.web.render import render

router = Pages()


@router.get("/alerts", response_class=HTMLResponse)
def alerts(request: Request, session: Kitchen, did: str = "") -> str:
    """What needs somebody now, the most urgent first; then what was answered."""
    lines = alerts_now(session)
    with session.read() as unit:
        told = alert_answers.told_of(unit, did)
    return render(
        request,
        "alerts.html",
        waiting=[one for one in lines if one.answered is None],
        answered=[one for one in lines if one.answered is not None],
        told=told,
        kitchen=session.kitchen,
        zone=session.kitchen.zone,
    )


@router.post("/alerts", dependencies=[FromOurPage])
def answer(session: Kitchen, sent: Sent) -> Response:
    """One answer to one alert, named by its key; then the list again."""
    found = alert_answers.answer_alert(session, sent.text("key"), sent.text("answer"))
    return go_to("/alerts", did=found.answered.given.act if found.answered else "")
