"""Guidance: whose limits count here, what they say, how the sets differ."""

from __future__ import annotations

from fastapi import Request
from fastapi.responses import HTMLResponse

from lidclock.app import guidance_pages as app
from lidclock.app.categories import find
from lidclock.app.guidance import shipped
from lidclock.web.guidance_names import kind_phrases
from lidclock.web.pages.parts import Kitchen, Pages
from lidclock.web.render import render
from lidclock.web.words import language_of

router = Pages()

# Nobody looks for a longer word; what is sent beyond it is neither sought nor shown.
_LONGEST_SOUGHT = 200


@router.get("/guidance", response_class=HTMLResponse)
def guidance(request: Request, session: Kitchen, q: str = "") -> str:
    """The set in force, and a search for a kind of food."""
    limits, unchecked = app.about(session.guidance)
    wanted = q.strip()[:_LONGEST_SOUGHT]
    return render(
        request,
        "guidance.html",
        guidance=session.guidance,
        limits=limits,
        unchecked=unchecked,
        wanted=wanted,
        found=find(wanted, kind_phrases(language_of(request))) if wanted else [],
        sets=[(one, *app.about(one)) for one in shipped()],
        kitchen=session.kitchen,
    )


@router.get("/guidance/compare", response_class=HTMLResponse)
def compare(request: Request, session: Kitchen, code: str) -> str:
    """One container under every set."""
    name, lines = app.sets_of_container(session, code)
    return render(request, "compare.html", name=name, lines=lines, code=code)


@router.get("/guidance/{category}", response_class=HTMLResponse)
def category(request: Request, session: Kitchen, category: str) -> str:
    """One kind of food: its limits with their sources, and every set beside."""
    return render(
        request,
        "category.html",
        found=app.of_category(session, category),
        lines=app.sets_of_category(session, category),
        guidance=session.guidance,
    )
