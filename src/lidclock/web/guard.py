"""The gate before every page: which name is asked for, from where, how much is sent.

It stands outside everything else, so that also errors, static files and what is not
there carry the headers.
"""

from __future__ import annotations

import asyncio
import ipaddress
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from fastapi import HTTPException, Request, Response
from fastapi.responses import JSONResponse, PlainTextResponse
from starlette.datastructures import MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from lidclock.web.forms import keep_token

# A photo of a label is the largest thing that anybody sends; a stranger sends a form.
MOST_BYTES, MOST_BYTES_OF_STRANGERS = 24 * 1024 * 1024, 16 * 1024
# A form is read before it is known who sent it; what is sent here is read after that.
MOST_BYTES_OF_FORMS = 1024 * 1024
PHOTOS = ("/scan", "/scan/photo", "/stock-take")
_STRANGERS = ("/login", "/pair", "/api/v1/pair")
# A body has so long, and longer for what came of it: a photo from the far end of a
# yard comes in at some 50 kB a second (common practice, no source).
LONGEST_S, LEAST_BYTES_A_SECOND = 20.0, 50_000
_HARMLESS = frozenset({"GET", "HEAD", "OPTIONS"})
_HOST = re.compile(
    r"(?P<name>\[[0-9a-f:.]{2,45}\]|[0-9a-z._-]{1,253})(:(?P<port>[0-9]{1,5}))?"
)
# What tells that another server passed a request on.
_PASSED_ON = frozenset(
    ("forwarded", "x-forwarded-for", "x-forwarded-host", "x-real-ip", "via")
)


@dataclass(frozen=True, slots=True)
class Refusal:
    """Why a request goes no further: a status and words."""

    status: int
    says: str


NOT_OURS = Refusal(
    421, "This kitchen does not answer to that name. Start it with --allow-host NAME."
)
PASSED_ON = Refusal(
    403, "This came through another server. Start lidclock with --allow-host NAME."
)
OTHER_SITE = Refusal(403, "Another site's page asked for this: open the kitchen page.")
TOO_LARGE = Refusal(413, "That is too much at once.")
TOO_SLOW = Refusal(408, "That took too long: send it again.")


class Guard:
    """Refuses what did not come for this kitchen, and marks every answer."""

    def __init__(
        self,
        app: ASGIApp,
        hosts: Iterable[str],
        headers: Mapping[str, str],
        *,
        is_open: bool,
    ) -> None:
        self._app = app
        self._hosts = frozenset(hosts)
        marks = {"Cache-Control": "no-store", **headers}
        self._vary = marks.pop("Vary")  # packing has its own
        self._marks = [
            (name.lower().encode(), value.encode()) for name, value in marks.items()
        ]
        self._is_open = is_open

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """One request; anything else (a start, a stop) passes through."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        scope.setdefault("state", {})
        request = Request(scope)

        async def marked(message: Message) -> None:
            if message["type"] == "http.response.start":
                self._mark(request, MutableHeaders(scope=message))
            await send(message)

        refusal = self._refusal(request)
        if refusal is not None:
            await _answer_of(refusal, scope["path"])(scope, receive, marked)
            return
        await self._app(scope, _measured(request, receive), marked)

    def _mark(self, request: Request, headers: MutableHeaders) -> None:
        path, given = _path(request), {name for name, _ in headers.raw}
        headers.raw.extend(one for one in self._marks if one[0] not in given)
        headers.add_vary_header(self._vary)
        if path.startswith("/api/"):
            return  # a program has no form, so nothing is kept for it
        kept = Response()
        keep_token(request, kept)
        for cookie in kept.headers.getlist("set-cookie"):
            headers.append("set-cookie", cookie)

    def _refusal(self, request: Request) -> Refusal | None:
        hosts = request.headers.getlist("host")
        found = _HOST.fullmatch(hosts[0].lower()) if len(hosts) == 1 else None
        if found is None or not self._is_ours(found["name"], request.scope):
            return NOT_OURS
        if self._is_open and not _PASSED_ON.isdisjoint(request.headers.keys()):
            return PASSED_ON
        if _is_of_other_site(request, hosts[0].lower()):
            return OTHER_SITE
        length = request.headers.get("content-length", "0")
        if not length.isdecimal() or int(length[:20]) > _most_bytes(request):
            return TOO_LARGE
        return None

    def _is_ours(self, name: str, scope: Scope) -> bool:
        """A name that was told or found; or the address that it really came in by.

        A foreign name that somebody points at this machine (DNS rebinding) is neither.
        """
        plain = name.strip("[]").rstrip(".")
        return plain in self._hosts or plain == _own_address(scope)


def _path(request: Request) -> str:
    """The path by which routes are chosen; making a whole URL of it takes its time."""
    path: str = request.scope["path"]
    return path


def _answer_of(refusal: Refusal, path: str) -> Response:
    if path.startswith("/api/"):
        return JSONResponse({"error": refusal.says}, refusal.status)
    return PlainTextResponse(refusal.says + "\n", refusal.status)


def _own_address(scope: Scope) -> str | None:
    server = scope.get("server")
    try:
        address = ipaddress.ip_address(server[0] if server else "")
    except ValueError:
        return None
    plain = getattr(address, "ipv4_mapped", None) or address
    return str(plain)


def _is_of_other_site(request: Request, host: str) -> bool:
    """Whether another site's page sent it (Fetch Standard: Origin; Fetch Metadata).

    A browser names the page's origin with whatever may change something. Programs that
    are no browser send neither header, and hold no cookie that could be abused.
    """
    origins = request.headers.getlist("origin")
    site = request.headers.get("sec-fetch-site", "none")
    if request.method not in _HARMLESS:
        if origins:
            return origins not in [
                [f"{scheme}://{host}"] for scheme in _schemes(request)
            ]
        return site not in ("same-origin", "none")
    # A link may lead here from anywhere; a picture or script of another page may not.
    is_visit = request.headers.get("sec-fetch-mode", "navigate") == "navigate"
    return site in ("cross-site", "same-site") and not is_visit


def _schemes(request: Request) -> tuple[str, ...]:
    """Without a certificate of our own another server may hold one before us."""
    return ("https",) if request.scope["scheme"] == "https" else ("http", "https")


def _most_bytes(request: Request) -> int:
    path = _path(request)
    if path in _STRANGERS:
        return MOST_BYTES_OF_STRANGERS
    is_large = path in PHOTOS or path.startswith("/api/")
    return MOST_BYTES if is_large else MOST_BYTES_OF_FORMS


def _measured(request: Request, receive: Receive) -> Receive:
    """What is sent without saying how much is counted as it comes, and how slowly."""
    most, count, is_whole = _most_bytes(request), 0, False
    began = asyncio.get_running_loop().time()

    async def counted() -> Message:
        nonlocal count, is_whole
        if is_whole:  # from now on it is asked whether somebody still listens
            return await receive()
        ends = began + LONGEST_S + count / LEAST_BYTES_A_SECOND
        try:
            async with asyncio.timeout_at(ends):
                message = await receive()
        except TimeoutError as error:
            raise HTTPException(TOO_SLOW.status, TOO_SLOW.says) from error
        count += len(message.get("body", b""))
        is_whole = not message.get("more_body", False)
        if count > most:
            raise HTTPException(TOO_LARGE.status, TOO_LARGE.says)
        return message

    return counted
