"""Recipes: read, written, changed, taken off the list, and at a size."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, HTTPException, Query, Request
from fastapi.responses import JSONResponse
from starlette.concurrency import run_in_threadpool

from lidclock.app import recipe_edits
from lidclock.app.mixing import mix_json
from lidclock.app.recipe_book import list_recipes
from lidclock.app.recipe_json import listed_json, whole_json
from lidclock.app.recipes import Size
from lidclock.app.session import Session
from lidclock.web.api import recipe_models as models
from lidclock.web.api.bodies import read_as
from lidclock.web.api.parts import PREFIX, body_of, errors, get
from lidclock.web.pages.parts import Kitchen

router = APIRouter(prefix=PREFIX, tags=["recipes"])
# A name may have a slash in it.
ONE = "/recipes/{name:path}"
_REFUSALS = errors(400, 404, 408, 409, 413, 415, 422)
_LARGEST = 2**31


@get(router, "/recipes", list[models.Recipe])
def recipes(session: Kitchen) -> JSONResponse:
    """The recipes that this kitchen keeps."""
    found = list_recipes(session)
    return JSONResponse([listed_json(session, kept) for kept, _ in found])


@get(router, f"{ONE}/mix", models.Mix, 404, 422)
def mix(
    name: str,
    session: Kitchen,
    *,
    count: Annotated[str, Query(description="how many; 1 if left out")] = "",
    portion: Annotated[str, Query(description="of each, such as 300g")] = "",
    loss: Annotated[str, Query(description="a share such as 2.5%")] = "",
    factor: Annotated[str, Query(description="or so many times")] = "",
) -> JSONResponse:
    """What to weigh for so many containers of so much each, or for so many times."""
    size = Size(count or ("" if factor else "1"), portion, loss, factor=factor)
    return JSONResponse(mix_json(session, name, size))


@get(router, ONE, models.WholeRecipe, 404, 422)
def recipe(
    name: str,
    session: Kitchen,
    version: Annotated[
        int | None, Query(ge=1, le=_LARGEST, description="the latest if left out")
    ] = None,
) -> JSONResponse:
    """One recipe as it is written, with the allergens of its tree."""
    return JSONResponse(whole_json(session, name, version))


@router.post(
    "/recipes",
    response_model=None,
    status_code=201,
    responses={201: {"model": models.Recipe}, **_REFUSALS},
    openapi_extra=body_of(models.NewRecipe),
)
async def add(request: Request, session: Kitchen) -> JSONResponse:
    """Add a recipe; 409 where the list has one of that name."""
    given = await read_as(models.NewRecipe, request)
    kept = await run_in_threadpool(_save, session, given.recipe, recipe_edits.NEW)
    return JSONResponse(kept, 201)


@router.put(
    ONE,
    response_model=None,
    responses={200: {"model": models.Recipe}, **_REFUSALS},
    openapi_extra=body_of(models.ChangedRecipe),
)
async def change(name: str, request: Request, session: Kitchen) -> JSONResponse:
    """Add a version; 409 where somebody else changed it since version `was`."""
    given = await read_as(models.ChangedRecipe, request)
    if _bare(given.recipe.name) != _bare(name):
        raise HTTPException(
            422, "recipe.name: a recipe keeps its name; add one of the other name"
        )
    return JSONResponse(
        await run_in_threadpool(_save, session, given.recipe, given.was)
    )


@router.delete(
    ONE,
    response_model=None,
    responses={200: {"model": models.Recipe}, **errors(404, 409, 422)},
)
def remove(
    name: str,
    session: Kitchen,
    was: Annotated[int, Query(ge=1, le=_LARGEST, description="the version you saw")],
) -> JSONResponse:
    """Take a recipe off the list; its versions stay."""
    gone = recipe_edits.take_off(session, name, was)
    return JSONResponse(listed_json(session, gone))


def _save(session: Session, document: models.Document, was: int) -> dict[str, Any]:
    said = document.model_dump(exclude_none=True, by_alias=True)
    kept = recipe_edits.save_document(session, said, was).kept
    return listed_json(session, kept)


def _bare(name: str) -> str:
    return " ".join(name.split()).casefold()
