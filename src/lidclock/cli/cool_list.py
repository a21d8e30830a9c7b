"""Open coolings as a list for people."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from lidclock.app.cooling_facts import standing_word
from lidclock.cli.cool_show import say_clock, say_later
from lidclock.cli.show import columns
from lidclock.domain.moments import say_hours

if TYPE_CHECKING:
    from lidclock.app.outlook import Standing
    from lidclock.app.session import Session


def list_lines(found: Iterable[Standing], session: Session) -> list[str]:
    """The open logs, one a line."""
    return columns([_row(one, session) for one in found])


def _row(one: Standing, session: Session) -> list[str]:
    from lidclock.app.cooling_watch import name_of, temp_words

    read = "not measured yet"
    if one.last is not None:
        read = (
            f"{temp_words(one.last[1], session)} at {say_clock(one.last[0], session)}"
        )
    return [standing_word(one, session), name_of(one), read, _next_words(one, session)]


def _next_words(one: Standing, session: Session) -> str:
    """What is due next, and how long that is."""
    from lidclock.app.cooling_watch import target_words

    if one.missed:
        what = target_words(one.missed[0].target_c, session)
        return f"{what} missed: " + (
            "reheat or discard" if one.can_reheat else "discard"
        )
    for late in one.overdue:
        by = f" by {say_clock(late.due_at, session)}" if late.due_at else ""
        return f"{target_words(late.target_c, session)}{by}: measure it now"
    again = ""
    if one.next_at is not None:
        is_past = one.next_at <= session.now
        when = "now" if is_past else f"at {say_later(one.next_at, session)}"
        again = f"measure {when}"
    stage = one.pending.stage if one.pending else None
    due_at = stage.due_at if stage else None
    if stage is None or due_at is None:
        return again
    left = say_hours(due_at - session.now)
    what = target_words(stage.target_c, session)
    if stage.rule.kind == "chill":
        what = "into the cold"
    return f"{what} by {say_clock(due_at, session)}, {left} left; {again}"
