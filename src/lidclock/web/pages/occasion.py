"""One occasion: how many to prepare, and afterwards how it came out."""

from __future__ import annotations

from fastapi import Request, Response
from fastapi.responses import HTMLResponse

from lidclock.app.occasion_page import ASKED, OccasionPage, occasion_page, read_told
from lidclock.app.occasions import tell
from lidclock.app.session import Session
from lidclock.domain.moments import local_date
from lidclock.errors import InputError
from lidclock.web.answers import says_of, told
from lidclock.web.fields import Sent
from lidclock.web.forms import FromOurPage
from lidclock.web.pages.parts import Kitchen, Pages, go_to
from lidclock.web.render import render

router = Pages()
PATH = "/plan/occasion"
_TOLD = ("name", "on", "came", "expected", "made", "wasted")


@router.get(PATH, response_class=HTMLResponse)
def occasion(request: Request, session: Kitchen, did: str = "") -> Response:
    """How many to prepare for what is asked, and what is on record of it."""
    asked = {x: y for x, y in request.query_params.items() if x in ASKED}
    found = occasion_page(session, asked, did)
    page = _page(request, session, found, _expected(session, found))
    return HTMLResponse(page, 422 if found.fault else 200)


@router.post(PATH, dependencies=[FromOurPage])
def record(request: Request, session: Kitchen, sent: Sent) -> Response:
    """Record how it came out; what cannot be is told with all that was typed."""
    typed = {name: sent.text(name) for name in _TOLD}
    costs = {name: sent.text(name) for name in ("short", "worth")}
    try:
        done = tell(session, read_told(typed))
    except InputError as error:
        found = occasion_page(session, {"name": typed["name"]})
        page = _page(request, session, found, {**typed, **costs}, says_of(error))
        return told(error, page)
    return go_to(PATH, name=done.occasion.name, did=done.act, **costs)


def _expected(session: Session, found: OccasionPage) -> dict[str, str]:
    """What stands in the fields for afterwards: today, and what was just worked out."""
    asked = found.typed
    fields = dict.fromkeys(_TOLD, "")
    fields |= {name: asked[name] for name in ("name", "short", "worth")}
    fields["on"] = local_date(session.now, session.kitchen.zone).isoformat()
    if found.answer is not None and found.done is None:
        one = found.answer.found
        fields["expected"] = f"{round(one.asked.eaters, 1):g}"
        fields["made"] = str(one.portions)
    return fields


def _page(
    request: Request,
    session: Session,
    found: OccasionPage,
    after: dict[str, str],
    refused: str = "",
) -> str:
    return render(
        request,
        "occasion.html",
        found=found,
        after=after,
        refused=refused,
        today=local_date(session.now, session.kitchen.zone),
        kitchen=session.kitchen,
    )
