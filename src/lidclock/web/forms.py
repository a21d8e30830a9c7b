"""What protects a form: it must come from a page that this kitchen served.

Signed double submit (OWASP Cross-Site Request Forgery Prevention, seen there): a random
token lies in a cookie that scripts cannot read, and in each form; another site can send
the one but does not know the other. The token is marked with a key of the kitchen for
one visit, so a cookie that was foisted on the browser, or is of a visit before or of
another kitchen, is worth nothing.
"""

from __future__ import annotations

import hmac
from hashlib import sha256
from typing import Annotated

from fastapi import Depends, Form, HTTPException, Request, Response

from lidclock.app.now import fresh_token

COOKIE = "lidclock_form"
FIELD = "csrf"
# What names a form that counts once, however often it is sent.
ONCE = "once"
_LONGEST = 256


def cookie_name(request: Request, name: str) -> str:
    """Under https a name that only this host can set (RFC 6265bis, 4.1.3.2)."""
    return f"__Host-{name}" if request.scope["scheme"] == "https" else name


def token_of(request: Request) -> str:
    """The token of this browser in this visit, made where it has none."""
    known: str | None = getattr(request.state, "form_token", None)
    if known is None:
        shown = request.cookies.get(cookie_name(request, COOKIE), "")
        if not hasattr(request.state, "person"):
            # No page of ours: nobody asked whose visit it is, so a fresh one would be
            # wrong, and every form that lies open would be stale by it.
            return shown
        known = shown if _is_marked(request, shown) else _marked(request, fresh_token())
        request.state.form_token = known
    return known


def keep_token(request: Request, response: Response) -> None:
    """Give the browser the token that its pages bear."""
    token: str | None = getattr(request.state, "form_token", None)
    name = cookie_name(request, COOKIE)
    if token is not None and request.cookies.get(name) != token:
        response.set_cookie(
            name,
            token,
            httponly=True,
            samesite="strict",
            secure=request.url.scheme == "https",
        )


def checked(request: Request, csrf: Annotated[str, Form()] = "") -> None:
    """Refuse a form that did not come from a page of this kitchen, in this visit."""
    shown = request.cookies.get(cookie_name(request, COOKIE), "")
    is_same = hmac.compare_digest(_octets(shown), _octets(csrf))
    if not (shown and is_same and _is_marked(request, shown)):
        raise HTTPException(403, "this form is stale: open the page again")


def _is_marked(request: Request, token: str) -> bool:
    value = token.partition(".")[0]
    if not value or len(token) > _LONGEST:
        return False
    return hmac.compare_digest(_octets(_marked(request, value)), _octets(token))


def _marked(request: Request, value: str) -> str:
    person = getattr(request.state, "person", None)
    visit = person.visit if person else ""
    key: str = request.app.state.form_key
    mark = hmac.new(key.encode(), _octets(f"{visit}!{value}"), sha256)
    return f"{value}.{mark.hexdigest()}"


def _octets(text: str) -> bytes:
    return text.encode("utf-8", "surrogatepass")


FromOurPage = Depends(checked)
