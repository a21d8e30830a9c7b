"""Temperatures: every place with its last reading, and one place whole."""

from __future__ import annotations

from datetime import timedelta
from threading import Lock

from fastapi import Request, Response
from fastapi.responses import HTMLResponse

from lidclock.app import place_reasons, temp_page
from lidclock.app.listed_words import listed_words
from lidclock.app.lists import Listed
from lidclock.app.session import Session
from lidclock.app.temp_figure import place_drawing
from lidclock.app.temp_report import LOOK_BACK
from lidclock.app.temp_values import limit_words
from lidclock.app.temp_words import standing_line
from lidclock.app.temps import correct_reading, type_reading
from lidclock.domain.moments import read_iso
from lidclock.domain.readings import say_temp
from lidclock.domain.sentences import sentence
from lidclock.errors import InputError, OddFactError
from lidclock.web.fields import Sent, local_text, moment_in, temp_in
from lidclock.web.forms import FromOurPage
from lidclock.web.pages.parts import Kitchen, Pages, go_to
from lidclock.web.render import render

router = Pages()
SPANS = {"day": timedelta(days=1), "week": timedelta(days=7)}
# The drawing library keeps its look for the whole process: one figure at a time.
DRAWING = Lock()
LIST, PLACE = "/temperatures", "/temperatures/place"


@router.get(LIST, response_class=HTMLResponse)
def temperatures(
    request: Request, session: Kitchen, did: str = "", at: str = ""
) -> str:
    """Every place; `did` and `at` name the reading that was just recorded."""
    places = temp_page.places_now(session)
    return render(
        request,
        "temperatures.html",
        places=[(one, standing_line(one, session)) for one in places],
        did=did,
        told=_told(session, did, at),
        **_shared(session),
    )


@router.post(LIST, dependencies=[FromOurPage], response_class=HTMLResponse)
def record(request: Request, session: Kitchen, sent: Sent) -> Response:
    """Record a reading; on to its place if that is beyond its limit."""
    temp_c = temp_in(session, sent.text("temp"))
    if temp_c is None:
        raise InputError(sentence("say what the thermometer shows"))
    name, at = sent.text("place"), moment_in(session, sent.text("at"))
    try:
        typed = type_reading(
            session, name, temp_c, at=at, anyway=bool(sent.text("anyway"))
        )
    except OddFactError as error:
        page = render(
            request,
            "odd.html",
            odd=error.fact,
            action=LIST,
            back=LIST,
            kept=[("place", name), ("temp", sent.text("temp"))],
            at=sent.text("at"),
            now=local_text(session, session.now),
        )
        return HTMLResponse(page)
    when = typed.reading.at.isoformat()
    if typed.is_beyond:
        return go_to(PLACE, name=typed.place.name, at=when)
    return go_to(LIST, did=typed.place.name, at=when)


@router.post(f"{LIST}/strike", dependencies=[FromOurPage])
def strike(session: Kitchen, sent: Sent) -> Response:
    """Strike a reading that was mistyped; it stays on record, struck."""
    at = read_iso(sent.text("at"), session.kitchen.zone)
    correct_reading(session, sent.text("place"), at, None, reason="mistyped")
    return go_to(PLACE, name=sent.text("place"))


@router.post(f"{LIST}/reason", dependencies=[FromOurPage])
def reason(session: Kitchen, sent: Sent) -> Response:
    """Note why a place was too warm."""
    place, text = sent.text("place"), sent.text("text")
    act = place_reasons.note_reason(session, place, text, sent.act())
    return go_to(PLACE, name=place, did=act)


@router.get(PLACE, response_class=HTMLResponse)
def place(
    request: Request,
    session: Kitchen,
    name: str = "",
    *,
    at: str = "",
    did: str = "",
    span: str = "day",
) -> Response:
    """One place: how it stands, what is in it, its readings and their figure."""
    if not name:
        return go_to(LIST)
    one, zone = temp_page.place_now(session, name), session.kitchen.zone
    since = one.since if one.is_beyond and one.since else session.now - LOOK_BACK
    page = render(
        request,
        "place.html",
        one=one,
        says=standing_line(one, session),
        inside=[(x.container, listed_words(x)) for x in _over_first(one)],
        over={x.container.code for x in one.over},
        limit=limit_words(one.limit, session.kitchen.units),
        reasons=place_reasons.reasons_since(session, name, since),
        readings=temp_page.readings_of(session, name, SPANS["week"]),
        told=_told(session, name, at),
        did=did,
        span=span if span in SPANS else "day",
        zone=zone,
        **_shared(session),
    )
    return HTMLResponse(page)


@router.get(f"{LIST}/drawing.svg")
def drawing(session: Kitchen, name: str, span: str = "day") -> Response:
    """What a place did in a day or a week, drawn."""
    with DRAWING:
        drawn = place_drawing(session, name, SPANS.get(span, SPANS["day"]))
    return Response(drawn, media_type="image/svg+xml")


def _over_first(one: temp_page.PlaceNow) -> list[Listed]:
    return sorted(one.inside, key=lambda x: x.status != "over")


def _told(session: Session, name: str, at: str) -> temp_page.NotedReading | None:
    """The reading of that moment, as long as it was not struck."""
    if not (name and at):
        return None
    moment = read_iso(at, session.kitchen.zone)
    found = temp_page.readings_of(session, name, SPANS["week"])
    return next((x for x in found if x.at == moment and x.temp_c is not None), None)


def _shared(session: Session) -> dict[str, object]:
    units = session.kitchen.units
    return {
        "kitchen": session.kitchen,
        "units": units,
        "degrees": "°F" if units == "us" else "°C",
        "temp": lambda temp_c: say_temp(temp_c, units),
        "now": local_text(session, session.now),
        "instant": session.now,
    }
