"""A refusal as an answer."""

from __future__ import annotations

from fastapi.responses import HTMLResponse

from lidclock.domain.advice import without_commands
from lidclock.errors import LidclockError, TooOftenError
from lidclock.web.statuses import status_of


def says_of(error: LidclockError) -> str:
    """What went wrong, without what only a command line can follow."""
    return without_commands(error.fact)


def headers_of(error: LidclockError) -> dict[str, str]:
    """How long to wait, where that is the matter."""
    if isinstance(error, TooOftenError):
        return {"Retry-After": str(error.wait_s)}
    return {}


def told(error: LidclockError, page: str) -> HTMLResponse:
    """A page that says what is wrong, with the status of it."""
    return HTMLResponse(page, status_of(error), headers_of(error))
