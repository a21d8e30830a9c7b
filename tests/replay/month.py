"""The script of a month: the kitchen, its sensors, and what happens on which day.

Written before any alarm was counted. `expected` is the alarm that a cook would want;
without one the event has to stay quiet, since it needs nobody. The figures
are invented; nothing here is any real kitchen's.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

from lidclock.domain.kitchens import Place

DAYS = 30
SEED = 20261005
# Clocks go back on the 21st day, Sunday 25 October 2026, at 01:00 UTC.
ZONE_NAME = "Europe/Dublin"
GUIDANCE = "ie"
_ZONE = ZoneInfo(ZONE_NAME)
_FIRST = datetime(2026, 10, 5, tzinfo=_ZONE)
BEGAN = _FIRST.astimezone(UTC)
EVERYWHERE = "everywhere"

PLACES = (
    Place("Walk-in", "fridge"),
    Place("Prep fridge", "fridge"),
    Place("Milk fridge", "fridge"),
    Place("Drinks fridge", "fridge"),
    Place("Freezer", "freezer"),
    Place("Hot hold", "hot"),
    Place("Counter", "counter"),
)
COLD = ("Walk-in", "Prep fridge", "Milk fridge", "Drinks fridge", "Freezer")
TYPED = "Drinks fridge"


@dataclass(frozen=True, slots=True)
class Probe:
    """A sensor: it follows the air late, is a little off, and says tenths.

    `is_told` if the kitchen said how often it speaks; else its own pace counts.
    """

    name: str
    place: str
    every_min: float
    lag_min: float = 2.0
    noise_c: float = 0.1
    is_told: bool = True


PROBES = (
    Probe("Walk-in, by the door", "Walk-in", 1),
    Probe("Walk-in, at the back", "Walk-in", 5, is_told=False),
    Probe("Prep probe", "Prep fridge", 2, lag_min=3),
    Probe("Milk probe", "Milk fridge", 5, is_told=False),
    Probe("Freezer probe", "Freezer", 5),
    Probe("Hot probe", "Hot hold", 1),
    Probe("Spare probe", "Counter", 5, lag_min=4),
)


@dataclass(frozen=True, slots=True)
class Act:
    """What acts on a place: a `door` open so far, `power` left, `shift` of the
    thermostat in °C, `heat` put in, in °C a minute, which fades within 90 min."""

    place: str
    what: str
    amount: float
    is_gradual: bool = False


@dataclass(frozen=True, slots=True)
class Fault:
    """What goes wrong with a probe: `silent`, `late`, `stuck`, `off`, `power-on`."""

    probe: str
    what: str
    amount: float = 0.0


@dataclass(frozen=True, slots=True)
class Event:
    """One thing that happens, in minutes since the month began.

    An alarm counts for it from its beginning until `settles` minutes after its end;
    kinds in `also` are no false alarms, and no hits.
    """

    what: str
    place: str
    began: float
    ended: float
    expected: str = ""
    acts: tuple[Act, ...] = ()
    faults: tuple[Fault, ...] = ()
    also: tuple[str, ...] = ()
    settles: float = 60.0


@dataclass(frozen=True, slots=True)
class Move:
    """The spare probe goes elsewhere, and somebody records it at once."""

    probe: str
    place: str
    at: float


def minute(day: int, clock: str) -> float:
    """Minutes since the month began, of a local time on its first, second ... day."""
    hours, minutes = map(int, clock.split(":"))
    local = (_FIRST + timedelta(days=day - 1)).replace(hour=hours, minute=minutes)
    return (local.astimezone(UTC) - BEGAN) / timedelta(minutes=1)


def instant_of(minutes: float) -> datetime:
    """The instant that many minutes after the month began."""
    return BEGAN + timedelta(minutes=minutes)


def local_of(minutes: float) -> datetime:
    """The same on the kitchen's wall."""
    return instant_of(minutes).astimezone(_ZONE)


