"""The card: what to do next, and what is said to it."""

from __future__ import annotations

from dataclasses import dataclass

from fastapi import Request, Response
from fastapi.responses import HTMLResponse

from lidclock.app import answers
from lidclock.app.card_words import (
    hour_words,
    later_hours,
    loss_words,
    overtaken_words,
    pick_rows,
    step_lines,
    told_of_act,
)
from lidclock.app.lid import Lid, lids_of
from lidclock.app.lists import listed
from lidclock.app.today import look
from lidclock.app.values import Card, Facts, Proposal
from lidclock.errors import OddFactError
from lidclock.web.fields import Sent, local_text, moment_in
from lidclock.web.forms import FromOurPage
from lidclock.web.pages.parts import Kitchen, Pages, go_to
from lidclock.web.render import render

router = Pages()


@dataclass(frozen=True, slots=True)
class Shown:
    """A proposal as the page shows it."""

    one: Proposal
    lid: Lid | None
    hour: str
    before: str
    steps: tuple[str, ...]
    picks: tuple[tuple[str, str, str, str], ...]
    at_stake: str
    is_agreed: bool
    overtaken: tuple[str, ...]


@router.get("/", response_class=HTMLResponse)
def card(request: Request, session: Kitchen, did: str = "", undone: str = "") -> str:
    """A handful of proposals, each with its lid, its reason and one large action."""
    found, facts = look(session)
    with session.read() as unit:
        told = told_of_act(unit, did)
    return render(
        request,
        "card.html",
        card=found,
        shown=[_shown(facts, found, one) for one in found.shown],
        more=[_shown(facts, found, one) for one in found.more],
        agreed=[_shown(facts, found, one) for one in found.agreed],
        is_empty=not facts.live,
        answered=len(found.put_off) + len(found.declined),
        later=[(at.isoformat(), words) for at, words in later_hours(found, facts)],
        now=session.now,
        zone=facts.zone,
        kitchen=session.kitchen,
        did=did if told else "",
        told=told,
        undone=bool(undone),
    )


@router.post("/card", dependencies=[FromOurPage])
def answer(request: Request, session: Kitchen, sent: Sent) -> Response:
    """One answer to one proposal, named by its key; then the card again."""
    key, said = sent.text("key"), sent.text("answer")
    if said == "put-off":
        until = moment_in(session, sent.text("until"))
        return go_to("/", did=answers.put_off(session, key, until).act)
    if said == "decline":
        return go_to("/", did=answers.decline(session, key, sent.text("text")).act)
    try:
        done = answers.accept(
            session,
            key,
            to=sent.text("text"),
            at=moment_in(session, sent.text("at")),
            is_done=said == "done",
            anyway=bool(sent.text("anyway")),
        )
    except OddFactError as error:
        page = render(
            request,
            "odd.html",
            odd=error.fact,
            action="/card",
            back="/",
            kept=[(name, sent.text(name)) for name in ("key", "answer", "text")],
            at=sent.text("at"),
            now=local_text(session, session.now),
        )
        return HTMLResponse(page)
    return go_to("/", did=done.act)


def _shown(facts: Facts, card: Card, one: Proposal) -> Shown:
    is_agreed = one.key in card.due or one in card.agreed
    return Shown(
        one,
        _lid(facts, one),
        hour_words(one.at, facts),
        hour_words(one.before, facts) if one.at is None else "",
        tuple(step_lines(one, facts)),
        tuple(pick_rows(one, facts)),
        loss_words(one, facts),
        is_agreed=one.key in card.due,
        overtaken=tuple(overtaken_words(one, facts)) if is_agreed else (),
    )


def _lid(facts: Facts, one: Proposal) -> Lid | None:
    """The lid of the first container it is about that is there."""
    known = [facts.live[code] for code in one.codes if code in facts.live]
    if not known:
        return None
    with facts.session.read() as unit:
        (drawn,) = lids_of(unit, [listed(facts.session, known[0])])
    return drawn
