"""When to take a container out, from where to where, so that it is ready in time.

The hour goes by the slow case. Time out of the cold is put to the clock before it is
spent: a way that would leave the food past a limit at the meal is not proposed.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta

from lidclock.clock import Limit, Verdict, judge
from lidclock.clock.why import render
from lidclock.domain.history import History, Stay, clipped
from lidclock.domain.phrases import with_semicolons
from lidclock.domain.sentences import quoted, sentence

# Ways: into the fridge, onto the counter, into cold water and then the pot; out of the
# fridge to lose its chill; straight from the freezer, or from the fridge, to the stove.
FRIDGE, COUNTER, WATER = "fridge", "counter", "cold-water"
TEMPER, FROZEN, STRAIGHT = "temper", "from-frozen", "straight"
WAYS = (FRIDGE, COUNTER, WATER, TEMPER, FROZEN, STRAIGHT)
# Out of the cold: charged as counter time, whatever the food itself measures meanwhile.
WARM = frozenset({COUNTER, WATER, TEMPER})
# Someone should stand ready when it is: our choice.
ALARM_BEFORE = timedelta(minutes=10)
TOO_LATE = sentence("too late")
_AT_THE_MEAL = {
    "over": sentence("over at the meal"),
    "unknown": sentence("unknown at the meal"),
    "paused": sentence("paused at the meal"),
}


@dataclass(frozen=True, slots=True)
class Hours:
    """How long a way takes, the quick, the middle and the slow case, and who says so.

    ValueError unless they rise and are above nothing.
    """

    low: float
    mid: float
    high: float
    source: str
    cautions: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if not 0 <= self.low <= self.mid <= self.high < 10_000:
            raise ValueError(f"hours must rise: {self.low}, {self.mid}, {self.high}")


@dataclass(frozen=True, slots=True)
class Way:
    """One way to have it ready: where it goes, how long it takes.

    `hours=None` where nobody can tell; `take_out_at` is then when it is usually done,
    and `source` says whose word that is. `temp_c` is what its new place measures, None
    where nobody measures it. `then` is what has to follow. `recorded_in` is where it
    is recorded, if its own place is none of the kitchen's.
    """

    name: str
    to_place: str
    hours: Hours | None = None
    take_out_at: datetime | None = None
    source: str = ""
    temp_c: float | None = None
    then: str = ""
    recorded_in: str = ""

    @property
    def state(self) -> str:
        """What its new place counts as."""
        return "counter" if self.name in WARM or self.name == FROZEN else "fridge"


@dataclass(frozen=True, slots=True)
class Option:
    """A way set to the clock: out at `take_out_at`, ready at `ready_high_at` at last.

    `alarm_at` comes ten minutes before it has to be ready. `counter_h` are the hours
    that were charged as counter time, up to the meal; `last_moment` is the container's
    if it is done, None where nothing would be running.
    """

    way: Way
    take_out_at: datetime
    alarm_at: datetime
    ready_low_at: datetime | None
    ready_mid_at: datetime | None
    ready_high_at: datetime | None
    counter_h: float = 0.0
    last_moment: datetime | None = None


@dataclass(frozen=True, slots=True)
class Refused:
    """A way that is not proposed, and why; `limit` is the one it would pass."""

    way: Way
    take_out_at: datetime
    why: str
    limit: Limit | None = None


@dataclass(frozen=True, slots=True)
class Takeout:
    """What to do with one container so that it is ready at a moment.

    `chosen` is one of the ways that are left open, the others are `alternatives`. It is
    None where nothing can be proposed; `asks` then says what would settle it.
    """

    code: str
    food: str
    ready_by: datetime
    from_place: str
    from_state: str
    chosen: Option | None = None
    alternatives: tuple[Option, ...] = ()
    refused: tuple[Refused, ...] = ()
    asks: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()

    @property
    def proposed(self) -> tuple[Option, ...]:
        """Every way that is left open, the chosen one first."""
        return (*((self.chosen,) if self.chosen else ()), *self.alternatives)


def option_of(way: Way, ready_by: datetime) -> Option:
    """The way set to the clock, its hours counted back in UTC from `ready_by`.

    It comes out in a whole minute, the earlier one, so that the slow case is in time.
    """
    ready_by = ready_by.astimezone(UTC)
    hours = way.hours
    if hours is None:
        out_at = way.take_out_at or ready_by
        return Option(way, out_at, ready_by - ALARM_BEFORE, None, None, None)
    out_at = _whole_minute(ready_by - timedelta(hours=hours.high))
    low, mid, high = (
        min(out_at + timedelta(hours=one), ready_by)
        for one in (hours.low, hours.mid, hours.high)
    )
    return Option(way, out_at, ready_by - ALARM_BEFORE, low, mid, high)


def _whole_minute(at: datetime) -> datetime:
    return at.replace(second=0, microsecond=0)


def what_if(
    verdict: Verdict, option: Option, ready_by: datetime, now: datetime
) -> Verdict:
    """The verdict at `ready_by` if it were taken out so; nothing is recorded.

    What was recorded ends where the way begins, but not before `now`. It stays in its
    new place up to the meal, so the longest counter time is what is charged.
    """
    way, began = option.way, max(option.take_out_at, now)
    history = verdict.history
    if way.name == STRAIGHT:
        return _judged(verdict, history, ready_by)
    ahead = Stay(way.state, began, None, way.to_place, way.temp_c)
    stays = (*clipped(_going_on(history.stays, now), began), ahead)
    return _judged(verdict, replace(history, stays=stays), ready_by)


def _going_on(stays: tuple[Stay, ...], now: datetime) -> tuple[Stay, ...]:
    """Without a silence that has yet to come: its place goes on as it was read last."""
    last = stays[-1:]
    if len(stays) < 2 or not last[0].is_silent or last[0].began <= now:
        return stays
    return (*stays[:-2], replace(stays[-2], ended=None))


def _judged(verdict: Verdict, history: History, at: datetime) -> Verdict:
    return judge(
        verdict.food,
        history,
        verdict.guidance,
        zone=verdict.zone,
        now=at,
        lead=verdict.lead,
        accepts_unmeasured=verdict.accepts_unmeasured,
    )


def weighed(
    ways: Iterable[Way], verdict: Verdict, ready_by: datetime, now: datetime
) -> tuple[list[Option], list[Refused]]:
    """Every way put to the clock: those that are left open, and those that are not.

    Refused is what would have its last moment at the meal or before, or leave it
    unknown how it stands then, and what should have begun already.
    """
    open_ways: list[Option] = []
    refused: list[Refused] = []
    for way in ways:
        option = option_of(way, ready_by)
        then = what_if(verdict, option, ready_by, now)
        why, limit = _fault(option, then, ready_by, now)
        if why:
            refused.append(Refused(way, option.take_out_at, why, limit))
            continue
        out_for = ready_by - max(option.take_out_at, now)
        counter_h = out_for / timedelta(hours=1) if way.name in WARM else 0.0
        open_ways.append(
            replace(option, counter_h=counter_h, last_moment=then.last_moment)
        )
    return open_ways, refused


def _fault(
    option: Option, then: Verdict, ready_by: datetime, now: datetime
) -> tuple[str, Limit | None]:
    """Why a way is not left open; empty where it is."""
    if then.blockers:
        return with_semicolons(list(map(quoted, then.blockers))), None
    if then.status == "ended":
        return sentence("it ended"), None
    binding = then.binding
    if binding is not None and binding.over_at is not None:
        last = binding.last_moment or binding.over_at
        if last <= ready_by:
            return _words(binding), binding
    if then.status not in ("keep", "soon", "last-day"):
        return _AT_THE_MEAL[then.status], binding
    if option.take_out_at < now:
        return TOO_LATE, None
    return "", None


def _words(limit: Limit) -> str:
    """What the limit says, and from when its hours would run if it counts hours."""
    hours = [render(step) for step in limit.steps if step[0] == "since"]
    return with_semicolons([quoted(limit.rule.says.rstrip(".")), *map(quoted, hours)])


# A fridge asks for nothing but time. What can lose its chill does so first; a counter
# comes last, since authorities do not name it for thawing perishable food.
_ORDER = {FRIDGE: 0, TEMPER: 1, STRAIGHT: 2, WATER: 3, COUNTER: 4, FROZEN: 5}


def chosen_among(options: Iterable[Option], prefer: str | None = None) -> list[Option]:
    """The ways that are left open, the one to take first.

    Ways into `prefer`, a state, come before the others; then the fridge, which asks for
    nothing but time. What rests on common practice alone is never first.
    """
    return sorted(
        options,
        key=lambda one: (
            one.way.hours is None,
            prefer is not None and prefer != _goal(one.way),
            _ORDER[one.way.name],
        ),
    )


def _goal(way: Way) -> str:
    """Where it is to be ready: in the fridge, or out on the counter."""
    return "counter" if way.name in (COUNTER, TEMPER) else "fridge"