def is_open(minutes: float) -> bool:
    """Whether people work there: Monday to Saturday, 8 to 18."""
    local = local_of(minutes)
    return local.weekday() < 6 and 8 <= local.hour < 18


def _door(what: str, place: str, began: float, lasts: float, wide: float) -> Event:
    acts = (Act(place, "door", wide),)
    return Event(what, place, began, began + lasts, acts=acts)


def _real(one: Event, settles: float = 60.0) -> Event:
    return Event(
        *(one.what, one.place, one.began, one.ended, "excursion", one.acts, one.faults),
        settles=settles,
    )


def _machine(
    *where: str | float, what: str, kind: str, amount: float, is_gradual: bool = False
) -> Event:
    place, began, ended = where
    assert isinstance(place, str)
    acts = (Act(place, kind, amount, is_gradual),)
    return Event(
        what, place, float(began), float(ended), "excursion", acts, settles=180
    )


def _probe(
    what: str,
    probe: str,
    when: tuple[float, float],
    *,
    fault: str,
    amount: float = 0.0,
) -> Event:
    place = next(one.place for one in PROBES if one.name == probe)
    return Event(what, place, *when, faults=(Fault(probe, fault, amount),))


def _expects(one: Event, kind: str, *also: str, settles: float = 60.0) -> Event:
    return Event(
        *(one.what, one.place, one.began, one.ended, kind, one.acts, one.faults, also),
        settles=settles,
    )


def _cut(place: str) -> Event:
    where = (place, minute(13, "02:00"), minute(13, "05:30"))
    return _machine(*where, what="power cut of 3 h 30 min", kind="power", amount=0.0)


def _lasted_out() -> Event:
    """A walk-in holds much, and its air stays within the limit for that long."""
    one = _cut("Walk-in")
    return Event(one.what, one.place, one.began, one.ended, acts=one.acts)


def _short_cut() -> Event:
    acts = tuple(Act(place, "power", 0.0) for place in COLD)
    began = minute(30, "19:00")
    return Event("power cut of 20 min", EVERYWHERE, began, began + 20, acts=acts)


def _hub() -> Event:
    faults = tuple(
        Fault(one.name, "late") for one in PROBES if one.place not in ("Hot hold",)
    )
    began = minute(29, "20:00")
    what = "the hub keeps everything back for 40 min, then sends it"
    return Event(what, EVERYWHERE, began, began + 40, "silent", faults=faults)


