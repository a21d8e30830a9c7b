"""Telling every open page that something was recorded, within a second.

Server-sent events (WHATWG HTML, section 9.2). One poller asks the database for all
listeners of this process, since the command line and other processes write as well. It
also asks whether they may listen still: who was revoked hears nothing more.
"""

from __future__ import annotations

import asyncio
import json
from collections.abc import AsyncIterator

from fastapi import APIRouter, HTTPException, Request, Response
from fastapi.responses import StreamingResponse
from starlette.concurrency import run_in_threadpool

from lidclock.app.changes import latest_position
from lidclock.app.visits import still_here
from lidclock.domain.people import Visitor
from lidclock.errors import StoreError
from lidclock.web.api.parts import PREFIX, errors
from lidclock.web.house import House
from lidclock.web.people import Person, source_of

router = APIRouter(prefix=PREFIX, tags=["changes"])
POLL_S = 0.25
# Whoever may not listen any more is cut off after so long.
ASK_S = 2.0
# Proxies and phones drop a line on which nothing is said for a minute.
KEEP_ALIVE_S = 15.0
MOST_LISTENERS, MOST_OF_ONE = 100, 20
_RETRY_MS = 2000
_KIND = "text/event-stream"


class Changes:
    """The latest position of the ledger, and who wants to hear of it."""

    def __init__(self, house: House, keep_alive_s: float = KEEP_ALIVE_S) -> None:
        self._house = house
        self._keep_alive_s = keep_alive_s
        self._position = 0
        self._listeners: dict[asyncio.Event, tuple[Visitor, str]] = {}
        self._gone: set[Visitor] = set()
        self._poller: asyncio.Task[None] | None = None
        self._is_closed = False

    @property
    def count(self) -> int:
        """How many listen."""
        return len(self._listeners)

    def is_full(self, who: str) -> bool:
        """Whether as many listen as may, or this one does with all the pages it may."""
        own = sum(one == who for _, one in self._listeners.values())
        is_at_most = self.count >= MOST_LISTENERS or own >= MOST_OF_ONE
        return self._is_closed or is_at_most

    def close(self) -> None:
        """End every stream: the server stops."""
        self._is_closed = True
        self._wake()

    async def listen(self, visitor: Visitor, who: str) -> AsyncIterator[str]:
        """What one listener hears: where the ledger stands, and each time it grew.

        It ends when the visit does. `who` is whose pages are counted together.
        """
        heard, told = asyncio.Event(), -1
        self._listeners[heard] = visitor, who
        try:
            await self._look()
            if self._poller is None or self._poller.done():
                self._poller = asyncio.create_task(self._poll())
            yield f"retry: {_RETRY_MS}\n\n"
            while not self._is_closed and visitor not in self._gone:
                if told != self._position:
                    told = self._position
                    data = json.dumps({"position": told})
                    yield f"id: {told}\nevent: change\ndata: {data}\n\n"
                if not await self._hears(heard):
                    yield ": still here\n\n"
        finally:
            del self._listeners[heard]

    async def _hears(self, heard: asyncio.Event) -> bool:
        """Wait for news; False if there was none for a while."""
        try:
            async with asyncio.timeout(self._keep_alive_s):
                await heard.wait()
        except TimeoutError:
            return False
        heard.clear()
        return True

    async def _poll(self) -> None:
        since_s = 0.0
        while self._listeners and not self._is_closed:
            await asyncio.sleep(POLL_S)
            since_s += POLL_S
            await self._look()
            if since_s >= ASK_S:
                since_s = 0.0
                await self._ask()

    async def _ask(self) -> None:
        """Who of the listeners may not listen any more, is told nothing from now on."""
        visitors = {one for one, _ in self._listeners.values()}
        try:
            here = await run_in_threadpool(self._here, visitors)
        except StoreError:
            return
        # Who was let in meanwhile was not asked about.
        self._gone = visitors - here
        if self._gone:
            self._wake()

    def _here(self, visitors: set[Visitor]) -> set[Visitor]:
        return still_here(self._house.session(), visitors)

    async def _look(self) -> None:
        try:
            position = await run_in_threadpool(latest_position, self._house.database)
        except StoreError:
            return  # whoever records or looks is told; the next time may be better
        if position != self._position:
            self._position = position
            self._wake()

    def _wake(self) -> None:
        for heard in self._listeners:
            heard.set()


@router.get(
    "/changes",
    response_class=StreamingResponse,
    response_model=None,
    responses={
        200: {
            "content": {_KIND: {"schema": {"type": "string"}}},
            "description": "`change` events, each with the ledger's latest position",
        },
        **errors(429),
    },
)
@router.head("/changes", include_in_schema=False)
async def changes(request: Request, person: Person) -> Response:
    """Server-sent events: one `change` at once, then one each time the ledger grew.

    `data` is `{"position": NUMBER}`. Load again what you show when it differs.
    """
    headers = {"Cache-Control": "no-store", "X-Accel-Buffering": "no"}
    if request.method == "HEAD":
        return Response(media_type=_KIND, headers=headers)
    open_changes: Changes = request.app.state.changes
    who = person.visit or person.device_id or source_of(request)
    if open_changes.is_full(who):
        raise HTTPException(429, "too many pages listen already: close some")
    stream = open_changes.listen(person, who)
    return StreamingResponse(stream, media_type=_KIND, headers=headers)
