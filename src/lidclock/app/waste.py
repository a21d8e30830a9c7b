"""What became of what was made: the books of a period, with causes and measures."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from lidclock.app.session import Session, Unit
from lidclock.app.waste_stand import Stands
from lidclock.app.waste_worth import Worths
from lidclock.domain.containers import Batch, Container, Inventory
from lidclock.domain.events import Event
from lidclock.domain.fold import Before, fold
from lidclock.domain.moments import DAY, end_of_day, local_date, say_day
from lidclock.errors import InputError
from lidclock.plan.amounts import tenths
from lidclock.plan.books import Books, Posting, cooked_parts
from lidclock.plan.causes import cause_of
from lidclock.plan.picks import Rescue, Watch, middle
from lidclock.plan.waste import Balance, Period, Week, altogether, balances, weekly

DEFAULT_DAYS = 28
WEEK_DAYS = 7
MOST_DAYS = 3660
# A second of work, about.
_MANY_EVENTS = 20_000


@dataclass(frozen=True, slots=True)
class Measures:
    """How containers were taken in the period; counts are of containers.

    `in_time`, `over` and `not_known` divide those `used`; `marked_late` were used,
    given or frozen in time, but written down after their last moment. Ages and days
    left are medians in days, None where none is known.
    """

    used: int = 0
    picks: int = 0
    out_of_order: int = 0
    in_time: int = 0
    over: int = 0
    not_known: int = 0
    marked_late: int = 0
    late_saves: int = 0
    age_at_use: float | None = None
    frozen: int = 0
    left_when_frozen: float | None = None


@dataclass(frozen=True, slots=True)
class WasteReport:
    """The first and the last local day, each food's balance, and all together.

    `weeks` are of seven days each from the first day on; the last may be shorter.
    `sources` says for each food, casefolded, where its money comes from; `unfilled` are
    the tenths of a gram of the period's batches that went into no container.
    """

    first_on: date
    last_on: date
    foods: tuple[Balance, ...]
    whole: Balance
    measures: Measures
    weeks: tuple[Week, ...]
    money: str = ""
    sources: dict[str, tuple[str, ...]] = field(default_factory=dict)
    problems: tuple[str, ...] = ()
    unfilled: int = 0


def waste_report(
    session: Session,
    *,
    since: date | None = None,
    until: date | None = None,
    food: str | None = None,
    tell: Callable[[str], None] = lambda _: None,
) -> WasteReport:
    """The books from the first local day to the last, both included.

    By default the last 28 days, today being the last. `tell` hears what takes long.
    InputError for days that are in the future or the wrong way round.
    """
    first_on, last_on = _days(session, since, until)
    with session.read() as unit:
        name = unit.need_food(food).name if food else ""
        return _report(unit, first_on, last_on, name, tell)


def _days(
    session: Session, since: date | None, until: date | None
) -> tuple[date, date]:
    today = local_date(session.now, session.kitchen.zone)
    last_on = until or today
    first_on = since or last_on - timedelta(days=DEFAULT_DAYS - 1)
    if last_on > today:
        raise InputError(f"{say_day(last_on)} is in the future; give a day up to today")
    if first_on > last_on:
        raise InputError(
            f"{say_day(first_on)} comes after {say_day(last_on)}; turn the days round"
        )
    if (last_on - first_on).days >= MOST_DAYS:
        raise InputError(f"that is more than {MOST_DAYS} days; give a later --from")
    return first_on, last_on


def _report(
    unit: Unit,
    first_on: date,
    last_on: date,
    name: str,
    tell: Callable[[str], None],
) -> WasteReport:
    zone = unit.session.kitchen.zone
    period = Period(end_of_day(first_on - DAY, zone), end_of_day(last_on, zone))
    events = list(unit.ledger.all())
    if len(events) >= _MANY_EVENTS:
        tell(f"{len(events)} events")
    worths = Worths(unit)
    books = Books(worths.value, cooked_parts(events))
    watch = Watch(period, zone, Stands(unit).stand)

    def heard(
        inventory: Inventory, container: Container, event: Event, before: Before
    ) -> None:
        books.heard(inventory, container, event, before)
        watch.heard(inventory, container, event, before)

    inventory = fold(events, heard)
    books.finish(inventory, events)
    key = name.casefold()

    def is_asked(container: Container) -> bool:
        return not key or container.food.casefold() == key

    postings = [one for one in books.postings if is_asked(one.container)]
    causes = _Causes(watch)
    foods = balances(postings, period, causes.of)
    codes = {one.container.code for one in postings}
    edges = _edges(first_on, last_on, zone)
    sources = {food: tuple(found) for food, found in worths.sources.items()}
    return WasteReport(
        first_on,
        last_on,
        tuple(sorted(foods.values(), key=lambda one: one.food.casefold())),
        foods.get(key, Balance(name)) if name else altogether(foods),
        _measures(watch, codes),
        tuple(weekly(postings, edges, causes.of, is_one_food=bool(name))),
        worths.money,
        {food: found for food, found in sources.items() if food in foods},
        tuple(worths.problems),
        sum(_unfilled(inventory, one) for one in inventory.batches.values()
            if one.made_at in period and (not key or one.food.casefold() == key)),
    )  # fmt: skip


class _Causes:
    """The cause of each discard, by its reason and by how the container stood."""

    def __init__(self, watch: Watch) -> None:
        self._watch = watch

    def of(self, posting: Posting) -> str:
        end = posting.container.end
        reason = str(end.reason) if end is not None else ""
        stood = self._watch.discards.get(posting.container.code)
        return cause_of(reason, stood, posting.at)


def _edges(first_on: date, last_on: date, zone: ZoneInfo) -> list[datetime]:
    """Where weeks begin, from the first day on, and the end of the last day."""
    count = (last_on - first_on).days // WEEK_DAYS + 1
    days = [first_on + timedelta(days=WEEK_DAYS * n) for n in range(count)]
    return [end_of_day(day - DAY, zone) for day in [*days, last_on + DAY]]


def _unfilled(inventory: Inventory, batch: Batch) -> int:
    """Tenths of a gram of a batch that went into no container, if all were weighed."""
    whole = tenths(batch.total_g)
    members = [x for x in inventory.members.get(batch.id, ()) if not x.parent]
    masses = [tenths(one.filled_g) for one in members]
    if whole is None or not masses or None in masses:
        return 0
    return whole - sum(one for one in masses if one is not None)


def _measures(watch: Watch, codes: set[str]) -> Measures:
    strays = sum(1 for one in watch.out_of_order if one.code in codes)
    rescues = [one for one in watch.rescues if one.code in codes]
    used = [one for one in rescues if one.kind == "used"]
    frozen = [one for one in rescues if one.kind == "frozen"]
    over = sum(1 for one in used if one.was_over)
    unknown = sum(1 for one in used if one.stood.standing == "unknown")
    return Measures(
        used=len(used),
        picks=sum(1 for one in watch.picks if one.code in codes),
        out_of_order=strays,
        in_time=len(used) - over - unknown,
        over=over,
        not_known=unknown,
        marked_late=_containers(one for one in rescues if one.is_marked_late),
        late_saves=_containers(one for one in rescues if one.is_late_save),
        age_at_use=middle(one.age_days for one in used),
        frozen=len(frozen),
        left_when_frozen=middle(one.days_left for one in frozen),
    )


def _containers(rescues: Iterable[Rescue]) -> int:
    """How many containers these are about; one may be saved twice."""
    return len({one.code for one in rescues})
