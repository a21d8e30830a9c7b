"""Cooling: open logs side by side, what is done about them, and one log whole."""

from __future__ import annotations

from fastapi import Request, Response
from fastapi.responses import HTMLResponse

from lidclock.app import cooling_page as app
from lidclock.app.cooling_figure import cooling_drawing
from lidclock.app.cooling_page import Act, Log
from lidclock.app.cooling_watch import actions, temp_words
from lidclock.app.cooling_words import (
    basis_lines,
    headline,
    kept_open_line,
    say_hour,
    stage_line,
)
from lidclock.app.session import Session
from lidclock.errors import OddFactError
from lidclock.web.fields import Fields, Sent, depth_in, local_text, moment_in, temp_in
from lidclock.web.forms import FromOurPage
from lidclock.web.pages.parts import Kitchen, Pages, go_to
from lidclock.web.pages.temperatures import DRAWING
from lidclock.web.render import render

router = Pages()
LIST, LOG = "/cooling", "/cooling/log"
_KEPT = ("do", "of", "temp", "around", "depth", "covered", "place", "pans", "text")


@router.get(LIST, response_class=HTMLResponse)
def cooling(request: Request, session: Kitchen, did: str = "", of: str = "") -> str:
    """Every open log; `did` is the act just recorded, `of` a log that stayed open."""
    logs = app.open_logs(session)
    stuck = next((one for one in logs if of and one.key == of), None)
    return render(
        request,
        "cooling.html",
        logs=[_shown(one, session) for one in logs],
        candidates=app.candidates(session),
        did=did,
        stuck=kept_open_line(stuck.standing, session) if stuck else "",
        **_shared(session),
    )


@router.post(LIST, dependencies=[FromOurPage], response_class=HTMLResponse)
def act(request: Request, session: Kitchen, sent: Sent) -> Response:
    """One entry, then the logs again; an odd one is asked for once more."""
    try:
        done, number = app.act(session, _act(session, sent), sent.act())
    except OddFactError as error:
        page = render(
            request,
            "odd.html",
            odd=error.fact,
            action=LIST,
            back=LIST,
            kept=[(name, sent.text(name)) for name in _KEPT],
            at=sent.text("at"),
            now=local_text(session, session.now),
        )
        return HTMLResponse(page)
    if done.refusal:
        return go_to(LIST, did=number, of=sent.text("of"))
    if sent.text("do") == "finish":
        return go_to(LOG, of=sent.text("of"), did=number)
    return go_to(LIST, did=number)


@router.get(LOG, response_class=HTMLResponse)
def log(request: Request, session: Kitchen, of: str = "", did: str = "") -> Response:
    """One log with its entries and its curve, also when it is closed."""
    if not of:
        return go_to(LIST)
    one = app.log_of(session, of)
    page = render(
        request,
        "cooling_log.html",
        shown=_shown(one, session),
        did=did,
        **_shared(session),
    )
    return HTMLResponse(page)


@router.get(f"{LIST}/drawing.svg")
def drawing(session: Kitchen, of: str) -> Response:
    """The curve of a log with its stages, drawn."""
    with DRAWING:
        drawn = cooling_drawing(session, of)
    return Response(drawn, media_type="image/svg+xml")


def _act(session: Session, sent: Fields) -> Act:
    is_covered = {"yes": True, "no": False}.get(sent.text("covered"))
    return Act(
        do=sent.text("do"),
        of=sent.text("other") or sent.text("of"),
        temp_c=_tenth(temp_in(session, sent.text("temp"))),
        medium_c=_tenth(temp_in(session, sent.text("around"))),
        depth_mm=depth_in(session, sent.text("depth")),
        is_covered=is_covered,
        place=sent.text("place"),
        pans=sent.number("pans", "pans") or 1,
        text=sent.text("text"),
        at=moment_in(session, sent.text("at")),
        anyway=bool(sent.text("anyway")),
    )


def _tenth(temp_c: float | None) -> float | None:
    """As a probe shows it: so 40 °F is 4.4 °C, as the charts print it."""
    return None if temp_c is None else round(temp_c, 1)


def _shown(one: Log, session: Session) -> dict[str, object]:
    standing = one.standing
    return {
        "log": one,
        "headline": headline(standing, session),
        "stages": [stage_line(x.stage, session) for x in standing.outlooks],
        "basis": basis_lines(standing, session),
        "do_now": actions(standing, session),
        "is_missed": bool(standing.missed),
    }


def _shared(session: Session) -> dict[str, object]:
    units = session.kitchen.units
    return {
        "kitchen": session.kitchen,
        "places": session.places,
        "units": units,
        "degrees": "°F" if units == "us" else "°C",
        "temp": lambda temp_c: temp_words(temp_c, session),
        "hour": lambda at: say_hour(at, session),
        "now": local_text(session, session.now),
        "instant": session.now,
    }
