"""Filling containers: a batch, an opened pack, something that was there already."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter, Request, Response
from fastapi.responses import HTMLResponse

from lidclock.app import filling as app
from lidclock.app import printing
from lidclock.app.container_words import allergens_of_food
from lidclock.app.food_words import guidance_words
from lidclock.app.scanning import last_words
from lidclock.app.session import Session
from lidclock.app.verdict_words import limit_lines, status_line
from lidclock.web.fields import Fields, Sent, local_text, mass_in, moment_in
from lidclock.web.forms import FromOurPage
from lidclock.web.pages.parts import Kitchen, go_to
from lidclock.web.render import render

router = APIRouter(include_in_schema=False)
PATHS = {app.BATCH: "/prep", app.PACK: "/prep/pack", app.ADOPT: "/prep/adopt"}


@router.get("/prep", response_class=HTMLResponse)
@router.head("/prep")
def batch(request: Request, session: Kitchen, food: str = "", q: str = "") -> str:
    """A batch: first the food, then how many and where."""
    return _page(request, session, app.BATCH, food, q)


@router.get("/prep/pack", response_class=HTMLResponse)
def pack(request: Request, session: Kitchen, food: str = "", q: str = "") -> str:
    """A bought pack that was opened."""
    return _page(request, session, app.PACK, food, q)


@router.get("/prep/adopt", response_class=HTMLResponse)
def adopt(request: Request, session: Kitchen, food: str = "", q: str = "") -> str:
    """A container that was there before."""
    return _page(request, session, app.ADOPT, food, q)


def _page(request: Request, session: Session, kind: str, food: str, words: str) -> str:
    given = {"kind": kind, "path": PATHS[kind], "kitchen": session.kitchen}
    if not food.strip():
        known = app.known_foods(session, kind)
        return render(request, "prep.html", **given, known=known)
    chosen = app.known_food(session, food, kind)
    return render(
        request,
        "prep_form.html",
        **given,
        **_described(session, chosen, words or food),
        food=chosen.food.name if chosen else " ".join(food.split()),
        chosen=chosen,
        words=words,
        once=app.new_once(),
        places=session.places,
        now=local_text(session, session.now),
    )


def _described(
    session: Session, chosen: app.Known | None, words: str
) -> dict[str, Any]:
    """What is known of the food, or the kinds of food that a new one may be."""
    if chosen is None:
        found = app.fitting_categories(words)
        every = () if found else app.every_category()
        return {"categories": found, "every": every, "allergens": "", "limit": ""}
    return {
        "categories": (),
        "every": (),
        "allergens": allergens_of_food(chosen.food),
        "limit": guidance_words(chosen.food, session.guidance),
    }


@router.post("/prep", dependencies=[FromOurPage])
def fill(session: Kitchen, sent: Sent) -> Response:
    """Record what the form says, once; then its codes and labels."""
    act = app.fill(session, _filling(session, sent))
    return go_to("/prep/filled", act=act)


def _filling(session: Session, sent: Fields) -> app.Filling:
    kind = sent.text("kind")
    mass = mass_in(session, sent.text("mass"))
    count = sent.number("count", "count")
    is_total = sent.text("of") == "total"
    new = app.NewFood(
        sent.text("category"),
        sent.text("allergens"),
        has_none=bool(sent.text("none")),
        house_days=sent.number("days", "days"),
    )
    return app.Filling(
        kind=kind if kind in app.KINDS else app.BATCH,
        food=sent.text("food"),
        once=sent.text("once"),
        new=new if sent.text("is_new") else None,
        count=1 if count is None else count,
        portion_g=None if is_total else mass,
        total_g=mass if is_total else None,
        at=moment_in(session, sent.text("at")) if sent.text("when") != "now" else None,
        place=sent.text("place"),
        lot=sent.text("lot"),
        code=sent.text("code"),
        use_by=sent.day("use_by"),
    )


@router.get("/prep/filled", response_class=HTMLResponse)
def filled(
    request: Request, session: Kitchen, act: str = "", labelled: str = ""
) -> str:
    """What was filled: codes and dates, and the way to labels."""
    views = app.filled_in(session, act)
    verdict = views[0].verdict
    codes = [view.code for view in views]
    return render(
        request,
        "filled.html",
        act=act,
        food=views[0].food.name,
        rows=[(view, last_words(view.verdict)) for view in views],
        standing=status_line(verdict),
        why=limit_lines(verdict.limits[0]) if verdict.limits else [],
        unknown=verdict.unknown,
        is_labelled=all(view.container.labelled for view in views),
        codes=codes,
        printers=printing.known_printers(session),
        said=labelled,
        kitchen=session.kitchen,
    )
