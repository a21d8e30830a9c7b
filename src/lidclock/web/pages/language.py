"""The language of this device: chosen here, kept in a cookie."""

from __future__ import annotations

from typing import Annotated

from fastapi import Form, Request
from fastapi.responses import HTMLResponse, RedirectResponse

from lidclock.web import pseudo
from lidclock.web.forms import FromOurPage
from lidclock.web.pages.parts import Pages
from lidclock.web.render import render
from lidclock.web.words import COOKIE, LANGUAGES

router = Pages()
_YEAR_S = 365 * 24 * 3600


@router.get("/language", response_class=HTMLResponse)
def language(request: Request) -> str:
    """Every language by its own name, and the browser's own wish."""
    chosen = request.cookies.get(COOKIE, "")
    return render(request, "language.html", languages=LANGUAGES, chosen=chosen)


@router.post("/language", dependencies=[FromOurPage])
def choose(
    request: Request, chosen: Annotated[str, Form(alias="language")] = ""
) -> RedirectResponse:
    """Keep the choice on this device for a year; no choice leaves it to the browser."""
    answer = RedirectResponse("/language", status_code=303)
    if chosen in LANGUAGES or chosen in pseudo.NAMES:
        answer.set_cookie(
            COOKIE,
            chosen,
            max_age=_YEAR_S,
            httponly=True,
            samesite="lax",
            secure=request.url.scheme == "https",
        )
    else:
        answer.delete_cookie(COOKIE)
    return answer
