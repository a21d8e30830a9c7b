"""Alerts, and who sees to each."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import JSONResponse
from starlette.concurrency import run_in_threadpool

from lidclock.app.alert_answers import answer_alert
from lidclock.app.alerts_page import alerts_now, line_facts, line_of
from lidclock.app.session import Session
from lidclock.web.api import models
from lidclock.web.api.bodies import read_as
from lidclock.web.api.parts import PREFIX, body_of, errors, get
from lidclock.web.pages.parts import Kitchen

router = APIRouter(prefix=PREFIX, tags=["alerts"])


@get(router, "/alerts", list[models.Alert])
def alerts(session: Kitchen) -> JSONResponse:
    """What needs somebody now, the most urgent first; what was answered comes last."""
    return JSONResponse([line_facts(session, one) for one in alerts_now(session)])


@router.post(
    "/alerts",
    response_model=None,
    responses={
        200: {"model": models.Alert},
        **errors(400, 408, 409, 413, 415, 422),
    },
    openapi_extra=body_of(models.AlertAnswer),
)
async def answer(request: Request, session: Kitchen) -> JSONResponse:
    """Say that an alert is seen to, or that you will see to it; twice counts once."""
    given = await read_as(models.AlertAnswer, request)
    return JSONResponse(await run_in_threadpool(_say, session, given))


def _say(session: Session, given: models.AlertAnswer) -> dict[str, object]:
    found = answer_alert(session, given.key, given.answer)
    return line_facts(session, line_of(session, found))
