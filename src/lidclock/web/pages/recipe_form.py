"""Writing a recipe: a form of lines that grows, and works without scripts."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace

from fastapi import Request, Response
from fastapi.responses import HTMLResponse

from lidclock.app import recipe_edits
from lidclock.app.recipe_book import find_recipe
from lidclock.app.recipe_form import FIELDS, Line, RecipeForm, has_comments
from lidclock.app.session import Session
from lidclock.domain.sentences import sentence
from lidclock.errors import (
    EditClashError,
    FaultsError,
    LidclockError,
    RefusedError,
    UnknownThingError,
)
from lidclock.web.fields import Fields, Sent
from lidclock.web.forms import FromOurPage
from lidclock.web.pages.parts import Kitchen, Pages, go_to
from lidclock.web.pages.recipes import ONE
from lidclock.web.render import render
from lidclock.web.statuses import status_of

router = Pages()
PATH = "/recipes/write"
# A form has at most a thousand fields (Starlette), and a line seven of them.
MOST_LINES = 120
_AT_FIRST, _MORE = 6, 4
_OF_LINE = re.compile(r"inputs\[(\d+)\]")
# What a document calls otherwise than its form.
_CALLED = {"mass": "amount", "percent": "amount", "yield": "usable", "makes": "count"}


@dataclass(frozen=True)
class Problems:
    """What is wrong with what was typed: of the whole, and of lines by their place."""

    whole: list[tuple[str, str]]
    lines: dict[int, list[tuple[str, str]]]

    @property
    def count(self) -> int:
        """How many things are wrong."""
        return len(self.whole) + sum(map(len, self.lines.values()))


@router.get(PATH, response_class=HTMLResponse)
def write(
    request: Request, session: Kitchen, name: str = "", version: int | None = None
) -> str:
    """An empty form, or a recipe to change; an earlier version to go back to."""
    if not name:
        return _page(request, session, RecipeForm(), recipe_edits.NEW)
    form, was = recipe_edits.form_at(session, name, version)
    if len(form.lines) > MOST_LINES:
        raise RefusedError(
            sentence("this recipe is too long for a page: change it in its file")
        )
    return _page(request, session, form, was)


@router.post(PATH, dependencies=[FromOurPage], response_class=HTMLResponse)
def keep(request: Request, session: Kitchen, sent: Sent) -> Response:
    """Keep what was typed; what is wrong with it is told beside it."""
    form, was = _typed(sent), sent.number("was", "was") or recipe_edits.NEW
    if sent.text("do") == "more":
        page = _page(request, session, form, was, more=True)
        return HTMLResponse(page)
    try:
        added = recipe_edits.save_form(session, form, was)
    except EditClashError as error:
        now = recipe_edits.latest_version(session, form.name)
        page = _page(request, session, form, now, clash=error)
        return HTMLResponse(page, 409)
    except FaultsError as error:
        page = _page(request, session, form, was, problems=_sorted(error.faults))
        return HTMLResponse(page, status_of(error))
    except LidclockError as error:
        page = _page(request, session, form, was, refusal=error.fact)
        return HTMLResponse(page, status_of(error))
    did = "kept" if added.is_new else "same"
    return go_to(ONE, name=added.kept.name, did=did)


def _typed(sent: Fields) -> RecipeForm:
    """Every line that says something, in order."""
    shown = min(sent.number("lines", "lines") or 0, MOST_LINES)
    lines = (_line(sent, at) for at in range(shown))
    return RecipeForm(
        " ".join(sent.text("name").split()),
        sent.text("count"),
        sent.text("portion"),
        sent.text("loss"),
        sent.text("currency"),
        " ".join(sent.text("note").split()),
        tuple(one for one in lines if not one.is_empty),
    )


def _line(sent: Fields, at: int) -> Line:
    texts = {
        name: sent.text(f"{name}_{at}")
        for name in ("amount", "allergens", "usable", "price", "price_per", "density")
    }
    return Line(
        " ".join(sent.text(f"name_{at}").split()),
        has_none=bool(sent.text(f"none_{at}")),
        is_base=bool(sent.text(f"base_{at}")),
        **texts,
    )


def _sorted(faults: Iterable[tuple[str, str]]) -> Problems:
    """Faults by where their fields are: `inputs[2] (milk).mass` is of the third."""
    found = Problems([], {})
    for where, what in faults:
        field = where.rpartition(".")[2]
        field = _CALLED.get(field, field)
        line = _OF_LINE.match(where)
        said = (FIELDS.get(field, ""), what)
        if line is None:
            found.whole.append(said)
        else:
            found.lines.setdefault(int(line[1]), []).append(said)
    return found


def _page(
    request: Request,
    session: Session,
    form: RecipeForm,
    was: int,
    *,
    problems: Problems | None = None,
    clash: EditClashError | None = None,
    refusal: str = "",
    more: bool = False,
) -> str:
    typed = len(form.lines)
    room = max(_AT_FIRST, typed + (_MORE if more else 2))
    blank = (Line(),) * (min(room, MOST_LINES) - typed)
    return render(
        request,
        "recipe_form.html",
        kitchen=session.kitchen,
        form=replace(form, lines=(*form.lines, *blank)),
        typed=typed,
        was=was,
        remarks_in=_remarks_in(session, form.name) if was else 0,
        problems=problems or Problems([], {}),
        clash=clash,
        refusal=refusal,
        more=more,
        fields=FIELDS,
    )


def _remarks_in(session: Session, name: str) -> int:
    """The version whose file has remarks that a form does not show; 0 for none."""
    try:
        latest = find_recipe(session, name)
    except UnknownThingError:
        return 0
    return latest.version if has_comments(latest) else 0
