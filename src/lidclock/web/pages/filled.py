"""What was filled: its codes and labels, and what the scale says of it."""

from __future__ import annotations

from functools import partial

from fastapi import Request, Response
from fastapi.responses import HTMLResponse

from lidclock.app import filling as app
from lidclock.app import printing, weighing
from lidclock.app.amends import amends_of
from lidclock.app.end_words import end_with_reason
from lidclock.app.first_place import early_end_words
from lidclock.app.label_pages import lid_words
from lidclock.app.session import View
from lidclock.app.verdict_words import limit_lines, status_line
from lidclock.domain.masses import say_mass
from lidclock.web.fields import Sent, mass_in
from lidclock.web.forms import FromOurPage
from lidclock.web.pages.parts import Kitchen, Pages, go_to
from lidclock.web.render import render

router = Pages()


@router.get("/prep/filled", response_class=HTMLResponse)
def filled(
    request: Request,
    session: Kitchen,
    *,
    act: str = "",
    labelled: str = "",
    weighed: str = "",
) -> str:
    """Codes and dates, the way to labels, and the scale's real masses.

    `weighed` is the act that recorded those, offered to be taken back.
    """
    views = app.filled_in(session, act)
    there = [view for view in views if view.container.is_live]
    first, units = (there or views)[0], session.kitchen.units
    verdict = first.verdict
    left_g = weighing.left_over(views)
    binding, early = verdict.binding, early_end_words(verdict)
    return render(
        request,
        "filled.html",
        act=act,
        food=views[0].food.name,
        rows=[(view, _end_words(view)) for view in views],
        standing=status_line(verdict),
        early=early,
        is_wanted=amends_of(first, early).is_wanted,
        on_lids=lid_words(session, first),
        why=limit_lines(verdict.limits[0]) if verdict.limits else [],
        via=binding.via if binding else "",
        unknown=verdict.unknown,
        is_labelled=all(view.container.labelled for view in there),
        codes=[view.code for view in there],
        printers=printing.known_printers(session),
        is_noted=bool(labelled),
        weighed=weighed,
        left=say_mass(abs(left_g), units) if left_g else "",
        is_over=(left_g or 0.0) < 0,
        grams=partial(say_mass, units=units),
        kitchen=session.kitchen,
    )


def _end_words(view: View) -> str:
    """What became of one that is no longer there, such as `used`; else nothing."""
    end = view.container.end
    return end_with_reason(end.kind, end.reason) if end else ""


@router.post("/prep/weighed", dependencies=[FromOurPage])
def weigh(session: Kitchen, sent: Sent) -> Response:
    """What the scale shows, in all or of single boxes; an empty field says nothing."""
    act = sent.text("act")
    found = {
        view.code: mass
        for view in app.filled_in(session, act)
        if (mass := mass_in(session, sent.text(f"mass_{view.code}"))) is not None
    }
    total_g = mass_in(session, sent.text("total"))
    done = weighing.weigh(session, act, total_g=total_g, each_g=found)
    return go_to("/prep/filled", act=act, weighed=done.act)
