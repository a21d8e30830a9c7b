"""Recounting a place: scan its lids, then say what became of what was not seen."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from fastapi import Request, Response
from fastapi.responses import HTMLResponse
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData

from lidclock.app import counting as app
from lidclock.app.lists import listed
from lidclock.app.photos import Upload
from lidclock.app.session import Session
from lidclock.app.stock_take_answers import DISCARDED, ELSEWHERE, Answer
from lidclock.app.stock_take_words import (
    BAD,
    NOTHING_READ,
    Heard,
    ended,
    missing_head,
    missing_name,
    was_where,
)
from lidclock.errors import LidclockError
from lidclock.web.answers import says_of, told
from lidclock.web.fields import Fields, Sent, local_text, moment_in
from lidclock.web.forms import FromOurPage
from lidclock.web.pages.parts import Kitchen, Pages, go_to
from lidclock.web.pages.photo_form import photo_form, photo_in, text_in
from lidclock.web.render import render

router = Pages()
PATH = "/stock-take"


@router.get("/stock-take", response_class=HTMLResponse)
def stock_take(
    request: Request, session: Kitchen, place: str = "", did: str = "", how: str = ""
) -> str:
    """The places to choose from, or the count of one of them.

    `did` is the act that ended a count, offered to be taken back; `how` it ended.
    """
    if place.strip():
        return _count_page(request, session, place, ())
    return render(
        request,
        "stock_take.html",
        places=app.countable(session),
        did=did,
        is_dropped=how == "dropped",
        zone=session.kitchen.zone,
        kitchen=session.kitchen,
    )


@router.post("/stock-take", response_class=HTMLResponse)
async def scanned(request: Request, session: Kitchen) -> HTMLResponse:
    """Lids by code, by scanner or in a photo; then the page again."""
    async with photo_form(request) as form:
        return await run_in_threadpool(_scanned, request, session, form)


def _scanned(request: Request, session: Session, form: FormData) -> HTMLResponse:
    place, count_id = text_in(form, "place"), text_in(form, "count")
    sent = [one for one in form.getlist("line") if isinstance(one, str)]
    lines, content = [one for one in sent if one.strip()], photo_in(form)
    if not lines and not content:
        return HTMLResponse(
            _count_page(request, session, place, [Heard(BAD, NOTHING_READ)])
        )
    count_id = count_id or app.begin(session, place).id
    heard = app.hear(session, count_id, lines, typed=text_in(form, "keyboard"))
    if content:
        try:
            heard += app.hear_photo(session, count_id, Upload(content))
        except LidclockError as error:
            heard.append(Heard(BAD, says_of(error)))
    return HTMLResponse(_count_page(request, session, place, heard))


def _count_page(request: Request, session: Session, place: str, heard: Any) -> str:
    found = app.standing_of(session, place)
    said = list(heard) or [one for _, one in found.lines[:1]]
    missing = found.report.found.missing
    units = session.kitchen.units
    return render(
        request,
        "stock_take_count.html",
        place=found.place,
        count=found.count,
        seen=found.seen,
        expected=found.expected,
        said=said[-1] if said else None,
        lines=[one for _, one in found.lines],
        missing=[(x.code, missing_name(x, units)) for x in missing],
        kitchen=session.kitchen,
    )


@router.get("/stock-take/end", response_class=HTMLResponse)
def ending(request: Request, session: Kitchen, place: str) -> Response:
    """What was not seen, what nobody knows, what belongs elsewhere."""
    found = app.standing_of(session, place)
    if found.count is None:
        return go_to(PATH, place=found.place.name)
    return HTMLResponse(_end_page(request, session, found))


@router.post("/stock-take/end", dependencies=[FromOurPage])
def end(request: Request, session: Kitchen, sent: Sent) -> Response:
    """Record the count and what was said; what cannot hold is asked for again."""
    count_id = sent.text("count")
    found = app.standing(session, count_id)
    typed = {x.code: _typed(sent, x.code) for x in found.report.found.missing}
    try:
        answers = {
            code: _answer(session, one) for code, one in typed.items() if one["what"]
        }
        since = {
            code: at
            for code in found.report.undated
            if (at := moment_in(session, sent.text(f"since_{code}"))) is not None
        }
        refused = app.refused(session, count_id, answers)
        if not refused:
            moves = bool(sent.text("moves"))
            done = app.record(session, count_id, answers, moves=moves, since=since)
            return go_to(PATH, did=done.act)
    except LidclockError as error:
        page = _end_page(request, session, found, typed, problem=says_of(error))
        return told(error, page)
    page = _end_page(request, session, found, typed, refused)
    return HTMLResponse(page, 422)


@router.post("/stock-take/drop", dependencies=[FromOurPage])
def drop(session: Kitchen, sent: Sent) -> Response:
    """End a count without recording that the place was counted."""
    return go_to(PATH, did=app.drop(session, sent.text("count")), how="dropped")


def _typed(sent: Fields, code: str) -> dict[str, str]:
    """What the form says of one container, as it was typed."""
    names = ("what", "reason", "to", "at")
    return {name: sent.text(f"{name}_{code}") for name in names}


def _answer(session: Session, typed: Mapping[str, str]) -> Answer:
    """A field that belongs to another choice says nothing."""
    what = typed["what"]
    return Answer(
        what,
        reason=typed["reason"] if what == DISCARDED else "",
        place=typed["to"] if what == ELSEWHERE else "",
        at=moment_in(session, typed["at"]),
    )


_NOTHING: Mapping[str, str] = {"what": "", "reason": "", "to": "", "at": ""}


def _end_page(
    request: Request,
    session: Session,
    standing: app.Standing,
    typed: Mapping[str, Mapping[str, str]] | None = None,
    refused: Mapping[str, str] | None = None,
    *,
    problem: str = "",
) -> str:
    report, units = standing.report, session.kitchen.units
    found = report.found
    return render(
        request,
        "stock_take_end.html",
        count=standing.count,
        place=standing.place,
        seen=standing.seen,
        expected=standing.expected,
        head=missing_head(found.missing, units),
        missing=[
            (
                x,
                missing_name(x, units),
                (typed or {}).get(x.code, _NOTHING),
                (refused or {}).get(x.code, ""),
            )
            for x in found.missing
        ],
        others=[x for x in session.places if x.name != standing.place.name],
        strangers=found.strangers,
        unread=found.unread,
        elsewhere=[
            (
                x,
                missing_name(x, units),
                was_where(listed(session, x)),
                "undated"
                if x.code in report.undated
                else "over"
                if x.code in report.waiting
                else "",
            )
            for x in found.elsewhere
        ],
        ended=[
            (x, missing_name(x, units), ended(listed(session, x))) for x in found.ended
        ],
        movable=len(report.movable),
        unmarked=[(x, missing_name(x, units)) for x in found.unmarked],
        problem=problem,
        now=local_text(session, session.now),
        kitchen=session.kitchen,
    )
