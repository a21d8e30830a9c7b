"""What devices recorded on their own, sent when they are back."""

from __future__ import annotations

import json
from typing import Any

from fastapi import APIRouter, HTTPException, Request, Response

from lidclock.app.device_events import read_sent_at
from lidclock.app.parcels import MOST_EVENTS, Parcel, clock_remark
from lidclock.web.api import models
from lidclock.web.api.bodies import read_json
from lidclock.web.api.parts import PREFIX, body_of, errors, sender_of
from lidclock.web.api.quick import Quick
from lidclock.web.sentences import speak_all
from lidclock.web.words import language_of

router = APIRouter(prefix=PREFIX, tags=["events"], route_class=Quick)
# A long day without a signal: ten thousand events of some 200 bytes.
MOST_BYTES = 4 * 2**20


@router.post(
    "/events",
    response_model=None,
    responses={
        200: {"model": models.Results},
        **errors(400, 408, 413, 415, 422),
    },
    openapi_extra=body_of(models.Sent),
)
async def receive(request: Request) -> Response:
    """Record what a device kept. Each event is recorded once, however often it comes.

    The answer comes after everything in it is on disk. An odd fact is recorded and
    told; what cannot be a fact here is refused with words, and the rest goes on. What
    it says is in the language that is asked for.
    """
    sent = _checked(await read_json(request, MOST_BYTES))
    off = read_sent_at(sent.get("sent_at")) - request.app.state.house.clock()
    parcel = Parcel(sent["events"], *sender_of(request))
    results = await request.app.state.writer.record(parcel)
    answer = {
        "results": [one.as_dict() for one in results],
        "clock_off_s": round(off.total_seconds(), 3),
        "says": clock_remark(off),
    }
    told = speak_all(language_of(request), answer)
    return Response(json.dumps(told), media_type="application/json")


def _checked(sent: Any) -> dict[str, Any]:
    if not isinstance(sent, dict) or not isinstance(sent.get("events"), list):
        raise HTTPException(422, 'send {"events": [...], "sent_at": TIME}')
    if len(sent["events"]) > MOST_EVENTS:
        raise HTTPException(413, f"send at most {MOST_EVENTS} events at once")
    return sent
