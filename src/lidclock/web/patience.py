"""How long a line may say nothing, and how many lines one visitor may hold open.

Nobody is known yet who opens a line, and each takes one of the few that the system
gives a process: often 1,024.
"""

from __future__ import annotations

import asyncio
from typing import Any

from lidclock.web.people import network_of

# What asks for a page is sent at once (a bound of our own).
LONGEST_HEAD_S = 20.0
# A browser opens six for each host (common practice, no source); a family of devices
# behind one address, some more.
MOST_LINES = 64
# Another server in front sends everything from here.
_OURSELVES = ("127.0.0.1", "::/64")


class Patience:
    """Goes before a protocol of uvicorn, and ends lines that only wait.

    It knows of it what its two protocols share: `cycle`, `connections`, `client`.
    """

    _timer: asyncio.TimerHandle | None = None

    def connection_made(self: Any, transport: asyncio.Transport) -> None:
        """Take a new line, unless its visitor has enough of them."""
        super().connection_made(transport)  # type: ignore[misc]
        source = _source_of(self)
        lines = sum(_source_of(one) == source for one in self.connections)
        if lines > MOST_LINES and source not in _OURSELVES:
            transport.abort()
            return
        self._wait()

    def data_received(self: Any, data: bytes) -> None:
        """Take in what came; what has begun is no longer waited for."""
        super().data_received(data)  # type: ignore[misc]
        if self._is_under_way():
            self._stop_waiting()
        elif self._timer is None:
            self._wait()

    def connection_lost(self: Any, exc: Exception | None) -> None:
        """The line is gone."""
        self._stop_waiting()
        super().connection_lost(exc)  # type: ignore[misc]

    def _is_under_way(self: Any) -> bool:
        return self.cycle is not None and not self.cycle.response_complete

    def _wait(self: Any) -> None:
        loop = asyncio.get_running_loop()
        self._timer = loop.call_later(LONGEST_HEAD_S, self._end)

    def _stop_waiting(self) -> None:
        if self._timer is not None:
            self._timer.cancel()
            self._timer = None

    def _end(self: Any) -> None:
        self._timer = None
        if not self._is_under_way() and not self.transport.is_closing():
            self.transport.abort()


def _source_of(line: Any) -> str:
    return network_of(line.client[0] if line.client else "")
