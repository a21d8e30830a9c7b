"""Recipes: the list, one at a size, for paper, and taken off the list."""

from __future__ import annotations

from typing import Annotated

from fastapi import Depends, Request, Response
from fastapi.responses import HTMLResponse

from lidclock.app import recipe_edits
from lidclock.app.mixing import as_share, plan_kept, with_unit
from lidclock.app.recipe_book import find_recipe, list_recipes
from lidclock.app.recipe_form import FIELDS
from lidclock.app.recipe_page import Mixing, recipe_page
from lidclock.app.recipe_sheet import sheet_pdf
from lidclock.app.recipes import Size
from lidclock.app.session import Session
from lidclock.errors import EditClashError
from lidclock.web.fields import Sent
from lidclock.web.forms import FromOurPage
from lidclock.web.pages.parts import Kitchen, Pages, go_to
from lidclock.web.render import render

router = Pages()
PATH, ONE = "/recipes", "/recipes/recipe"


@router.get(PATH, response_class=HTMLResponse)
def every_recipe(
    request: Request, session: Kitchen, removed: str = "", version: int = 1
) -> str:
    """What the kitchen keeps, by name; `removed` was just taken off the list."""
    return render(
        request,
        "recipes.html",
        kitchen=session.kitchen,
        recipes=list_recipes(session),
        zone=session.kitchen.zone,
        removed=removed,
        version=version,
    )


def _typed(
    count: str = "", mass: str = "", loss: str = "", factor: str = ""
) -> dict[str, str]:
    """A size as it stands in the address."""
    typed = {"count": count, "mass": mass, "loss": loss, "factor": factor}
    return {name: text.strip() for name, text in typed.items()}


Typed = Annotated[dict[str, str], Depends(_typed)]


@router.get(ONE, response_class=HTMLResponse)
def recipe(
    request: Request,
    session: Kitchen,
    name: str,
    typed: Typed,
    *,
    version: int | None = None,
    did: str = "",
) -> str:
    """One recipe, as it is written or for so many portions or times."""
    return _page(request, session, name, version, typed=typed, did=did)


@router.get("/recipes/sheet.pdf")
def sheet(
    session: Kitchen, name: str, typed: Typed, version: int | None = None
) -> Response:
    """A page to weigh, tick and fill by."""
    kept = find_recipe(session, name, version)
    plan = plan_kept(session, kept, _size(session, typed))
    paper = "letter" if session.kitchen.units == "us" else "a4"
    return Response(
        sheet_pdf(plan, kept.version, paper),
        media_type="application/pdf",
        headers={"Content-Disposition": 'inline; filename="recipe.pdf"'},
    )


@router.post("/recipes/remove", dependencies=[FromOurPage], response_class=HTMLResponse)
def remove(request: Request, session: Kitchen, sent: Sent) -> Response:
    """Take one off the list, unless somebody changed it meanwhile."""
    name = sent.text("name")
    try:
        gone = recipe_edits.take_off(session, name, sent.number("was", "was") or 0)
    except EditClashError as error:
        page = _page(request, session, name, None, typed=_typed(), clash=error)
        return HTMLResponse(page, 409)
    return go_to(PATH, removed=gone.name, version=str(gone.version))


def _size(session: Session, typed: dict[str, str]) -> Size:
    return Size(
        count=typed["count"],
        portion=with_unit(typed["mass"], session.kitchen.units),
        loss=as_share(typed["loss"]),
        factor=typed["factor"].replace("×", "").strip(),
    )


def _page(
    request: Request,
    session: Session,
    name: str,
    version: int | None,
    *,
    typed: dict[str, str],
    did: str = "",
    clash: EditClashError | None = None,
) -> str:
    size = _size(session, typed)
    page = recipe_page(session, name, version, size)
    asked = {key: text for key, text in typed.items() if text}
    named = {"name": page.kept.name}
    if page.kept.version != page.latest:
        named["version"] = str(page.kept.version)
    return render(
        request,
        "recipe.html",
        kitchen=session.kitchen,
        zone=session.kitchen.zone,
        page=page,
        typed=typed,
        asked=asked,
        named=named,
        mix=_mix(page.kept.name, page.mixing, typed),
        fields=FIELDS,
        did=did,
        clash=clash,
    )


def _mix(name: str, mixing: Mixing | None, typed: dict[str, str]) -> dict[str, str]:
    """What the page for mixing is asked, so that it shows the same.

    Where no mix could be worked out, what was typed.
    """
    if mixing is None:
        sizes = {key: typed[key] for key in ("count", "mass", "loss")}
        return {"food": name, **{key: text for key, text in sizes.items() if text}}
    asked = {"food": name, "count": str(mixing.count)}
    if mixing.mass:
        asked["mass"] = mixing.mass
    if typed["loss"]:
        asked["loss"] = typed["loss"]
    return asked
