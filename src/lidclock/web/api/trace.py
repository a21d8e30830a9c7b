"""What went into what, and where it went."""

from __future__ import annotations

from typing import Annotated, Literal

from fastapi import APIRouter, Query
from fastapi.responses import JSONResponse

from lidclock.app import slip
from lidclock.app import trace as app
from lidclock.app.trace_page import trace_json
from lidclock.web.api import trace_models as models
from lidclock.web.api.parts import PREFIX, get
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
