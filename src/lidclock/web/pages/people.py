"""The people of the kitchen, and its password: for owners."""

from __future__ import annotations

from typing import Annotated

from fastapi import Form, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from pydantic import BaseModel

from lidclock.app import people
from lidclock.domain.people import HELPER
from lidclock.domain.sentences import sentence
from lidclock.errors import InputError, LidclockError
from lidclock.web.answers import says_of, told
from lidclock.web.forms import FromOurPage
from lidclock.web.pages.parts import Kitchen, Pages
from lidclock.web.render import render

router = Pages()
Text = Annotated[str, Form()]


class Changes(BaseModel):
    """What is changed about a person; what is empty stays as it is."""

    id: str = ""
    handle: str = ""
    role: str = ""
    code: str = ""


@router.get("/people", response_class=HTMLResponse)
def people_page(request: Request, session: Kitchen) -> str:
    """Everybody, and what may be changed about them."""
    return _page(request, session)


@router.post("/people/add", dependencies=[FromOurPage])
def add(
    request: Request,
    session: Kitchen,
    handle: Text = "",
    role: Text = HELPER,
    code: Text = "",
) -> Response:
    """Add a person."""
    try:
        people.add_person(session, handle, role, code)
    except LidclockError as error:
        return told(error, _page(request, session, says_of(error)))
    return _back()


@router.post("/people/change", dependencies=[FromOurPage])
def change(
    request: Request, session: Kitchen, form: Annotated[Changes, Form()]
) -> Response:
    """Rename a person, or change role or code."""
    try:
        people.change_person(
            session, form.id, handle=form.handle, role=form.role, code=form.code
        )
    except LidclockError as error:
        return told(error, _page(request, session, says_of(error)))
    return _back()


@router.post("/people/remove", dependencies=[FromOurPage])
def remove(request: Request, session: Kitchen, id: Text = "") -> Response:
    """Take a person off the list."""
    try:
        people.remove_person(session, id)
    except LidclockError as error:
        return told(error, _page(request, session, says_of(error)))
    return _back()


@router.post("/people/password", dependencies=[FromOurPage])
def password(
    request: Request, session: Kitchen, password: Text = "", again: Text = ""
) -> Response:
    """Set the kitchen's password; whoever came in by the old one comes again."""
    try:
        if password != again:
            raise InputError(
                sentence("the two passwords differ: type the same one twice")
            )
        people.set_password(session, password)
    except LidclockError as error:
        return told(error, _page(request, session, says_of(error)))
    return _back()


def _page(request: Request, session: Kitchen, problem: str = "") -> str:
    return render(
        request,
        "people.html",
        people=people.list_people(session),
        has_password=people.has_password(session),
        problem=problem,
    )


def _back() -> RedirectResponse:
    return RedirectResponse("/people", status_code=303)