EVENTS: tuple[Event, ...] = (
    _door("delivery: door open on and off", "Walk-in", minute(1, "10:00"), 12, 0.7),
    _real(_door("door wide open", "Milk fridge", minute(1, "13:00"), 45, 1.0)),
    _probe(
        *("85.0 °C once, after a power-on", "Milk probe"),
        (minute(2, "06:10"), minute(2, "06:16")),
        fault="power-on",
    ),
    _expects(
        _probe(
            *("silent for 2 h", "Freezer probe"),
            (minute(2, "15:00"), minute(2, "17:00")),
            fault="silent",
        ),
        "silent",
    ),
    _real(
        _door("door ajar overnight", "Prep fridge", minute(3, "22:00"), 480, 0.25), 180
    ),
    _door("shelves wiped, door open", "Prep fridge", minute(5, "15:00"), 12, 1.0),
    _machine(
        *("Walk-in", minute(6, "15:30"), minute(6, "17:30")),
        what="hot stock pots put in",
        kind="heat",
        amount=2.2,
    ),
    Event(
        *("nobody looks on a Sunday", TYPED, minute(6, "16:30"), minute(8, "07:30")),
        "silent",
    ),
    _real(
        _door("door ajar between two looks", TYPED, minute(8, "12:30"), 120, 0.4), 60
    ),
    _real(_door("door ajar, seen at a look", TYPED, minute(9, "14:00"), 180, 0.4), 60),
    _machine(
        *("Milk fridge", minute(9, "20:00"), minute(12, "15:00")),
        what="compressor fails over three days",
        kind="power",
        amount=0.2,
        is_gradual=True,
    ),
    _machine(
        *("Hot hold", minute(10, "11:20"), minute(10, "13:40")),
        what="burner goes out",
        kind="power",
        amount=0.0,
    ),
    _door("lid off to stir", "Hot hold", minute(11, "12:15"), 6, 1.0),
    *(_cut(place) for place in ("Prep fridge", "Milk fridge", "Freezer")),
    _lasted_out(),
    _machine(
        *("Walk-in", minute(15, "20:00"), minute(16, "07:00")),
        what="half a degree over for hours: set too warm",
        kind="shift",
        amount=3.3,
    ),
    _expects(
        _probe(
            *("one of two silent for 2 days", "Walk-in, at the back"),
            (minute(17, "10:00"), minute(19, "10:00")),
            fault="silent",
        ),
        "silent",
    ),
    _expects(
        _probe(
            *("one of two stuck, the place is cold", "Walk-in, by the door"),
            (minute(20, "08:00"), minute(20, "23:00")),
            fault="stuck",
        ),
        "disagree",
    ),
    Event(
        "clocks go back, nothing else",
        EVERYWHERE,
        minute(21, "00:00"),
        minute(21, "06:00"),
    ),
    Event(
        *("the only probe stuck, then door ajar", "Prep fridge"),
        *(minute(22, "19:00"), minute(23, "02:00"), "excursion"),
        acts=(Act("Prep fridge", "door", 0.3),),
        faults=(Fault("Prep probe", "stuck"),),
    ),
    Event(
        "spare probe put in, still warm",
        "Prep fridge",
        minute(23, "11:00"),
        minute(23, "11:40"),
    ),
    _door(
        "lunch rush: door half the time", "Prep fridge", minute(24, "12:00"), 40, 0.2
    ),
    Event(
        "spare probe taken out again",
        "Counter",
        minute(24, "16:00"),
        minute(24, "16:40"),
    ),
    _expects(
        _probe(
            *("one of two says 3.6 °C too much", "Walk-in, at the back"),
            (minute(25, "08:00"), minute(25, "20:00")),
            fault="off",
            amount=3.6,
        ),
        *("disagree", "excursion"),
    ),
    _real(_door("door ajar overnight", "Freezer", minute(26, "19:30"), 690, 0.25), 180),
    Event(
        *("set near the limit: cycles cross it", "Milk fridge"),
        *(minute(28, "20:00"), minute(29, "04:00")),
        acts=(Act("Milk fridge", "shift", 1.8),),
    ),
    _hub(),
    _probe(
        *("85.0 °C once, after a power-on", "Freezer probe"),
        (minute(30, "03:10"), minute(30, "03:16")),
        fault="power-on",
    ),
    _short_cut(),
)

MOVES = (
    Move("Spare probe", "Prep fridge", minute(23, "11:00")),
    Move("Spare probe", "Counter", minute(24, "16:00")),
)
# The bath is heated from here on, and its probe counts while food is served.
HEATED, SERVED, CLEARED = "08:00", "11:00", "14:00"
LOOKS = ("07:30", "16:30")
SUNDAY_LOOKS = ("09:00", "18:00")
LOOK_SPREAD_MIN = 20.0


@dataclass(frozen=True, slots=True)
class Script:
    """What a run plays: the first `days` days of the month."""

    days: int = DAYS
    events: tuple[Event, ...] = field(default=EVENTS)

    @property
    def minutes(self) -> float:
        """How long it is."""
        return minute(self.days + 1, "00:00")

    @property
    def played(self) -> tuple[Event, ...]:
        """The events that are over before it ends."""
        return tuple(
            one for one in self.events if one.ended + one.settles <= self.minutes
        )
