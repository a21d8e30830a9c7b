"""The kitchen's calendar, for calendar programs that know its secret."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Query, Response

from lidclock.app.feed import feed_of
from lidclock.web.api.parts import errors
from lidclock.web.pages.parts import Kitchen

router = APIRouter(tags=["calendar"])
_KIND = "text/calendar"


@router.get(
    "/calendar.ics",
    response_model=None,
    response_class=Response,
    responses={
        200: {
            "content": {_KIND: {"schema": {"type": "string"}}},
            "description": "last days, what thaws, meals (RFC 5545)",
        },
        **errors(404, 422),
    },
)
@router.head("/calendar.ics", include_in_schema=False)
def calendar(session: Kitchen, token: Annotated[str, Query()] = "") -> Response:
    """The calendar as it is now; 404 without the secret that the kitchen gave."""
    headers = {
        "Cache-Control": "private, no-store",
        "Content-Disposition": 'inline; filename="kitchen.ics"',
    }
    return Response(feed_of(session, token), media_type=_KIND, headers=headers)
