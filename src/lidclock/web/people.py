"""Who sends a request, and whether they may: asked before every page.

Whatever is not named here is for owners, so a page that somebody forgets is closed.
"""

from __future__ import annotations

import ipaddress
from datetime import timedelta
from typing import Annotated
from urllib.parse import quote, urlsplit

from fastapi import Depends, HTTPException, Request, Response
from fastapi.concurrency import run_in_threadpool

from lidclock.app.session import Session
from lidclock.app.visits import OF_PASSWORD, Entry, program_of, visitor_of
from lidclock.domain.people import KIOSK, OWNER, Visitor
from lidclock.domain.sentences import sentence
from lidclock.errors import NotAllowedError, WrongSecretError
from lidclock.web.forms import cookie_name

COOKIE = "lidclock_visit"
# No browser keeps a cookie longer: RFC 6265bis, 5.5.
_LONGEST = timedelta(days=400)
_READS = frozenset({"GET", "HEAD"})
# For anybody: how to be let in, how to trust the page, in which language; and what a
# browser asks for without its cookies. They hold no data, but for the calendar, which
# asks for a secret of its own: calendar programs know no other way.
OPEN = (
    *("/login", "/pair", "/trust", "/language", "/api/v1/pair"),
    *("/worker.js", "/manifest.webmanifest", "/calendar.ics"),
)
# A display on a wall shows what there is, and no names.
KIOSK_READS = ("/", "/shelf", "/api/v1/shelf", "/api/v1/card", "/api/v1/changes")
# Only owners look at these.
OWNER_READS = (
    *("/people", "/devices", "/kitchen/printers", "/recipes/write"),
    *("/api/v1/people", "/api/v1/devices", "/api/v1/printers"),
)
# What helpers may do: record facts, answer the card, print labels, and go.
HELPER_DOES = (
    *("/card", "/c", "/C", "/scan", "/prep", "/undo", "/labels", "/label", "/print"),
    *("/alerts", "/switch", "/logout", "/stock-take", "/temperatures", "/cooling"),
    "/plan/occasion",
    *("/api/v1/events", "/api/v1/card", "/api/v1/scan", "/api/v1/photos"),
    *("/api/v1/labels", "/api/v1/alerts", "/api/v1/stock-takes", "/api/v1/prep"),
    *("/api/v1/readings", "/api/v1/coolings", "/api/v1/occasions"),
    "/api/v1/containers",
)
NOBODY = Visitor("", OWNER)


class Elsewhere(Exception):  # noqa: N818 - a way on, not a mistake
    """The answer is another page."""

    def __init__(self, location: str) -> None:
        super().__init__(location)
        self.location = location


class OnceMore(Exception):  # noqa: N818 - a way on, not a mistake
    """Came from elsewhere without a cookie: asking again may bring it along."""


async def known(request: Request) -> None:
    """Set `request.state.person`; refuse who is unknown, or may not do this."""
    # What the routes go by; a URL made of it would end at a `?` that was written %3F.
    path = request.scope["path"]
    # On loopback mostly nobody says who they are: then no thread has to look.
    person = NOBODY if _is_nobody(request) else await _looked_up(request)
    request.state.person = person
    if _is_under(path, OPEN):
        return
    if person is None:
        raise _unknown(request)
    if not may(person, request.method, path):
        raise NotAllowedError(
            sentence("this display is only to look at")
            if person.role == KIOSK
            else sentence("only an owner may do that: ask one, or switch to one")
        )


def may(person: Visitor, method: str, path: str) -> bool:
    """Whether a role may do this."""
    if person.is_owner:
        return True
    if person.role == KIOSK:
        return method in _READS and path in KIOSK_READS
    if method in _READS:
        return not _is_under(path, OWNER_READS)
    return _is_under(path, HELPER_DOES)


