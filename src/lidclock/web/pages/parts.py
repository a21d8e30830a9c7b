"""What every page needs: the session of a request, and the way to the next page."""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated, Any
from urllib.parse import urlencode, urlsplit

from fastapi import APIRouter, Depends, Request
from fastapi.responses import RedirectResponse
from fastapi.routing import APIRoute

from lidclock.app.changes import latest_position
from lidclock.app.serving import LOOPBACK
from lidclock.app.session import Session
from lidclock.domain.people import Visitor
from lidclock.web.house import House


def session_of(request: Request) -> Session:
    """The kitchen now, as whoever sent the request."""
    house: House = request.app.state.house
    # Asked first, so that nothing recorded meanwhile is taken for shown.
    request.state.position = latest_position(house.database)
    person: Visitor | None = request.state.person
    if person is None:
        session = house.session()
    else:
        session = house.session(who=person.handle, device=person.device)
    request.state.kitchen_session = session
    return session


Kitchen = Annotated[Session, Depends(session_of)]


class _Page(APIRoute):
    """HEAD works where GET does: Starlette's routes see to it, FastAPI's do not."""

    def __init__(self, path: str, endpoint: Callable[..., Any], **more: Any) -> None:
        super().__init__(path, endpoint, **more)
        if self.methods and "GET" in self.methods:
            self.methods.add("HEAD")


class Pages(APIRouter):
    """Routes of pages, which are no part of the API's description."""

    def __init__(self) -> None:
        super().__init__(include_in_schema=False, route_class=_Page)


def go_to(path: str, **query: str | list[str]) -> RedirectResponse:
    """On to a page of this kitchen, so that loading it again does nothing twice."""
    asked = urlencode({k: value for k, value in query.items() if value}, doseq=True)
    return RedirectResponse(f"{path}?{asked}" if asked else path, status_code=303)


def address_of(request: Request) -> str:
    """Where another device finds this page, which may be by another name."""
    own = f"{request.url.scheme}://{request.url.netloc}"
    better: str = request.app.state.settings.address
    return better if is_loopback(own) and better else own


def is_loopback(address: str) -> bool:
    """Whether only this machine reaches the address."""
    return urlsplit(address).hostname in LOOPBACK
