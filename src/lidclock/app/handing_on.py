"""Whether a container may be handed on: asked by the slip and by the card alike.

Only within its limit, and never out of the cold since it was first put there.
"""

from __future__ import annotations

from collections.abc import Sequence

from lidclock.app.cooling_watch import temp_words
from lidclock.app.end_words import end_words
from lidclock.app.session import Session, View
from lidclock.domain.history import MELTING_C, Stay
from lidclock.domain.moments import say_moment
from lidclock.domain.sentences import sentence, typed
from lidclock.domain.snapshots import Snapshot

_COLD = ("fridge", "freezer")


def why_not_hand_on(session: Session, known: Snapshot, view: View) -> str:
    """Past its limit, of unknown age, or out of the cold; the first that holds.

    Nothing where it may be handed on.
    """
    if not known.is_live:
        return sentence("it was already {end}", end=end_words(known.end_kind))
    status = view.verdict.status
    if status == "over" or (status == "paused" and not view.verdict.days_left):
        return sentence("it is past its last moment")
    if status == "unknown":
        return sentence("it has no last day")
    return _out_of_cold(session, view.verdict.history.stays)


def _out_of_cold(session: Session, stays: Sequence[Stay]) -> str:
    """Since when it was warm, counted from when it was first put into the cold."""
    first = next((at for at, x in enumerate(stays) if x.state in _COLD), None)
    if first is None:
        return sentence("nobody recorded that it was put into the cold")
    for stay in stays[first:]:
        when = say_moment(stay.began, session.kitchen.zone)
        if not stay.recorded:
            return sentence("nobody knows where it was, {when}", when=when)
        if stay.state not in _COLD:
            return sentence("it was out of the cold, {when}", when=when)
        limit = MELTING_C if stay.state == "freezer" else session.guidance.cold_c
        if stay.temp_c is not None and stay.temp_c > limit:
            warm = temp_words(stay.temp_c, session)
            return sentence("it was at {temp}, {when}", temp=typed(warm), when=when)
    return ""
