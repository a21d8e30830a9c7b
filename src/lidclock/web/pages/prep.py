"""Filling containers: a batch, an opened pack, something that was there already."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from typing import Any
from urllib.parse import quote

from fastapi import Request, Response
from fastapi.responses import HTMLResponse

from lidclock.app import filling as app
from lidclock.app.container_words import allergens_of_food
from lidclock.app.food_words import guidance_words
from lidclock.app.mixing import mix_of
from lidclock.app.prep import Input
from lidclock.app.session import Session
from lidclock.errors import FilledAgainError, OddFactError
from lidclock.web.fields import Fields, Sent, local_text, mass_in, moment_in
from lidclock.web.forms import FromOurPage
from lidclock.web.guidance_names import kind_phrases
from lidclock.web.pages.parts import Kitchen, Pages, go_to
from lidclock.web.render import render
from lidclock.web.sentences import spoken
from lidclock.web.words import language_of

router = Pages()
PATHS = {app.BATCH: "/prep", app.PACK: "/prep/pack", app.ADOPT: "/prep/adopt"}


@router.get("/prep", response_class=HTMLResponse)
def batch(
    request: Request,
    session: Kitchen,
    *,
    food: str = "",
    q: str = "",
    count: str = "",
    mass: str = "",
    loss: str = "",
) -> str:
    """A batch: first the food, then how many and where.

    Where the food has a recipe, what to mix for so many of so much each.
    """
    return _page(request, session, app.BATCH, food, q, size=(count, mass, loss))


@router.get("/prep/pack", response_class=HTMLResponse)
def pack(request: Request, session: Kitchen, food: str = "", q: str = "") -> str:
    """A bought pack that was opened."""
    return _page(request, session, app.PACK, food, q)


@router.get("/prep/adopt", response_class=HTMLResponse)
def adopt(
    request: Request, session: Kitchen, food: str = "", q: str = "", code: str = ""
) -> str:
    """A container that was there before; `code` is the one on its lid."""
    return _page(request, session, app.ADOPT, food, q, code=code)


def _page(
    request: Request,
    session: Session,
    kind: str,
    food: str,
    words: str,
    *,
    code: str = "",
    size: tuple[str, str, str] = ("", "", ""),
) -> str:
    given = {"kind": kind, "path": PATHS[kind], "kitchen": session.kitchen}
    given["code"] = code
    if not food.strip():
        known = app.known_foods(session, kind)
        return render(request, "prep.html", **given, known=known)
    chosen = app.known_food(session, food, kind)
    count, mass = _usual(session, chosen, *size[:2])
    mix = None
    if kind == app.BATCH:
        name = chosen.food.name if chosen else food
        mix = mix_of(session, name, count=count, portion=mass, loss=size[2])
    return render(
        request,
        "prep_form.html",
        **given,
        **_described(session, chosen, kind, words or food, language_of(request)),
        food=chosen.food.name if chosen else " ".join(food.split()),
        chosen=chosen,
        words=words,
        count=count,
        mass=mass,
        mix=mix,
        once=app.new_once(),
        places=session.places,
        now=local_text(session, session.now),
    )


def _usual(
    session: Session, chosen: app.Known | None, count: str, mass: str
) -> tuple[str, str]:
    """As many and as heavy as was typed, or else as the last time."""
    if chosen is None:
        return count.strip(), mass.strip()
    portion_g, is_us = chosen.portion_g, session.kitchen.units == "us"
    usual = "" if is_us or portion_g is None else f"{portion_g:g}"
    return count.strip() or str(chosen.count), mass.strip() or usual


def _described(
    session: Session, chosen: app.Known | None, kind: str, words: str, language: str
) -> dict[str, Any]:
    """What is known of the food, or the kinds of food that a new one may be."""
    if chosen is None:
        found = app.fitting_categories(words, kind_phrases(language))
        every = () if found else app.every_category(partial(spoken, language))
        return {"categories": found, "every": every, "allergens": "", "limit": ""}
    return {
        "categories": (),
        "every": (),
        "allergens": allergens_of_food(chosen.food),
        "limit": guidance_words(
            chosen.food, session.guidance, is_made_known=kind == app.ADOPT
        ),
    }


@router.post("/prep", dependencies=[FromOurPage])
def fill(request: Request, session: Kitchen, sent: Sent) -> Response:
    """Record what the form says, once; then its codes and labels.

    Something odd that went in is asked for once more.
    """
    try:
        act = app.fill(session, _filling(session, sent))
    except OddFactError as error:
        kept = sent.pairs(without=("csrf", "at", "anyway", "asked", "again"))
        back = f"/prep?food={quote(sent.text('food'))}"
        if isinstance(error, FilledAgainError):
            # No time would change it: the one that was typed goes along.
            kept += [("asked", "again"), ("at", sent.text("at"))]
            back = f"/prep/filled?act={error.act}"
        elif _is_again(sent):
            kept.append(("again", "yes"))
        page = render(
            request,
            "odd.html",
            odd=error.fact,
            action="/prep",
            back=back,
            kept=kept,
            is_twice=isinstance(error, FilledAgainError),
            at=sent.text("at"),
            now=local_text(session, session.now),
        )
        return HTMLResponse(page)
    return go_to("/prep/filled", act=act)


def _is_again(sent: Fields) -> bool:
    """Whether somebody said that the same is filled a second time; no more than that.

    An odd fact besides is a question of its own, and has an answer of its own.
    """
    is_asked = sent.text("asked") == "again"
    return bool(sent.text("again") or (is_asked and sent.text("anyway")))


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
        placed_at=moment_in(session, sent.text("placed")),
        lot=sent.text("lot"),
        maker=sent.text("maker"),
        code=sent.text("code"),
        use_by=sent.day("use_by"),
        inputs=tuple(_inputs(session, sent)),
        recipe=sent.number("recipe", "recipe version"),
        anyway=bool(sent.text("anyway")) and sent.text("asked") != "again",
        asks=not _is_again(sent),
    )


def _inputs(session: Session, sent: Fields) -> Iterator[Input]:
    """Containers that went in: a code, and how much of it where somebody weighed."""
    for code, mass in zip(sent.all("input"), sent.all("input_mass"), strict=False):
        if code:
            yield Input(code, mass_in(session, mass))
