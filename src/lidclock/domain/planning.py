"""What a kitchen means to do: its meals, and the choices that proposals hang on."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date, datetime, time
from typing import Any

from lidclock.domain.events import Event
from lidclock.domain.fold import corrected

# Events of kind `noted` under these subjects; the latest that stands is what counts.
MEAL_SUBJECT = "meal/"
CHOICES_SUBJECT = "plan/kitchen"
FOOD_PLAN_SUBJECT = "plan/food/"
ANSWER_SUBJECT = "answer/"
ACCEPTED, DECLINED, PUT_OFF = ANSWERS = ("accepted", "declined", "put-off")
SHAPES = ("tub", "bag", "tray", "ball")


@dataclass(frozen=True, slots=True)
class Item:
    """A food of a meal; `portions=None` is one for each eater."""

    food: str
    portions: int | None = None


@dataclass(frozen=True, slots=True)
class Meal:
    """A meal, once or by a rule of RFC 5545; `begins` is wall time in `zone_name`.

    `rule` is the text after `RRULE:`, empty where it happens once; `without` are the
    local dates on which it does not. `spread` is the standard deviation of `eaters`,
    None where nobody said.
    """

    id: str
    begins: datetime
    zone_name: str
    items: tuple[Item, ...]
    name: str = ""
    rule: str = ""
    without: tuple[date, ...] = ()
    eaters: int | None = None
    spread: float | None = None

    def portions_of(self, item: Item) -> int:
        """How many portions of `item` are wanted: one where nobody said."""
        return item.portions if item.portions is not None else (self.eaters or 1)

    def as_dict(self) -> dict[str, Any]:
        """The meal as JSON-ready data, without its id."""
        return {
            "begins": self.begins.isoformat(timespec="minutes"),
            "zone": self.zone_name,
            "items": [[one.food, one.portions] for one in self.items],
            "name": self.name,
            "rule": self.rule,
            "without": [day.isoformat() for day in self.without],
            "eaters": self.eaters,
            "spread": self.spread,
        }


def meal_from(meal_id: str, facts: Mapping[str, Any]) -> Meal:
    """The meal that `as_dict` described."""
    return Meal(
        id=meal_id,
        begins=datetime.fromisoformat(facts["begins"]),
        zone_name=facts["zone"],
        items=tuple(Item(food, portions) for food, portions in facts["items"]),
        name=facts["name"],
        rule=facts["rule"],
        without=tuple(date.fromisoformat(day) for day in facts["without"]),
        eaters=facts["eaters"],
        spread=facts["spread"],
    )


@dataclass(frozen=True, slots=True)
class Occurrence:
    """One meal on one day; `at` is its instant in UTC, `on` its local date."""

    meal: Meal
    at: datetime
    on: date

    @property
    def key(self) -> str:
        """What names it, whatever hour it is moved to on that day."""
        return f"{self.meal.id}/{self.on.isoformat()}"


@dataclass(frozen=True, slots=True)
class FoodPlan:
    """What proposals need to know of one food; None is left to the kitchen's choices.

    `worth` is what a portion costs when it is wasted, `freezing` what freezing and
    thawing one costs, `short` what a missing one costs, all in the kitchen's money.
    `thaw_h` is how long the kitchen itself takes to thaw one in a fridge, `temper_h`
    how long it stands on the counter before it is eaten or worked. `thick_mm` and
    `shape` describe its usual container; `model` is a food of the model of heat.
    """

    worth: float | None = None
    freezing: float | None = None
    short: float | None = None
    thaw_h: float | None = None
    temper_h: float | None = None
    thick_mm: float | None = None
    shape: str = "tub"
    model: str = ""

    def as_dict(self) -> dict[str, Any]:
        """As JSON-ready data."""
        return {name: getattr(self, name) for name in FoodPlan.__slots__}


@dataclass(frozen=True, slots=True)
class Choices:
    """What a kitchen chose for its proposals; `foods` by casefolded name.

    `card_hours` are the local hours at which the card speaks. `worth`, `freezing` and
    `short` are costs of a portion where a food names none; `service` is the share of
    days on which what was made should last, where `short` is not known. `cover_days`
    is how many days one making has to last.
    """

    card_hours: tuple[time, ...] = (time(7, 30),)
    most_shown: int = 5
    money: str = ""
    worth: float = 3.0
    freezing: float = 1.0
    short: float | None = None
    service: float = 0.95
    cover_days: int = 3
    use_up_days: tuple[int, ...] = (0, 1, 2, 3, 4, 5, 6)
    use_up_at: time = time(18, 30)
    foods: Mapping[str, FoodPlan] = field(default_factory=dict)

    def food(self, name: str) -> FoodPlan:
        """What was said of the food called `name`, in any case."""
        return self.foods.get(name.casefold(), FoodPlan())

    def worth_of(self, name: str) -> float:
        """What a wasted portion of it costs."""
        own = self.food(name).worth
        return self.worth if own is None else own

    def freezing_of(self, name: str) -> float:
        """What freezing and thawing a portion of it costs."""
        own = self.food(name).freezing
        return self.freezing if own is None else own

    def short_of(self, name: str) -> float | None:
        """What a missing portion of it costs; None where nobody said."""
        own = self.food(name).short
        return self.short if own is None else own

    def as_dict(self) -> dict[str, Any]:
        """As JSON-ready data, without the foods."""
        return {
            "card_hours": [one.isoformat("minutes") for one in self.card_hours],
            "most_shown": self.most_shown,
            "money": self.money,
            "worth": self.worth,
            "freezing": self.freezing,
            "short": self.short,
            "service": self.service,
            "cover_days": self.cover_days,
            "use_up_days": list(self.use_up_days),
            "use_up_at": self.use_up_at.isoformat("minutes"),
        }

    @classmethod
    def told(cls, facts: Mapping[str, Any]) -> Choices:
        """What `as_dict` described; what is not named is as it comes."""
        read = {name: _READ.get(name, _same)(value) for name, value in facts.items()}
        return cls(**read)


@dataclass(frozen=True, slots=True)
class Answer:
    """What somebody said to a proposal: `accepted`, `declined` or `put-off` until.

    `proposal` is what was proposed, as JSON-ready data.
    """

    key: str
    answer: str
    at: datetime
    until: datetime | None = None
    reason: str = ""
    who: str = ""
    proposal: Mapping[str, Any] = field(default_factory=dict)


def answers_from(events: Iterable[Event]) -> dict[str, Answer]:
    """The latest answer that stands to each proposal, by its key."""
    latest: dict[str, Answer] = {}
    for event in _standing(events):
        body = event.body
        until = body.get("until")
        latest[body["key"]] = Answer(
            key=body["key"],
            answer=body["answer"],
            at=event.happened_at,
            until=datetime.fromisoformat(until) if until else None,
            reason=body.get("reason", ""),
            who=event.who,
            proposal=body.get("proposal", {}),
        )
    return latest


def choices_from(events: Iterable[Event]) -> Choices:
    """The choices that stand, out of the events under `plan/`."""
    kitchen: Mapping[str, Any] = {}
    foods: dict[str, FoodPlan] = {}
    for event in _standing(events):
        if event.subject == CHOICES_SUBJECT:
            kitchen = event.body["choices"]
        elif event.subject.startswith(FOOD_PLAN_SUBJECT):
            name = event.subject.removeprefix(FOOD_PLAN_SUBJECT)
            foods[name] = FoodPlan(**event.body["plan"])
    return replace(Choices.told(kitchen), foods=foods)


def told_of(events: Iterable[Event], subject: str, key: str) -> dict[str, Any]:
    """What was last said under `subject`, only what was named; empty if nothing was."""
    told = [one.body[key] for one in _standing(events) if one.subject == subject]
    return dict(told[-1]) if told else {}


def _same(value: Any) -> Any:
    return value


def _times(texts: Iterable[str]) -> tuple[time, ...]:
    return tuple(map(time.fromisoformat, texts))


_READ: Mapping[str, Callable[[Any], Any]] = {
    "card_hours": _times,
    "use_up_at": time.fromisoformat,
    "use_up_days": tuple,
}


def meals_from(events: Iterable[Event]) -> list[Meal]:
    """The meals that stand, by when they begin; one taken off the list has no body."""
    latest: dict[str, Meal | None] = {}
    for event in _standing(events):
        meal_id = event.subject.removeprefix(MEAL_SUBJECT)
        facts = event.body.get("meal")
        latest[meal_id] = meal_from(meal_id, facts) if facts else None
    known = [one for one in latest.values() if one is not None]
    return sorted(known, key=lambda one: (one.begins, one.id))


def _standing(events: Iterable[Event]) -> list[Event]:
    """What was noted and nobody took back, as it was recorded."""
    noted = [one for one in corrected(events) if one.kind == "noted"]
    return sorted(noted, key=lambda one: (one.recorded_at, one.id))
