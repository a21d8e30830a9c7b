"""The card: a handful of proposals for one moment, by what is lost if ignored."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime, time, timedelta
from zoneinfo import ZoneInfo

from lidclock.domain.planning import ACCEPTED, DECLINED, PUT_OFF, Answer
from lidclock.plan.proposal import (
    CHECK,
    DISCARD,
    MAKE,
    USE_UP,
    Proposal,
    proposal_from,
)

# What was agreed speaks again this long before its hour, and lapses this long after.
SOON = timedelta(minutes=30)
LAPSES = timedelta(hours=18)
# Who puts a proposal off is left alone for at least so long.
QUIET = timedelta(hours=1)
# Nobody can decline what may harm: the next card says it again, if it is still so.
_COMES_BACK = (CHECK, DISCARD)
_FAR = datetime.max.replace(tzinfo=UTC)


@dataclass(frozen=True, slots=True)
class Card:
    """What one moment shows: `shown` by number from 1, and what is behind it.

    `agreed` waits for its hour, soonest first; `due` are the keys of those shown that
    somebody agreed to. `more` did not fit, `put_off` and `declined` were answered.
    """

    now: datetime
    next_at: datetime
    shown: tuple[Proposal, ...]
    more: tuple[Proposal, ...] = ()
    agreed: tuple[Proposal, ...] = ()
    due: frozenset[str] = frozenset()
    put_off: tuple[Proposal, ...] = ()
    declined: tuple[Proposal, ...] = ()


@dataclass(slots=True)
class _Sorted:
    """Proposals by what was said to them."""

    open: list[Proposal] = field(default_factory=list)
    agreed: list[Proposal] = field(default_factory=list)
    due: set[str] = field(default_factory=set)
    put_off: list[Proposal] = field(default_factory=list)
    declined: list[Proposal] = field(default_factory=list)


def card_hours(
    hours: Sequence[time], zone: ZoneInfo, now: datetime
) -> tuple[datetime, datetime]:
    """When the card spoke last, now at the latest, and when it speaks next."""
    today = now.astimezone(zone).date()
    spoken = sorted(
        datetime.combine(today + timedelta(days=days), hour, tzinfo=zone).astimezone(
            UTC
        )
        for days in range(-2, 3)
        for hour in hours
    )
    last = max(one for one in spoken if one <= now)
    return last, min(one for one in spoken if one > now)


def arrange(
    proposals: Iterable[Proposal],
    answers: Mapping[str, Answer],
    hours: tuple[datetime, datetime],
    now: datetime,
    most: int,
) -> Card:
    """The card at `now`: the `most` proposals that lose most, harm before money.

    What was declined or put off stays away, but for what may harm, which the next card
    says again. What was agreed waits for its hour; it counts as it was agreed to,
    whatever would be proposed today.
    """
    found = _Sorted()
    for one in _with_agreed(proposals, answers):
        _sort(one, answers.get(one.key), found, hours, now)
    ordered = sorted(found.open, key=lambda one: _weight(one, one.key in found.due))
    return Card(
        now=now,
        next_at=hours[1],
        shown=tuple(ordered[:most]),
        more=tuple(ordered[most:]),
        agreed=tuple(sorted(found.agreed, key=lambda one: one.at or now)),
        due=frozenset(found.due),
        put_off=tuple(found.put_off),
        declined=tuple(found.declined),
    )


def is_agreed(one: Proposal, answer: Answer | None) -> bool:
    """Whether somebody said yes to it before its hour, so that it is still to do."""
    if answer is None or answer.answer != ACCEPTED or one.at is None:
        return False
    return answer.at < one.at - SOON


def _with_agreed(
    proposals: Iterable[Proposal], answers: Mapping[str, Answer]
) -> Iterator[Proposal]:
    """Those of today; one that was agreed to in the words in which it was."""
    for one in proposals:
        answer = answers.get(one.key)
        if answer is not None and is_agreed(one, answer) and answer.proposal:
            yield proposal_from(answer.proposal)
        else:
            yield one


def _sort(
    one: Proposal,
    answer: Answer | None,
    found: _Sorted,
    hours: tuple[datetime, datetime],
    now: datetime,
) -> None:
    if answer is None:
        found.open.append(one)
    elif answer.answer == DECLINED:
        is_back = one.kind in _COMES_BACK and answer.at < hours[0]
        (found.open if is_back else found.declined).append(one)
    elif answer.answer == PUT_OFF:
        is_over = answer.until is None or answer.until <= now
        (found.open if is_over else found.put_off).append(one)
    elif one.kind == USE_UP:
        pass  # one such meal a day: it is on the list of meals now
    elif is_agreed(one, answer):
        _sort_agreed(one, found, now)
    elif one.kind in (CHECK, MAKE) and answer.at < hours[0]:
        # Somebody meant to see to it, and it is still so at the next card.
        found.open.append(one)
    elif one.kind not in (CHECK, MAKE):
        found.open.append(one)


def _sort_agreed(one: Proposal, found: _Sorted, now: datetime) -> None:
    at = one.at or now
    if now < at - SOON:
        found.agreed.append(one)
    elif now < at + LAPSES:
        found.open.append(one)
        found.due.add(one.key)


def _weight(one: Proposal, is_due: bool) -> tuple[bool, bool, float, datetime, str]:
    """Harm first, then what somebody promised for now, then money, then the hour."""
    return (
        not one.loss.is_harm,
        not is_due,
        -round(one.loss.money, 6),
        one.at or one.before or _FAR,
        one.key,
    )
