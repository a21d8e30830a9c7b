"""The scan page: what to do, then lids, by scanner, camera, photo or typed code."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Annotated, Any

from fastapi import Body, HTTPException, Request
from fastapi.responses import HTMLResponse, JSONResponse
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData

from lidclock.app import scan_page
from lidclock.app.now import new_ids
from lidclock.app.photos import Upload
from lidclock.app.scan_page import ACTION, Ask, Heard
from lidclock.app.session import Session
from lidclock.domain.sentences import sentence
from lidclock.errors import InputError, LidclockError, RefusedError
from lidclock.web.answers import says_of
from lidclock.web.pages.parts import Kitchen, Pages
from lidclock.web.pages.photo_form import (
    MOST_PHOTO_BYTES,
    photo_form,
    photo_in,
    text_in,
    too_large,
)
from lidclock.web.render import render
from lidclock.web.sentences import speak_all, spoken
from lidclock.web.words import language_of

router = Pages()

_MOST_LINES, _LONGEST_LINE_SHOWN = 30, 400


@router.get("/scan", response_class=HTMLResponse)
def scan(request: Request, session: Kitchen) -> str:
    """The page; scripts take it over where there are any."""
    return _page(request, session, {})


@router.post("/scan", response_class=HTMLResponse)
async def scanned(request: Request, session: Kitchen) -> str:
    """One line, photo or undo from a page without scripts; then the page again."""
    async with photo_form(request) as form:
        return await run_in_threadpool(_answer, request, session, form)


@router.post("/scan/check")
def check(
    request: Request, session: Kitchen, said: Annotated[dict[str, Any], Body()]
) -> JSONResponse:
    """What a line means and what recording it would say; nothing is recorded."""
    ask = Ask(
        line=_json_text(said, "line"),
        action=_json_text(said, "action") or scan_page.LOOKING,
        reason=_json_text(said, "reason"),
        typed=_json_text(said, "keyboard"),
        doubted=_json_text(said, "doubted"),
    )
    heard = scan_page.weigh(session, ask)
    return _told(request, {**heard.as_dict(), "now": session.now.isoformat()})


@router.post("/scan/photo")
async def photo(request: Request, session: Kitchen) -> JSONResponse:
    """The line that the one lid in a photo bears; nothing is recorded.

    `seen` tells that there was a symbol, though not the lid of one container.
    """
    content = await _body(request)
    line, says, is_seen = await run_in_threadpool(_line_in, session, Upload(content))
    return _told(request, {"line": line, "says": says, "seen": is_seen})


def _told(request: Request, facts: dict[str, Any]) -> JSONResponse:
    """What a script of the page is answered: sentences in the page's language."""
    return JSONResponse(speak_all(language_of(request), facts))


def _line_in(session: Session, upload: Upload) -> tuple[str, str, bool]:
    try:
        return scan_page.line_in(session, upload), "", True
    except LidclockError as error:
        is_seen = isinstance(error, RefusedError)
        return "", says_of(error), is_seen


def _answer(request: Request, session: Session, form: FormData) -> str:
    """One step of the plain form. A batch is one act, so one undo takes it back."""
    action = text_in(form, "action") or scan_page.LOOKING
    is_same = action == text_in(form, "was")
    act = (text_in(form, "act") if is_same else "") or new_ids(1)[0]
    doubted = text_in(form, "doubted") if is_same else ""
    ask = Ask("", action, text_in(form, "reason"), doubted=doubted)
    heard = _heard(session, form, ask, act)
    if heard.kind == ACTION and heard.action != "UNDO":
        action, act = heard.action, ""
    shown = {
        "action": action,
        "act": act,
        "reason": ask.reason,
        "doubted": heard.code if heard.is_odd else "",
        "lines": [spoken(language_of(request), heard.says), *_lines(form)][
            :_MOST_LINES
        ],
    }
    return _page(request, session, shown)


def _heard(session: Session, form: FormData, ask: Ask, act: str) -> Heard:
    line = text_in(form, "line")
    content = photo_in(form)
    try:
        if content:
            line = scan_page.line_in(session, Upload(content))
        if text_in(form, "undo"):
            return _undone(session, act)
        if not line.strip():
            raise InputError(sentence("scan a lid, or type the seven symbols on it"))
    except LidclockError as error:
        return Heard(scan_page.NOTHING, says_of(error))
    heard = scan_page.record(session, replace(ask, line=line), act)
    return _undone(session, act) if heard.action == "UNDO" else heard


def _undone(session: Session, act: str) -> Heard:
    try:
        count = scan_page.take_back(session, act)
    except LidclockError as error:
        return Heard(scan_page.NOTHING, says_of(error))
    return Heard(ACTION, scan_page.lids_taken_back(count), action="UNDO")


def _page(request: Request, session: Session, shown: Mapping[str, Any]) -> str:
    values: dict[str, Any] = {
        "action": scan_page.LOOKING,
        "act": "",
        "reason": "",
        "doubted": "",
        "lines": [],
        "choices": scan_page.choices(session),
        "kitchen": session.kitchen,
    }
    return render(request, "scan.html", **{**values, **shown})


async def _body(request: Request) -> bytes:
    """The body, read no further than a photo may be long."""
    parts, size = [], 0
    async for part in request.stream():
        size += len(part)
        if size > MOST_PHOTO_BYTES:
            raise HTTPException(413, too_large())
        parts.append(part)
    return b"".join(parts)


def _lines(form: FormData) -> list[str]:
    """What was said before, as the page bears it."""
    found = [one for one in form.getlist("said") if isinstance(one, str)]
    return [one[:_LONGEST_LINE_SHOWN] for one in found]


def _json_text(said: Mapping[str, Any], name: str) -> str:
    value = said.get(name, "")
    if not isinstance(value, str):
        raise InputError(f"{name} is a text")
    if any("\ud800" <= letter <= "\udfff" for letter in value):
        raise InputError(f"{name} holds half a character: write it anew")
    return value
