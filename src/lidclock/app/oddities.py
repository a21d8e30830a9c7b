"""Facts that are odd: they may be true, so `--anyway` records them all the same."""

from __future__ import annotations

from datetime import datetime
from itertools import pairwise

from lidclock.app.end_words import end_words
from lidclock.app.session import Unit, View
from lidclock.domain.codes import spaced
from lidclock.domain.history import History
from lidclock.domain.kitchens import Place
from lidclock.domain.moments import say_short_day
from lidclock.domain.phrases import with_commas
from lidclock.domain.sentences import figure, joined, sentence
from lidclock.domain.snapshots import Snapshot
from lidclock.errors import InputError, OddFactError


def refuse_before_making(unit: Unit, known: Snapshot, when: datetime) -> None:
    """Nothing can have happened to it before it was made, split off or mixed."""
    begins_at = unit.view(known.code).container.begins_at
    if begins_at is not None and when < begins_at:
        raise InputError(
            sentence(
                "that is before {code} was made or filled; correct that time, or give "
                "a later one",
                code=spaced(known.code),
            )
        )


def refuse_ended(known: Snapshot, what: str, *, revives: bool = False) -> None:
    """It has ended already; `revives` tells that this brings it back."""
    if not known.is_live and not revives:
        raise OddFactError(
            already_ended(known),
            f"record that it was {what} all the same with --anyway",
        )


def already_ended(known: Snapshot) -> str:
    """`4F7 K2M0 (stew) was already used`."""
    end = end_words(known.end_kind)
    return sentence("{lid} was already {end}", lid=lid_words(known), end=end)


def lid_words(known: Snapshot) -> str:
    """`4F7 K2M0 (stew)`."""
    return joined("{code} ({food})", code=spaced(known.code), food=known.food)


def refuse_odd_freezing(
    unit: Unit, known: Snapshot, where: Place, at: datetime | None
) -> None:
    """Freezing does not bring back what is past its last moment."""
    if where.state != "freezer" or known.last_moment is None:
        return
    if (at or unit.session.now) >= known.last_moment:
        raise OddFactError(
            sentence(
                "{lid} is past its last moment: freezing does not bring it back",
                lid=lid_words(known),
            ),
            _or_before(known, "frozen", "freeze"),
        )


def refuse_second_thaw(unit: Unit, known: Snapshot, where: Place) -> None:
    """It was thawed once already."""
    if known.state != "freezer" or where.state == "freezer":
        return
    if _thawings(unit.view(known.code)) > 0:
        raise OddFactError(
            sentence("{lid} was thawed once already", lid=lid_words(known)),
            "record it all the same with --anyway",
        )


def refuse_overdue(
    unit: Unit, known: Snapshot, at: datetime | None, did: str = "used", do: str = "use"
) -> None:
    """It is past its last moment, and was at the time given."""
    if known.last_moment and (at or unit.session.now) >= known.last_moment:
        raise OddFactError(
            sentence("{lid} is past its last moment: discard it", lid=lid_words(known)),
            _or_before(known, did, do),
        )


def _or_before(known: Snapshot, did: str, do: str) -> str:
    """What is left of a container past its last moment: it was done before that."""
    return (
        f"if it was {did} before that, give the time with --at (`lidclock scan "
        f"{known.code} --{do} --at TIME`), or --anyway"
    )


def is_marked_late(unit: Unit, known: Snapshot, at: datetime | None) -> bool:
    """Whether it happened in time, but is written down after its last moment."""
    if at is None or known.last_moment is None:
        return False
    return at < known.last_moment <= unit.session.now


def refuse_younger_twin(unit: Unit, known: Snapshot) -> None:
    """Earliest last moment first, then the one already open, then the oldest."""
    first = first_twin(unit, known)
    if first is None or first.code == known.code:
        return
    facts = with_commas(
        [
            sentence("box {index}", index=figure(first.index)) if first.index else "",
            sentence("already open") if first.opened_at else "",
            _rank_words(first, known),
            sentence("in {place}", place=first.place) if first.place else _NOT_PUT_AWAY,
        ]
    )
    raise OddFactError(
        sentence("take {code} first ({facts})", code=spaced(first.code), facts=facts),
        f"use {spaced(known.code)} all the same with --anyway",
    )


def _rank_words(first: Snapshot, known: Snapshot) -> str:
    """What puts it first, besides being open: its day if that is another, else age."""
    if first.last_day and (first.opened_at or first.last_day != known.last_day):
        return sentence("last day {day}", day=say_short_day(first.last_day))
    return _OLDER


_OLDER, _NOT_PUT_AWAY = sentence("older"), sentence("not put away yet")


def first_twin(unit: Unit, known: Snapshot) -> Snapshot | None:
    """The container of the same food to take first: in reach, dated, not over."""
    now = unit.session.now
    for twin in unit.snapshots.twins(known.food):
        in_reach = twin.standing == "dated" and twin.state != "freezer"
        if in_reach and twin.last_moment is not None and now < twin.last_moment:
            return twin if _comes_before(twin, known) else None
    return None


def _comes_before(twin: Snapshot, known: Snapshot) -> bool:
    def rank(one: Snapshot) -> tuple[bool, float, bool, float]:
        last = one.last_moment.timestamp() if one.last_moment else 0.0
        made = one.made_at.timestamp() if one.made_at else 0.0
        return (one.last_moment is None, last, one.opened_at is None, made)

    return rank(twin) < rank(known)


def _thawings(view: View) -> int:
    history: History = view.inventory.history_of(view.container)
    states = [stay.state for stay in history.stays]
    return sum(1 for one, later in pairwise(states) if one == "freezer" != later)
