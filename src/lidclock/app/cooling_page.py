"""Coolings as the page shows them, and what is done about one, by one word."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

from lidclock.app import cooling
from lidclock.app.cooling import Logged, Setting, Target, target_of
from lidclock.app.cooling_watch import open_standings
from lidclock.app.history_words import corrections_in, own_events
from lidclock.app.outlook import Standing, alike, standing_of
from lidclock.app.portions import split
from lidclock.app.session import Session, Unit
from lidclock.domain.codes import spaced
from lidclock.domain.events import Event
from lidclock.domain.sentences import figure, sentence
from lidclock.errors import InputError, RefusedError

# What was made so long ago may still want a log. Our choice: past every published
# stage, within a working day.
RECENT = timedelta(hours=12)
_MOST_PANS = 12


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of a log: what was measured or done, when, by whom."""

    at: datetime
    temp_c: float | None
    medium_c: float | None
    depth_mm: float | None
    is_covered: bool | None
    is_reheating: bool
    is_closing: bool
    who: str
    recorded_at: datetime


@dataclass(frozen=True, slots=True)
class Log:
    """A cooling log: `key` is what entries name it by, `subject` what devices do."""

    key: str
    subject: str
    batch_number: int | None
    food: str
    codes: tuple[str, ...]
    standing: Standing
    entries: tuple[Entry, ...]

    @property
    def last(self) -> Entry | None:
        """The last entry with a temperature."""
        read = [one for one in self.entries if one.temp_c is not None]
        return read[-1] if read else None


@dataclass(frozen=True, slots=True)
class Candidate:
    """A batch that was made lately and has no log."""

    number: int
    food: str
    count: int


@dataclass(frozen=True, slots=True)
class Act:
    """What is done about a cooling: `do` is a key of the acts, the rest is what some
    of them need. `at=None` is now.
    """

    do: str
    of: str
    temp_c: float | None = None
    medium_c: float | None = None
    depth_mm: float | None = None
    is_covered: bool | None = None
    place: str = ""
    pans: int = 1
    text: str = ""
    at: datetime | None = None
    anyway: bool = False


def open_logs(session: Session) -> list[Log]:
    """Every open log, the most urgent first."""
    with session.read() as unit:
        return [_log(one) for one in open_standings(unit)]


def log_of(session: Session, typed: str) -> Log:
    """The log of a batch or container, closed ones too; RefusedError without one."""
    with session.read() as unit:
        target = target_of(unit, typed)
        views = [unit.view(one.code) for one in target.containers]
        logged = [view for view in views if view.container.cooling is not None]
        logged.sort(key=lambda view: view.container.cools_alone)
        if not logged:
            raise RefusedError(
                sentence("{name} has no cooling log: start one", name=target.name)
            )
        return _log(alike([standing_of(view, session) for view in logged])[0])


def _log(standing: Standing) -> Log:
    view = standing.view
    batch = view.inventory.batches.get(view.container.batch or "")
    is_alone = batch is None or view.container.cools_alone
    is_whole = not is_alone and standing.log.subject != view.code and batch is not None
    return Log(
        str(batch.number) if is_whole and batch else view.code,
        batch.id if is_whole and batch else view.code,
        batch.number if batch else None,
        view.food.name,
        tuple(one.code for one in standing.views),
        standing,
        tuple(_entries(standing)),
    )


def _entries(standing: Standing) -> list[Entry]:
    view = standing.view
    voided, _ = corrections_in(view)
    parent, split_at = view.container.parent, view.container.filled_at
    # What happened to the pan it came from after it was taken out is not its own.
    foreign = {
        event.id
        for event in own_events(view)
        if event.subject == parent and split_at and event.happened_at >= split_at
    }
    return [
        _entry(event)
        for event in own_events(view)
        if event.kind in ("cooled", "reheated")
        and event.id not in voided | foreign
        and event.happened_at >= standing.log.began
    ]


def _entry(event: Event) -> Entry:
    body = event.body
    return Entry(
        event.happened_at,
        body.get("temp_c"),
        body.get("medium_c"),
        body.get("depth_mm"),
        body.get("covered"),
        event.kind == "reheated",
        body.get("phase") == "finish",
        event.who,
        event.recorded_at,
    )


def candidates(session: Session) -> list[Candidate]:
    """Batches that were made lately and have no open log, the latest first."""
    found: dict[int, Candidate] = {}
    with session.read() as unit:
        cooling_now = {one.batch_id for one in unit.snapshots.cooling()}
        for batch in unit.snapshots.batches():
            if batch.made_at < session.now - RECENT or batch.id in cooling_now:
                continue
            live = unit.snapshots.find(batch=batch.number)
            if live:
                found[batch.number] = Candidate(batch.number, batch.food, len(live))
    return [found[number] for number in sorted(found, reverse=True)]


