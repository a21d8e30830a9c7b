"""Cooling: readings that are odd, and logs that do not close."""

from __future__ import annotations

from datetime import datetime

from lidclock.app.cooling_target import Target
from lidclock.app.cooling_watch import kill_c, target_words, temp_words
from lidclock.app.outlook import Standing
from lidclock.app.session import Session, View
from lidclock.domain.codes import spaced
from lidclock.domain.phrases import short
from lidclock.domain.sentences import Figure, sentence
from lidclock.errors import OddFactError
from lidclock.heat.cooling import NOISE_C

# Two readings that are off by the probe's noise, each the other way, and no more.
_WARMER_C = 2 * NOISE_C
_ANYWAY = "check the probe and the box, or record it all the same with --anyway"


def refuse_warmer(views: list[View], temp_c: float, when: datetime) -> None:
    """Food that cools does not get warmer, unless it was reheated."""
    for view in views:
        log = view.container.cooling
        heated_at = log.reheated_at if log is not None else None
        known = [
            (at, c)
            for at, c in view.container.coolings
            if c is not None and (heated_at is None or at > heated_at)
        ]
        before = max((x for x in known if x[0] <= when), default=None)
        after = min((x for x in known if x[0] > when), default=None)
        is_heated_since = heated_at is not None and heated_at > when
        if before is not None and temp_c > before[1] + _WARMER_C:
            raise OddFactError(_warmer(view, temp_c, before[1], "before"), _ANYWAY)
        if after is not None and not is_heated_since and after[1] > temp_c + _WARMER_C:
            raise OddFactError(_warmer(view, temp_c, after[1], "after"), _ANYWAY)


def _warmer(view: View, temp_c: float, other_c: float, order: str) -> str:
    """What is odd about it, and where it stands."""
    place, name = view.container.place, f"{spaced(view.code)} ({view.food.name})"
    where = sentence("in {place}", place=place) if place else sentence("while cooling")
    temps = {"temp": short(temp_c), "other": short(other_c)}
    told = sentence("{temp} °C after {other} °C", **temps)
    if order == "after":
        told = sentence("{temp} °C before {other} °C", **temps)
    return sentence(
        "{name} {where}: {told} would mean that it warmed by {by} °C",
        name=name,
        where=where,
        told=told,
        by=Figure(f"{abs(temp_c - other_c):.1f}"),
    )


def why_open(
    session: Session,
    target: Target,
    standings: tuple[Standing, ...],
    temp_c: float | None,
) -> str:
    """Why the log cannot be closed; nothing where it can."""
    for one in standings:
        if one.missed:
            return _choices(one, target, session)
    cold_c = session.guidance.cold_c
    if temp_c is None or temp_c > cold_c:
        shown = temp_words(temp_c, session) if temp_c is not None else "it"
        return (
            f"{target.name}: {shown} is recorded, but not "
            f"{target_words(cold_c, session)} yet, so its log stays open; cool on, "
            "and finish it then"
        )
    return ""


def _choices(one: Standing, target: Target, session: Session) -> str:
    """A missed stage, and what the set leaves."""
    stage = one.missed[0]
    zone = session.kitchen.zone
    by = f"{stage.due_at.astimezone(zone):%H:%M}" if stage.due_at else "its time"
    what = target_words(stage.target_c, session)
    head = f"{target.name} was not {what} by {by} ({stage.rule.id})"
    return (
        f"{head}: its log does not close until it is reheated in time "
        "(--reheat TEMP) or discarded (--discard REASON); "
        f"{_reheat_words(one, session)}; what was read is recorded"
    )


def _reheat_words(one: Standing, session: Session) -> str:
    """Whether a reheating would help, and how hot it has to be."""
    if one.can_reheat:
        hot = temp_words(kill_c(one.view), session)
        return f"{hot} now starts the hours again, once"
    return (
        f"its hours were up, and {session.guidance.id} gives none back for a reheating "
        "that comes later: discard it"
    )
