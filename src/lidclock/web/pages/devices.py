"""Pairing devices, taking them back, and trusting the page's certificate."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Form, HTTPException, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from markupsafe import Markup
from pydantic import BaseModel, Field

from lidclock.app import pairing
from lidclock.app.certificates import authority_for_phones
from lidclock.app.pairing import Knock, Offer
from lidclock.app.people import list_people
from lidclock.app.serving import LOOPBACK, qr_as_svg
from lidclock.domain.people import HELPER, KIOSK
from lidclock.errors import LidclockError
from lidclock.web.answers import says_of, told
from lidclock.web.api.parts import errors
from lidclock.web.forms import FromOurPage
from lidclock.web.pages.parts import Kitchen, Pages, address_of, is_loopback
from lidclock.web.people import Person, let_in, source_of
from lidclock.web.render import render
from lidclock.web.words import marked

router = APIRouter()
pages = Pages()
Text = Annotated[str, Form()]
_SHARED, _WALL = "shared", "wall"


@pages.get("/devices", response_class=HTMLResponse)
def devices_page(request: Request, session: Kitchen) -> str:
    """What is paired, since when, and when it was last here."""
    return _page(request, session)


@pages.post("/devices/offer", dependencies=[FromOurPage])
def offer(
    request: Request, session: Kitchen, person: Person, whose: Text = _SHARED
) -> Response:
    """Show a pairing for the next ten minutes: a person's id, shared, or wall."""
    role = KIOSK if whose == _WALL else HELPER
    owner = "" if whose in (_SHARED, _WALL) else whose
    try:
        made = pairing.offer_pairing(session, role, owner, by=person.handle)
    except LidclockError as error:
        return told(error, _page(request, session, problem=says_of(error)))
    return HTMLResponse(_page(request, session, offer=made))


@pages.post("/devices/revoke", dependencies=[FromOurPage])
def revoke(request: Request, session: Kitchen, id: Text = "") -> Response:
    """Forget a device."""
    try:
        pairing.revoke(session, id)
    except LidclockError as error:
        return told(error, _page(request, session, problem=says_of(error)))
    return RedirectResponse("/devices", status_code=303)


@pages.get("/pair", response_class=HTMLResponse)
def pair_page(request: Request) -> str:
    """Where the code leads: the secret is behind the #, which no server sees."""
    return render(request, "pair.html", problem="")


@pages.post("/pair", dependencies=[FromOurPage])
def pair(
    request: Request, session: Kitchen, secret: Text = "", name: Text = ""
) -> Response:
    """Pair this browser."""
    knock = Knock(secret, name, source_of(request))
    try:
        entry = pairing.pair_browser(session, knock)
    except LidclockError as error:
        return told(error, render(request, "pair.html", problem=says_of(error)))
    answer = RedirectResponse("/", status_code=303)
    let_in(request, answer, entry)
    return answer


class PairWish(BaseModel):
    """What a program sends to be paired."""

    secret: str = Field(max_length=64, examples=["abcd-efgh-ijkl-mnop"])
    name: str = Field(default="", max_length=64, examples=["scale by the sink"])


class Paired(BaseModel):
    """The token to bear from now on; it is told this once."""

    token: str


@router.post(
    "/api/v1/pair",
    status_code=201,
    responses=errors(400, 408, 413, 422, 429),
)
def pair_program(request: Request, session: Kitchen, wish: PairWish) -> Paired:
    """Pair a program by a secret that an owner's page showed."""
    knock = Knock(wish.secret, wish.name, source_of(request))
    return Paired(token=pairing.pair_program(session, knock))


@pages.get("/trust", response_class=HTMLResponse)
def trust_page(request: Request) -> str:
    """How a phone is told to trust this page, or what works without."""
    found = request.app.state.settings.certificates
    is_secure = request.url.scheme == "https" or request.url.hostname in LOOPBACK
    values = {"certificates": found, "is_secure": is_secure}
    return render(request, "trust.html", **values)


@pages.get("/trust/authority.crt")
def authority(request: Request) -> Response:
    """The authority's certificate; its key stays where it is."""
    found = request.app.state.settings.certificates
    if found is None:
        raise HTTPException(
            404, marked("There is no certificate: this is served without encryption.")
        )
    return Response(
        authority_for_phones(found.authority),
        media_type="application/x-x509-ca-cert",
        headers={"Content-Disposition": 'attachment; filename="lidclock.crt"'},
    )


def _page(
    request: Request,
    session: Kitchen,
    *,
    offer: Offer | None = None,
    problem: str = "",
) -> str:
    zone = session.kitchen.zone
    people = list_people(session)
    address = f"{address_of(request)}/pair"
    says = "QR code that pairs a device"
    return render(
        request,
        "devices.html",
        devices=pairing.list_devices(session),
        handles={one.id: one.handle for one in people},
        people=people,
        offer=offer,
        symbol=Markup(qr_as_svg(f"{address}#{offer.secret}", says)) if offer else "",
        address=address,
        is_alone=is_loopback(address),
        zone=zone,
        problem=problem,
    )
