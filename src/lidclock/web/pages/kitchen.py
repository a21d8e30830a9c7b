"""The kitchen: its places, hours and costs, printers and stock."""

from __future__ import annotations

from fastapi import Request, Response
from fastapi.responses import HTMLResponse

from lidclock.app import kitchen_edits as app
from lidclock.app import printing
from lidclock.app.feed import feed_since
from lidclock.app.session import Session
from lidclock.domain.kitchens import STATES
from lidclock.errors import EditClashError
from lidclock.web.fields import Sent
from lidclock.web.forms import FromOurPage
from lidclock.web.pages.parts import Kitchen, Pages, go_to, is_loopback
from lidclock.web.render import render

router = Pages()


@router.get("/kitchen", response_class=HTMLResponse)
def kitchen(request: Request, session: Kitchen, saved: str = "") -> str:
    """What this kitchen is, and what it chose."""
    return kitchen_page(request, session, saved=saved)


@router.post("/kitchen", dependencies=[FromOurPage], response_class=HTMLResponse)
def save(request: Request, session: Kitchen, sent: Sent) -> Response:
    """Save what was typed, unless somebody else changed it meanwhile."""
    fields = app.settings_of(session)
    typed = {name: sent.text(name) for name in fields}
    try:
        was = {name: sent.text(f"was_{name}") for name in fields}
        app.change_settings(session, typed, was)
    except EditClashError as error:
        page = kitchen_page(request, session, fields=fields, typed=typed, clash=error)
        return HTMLResponse(page, 409)
    return go_to("/kitchen", saved="yes")


@router.post("/kitchen/places", dependencies=[FromOurPage], response_class=HTMLResponse)
def places(request: Request, session: Kitchen, sent: Sent) -> Response:
    """Add a place, or move one up."""
    shown, up = sent.text("shown"), sent.text("up")
    try:
        if up:
            app.order_places(session, _moved_up(session, up), shown)
        else:
            app.add_place(session, sent.text("name"), sent.text("state"), shown)
    except EditClashError as error:
        # Another request of this kind may have come between: show how it is now.
        again: Session = request.app.state.house.session()
        page = kitchen_page(request, again, clash=error, place=sent.text("name"))
        return HTMLResponse(page, 409)
    return go_to("/kitchen", saved="yes")


def _moved_up(session: Session, name: str) -> list[str]:
    names = [place.name for place in session.places]
    at = names.index(session.place(name).name)
    names.insert(max(0, at - 1), names.pop(at))
    return names


def kitchen_page(
    request: Request,
    session: Session,
    *,
    fields: dict[str, str] | None = None,
    typed: dict[str, str] | None = None,
    clash: EditClashError | None = None,
    saved: str = "",
    place: str = "",
    feed_address: str = "",
    feed_symbol: str = "",
) -> str:
    """The page as the kitchen is now; the calendar's address only right after it."""
    now = fields or app.settings_of(session)
    return render(
        request,
        "kitchen.html",
        kitchen=session.kitchen,
        guidance=session.guidance,
        places=session.places,
        shown=app.places_shown(session),
        states=STATES,
        fields=now,
        typed=typed or now,
        clash=clash,
        saved=saved,
        place=place,
        printers=printing.known_printers(session),
        feed_since=feed_since(session),
        feed_address=feed_address,
        feed_symbol=feed_symbol,
        is_alone=is_loopback(feed_address),
        zone=session.kitchen.zone,
    )
