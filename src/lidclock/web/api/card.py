"""The card, and what is said to it."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import JSONResponse
from starlette.concurrency import run_in_threadpool

from lidclock.app.answers import Said, accept, decline, put_off
from lidclock.app.card_json import card_now
from lidclock.app.instants import local
from lidclock.app.scanning import done_line
from lidclock.app.session import Session
from lidclock.domain.advice import without_commands
from lidclock.web.api import models
from lidclock.web.api.bodies import read_as
from lidclock.web.api.parts import PREFIX, body_of, errors, get
from lidclock.web.pages.parts import Kitchen

router = APIRouter(prefix=PREFIX, tags=["card"])


@get(router, "/card", models.Card)
def card(session: Kitchen) -> JSONResponse:
    """What to do next: a handful of proposals, and what was agreed."""
    return JSONResponse(card_now(session))


@router.post(
    "/card",
    response_model=None,
    responses={
        200: {"model": models.Answered},
        **errors(400, 404, 408, 409, 413, 415, 422),
    },
    openapi_extra=body_of(models.Answer),
)
async def answer(request: Request, session: Kitchen) -> JSONResponse:
    """Accept a proposal, decline it, or put it off to the next card."""
    given = await read_as(models.Answer, request)
    return JSONResponse(await run_in_threadpool(_say, session, given))


def _say(session: Session, given: models.Answer) -> dict[str, object]:
    said = _answered(session, given)
    return {
        "key": said.proposal.key,
        "answer": said.answer,
        "done": [without_commands(done_line(one)) for one in said.done],
        "agreed": [one.says for one in said.agreed],
        "until": local(said.until, session.kitchen.zone),
    }


def _answered(session: Session, given: models.Answer) -> Said:
    if given.answer == "accept":
        return accept(session, given.key, to=given.text)
    if given.answer == "decline":
        return decline(session, given.key, given.text)
    return put_off(session, given.key)
