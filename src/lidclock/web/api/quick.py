"""A route for what is asked most often: straight to its function."""

from __future__ import annotations

from collections.abc import Callable, Coroutine
from typing import Any

from fastapi import Request, Response
from fastapi.routing import APIRoute

from lidclock.web.people import known

_Handler = Callable[[Request], Coroutine[Any, Any, Response]]


class Quick(APIRoute):
    """A route whose function takes the request, as it came, and makes the answer.

    Nothing is worked out of the function's parameters, which takes half of FastAPI's
    time; who asks, and whether they may, is asked as everywhere.
    """

    def get_route_handler(self) -> _Handler:
        """What answers a request."""
        function: _Handler = self.endpoint

        async def handle(request: Request) -> Response:
            await known(request)
            return await function(request)

        return handle
