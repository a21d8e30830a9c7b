"""Occasions that come again: how they came out, on record, taken back, replaced."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from lidclock.app import corrections
from lidclock.app.session import Fact, Session, Unit
from lidclock.domain.joiners import without_joiners
from lidclock.domain.moments import checked_year, local_date, say_day
from lidclock.domain.occasions import (
    LONGEST_NAME,
    MOST_EATERS,
    OCCASION_SUBJECT,
    Occasion,
    checked_occasion,
    occasion_subject,
    occasions_from,
    read_occasion_body,
)
from lidclock.domain.sentences import figure, sentence
from lidclock.errors import InputError, UnknownThingError
from lidclock.plan.headcount import Errors, HeadCount, errors, head_count

_MOST_TYPED = 200


@dataclass(frozen=True, slots=True)
class History:
    """What is on record of one occasion, by day, and what it says of the next one."""

    name: str
    occasions: tuple[Occasion, ...] = ()

    @property
    def count(self) -> HeadCount | None:
        """What to expect the next time; None where nothing is on record."""
        return head_count([one.came for one in self.occasions])

    @property
    def errors(self) -> Errors | None:
        """How forecasts did, beside the same as last time."""
        came = [one.came for one in self.occasions]
        return errors(came, [one.expected for one in self.occasions])

    def before(self, day: date) -> History:
        """The same without that day and all after it."""
        earlier = tuple(one for one in self.occasions if one.on < day)
        return History(self.name, earlier)

    def last_time(self, day: date) -> Occasion | None:
        """The occasion before that day."""
        return next(reversed(self.before(day).occasions), None)


@dataclass(frozen=True, slots=True)
class Told:
    """How an occasion came out, as somebody tells it; no day is today.

    Where no number `expected` is told, it is what those `before` say, else what was on
    record of the days before.
    """

    name: str
    came: int
    on: date | None = None
    expected: float | None = None
    before: tuple[int, ...] = ()
    made: int | None = None
    wasted: int | None = None


@dataclass(frozen=True, slots=True)
class Recorded:
    """What was recorded, by which act, and all that is on record now."""

    act: str
    occasion: Occasion
    history: History


def typed_count(before: Sequence[int]) -> HeadCount | None:
    """What numbers of earlier ones say that somebody typed; None where there are none.

    InputError for one out of range.
    """
    if len(before) > _MOST_TYPED:
        raise InputError(f"{len(before)} numbers are too many: {_MOST_TYPED} at most")
    for one in before:
        if not 0 <= one <= MOST_EATERS:
            raise InputError(f"how many came lies from 0 to {MOST_EATERS:,}, not {one}")
    return head_count(before)


def history_of(session: Session, name: str) -> History:
    """What is on record of an occasion; an empty history where nothing is."""
    tidy = _tidy(name)
    with session.read() as unit:
        return _history(unit, tidy)


def find_history(session: Session, name: str) -> History:
    """The same; UnknownThingError where nothing is on record."""
    found = history_of(session, name)
    if found.occasions:
        return found
    known = ", ".join(one.name for one in histories(session)[:10])
    hint = f"there are {known}" if known else "none is on record yet"
    raise UnknownThingError(f"no occasion {name!r} on record; {hint}")


def histories(session: Session) -> list[History]:
    """Every occasion that something is on record of; the latest first."""
    with session.read() as unit:
        found = occasions_from(unit.ledger.starting(OCCASION_SUBJECT))
    grouped: dict[str, list[Occasion]] = {}
    for one in found:
        grouped.setdefault(occasion_subject(one.name), []).append(one)
    known = [_named(group) for group in grouped.values()]
    return sorted(known, key=lambda one: one.occasions[-1].on, reverse=True)


def tell(session: Session, told: Told) -> Recorded:
    """Record how an occasion came out; what was said of that day before it replaces.

    InputError for a day to come, and for numbers that cannot be right.
    """
    today = local_date(session.now, session.kitchen.zone)
    day = today if told.on is None else told.on
    checked_year(day)
    if day > today:
        raise InputError(
            sentence(
                "{day} is still to come: say how it came out once it is over",
                day=say_day(day),
            )
        )
    name = _tidy(told.name)
    with session.write() as unit, unit.one_act() as act:
        known = _history(unit, name)
        one = checked_occasion(
            Occasion(
                known.name,
                day,
                told.came,
                _expected(told, known.before(day)),
                told.made,
                told.wasted,
            )
        )
        body = {"occasion": one.as_dict()}
        unit.record([Fact("noted", occasion_subject(one.name), body)])
        return Recorded(act, one, _history(unit, name))


def _expected(told: Told, earlier: History) -> float | None:
    if told.expected is not None:
        return told.expected
    count = typed_count(told.before) or earlier.count
    return None if count is None else count.mean


def recorded_by(session: Session, act: str) -> Recorded | None:
    """What an act recorded of an occasion, while it stands; else None."""
    with session.read() as unit:
        for event in unit.ledger.standing(unit.ledger.act(act)):
            if event.subject.startswith(OCCASION_SUBJECT):
                one = read_occasion_body(event.subject, event.body)
                return Recorded(act, one, _history(unit, one.name))
    return None


def take_back(session: Session, act: str) -> History:
    """Take back what `tell` recorded; UnknownThingError for any other act."""
    with session.read() as unit:
        subjects = [event.subject for event in unit.ledger.act(act)]
    ours = [one for one in subjects if one.startswith(OCCASION_SUBJECT)]
    if not ours or ours != subjects:
        raise UnknownThingError("no occasion was recorded by that act")
    with session.write() as unit:
        corrections.take_back(unit, act)
    return history_of(session, ours[0].removeprefix(OCCASION_SUBJECT))


def _history(unit: Unit, name: str) -> History:
    found = occasions_from(unit.ledger.of([occasion_subject(name)]))
    return _named(found) if found else History(name)


def _named(occasions: Iterable[Occasion]) -> History:
    """Called as it was written the last time."""
    found = tuple(occasions)
    return History(found[-1].name, found)


def _tidy(name: str) -> str:
    """A name as it is kept; InputError for what is none."""
    tidy = " ".join(unicodedata.normalize("NFC", name).split())
    if not tidy:
        raise InputError(sentence("say which occasion it was, such as club dinner"))
    if len(tidy) > LONGEST_NAME or not without_joiners(tidy).isprintable():
        raise InputError(
            sentence(
                "{name} is no name: write at most {most} letters",
                name=f"{tidy[:40]!r}",
                most=figure(LONGEST_NAME),
            )
        )
    return tidy
