"""The application: pages, their parts, and what every answer carries."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from fastapi import APIRouter, Depends, FastAPI, Request, Response
from fastapi.exceptions import RequestValidationError
from fastapi.responses import HTMLResponse, JSONResponse, RedirectResponse
from starlette.exceptions import HTTPException
from starlette.requests import ClientDisconnect
from starlette.routing import BaseRoute
from starlette.types import ASGIApp, Receive, Scope, Send

from lidclock import __version__
from lidclock.app.now import now as present
from lidclock.app.people import form_key
from lidclock.app.serving import LOOPBACK, Certificates
from lidclock.domain.advice import without_commands
from lidclock.errors import LidclockError
from lidclock.web import api
from lidclock.web.answers import headers_of, says_of
from lidclock.web.api.changes import Changes
from lidclock.web.api.writer import Writer
from lidclock.web.files import STATIC, Files
from lidclock.web.guard import Guard
from lidclock.web.house import Clock, House
from lidclock.web.packing import Packed
from lidclock.web.pages import (
    alerts,
    card,
    container,
    cooling,
    devices,
    feed,
    filled,
    guidance,
    kitchen,
    labels,
    language,
    login,
    more,
    occasion,
    offline,
    order,
    people,
    plan,
    prep,
    printers,
    recipe_form,
    recipes,
    report,
    scan,
    shelf,
    slip,
    stock_take,
    temperatures,
    trace,
)
from lidclock.web.people import Elsewhere, OnceMore, came_from, known
from lidclock.web.render import render
from lidclock.web.statuses import status_of
from lidclock.web.words import marked

PAGES = (
    card,
    scan,
    shelf,
    container,
    prep,
    filled,
    recipes,
    recipe_form,
    labels,
    occasion,
    order,
    plan,
    guidance,
    kitchen,
    more,
    login,
    people,
    devices,
    offline,
    language,
    printers,
    alerts,
    feed,
    stock_take,
    report,
    temperatures,
    cooling,
    trace,
    slip,
)
# Nothing comes from anywhere else, and nothing runs that does not lie in a file here.
# `wasm-unsafe-eval` lets scripts of ours compile WebAssembly, which the reader of
# symbols is (static/vendor), and nothing else: text is still never run as a script.
POLICY = (
    "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; "
    "img-src 'self' data:; font-src 'self'; connect-src 'self'; manifest-src 'self'; "
    "worker-src 'self'; form-action 'self'; base-uri 'none'; "
    "frame-ancestors 'none'"
)
HEADERS = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    "Vary": "Accept-Language, Cookie",
    # Not `no-referrer`: with that a browser sends forms with `Origin: null` (Fetch
    # Standard, "append a request Origin header"), as another site's would be.
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(self), geolocation=(), microphone=()",
}
# Shorter answers are not worth packing: a packet holds them as they are.
LEAST_PACKED = 1200
_LONGEST_SAID = 1000
_QUICK = 4  # of 9: a shelf of 2,000 lids takes 3 ms, and 25 kB instead of 20


@dataclass(frozen=True)
class Settings:
    """How it is served: to which hosts it answers, and whom it lets in.

    `is_open` is for loopback alone: nobody is asked for a password. `address` is where
    other devices find the page, empty where they do not.
    """

    hosts: tuple[str, ...] = LOOPBACK
    is_open: bool = True
    address: str = ""
    certificates: Certificates | None = None


class Served(FastAPI):
    """The application with its guard outside of everything, errors included."""

    guard: ASGIApp | None = None

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """One request, or a start and stop."""
        if self.guard is None:
            settings: Settings = self.state.settings
            inner = super().__call__
            is_open = settings.is_open
            self.guard = Guard(inner, settings.hosts, HEADERS, is_open=is_open)
        await self.guard(scope, receive, send)


def create_app(
    path: Path, settings: Settings | None = None, *, clock: Clock = present
) -> FastAPI:
    """The application for the kitchen in the database at `path`.

    StoreError where there is no kitchen. `clock` tells the time; tests hold it still.
    """
    house = House.open(path, clock)

    @asynccontextmanager
    async def lifespan(_: FastAPI) -> AsyncIterator[None]:
        yield
        house.close()

    app = Served(
        title="lidclock",
        version=__version__,
        lifespan=lifespan,
        docs_url=None,
        redoc_url=None,
        routes=[*_routes()],
        telemetry={"tracing": False, "metrics": False},
    )
    app.state.house, app.state.path = house, path
    app.state.settings = settings or Settings()
    app.state.form_key = form_key(house.session())
    app.state.writer = Writer(house)
    app.state.changes = Changes(house)
    app.mount("/static", Files(directory=STATIC), name="static")
    app.add_middleware(Packed, minimum_size=LEAST_PACKED, compresslevel=_QUICK)
    app.exception_handler(LidclockError)(_refused)
    app.exception_handler(HTTPException)(_not_there)
    app.exception_handler(RequestValidationError)(_malformed)
    app.exception_handler(Elsewhere)(_elsewhere)
    app.exception_handler(OnceMore)(_once_more)
    app.exception_handler(ClientDisconnect)(_gone)
    app.exception_handler(Exception)(_broken)
    return app


@cache
def _routes() -> list[BaseRoute]:
    """What is served of any kitchen.

    FastAPI reads each function when it is first asked for, which takes 0.2 s for all of
    them; so a second application in the same process shares what was read.
    """
    site = APIRouter(dependencies=[Depends(known)])
    # Looked through in this order for every request: scans come first.
    for router in api.ROUTERS:
        site.include_router(router)
    for pages in PAGES:
        site.include_router(pages.router)
    site.include_router(devices.pages)
    return site.routes


def _wants_json(request: Request) -> bool:
    return request.url.path.startswith(("/api/", "/calendar.ics"))


async def _refused(request: Request, error: Exception) -> Response:
    """What the command line says too, as a page or as JSON, without commands."""
    assert isinstance(error, LidclockError)
    # Where the database lies is nothing for whoever looks at the page.
    path: Path = request.app.state.path
    says = says_of(error)
    if str(path) in says:
        says = says.replace(str(path), path.name)
    return _told(request, says, status_of(error), headers_of(error))


async def _not_there(request: Request, error: Exception) -> Response:
    assert isinstance(error, HTTPException)
    headers = {**(error.headers or {})}
    says = without_commands(str(error.detail))
    return _told(request, says, error.status_code, headers)


async def _elsewhere(_: Request, error: Exception) -> Response:
    assert isinstance(error, Elsewhere)
    return RedirectResponse(error.location, status_code=303)


async def _once_more(request: Request, _: Exception) -> Response:
    # A header and no mark in the page: a worker keeps no page that bears it.
    headers = {"Refresh": "0"}
    return HTMLResponse(render(request, "once_more.html"), headers=headers)


async def _gone(_: Request, __: Exception) -> Response:
    """Whoever sent half of something is not there to read this."""
    return Response(status_code=400)


async def _broken(request: Request, _: Exception) -> Response:
    """A mistake of ours: where it is, is told to whoever serves, and to nobody else."""
    return _told(request, marked("this went wrong, and it is not your fault"), 500, {})


def _told(
    request: Request, says: str, status: int, headers: dict[str, str]
) -> Response:
    if len(says) > _LONGEST_SAID:  # it quotes what was sent
        says = f"{says[:_LONGEST_SAID]}..."
    if _wants_json(request):
        return JSONResponse({"error": says}, status, headers)
    page = render(request, "error.html", message=says, back=came_from(request))
    return HTMLResponse(page, status, headers)


async def _malformed(request: Request, error: Exception) -> Response:
    """An address or a form that lacks what its page needs."""
    assert isinstance(error, RequestValidationError)
    if _wants_json(request):
        first = error.errors()[0]
        return _told(request, f"{first['loc'][-1]}: {first['msg']}", 422, {})
    says = marked("Something is missing in that address: open the page by a link.")
    return _told(request, says, 422, {})