def let_in(request: Request, response: Response, entry: Entry) -> None:
    """Give the browser the token of its visit."""
    is_brief = entry.ends_at - request.app.state.house.clock() <= OF_PASSWORD
    lasting = OF_PASSWORD if is_brief else _LONGEST
    response.set_cookie(
        cookie_name(request, COOKIE),
        entry.token,
        max_age=int(lasting.total_seconds()),
        httponly=True,
        samesite="strict",
        secure=request.url.scheme == "https",
    )


def let_out(request: Request, response: Response) -> None:
    """Take the token away again."""
    response.delete_cookie(
        cookie_name(request, COOKIE),
        httponly=True,
        samesite="strict",
        secure=request.url.scheme == "https",
    )


def source_of(request: Request) -> str:
    """From where somebody knocks; of IPv6 the network, since a host has 2^64 there."""
    return network_of(request.client.host if request.client else "")


def network_of(host: str) -> str:
    """The address, or the network of one of IPv6; `unknown` where it is none."""
    try:
        address = ipaddress.ip_address(host)
    except ValueError:
        return "unknown"
    if isinstance(address, ipaddress.IPv4Address):
        return str(address)
    if address.ipv4_mapped:
        return str(address.ipv4_mapped)
    return str(ipaddress.ip_network((address.packed, 64), strict=False))


def person_of(request: Request) -> Visitor:
    """Who sent a request that was let through."""
    person: Visitor = request.state.person
    return person


Person = Annotated[Visitor, Depends(person_of)]


def safe_next(text: str) -> str:
    """Where to go on to after being let in: a page of this kitchen, or the card."""
    is_path = text.startswith("/") and not text.startswith(("//", "/\\"))
    is_plain = text.isascii() and text.isprintable() and "\\" not in text
    return text if is_path and is_plain and len(text) < 200 else "/"


def came_from(request: Request) -> str:
    """The page of this kitchen on which somebody tapped; else the card."""
    try:
        before = urlsplit(request.headers.get("referer", ""))
    except ValueError:
        return "/"
    if before.netloc != request.headers.get("host"):
        return "/"
    return safe_next(before.path + (f"?{before.query}" if before.query else ""))


def _is_nobody(request: Request) -> bool:
    has_cookie = cookie_name(request, COOKIE) in request.cookies
    is_open: bool = request.app.state.settings.is_open
    return is_open and not has_cookie and "authorization" not in request.headers


async def _looked_up(request: Request) -> Visitor | None:
    return await run_in_threadpool(_person, request)


def _person(request: Request) -> Visitor | None:
    session: Session = request.app.state.house.session()
    bearer = request.headers.get("authorization")
    if bearer is not None:
        kind, _, token = bearer.partition(" ")
        if kind.lower() != "bearer":
            raise _unauthorized("send it as: Authorization: Bearer TOKEN")
        try:
            return program_of(session, token.strip())
        except WrongSecretError as error:
            raise _unauthorized(str(error)) from error
    token = request.cookies.get(cookie_name(request, COOKIE), "")
    person = visitor_of(session, token) if token else None
    return person or (NOBODY if request.app.state.settings.is_open else None)


def _unknown(request: Request) -> Exception:
    path = request.url.path
    if path.startswith("/api/"):
        return _unauthorized("pair this device, or log in")
    if request.method not in _READS:
        return HTTPException(403, "log in again: this page was open too long")
    # Another app's link leaves a strict cookie behind (RFC 6265bis, 5.2): the page
    # itself asks once more, and then the browser sends it.
    is_foreign = request.headers.get("sec-fetch-site") == "cross-site"
    if is_foreign and cookie_name(request, COOKIE) not in request.cookies:
        return OnceMore()
    asked = path + (f"?{request.url.query}" if request.url.query else "")
    onward = safe_next(asked)
    return Elsewhere("/login" + (f"?next={quote(onward)}" if onward != "/" else ""))


def _unauthorized(says: str) -> HTTPException:
    return HTTPException(401, says, headers={"WWW-Authenticate": "Bearer"})


def _is_under(path: str, places: tuple[str, ...]) -> bool:
    return any(path == place or path.startswith(place + "/") for place in places)
