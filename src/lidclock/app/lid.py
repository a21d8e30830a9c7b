"""A container as a round lid seen from above: a segment a day, and words in the middle.

The ring says by length and pattern what the words say too; colour carries nothing. The
words are sentences of the program: few and short, since they stand inside a circle.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from lidclock.app.end_words import end_words
from lidclock.app.lists import Listed
from lidclock.app.session import Unit, View
from lidclock.app.verdict_words import NO_LAST_DAY
from lidclock.domain.moments import last_date, local_date, say_near_day
from lidclock.domain.sentences import joined, sentence, sentences
from lidclock.domain.snapshots import Snapshot
from lidclock.guidance.model import Rule

# More segments than this are too thin to tell; each then stands for several days.
MOST_SEGMENTS = 31
SPENT, LEFT, HATCHED = "spent", "left", "hatched"
_OVER, _DISCARD, _TODAY = sentence("over"), sentence("discard"), sentence("today")


@dataclass(frozen=True, slots=True)
class Lid:
    """What to draw: `segments` from the top clockwise, and two lines of words.

    No segments where the days are not known: then the rim is dotted. `days` are all
    that it was given; where they are more than the segments, each stands for several.
    """

    segments: tuple[str, ...]
    word: str
    note: str
    days: int = 0

    @property
    def is_thinned(self) -> bool:
        """Whether a segment stands for more than a day."""
        return self.days > len(self.segments)


def lid_of(listed: Listed, given: int | None = None) -> Lid:
    """The lid of one container at the moment of its list.

    `given` are the days that its rule gives, None where no count of days binds.
    """
    one, status = listed.container, listed.status
    if status == "paused":
        return _frozen(listed, given)
    if status in ("unknown", "ended") or one.last_moment is None:
        if one.end_kind:
            return Lid((), end_words(one.end_kind), "")
        return Lid((), joined("?"), NO_LAST_DAY)
    spent, left = _days(listed, given)
    segments, days = _ring(spent, left, LEFT), spent + left
    if status == "over":
        return Lid(segments, _OVER, _DISCARD, days)
    if status == "last-day":
        hour = f"{one.last_moment.astimezone(listed.zone):%H:%M}"
        word = sentence("till {hour}", hour=hour) if one.has_hour else _TODAY
        return Lid(segments, word, sentence("last day"), days)
    today = local_date(listed.now, listed.zone)
    last_on = last_date(one.last_moment, listed.zone)
    note = sentence("house rule") if one.is_house_rule else sentence("use by")
    return Lid(segments, say_near_day(last_on, today), note, days)


def _frozen(listed: Listed, given: int | None) -> Lid:
    """Days left are hatched; those before the freezer are drawn where known."""
    left = listed.days_left or 0
    spent = max(0, (given or left) - left)
    note = sentences("{count} day left", "{count} days left", left)
    word, note = (sentence("frozen"), note) if left else (_OVER, _DISCARD)
    return Lid(_ring(spent, left, HATCHED), word, note, spent + left)


def _days(listed: Listed, given: int | None) -> tuple[int, int]:
    """Days gone by and days left, today being left until it is over.

    The making day is the first. Days in a freezer are none of them, so the count is the
    rule's where one binds, else that of the calendar.
    """
    one = listed.container
    assert one.last_moment is not None
    last_on = last_date(one.last_moment, listed.zone)
    today = local_date(listed.now, listed.zone)
    left = 0 if listed.status == "over" else (last_on - today).days + 1
    began_at = one.made_at or one.opened_at or listed.now
    span = (last_on - local_date(began_at, listed.zone)).days + 1
    days = max(1, min(given, span) if given and given >= left else span)
    return days - min(left, days), min(left, days)


def _ring(spent: int, left: int, kind: str) -> tuple[str, ...]:
    """A segment a day. Of more than 31 days what is gone is rounded up, so that the
    ring never shows more left than there is; the last day left stays visible."""
    days = spent + left
    if days <= MOST_SEGMENTS:
        return (*[SPENT] * spent, *[kind] * left)
    gone = min(-(-spent * MOST_SEGMENTS // days), MOST_SEGMENTS - (left > 0))
    return (*[SPENT] * gone, *[kind] * (MOST_SEGMENTS - gone))


def lid_of_view(listed: Listed, view: View) -> Lid:
    """The lid of a container that is seen whole."""
    return lid_of(listed, _given(listed.container, _rules_of(view)))


def lids_of(unit: Unit, listed: Iterable[Listed]) -> list[Lid]:
    """The lids of many, their rules looked up by what is known of their foods."""
    foods = {food.name.casefold(): food for food in unit.snapshots.foods()}
    guidance = unit.session.guidance
    plans = {name: guidance.plan_for(food).dated for name, food in foods.items()}
    # Containers of one batch mostly stand alike: each kind is looked up once.
    known: dict[tuple[str, str, str, int | None], int | None] = {}

    def given(one: Snapshot) -> int | None:
        key = (one.food, one.standing, one.binding, one.days_left)
        if key not in known:
            known[key] = _given(one, plans.get(one.food.casefold(), ()))
        return known[key]

    return [lid_of(one, given(one.container)) for one in listed]


def _rules_of(view: View) -> list[Rule]:
    """The rules that made its limits; while paused, the tightest count alone."""
    limits = view.verdict.limits
    counted = [limit for limit in limits if limit.days_left is not None]
    if view.verdict.standing == "paused" and counted:
        return [min(counted, key=lambda limit: limit.days_left or 0).rule]
    return [limit.rule for limit in limits]


def _given(one: Snapshot, rules: Iterable[Rule]) -> int | None:
    """The days that the binding rule gives; None where none of `rules` counts days.

    While paused a snapshot names no rule: the fewest days that could have left so many.
    """
    counts = [rule for rule in rules if rule.high and rule.kind in _COUNTS]
    if one.standing == "paused":
        left = one.days_left or 0
        return min((x.high for x in counts if x.high >= left), default=None)
    binding = one.binding.partition("#")[0]
    return next((rule.high for rule in counts if rule.id == binding), None)


_COUNTS = ("day-count", "house", "local")
