"""One container: its lid, how it stands, why, what happened, what may be done next."""

from __future__ import annotations

from datetime import date

from fastapi import Request, Response
from fastapi.responses import HTMLResponse

from lidclock.app import deeds
from lidclock.app.amends import amends_of
from lidclock.app.container_words import fact_lines
from lidclock.app.cooling_watch import temp_words
from lidclock.app.end_words import end_with_reason
from lidclock.app.first_place import early_end_words
from lidclock.app.history_words import contradiction_lines, history_lines
from lidclock.app.lid import lid_of_view
from lidclock.app.lists import listed
from lidclock.app.remarks import void_remark
from lidclock.app.session import Session, View
from lidclock.app.verdict_words import limit_lines, status_line
from lidclock.app.warm_food import warm_times
from lidclock.domain.moments import local_date
from lidclock.errors import OddFactError
from lidclock.web.fields import (
    Sent,
    local_text,
    mass_in,
    moment_in,
    present_text,
    temp_in,
)
from lidclock.web.forms import FromOurPage
from lidclock.web.pages.parts import Kitchen, Pages, go_to
from lidclock.web.render import render

router = Pages()
# Pages of acts that are about no single container.
_BACK = (
    *("/plan", "/alerts", "/stock-take", "/prep/filled", "/temperatures", "/cooling"),
    "/plan/occasion",
)
_KEPT = ("do", "place", "mass", "temp", "text", "ready")


# Labels bear the address in capitals, so that the symbol stays small.
@router.get("/C/{code}", response_class=HTMLResponse)
@router.get("/C/{code}/{label}", response_class=HTMLResponse)
@router.get("/c/{code}", response_class=HTMLResponse)
def container(
    request: Request, code: str, session: Kitchen, label: int = 0, did: str = ""
) -> str:
    """The page that a label's symbol opens; `label` is the number of that label.

    `did` is the act that was just recorded, offered to be taken back.
    """
    with session.read() as unit:
        known = unit.find(code)
        view = unit.view(known.code)
        told = deeds.told(unit, did, view)
        batch = (
            unit.snapshots.find(batch=known.batch_number) if known.batch_number else []
        )
    verdict, zone = view.verdict, session.kitchen.zone
    early = early_end_words(verdict)
    probes = warm_times(verdict.history, session.guidance.cold_c)
    end = view.container.end
    return render(
        request,
        "container.html",
        view=view,
        known=known,
        drawn=lid_of_view(listed(session, known), view),
        standing=status_line(verdict),
        early=early,
        facts=fact_lines(view, session),
        why=[limit_lines(limit) for limit in verdict.limits],
        plan_by=_plan_by(view, session),
        zone=zone,
        history=history_lines(view, zone),
        contradictions=contradiction_lines(view, zone),
        void=void_remark(view, label),
        end=end_with_reason(end.kind, end.reason) if end else "",
        ended=end.at if end else None,
        amends=amends_of(view, early),
        batch=[one.code for one in batch],
        offered=deeds.offered(view),
        late=deeds.offered_late(view),
        places=[x for x in session.places if x.name != view.container.place],
        units=session.kitchen.units,
        warm=max(probes, key=lambda one: one.at, default=None),
        temp=lambda temp_c: temp_words(temp_c, session),
        did=did if told else "",
        told=told,
        now=local_text(session, session.now),
        present=present_text(session),
    )


def _plan_by(view: View, session: Session) -> date | None:
    """The day to plan for, while it has not gone by."""
    day = view.verdict.plan_by
    if day is None or day < local_date(session.now, session.kitchen.zone):
        return None
    return day


@router.post("/c/{code}", dependencies=[FromOurPage], response_class=HTMLResponse)
def act(request: Request, code: str, session: Kitchen, sent: Sent) -> Response:
    """One deed, then the page again; an odd one is asked for once more."""
    deed = deeds.Deed(
        kind=sent.text("do"),
        place=sent.text("place"),
        mass_g=mass_in(session, sent.text("mass")),
        temp_c=temp_in(session, sent.text("temp")),
        text=sent.text("text"),
        at=moment_in(session, sent.text("at")),
        ready_at=moment_in(session, sent.text("ready")),
        made_at=moment_in(session, sent.text("made")),
        placed_at=moment_in(session, sent.text("placed")),
        anyway=bool(sent.text("anyway")),
    )
    try:
        done = deeds.do(session, code, deed, sent.act())
    except OddFactError as error:
        page = render(
            request,
            "odd.html",
            odd=error.fact,
            action=f"/c/{code}",
            back=f"/c/{code}",
            kept=[(name, sent.text(name)) for name in _KEPT],
            at=sent.text("at"),
            now=local_text(session, session.now),
        )
        return HTMLResponse(page)
    return go_to(f"/c/{done.view.code}", did=done.act)


@router.post("/c/{code}/allergens", dependencies=[FromOurPage])
def correct_allergens(code: str, session: Kitchen, sent: Sent) -> Response:
    """What is really in it; then where it went, and which lids no longer say so."""
    done = deeds.correct_allergens(
        session, code, sent.text("allergens"), has_none=bool(sent.text("none"))
    )
    page = f"/c/{done.view.code}"
    return go_to(f"{page}/trace" if done.labels else page, did=done.act)


@router.post("/undo", dependencies=[FromOurPage])
def undo(session: Kitchen, sent: Sent) -> Response:
    """Take one act back; `back` is the container whose page asked, or `to` the page."""
    deeds.undo_act(session, sent.text("did"))
    back = sent.text("back")
    with session.read() as unit:
        is_there = back and unit.snapshots.get(back) is not None
    if sent.text("to") in _BACK:
        return go_to(sent.text("to"), act=sent.text("act"), name=sent.text("name"))
    return go_to(f"/c/{back}") if is_there else go_to("/", undone="yes")
