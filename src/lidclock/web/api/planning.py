"""How many to prepare for one occasion, how it came out, and an order form."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Query, Request
from fastapi.responses import JSONResponse
from starlette.concurrency import run_in_threadpool

from lidclock.app import occasions as app
from lidclock.app.occasion_answer import Question, ask, read_before
from lidclock.app.occasion_json import answer_json, history_json, recorded_json
from lidclock.app.order_form import asked_of, order_form, read_pair
from lidclock.app.order_page import order_json
from lidclock.app.session import Session
from lidclock.web.api import plan_models as models
from lidclock.web.api.bodies import read_as
from lidclock.web.api.count_models import Nothing
from lidclock.web.api.parts import PREFIX, body_of, errors, get
from lidclock.web.pages.parts import Kitchen

router = APIRouter(prefix=PREFIX, tags=["plan"])
_REFUSALS = errors(400, 404, 408, 409, 413, 415, 422)


@get(router, "/occasions", list[models.History], 404, 422)
def occasions(
    session: Kitchen,
    name: Annotated[str, Query(description="one occasion only")] = "",
) -> JSONResponse:
    """What is on record of each occasion; the latest first."""
    found = [app.find_history(session, name)] if name else app.histories(session)
    return JSONResponse([history_json(one) for one in found])


@get(router, "/occasions/amount", models.Amount, 404, 422)
def amount(
    session: Kitchen,
    *,
    name: Annotated[str, Query(description="go by what is on record of it")] = "",
    eaters: Annotated[float | None, Query(description="or so many expected")] = None,
    spread: Annotated[float | None, Query(description="standard deviation")] = None,
    before: Annotated[
        str, Query(description="or so many came before, such as 112,105")
    ] = "",
    short: Annotated[float | None, Query(description="a missing portion costs")] = None,
    worth: Annotated[float | None, Query(description="a wasted portion costs")] = None,
    service: Annotated[float | None, Query(description="how sure, 0.95")] = None,
    on_hand: Annotated[int, Query(description="portions there already")] = 0,
) -> JSONResponse:
    """How many portions to prepare, and why."""
    question = Question(
        *(name, eaters, spread, read_before(before)),
        *(short, worth, service, on_hand),
    )
    found, _ = ask(session, question)
    return JSONResponse(answer_json(found))


@router.post(
    "/occasions",
    response_model=None,
    responses={200: {"model": models.Told}, **_REFUSALS},
    openapi_extra=body_of(models.Outcome),
)
async def tell(request: Request, session: Kitchen) -> JSONResponse:
    """Record how an occasion came out: the next time goes by it too."""
    given = await read_as(models.Outcome, request)
    return JSONResponse(await run_in_threadpool(_told, session, given))


def _told(session: Session, given: models.Outcome) -> dict[str, Any]:
    told = app.Told(
        *(given.name, given.came, given.on, given.expected),
        made=given.made,
        wasted=given.wasted,
    )
    return recorded_json(app.tell(session, told))


@router.post(
    "/occasions/{act}/undo",
    response_model=None,
    responses={200: {"model": models.History}, **_REFUSALS},
    openapi_extra=body_of(Nothing),
)
async def undo(act: str, request: Request, session: Kitchen) -> JSONResponse:
    """Take back what was recorded of an occasion; what was said before holds again."""
    await read_as(Nothing, request)
    found = await run_in_threadpool(app.take_back, session, act)
    return JSONResponse(history_json(found))


@get(router, "/order", models.OrderForm, 404, 422)
def order(
    session: Kitchen,
    *,
    lead: Annotated[str, Query(description="days until it comes")] = "0",
    review: Annotated[str, Query(description="days until the next order")] = "1",
    item: Annotated[
        list[str] | None, Query(description="name and use a day: flatbread=10")
    ] = None,
    have: Annotated[
        list[str] | None, Query(description="on hand: flatbread=28, beans=2kg")
    ] = None,
    recipe: Annotated[str, Query(description="and what this recipe takes")] = "",
    daily: Annotated[str, Query(description="portions of it a day")] = "",
    once: Annotated[str, Query(description="portions for one occasion")] = "",
    portion: Annotated[str, Query(description="of each, such as 230g")] = "",
) -> JSONResponse:
    """What to order: (lead + review) x use a day, less what is on hand."""
    asked = asked_of(
        [read_pair(one) for one in item or ()],
        [read_pair(one) for one in have or ()],
        **{"lead": lead, "review": review, "recipe": recipe},
        **{"daily": daily, "once": once, "portion": portion},
    )
    return JSONResponse(order_json(order_form(session, asked), session))