def act(session: Session, what: Act, once: str = "") -> tuple[Logged, str]:
    """Do it, as one act that one undo takes back; how the cooling stands then.

    `once` is the act that it is: what is said under it again is done already.
    """
    do = _ACTS.get(what.do)
    if do is None:
        raise InputError(f"{what.do!r} is nothing that is done to what cools")
    with session.write() as unit:
        target = target_of(unit, what.of)
        with unit.one_act(once) as number:
            if unit.has_act(once):
                return Logged(target, cooling.standings_of(unit, target)), number
            return do(unit, target, what), number


def _start(unit: Unit, target: Target, what: Act) -> Logged:
    place = unit.session.place(what.place) if what.place else None
    setting = Setting(what.depth_mm, what.is_covered, place, what.medium_c)
    return cooling.start(
        unit, target, setting, temp_c=what.temp_c, at=what.at, anyway=what.anyway
    )


def _changed(unit: Unit, target: Target, what: Act) -> Logged:
    """It cools otherwise from now on: shallower, uncovered, in a bath, elsewhere."""
    if not any(unit.view(x.code).container.cooling_since for x in target.containers):
        raise RefusedError(
            sentence(
                "{name} has no open cooling log: start one first", name=target.name
            )
        )
    return _start(unit, target, what)


def _read(unit: Unit, target: Target, what: Act) -> Logged:
    return cooling.read(
        *(unit, target, _temp(what)),
        at=what.at,
        medium_c=what.medium_c,
        anyway=what.anyway,
    )


def _finish(unit: Unit, target: Target, what: Act) -> Logged:
    return cooling.finish(unit, target, _temp(what), at=what.at, anyway=what.anyway)


def _split(unit: Unit, target: Target, what: Act) -> Logged:
    """Into shallower pans: each keeps the start, and is measured on its own."""
    if what.depth_mm is None:
        raise InputError(sentence("say how deep it lies now, such as 50 mm or 2 in"))
    if what.pans <= 1:
        return _changed(unit, target, what)
    if what.pans > _MOST_PANS:
        raise InputError(
            sentence("at most {most} pans at once", most=figure(_MOST_PANS))
        )
    if len(target.containers) != 1:
        raise InputError(
            sentence(
                "{name} is several containers: split one at a time, by its code",
                name=target.name,
            )
        )
    (known,) = target.containers
    if known.mass_g is None:
        raise RefusedError(
            sentence(
                "nobody recorded how much {code} holds: weigh it and correct its mass "
                "first, or record the new depth alone",
                code=spaced(known.code),
            )
        )
    share = round(known.mass_g / what.pans, 1)
    new = split(unit, known.code, [share] * (what.pans - 1), at=what.at)
    for view in new.views:
        _changed(unit, target_of(unit, view.code), what)
    return _changed(unit, target_of(unit, known.code), what)


def _bath(unit: Unit, target: Target, what: Act) -> Logged:
    if what.medium_c is None:
        raise InputError(sentence("measure the bath and say what it shows"))
    return _changed(unit, target, what)


def _vent(unit: Unit, target: Target, what: Act) -> Logged:
    return _changed(unit, target, Act("vent", what.of, is_covered=False, at=what.at))


def _move(unit: Unit, target: Target, what: Act) -> Logged:
    if not what.place:
        raise InputError(sentence("say where it stands now"))
    return _changed(unit, target, what)


def _reheat(unit: Unit, target: Target, what: Act) -> Logged:
    hot_c = _temp(what)
    return cooling.finish(unit, target, reheat_c=hot_c, at=what.at, anyway=what.anyway)


def _discard(unit: Unit, target: Target, what: Act) -> Logged:
    return cooling.finish(
        unit, target, discard=what.text, at=what.at, anyway=what.anyway
    )


def _temp(what: Act) -> float:
    if what.temp_c is None:
        raise InputError(sentence("say what the thermometer shows"))
    return what.temp_c


_ACTS: Mapping[str, Callable[[Unit, Target, Act], Logged]] = {
    "start": _start,
    "read": _read,
    "finish": _finish,
    "split": _split,
    "bath": _bath,
    "vent": _vent,
    "move": _move,
    "reheat": _reheat,
    "discard": _discard,
}
ACTS = tuple(_ACTS)
