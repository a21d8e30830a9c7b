"""The plan: meals ahead, what is short, what to make, and the lists for paper."""

from __future__ import annotations

from datetime import date

from fastapi import Request, Response
from fastapi.responses import HTMLResponse

from lidclock.app import meal_plan
from lidclock.app.list_words import ListPage, list_pdf
from lidclock.app.prep_list import prep_list
from lidclock.app.prep_page import prep_page
from lidclock.app.pull import pull_list
from lidclock.app.pull_page import pull_page
from lidclock.app.session import Session
from lidclock.domain.moments import DAY, local_date, read_iso_day
from lidclock.errors import UnknownThingError
from lidclock.web.fields import Sent, local_text, moment_in
from lidclock.web.forms import FromOurPage
from lidclock.web.pages.parts import Kitchen, Pages, go_to
from lidclock.web.render import render

router = Pages()
ROWS = 4


@router.get("/plan", response_class=HTMLResponse)
def plan(request: Request, session: Kitchen, did: str = "") -> str:
    """Meals with what is short, and a form for another."""
    found = meal_plan.plan_ahead(session)
    zone, now = session.kitchen.zone, session.now
    with session.read() as unit:
        stands = bool(did and unit.ledger.standing(unit.ledger.act(did)))
    return render(
        request,
        "plan.html",
        found=found,
        until=found.amounts[0].until if found.amounts else None,
        zone=zone,
        rows=range(ROWS),
        now=local_text(session, now),
        tomorrow=(local_date(now, zone) + DAY).isoformat(),
        kitchen=session.kitchen,
        did=did if stands else "",
    )


@router.post("/plan/meals", dependencies=[FromOurPage])
def add(session: Kitchen, sent: Sent) -> Response:
    """Another meal."""
    wanted = [
        (sent.text(f"food{row}"), sent.number(f"portions{row}", "portions"))
        for row in range(ROWS)
    ]
    act = meal_plan.put_down(
        session,
        moment_in(session, sent.text("at")),
        wanted,
        name=sent.text("name"),
        eaters=sent.number("eaters", "eaters"),
        every=sent.text("every"),
        once=sent.act(),
    )
    return go_to("/plan", did=act)


@router.post("/plan/leave-out", dependencies=[FromOurPage])
def leave_out(session: Kitchen, sent: Sent) -> Response:
    """Skip a meal on its day, or take it off the list."""
    day = sent.day("day")
    return go_to("/plan", did=meal_plan.leave_out(session, sent.text("meal"), day))


@router.get("/plan/{name}.pdf")
def paper(session: Kitchen, name: str, on: str = "") -> Response:
    """The pull list or the prep list to hang up."""
    pdf = list_pdf(_list(session, name, on), session.kitchen)
    return Response(
        pdf,
        media_type="application/pdf",
        headers={"Content-Disposition": f'inline; filename="{name}-list.pdf"'},
    )


@router.get("/plan/{name}", response_class=HTMLResponse)
def shown(request: Request, session: Kitchen, name: str, on: str = "") -> str:
    """The same as a page."""
    page = _list(session, name, on)
    return render(request, "list.html", page=page, name=name, on=on)


def _list(session: Session, name: str, on: str) -> ListPage:
    day: date | None = read_iso_day(on) if on else None
    if name == "pull":
        return pull_page(pull_list(session, day), session)
    if name == "prep":
        return prep_page(prep_list(session, day), session)
    raise UnknownThingError("there is a pull list and a prep list, and no other")
