"""What every address of the API shares: GET with HEAD, its errors, who is asking."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

from fastapi import APIRouter, Request
from pydantic import BaseModel

from lidclock.web.api.models import Error

PREFIX = "/api/v1"
Handler = TypeVar("Handler", bound=Callable[..., Any])
_MEANINGS = {
    400: "the connection ended early",
    401: "not let in: pair this device, or log in",
    403: "not allowed to this one, or not sent from here",
    404: "not here",
    408: "it took too long to arrive",
    409: "things have changed meanwhile",
    413: "too much at once",
    415: "not called JSON",
    421: "this kitchen does not answer to that name",
    422: "it cannot be understood",
    429: "too many at once",
    503: "the database cannot be used right now",
}


def errors(*statuses: int) -> dict[int | str, dict[str, Any]]:
    """The refusals that an address may give, for its description.

    Who asks, by which name, and the database are looked at everywhere.
    """
    return {
        status: {"model": Error, "description": _MEANINGS[status]}
        for status in sorted({*statuses, 401, 403, 421, 503})
    }


def get(
    router: APIRouter, path: str, model: Any, *statuses: int
) -> Callable[[Handler], Handler]:
    """Serve `path` to GET, and to HEAD with the same headers and no body."""

    def register(handler: Handler) -> Handler:
        responses = {200: {"model": model}, **errors(*statuses)}
        router.add_api_route(
            path, handler, methods=["GET"], response_model=None, responses=responses
        )
        router.add_api_route(
            path,
            handler,
            methods=["HEAD"],
            response_model=None,
            include_in_schema=False,
        )
        return handler

    return register


def body_of(model: type[BaseModel]) -> dict[str, Any]:
    """The description of a body that is read by hand."""
    schema = model.model_json_schema()
    return {
        "requestBody": {
            "required": True,
            "content": {"application/json": {"schema": schema}},
        }
    }


def sender_of(request: Request) -> tuple[str, str]:
    """The handle of who sent it, and the device it was sent from."""
    person = getattr(request.state, "person", None)
    device = getattr(person, "device", "") or "page"
    return getattr(person, "handle", ""), device
