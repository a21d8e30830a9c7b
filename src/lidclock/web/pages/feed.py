"""The calendar's address: made, made anew, ended; on the page of the kitchen."""

from __future__ import annotations

from fastapi import Request, Response
from fastapi.responses import HTMLResponse
from markupsafe import Markup

from lidclock.app.feed import FEED_PATH, make_feed, revoke_feed
from lidclock.app.serving import qr_as_svg
from lidclock.web.fields import Sent
from lidclock.web.forms import FromOurPage
from lidclock.web.pages.kitchen import kitchen_page
from lidclock.web.pages.parts import Kitchen, Pages, address_of, go_to
from lidclock.web.words import language_of, marked, translate

router = Pages()
PATH = "/kitchen/calendar"
SYMBOL = marked("QR code of the calendar's address")


@router.post(PATH, dependencies=[FromOurPage], response_class=HTMLResponse)
def feed(request: Request, session: Kitchen, sent: Sent) -> Response:
    """Make an address, told in this answer alone, or end the one there is."""
    if sent.text("do") == "end":
        revoke_feed(session)
        return go_to("/kitchen", saved="yes")
    address = f"{address_of(request)}{FEED_PATH}{make_feed(session)}"
    says = translate(language_of(request))(SYMBOL)
    symbol = Markup(qr_as_svg(address, says))
    page = kitchen_page(request, session, feed_address=address, feed_symbol=symbol)
    return HTMLResponse(page, headers={"Cache-Control": "no-store"})
