"""One writer for all: what has arrived meanwhile shares one transaction.

A commit waits for the disk, and folding a container again costs most of a scan. While
one transaction is under way others wait, and all that wait are recorded together. Each
is answered after the commit: nothing that was acknowledged can be lost.
"""

from __future__ import annotations

import asyncio
from collections.abc import Sequence

from starlette.concurrency import run_in_threadpool

from lidclock.app.devices import take_in
from lidclock.app.parcels import CHUNK, Parcel, Result, portions, rejoined
from lidclock.errors import EventConflictError, StoreError
from lidclock.web.house import House

# Where several send at once, so long is waited for the others: what they share is
# worth more. Who sends alone never waits.
GATHER_S = 0.001
_Waiting = tuple[Parcel, "asyncio.Future[list[Result]]"]


class Writer:
    """Records for every request of one process; made anew with each server."""

    def __init__(self, house: House) -> None:
        self._house = house
        self._waiting: list[_Waiting] = []
        self._running: asyncio.Task[None] | None = None

    async def record(self, parcel: Parcel) -> list[Result]:
        """The results of one device's events, once they are on disk.

        Many events are several transactions, so that others get their turn between.
        """
        return rejoined(
            [(numbers, await self._put(some)) for numbers, some in portions(parcel)]
        )

    async def _put(self, parcel: Parcel) -> list[Result]:
        answer: asyncio.Future[list[Result]] = asyncio.Future()
        self._waiting.append((parcel, answer))
        if self._running is None or self._running.done():
            self._running = asyncio.create_task(self._run())
        return await answer

    async def _run(self) -> None:
        is_busy = False
        while self._waiting:
            if is_busy:
                await asyncio.sleep(GATHER_S)
            group = self._next_group()
            is_busy = len(group) > 1 or bool(self._waiting)
            try:
                results = await run_in_threadpool(self._take_in, [x for x, _ in group])
            except Exception as error:
                if _is_of_database(error):  # then each alone would wait for it too
                    _fail(group, error)
                else:
                    await self._one_by_one(group, error)
            else:
                _answer(group, results)

    def _next_group(self) -> list[_Waiting]:
        """As many as fit one transaction, in the order in which they came."""
        group, count = [self._waiting[0]], len(self._waiting[0][0].events)
        for one in self._waiting[1:]:
            count += len(one[0].events)
            if count > CHUNK:
                break
            group.append(one)
        del self._waiting[: len(group)]
        return group

    def _take_in(self, parcels: Sequence[Parcel]) -> list[list[Result]]:
        return take_in(self._house.session(), parcels)

    async def _one_by_one(self, group: list[_Waiting], error: Exception) -> None:
        """What fails in one request must not fail the others."""
        if len(group) == 1:
            return _fail(group, error)
        for one in group:
            try:
                results = await run_in_threadpool(self._take_in, [one[0]])
            except Exception as found:
                _fail([one], found)
            else:
                _answer([one], results)
        return None


def _is_of_database(error: Exception) -> bool:
    """Whether it is locked, full or gone, and no fault of what was sent."""
    return isinstance(error, StoreError) and not isinstance(error, EventConflictError)


def _answer(group: list[_Waiting], results: list[list[Result]]) -> None:
    for (_, answer), found in zip(group, results, strict=True):
        if not answer.done():  # whoever asked may have gone
            answer.set_result(found)


def _fail(group: list[_Waiting], error: Exception) -> None:
    for _, answer in group:
        if not answer.done():
            answer.set_exception(error)
