"""The scan page: what to do, then lids, by scanner, camera, photo or typed code."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Annotated, Any

from fastapi import APIRouter, Body, HTTPException, Request
from fastapi.responses import HTMLResponse, JSONResponse
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData, UploadFile

from lidclock.app import scan_page
from lidclock.app.now import new_ids
from lidclock.app.photos import Upload
from lidclock.app.scan_page import ACTION, Ask, Heard
from lidclock.app.session import Session
from lidclock.errors import InputError, LidclockError, RefusedError
from lidclock.web.forms import FIELD, checked
from lidclock.web.pages.parts import Kitchen
from lidclock.web.render import render

router = APIRouter(include_in_schema=False)

# Phones' photos have 3 to 12 MB (common practice, no source).
MOST_PHOTO_BYTES = 15_000_000
_MOST_FORM_BYTES = MOST_PHOTO_BYTES + 100_000
_MOST_LINES, _LONGEST_LINE_SHOWN = 30, 400


@router.get("/scan", response_class=HTMLResponse)
@router.head("/scan")
def scan(request: Request, session: Kitchen) -> str:
    """The page; scripts take it over where there are any."""
    return _page(request, session, {})


@router.post("/scan", response_class=HTMLResponse)
async def scanned(request: Request, session: Kitchen) -> str:
    """One line, photo or undo from a page without scripts; then the page again."""
    _check_length(request)
    async with request.form(max_files=1, max_fields=60) as form:
        checked(request, _text(form, FIELD))
        return await run_in_threadpool(_answer, request, session, form)


@router.post("/scan/check")
def check(session: Kitchen, said: Annotated[dict[str, Any], Body()]) -> JSONResponse:
    """What a line means and what recording it would say; nothing is recorded."""
    ask = Ask(
        line=_json_text(said, "line"),
        action=_json_text(said, "action") or scan_page.LOOKING,
        reason=_json_text(said, "reason"),
        typed=_json_text(said, "keyboard"),
        doubted=_json_text(said, "doubted"),
    )
    heard = scan_page.weigh(session, ask)
    return JSONResponse({**heard.as_dict(), "now": session.now.isoformat()})


@router.post("/scan/photo")
async def photo(request: Request, session: Kitchen) -> JSONResponse:
    """The line that the one lid in a photo bears; nothing is recorded.

    `seen` tells that there was a symbol, though not the lid of one container.
    """
    content = await _body(request)
    line, says, is_seen = await run_in_threadpool(_line_in, session, Upload(content))
    return JSONResponse({"line": line, "says": says, "seen": is_seen})


def _line_in(session: Session, upload: Upload) -> tuple[str, str, bool]:
    try:
        return scan_page.line_in(session, upload), "", True
    except LidclockError as error:
        is_seen = isinstance(error, RefusedError)
        return "", scan_page.on_page(str(error)), is_seen


def _answer(request: Request, session: Session, form: FormData) -> str:
    """One step of the plain form. A batch is one act, so one undo takes it back."""
    action = _text(form, "action") or scan_page.LOOKING
    is_same = action == _text(form, "was")
    act = (_text(form, "act") if is_same else "") or new_ids(1)[0]
    doubted = _text(form, "doubted") if is_same else ""
    ask = Ask("", action, _text(form, "reason"), doubted=doubted)
    heard = _heard(session, form, ask, act)
    if heard.kind == ACTION and heard.action != "UNDO":
        action, act = heard.action, ""
    shown = {
        "action": action,
        "act": act,
        "reason": ask.reason,
        "doubted": heard.code if heard.is_odd else "",
        "lines": [heard.says, *_lines(form)][:_MOST_LINES],
    }
    return _page(request, session, shown)


def _heard(session: Session, form: FormData, ask: Ask, act: str) -> Heard:
    line = _text(form, "line")
    upload = form.get("photo")
    try:
        if isinstance(upload, UploadFile) and upload.size:
            content = upload.file.read(MOST_PHOTO_BYTES)
            line = scan_page.line_in(session, Upload(content))
        if _text(form, "undo"):
            return _undone(session, act)
        if not line.strip():
            raise InputError("scan a lid, or type the seven symbols on it")
    except LidclockError as error:
        return Heard(scan_page.NOTHING, scan_page.on_page(str(error)))
    heard = scan_page.record(session, replace(ask, line=line), act)
    return _undone(session, act) if heard.action == "UNDO" else heard


def _undone(session: Session, act: str) -> Heard:
    try:
        count = scan_page.take_back(session, act)
    except LidclockError as error:
        return Heard(scan_page.NOTHING, str(error))
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


def _check_length(request: Request) -> None:
    """Refuse a form before anything of it is read."""
    length = request.headers.get("content-length", "")
    if not length.isdecimal():
        raise HTTPException(411, "say how long the form is")
    if int(length) > _MOST_FORM_BYTES:
        raise HTTPException(413, _too_large())


async def _body(request: Request) -> bytes:
    """The body, read no further than a photo may be long."""
    parts, size = [], 0
    async for part in request.stream():
        size += len(part)
        if size > MOST_PHOTO_BYTES:
            raise HTTPException(413, _too_large())
        parts.append(part)
    return b"".join(parts)


def _too_large() -> str:
    megabytes = MOST_PHOTO_BYTES // 1_000_000
    return f"a photo may have {megabytes} MB at most: photograph the lid alone"


def _text(form: FormData, name: str) -> str:
    value = form.get(name, "")
    return value if isinstance(value, str) else ""


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
