"""What became of what was made."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Query
from fastapi.responses import JSONResponse

from lidclock.app.waste import waste_report
from lidclock.app.waste_json import report_json
from lidclock.domain.moments import read_iso_day
from lidclock.web.api import count_models as models
from lidclock.web.api.parts import PREFIX, get
from lidclock.web.pages.parts import Kitchen

router = APIRouter(prefix=PREFIX, tags=["report"])


@get(router, "/report", models.Report, 404, 422)
def report(
    session: Kitchen,
    since: Annotated[str, Query(alias="from", description="the first day")] = "",
    until: Annotated[str, Query(description="the last day, included")] = "",
    food: Annotated[str, Query(description="one food only")] = "",
) -> JSONResponse:
    """Made, eaten, handed on, wasted by cause, still there; by default of 28 days."""
    found = waste_report(
        session,
        since=read_iso_day(since) if since else None,
        until=read_iso_day(until) if until else None,
        food=food or None,
    )
    return JSONResponse(report_json(found, session))
