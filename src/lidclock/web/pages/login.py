"""Being let in and out, and taking over at a shared device."""

from __future__ import annotations

from typing import Annotated

from fastapi import Form, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from pydantic import BaseModel

from lidclock.app import visits
from lidclock.app.people import list_people
from lidclock.errors import LidclockError
from lidclock.web.answers import says_of, told
from lidclock.web.forms import FromOurPage
from lidclock.web.pages.parts import Kitchen, Pages
from lidclock.web.people import Person, let_in, let_out, safe_next, source_of
from lidclock.web.render import render

router = Pages()


class Taking(BaseModel):
    """Who takes over, by which code, and where to go on."""

    to: str = ""
    code: str = ""
    next: str = "/"


@router.get("/login", response_class=HTMLResponse)
def login_page(request: Request, next: str = "/") -> Response:
    """Ask for the kitchen's password, where one is asked for."""
    if request.state.person is not None:
        return RedirectResponse(safe_next(next), status_code=303)
    return HTMLResponse(render(request, "login.html", next=safe_next(next), problem=""))


@router.post("/login", dependencies=[FromOurPage])
def login(
    request: Request,
    session: Kitchen,
    password: Annotated[str, Form()] = "",
    next: Annotated[str, Form()] = "/",
) -> Response:
    """Let an owner in, or say what is wrong."""
    try:
        entry = visits.log_in(session, password, source_of(request))
    except LidclockError as error:
        page = render(
            request, "login.html", next=safe_next(next), problem=says_of(error)
        )
        return told(error, page)
    answer = RedirectResponse(safe_next(next), status_code=303)
    let_in(request, answer, entry)
    return answer


@router.post("/logout", dependencies=[FromOurPage])
def logout(request: Request, session: Kitchen, person: Person) -> Response:
    """Leave a shared device to the others, or end the visit."""
    entry = visits.leave(session, person)
    answer = RedirectResponse("/", status_code=303)
    if entry is not None:
        let_in(request, answer, entry)
    else:
        let_out(request, answer)
    return answer


@router.get("/switch", response_class=HTMLResponse)
def switch_page(request: Request, session: Kitchen, next: str = "/") -> str:
    """Who is at the device, and who may take over."""
    return _switch_page(request, session, safe_next(next))


@router.post("/switch", dependencies=[FromOurPage])
def switch(
    request: Request,
    session: Kitchen,
    person: Person,
    form: Annotated[Taking, Form()],
) -> Response:
    """Let somebody take over by their code."""
    onward = safe_next(form.next)
    try:
        entry = visits.switch(session, person, form.to, form.code)
    except LidclockError as error:
        page = _switch_page(
            request, session, onward, problem=says_of(error), to=form.to
        )
        return told(error, page)
    answer = RedirectResponse(onward, status_code=303)
    let_in(request, answer, entry)
    return answer


def _switch_page(
    request: Request, session: Kitchen, onward: str, *, problem: str = "", to: str = ""
) -> str:
    people = [one for one in list_people(session) if one.has_code]
    values = {"people": people, "next": onward, "problem": problem, "to": to}
    return render(request, "switch.html", **values)
