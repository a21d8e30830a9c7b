"""What went into what, and where it went."""

from __future__ import annotations

from typing import Annotated, Literal

from fastapi import APIRouter, Query, Request
from fastapi.responses import JSONResponse
from starlette.concurrency import run_in_threadpool

from lidclock.app import deeds, slip
from lidclock.app import trace as app
from lidclock.app.trace_page import trace_json
from lidclock.web.api import trace_models as models
from lidclock.web.api.bodies import read_as
from lidclock.web.api.parts import PREFIX, body_of, errors, get
from lidclock.web.pages.parts import Kitchen

router = APIRouter(prefix=PREFIX, tags=["trace"])
Many = Annotated[list[str], Query()]
_BOTH = (app.BACK, app.FORWARD)


@get(router, "/trace", models.Trace, 404, 422)
def trace(
    session: Kitchen,
    code: Many = [],  # noqa: B006 - never changed
    lot: Many = [],  # noqa: B006 - never changed
    batch: Annotated[list[str], Query(description="numbers or ids")] = [],  # noqa: B006
    way: Annotated[
        Literal["both", "back", "forward"], Query(description="where to")
    ] = "both",
) -> JSONResponse:
    """Containers, lots and batches, back to what went in and forward to where it went.

    Each may come several times. What nobody recorded is null.
    """
    ways = _BOTH if way == "both" else (way,)
    question = app.Question(tuple(code), tuple(lot), tuple(batch), ways)
    return JSONResponse(trace_json(app.trace(session, question), session))


@get(router, "/slip", list[models.HandedOn], 404, 422)
def handed_on(
    session: Kitchen,
    code: Annotated[list[str], Query()],
) -> JSONResponse:
    """What a slip says of each container, and why it may not be handed on."""
    found = slip.handed(session, code)
    return JSONResponse([slip.handed_json(one, session) for one in found])


@router.post(
    "/containers/{code}/allergens",
    response_model=None,
    responses={
        200: {"model": models.AllergensCorrected},
        **errors(400, 404, 408, 409, 413, 415, 422),
    },
    openapi_extra=body_of(models.RealAllergens),
)
async def correct_allergens(
    code: str, request: Request, session: Kitchen
) -> JSONResponse:
    """Say what is really in it; which live lids say other allergens by now."""
    given = await read_as(models.RealAllergens, request)
    done = await run_in_threadpool(
        deeds.correct_allergens,
        *(session, code, ", ".join(given.allergens)),
        has_none=not given.allergens,
    )
    return JSONResponse(
        {"act": done.act, "labels_to_print": [view.code for view in done.labels]}
    )
