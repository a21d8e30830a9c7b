"""The shapes of what the API takes and gives, for its description."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any, Literal

from pydantic import BaseModel, ConfigDict, Field

_CODE = "4F7K2M0"
_ID = "019a0f3e-7c00-7a11-8c21-5d0f3a9e4b77"


def _example(**values: Any) -> ConfigDict:
    return ConfigDict(json_schema_extra={"examples": [values]})


class Error(BaseModel):
    """What went wrong, in one line that says what to do."""

    model_config = _example(error="'4F7K2M1' is not a container code")
    error: str


class Place(BaseModel):
    """A fridge, freezer, counter or hot hold."""

    model_config = _example(name="Fridge", state="fridge")
    name: str
    state: Literal["fridge", "freezer", "counter", "hot"]


class Kitchen(BaseModel):
    """The kitchen that is served."""

    name: str
    zone: str
    units: str


class Container(BaseModel):
    """A container as a list shows it; `segments` are its lid's rim, from the top.

    `status` holds at the moment asked, `standing` until the next event. The
    `last_moment` is exclusive. No `last_day` while it is paused or unknown.
    """

    code: str = Field(examples=[_CODE])
    food: str
    index: int | None
    of: int | None
    place: str | None
    state: str | None
    status: Literal["keep", "soon", "last-day", "over", "paused", "unknown", "ended"]
    standing: Literal["dated", "paused", "unknown", "ended"]
    last_day: date | None
    last_moment: datetime | None
    word: str
    note: str
    segments: list[Literal["spent", "left", "hatched"]]
    mass_g: float | None


class Shelf(BaseModel):
    """What is where."""

    now: datetime
    kitchen: Kitchen
    places: list[Place]
    containers: list[Container]


class Fact(BaseModel):
    """One recorded event."""

    id: str
    kind: str
    subject: str
    happened_at: datetime
    recorded_at: datetime
    who: str | None
    body: dict[str, Any]


class HistoryFact(Fact):
    """One recorded event; a voided one was taken back, and stays."""

    voided: bool


class ContainerWhole(Container):
    """One container whole; its verdict names every limit, its source and its why."""

    now: datetime
    category: str
    allergens: list[str] | None
    known_allergens: list[str]
    lot: str | None
    made_at: datetime | None
    opened_at: datetime | None
    ended: str | None
    ended_at: datetime | None
    ended_reason: str | None
    says: str
    lid: str | None
    verdict: dict[str, Any]
    contradictions: list[Fact]
    history: list[HistoryFact]


class Picked(BaseModel):
    """So many portions of a container."""

    code: str
    portions: int
    whole: bool


class Step(BaseModel):
    """A container from one place to another, at its hour."""

    at: datetime
    code: str
    to: str
    ready_at: datetime | None


class Wanted(BaseModel):
    """So many portions of a food."""

    food: str
    portions: int


class Loss(BaseModel):
    """What goes if nobody acts; `harm` where somebody may eat what is over."""

    portions: float
    money: float
    harm: bool


class Proposal(BaseModel):
    """One next action, in English; `key` is what an answer names.

    `at` is the hour to do it, null for now; `before` when it is too late. `wants` are
    foods to make, or those of a meal that it would add. `hint` is a command.
    """

    kind: str
    key: str
    says: str
    at: datetime | None
    before: datetime | None
    containers: list[Picked]
    steps: list[Step]
    to: str | None
    meal: str | None
    wants: list[Wanted]
    loss: Loss
    why: list[str]
    hint: str | None


class ShownProposal(Proposal):
    """A proposal on the card; `agreed` where somebody said so and its hour has come."""

    agreed: bool


class Card(BaseModel):
    """What to do next, for one moment; `more` did not fit, the rest was answered.

    `money` is what a `loss` is counted in.
    """

    now: datetime
    next: datetime
    money: str | None
    proposals: list[ShownProposal]
    more: list[Proposal]
    agreed: list[Proposal]
    put_off: list[Proposal]
    declined: list[Proposal]


class Answer(BaseModel):
    """What is said to a proposal; `text` is the reason, or who takes what is given."""

    model_config = ConfigDict(
        extra="forbid",
        json_schema_extra={
            "examples": [{"key": "discard/4F7K2M0", "answer": "accept", "text": ""}]
        },
    )
    key: str = Field(min_length=1, max_length=300)
    answer: Literal["accept", "decline", "put-off"]
    text: str = Field("", max_length=200)


class Answered(BaseModel):
    """What came of an answer: what was done at once, and what was agreed for later."""

    key: str
    answer: str
    done: list[str]
    agreed: list[str]
    until: datetime | None


class Alert(BaseModel):
    """What needs somebody; `key` is what an answer names, and stays while it is so.

    One without a code is about a place. While `answer` holds, somebody sees to it; it
    comes back at `back_at` if it is still so then, and at once if something changes.
    """

    key: str
    kind: Literal[
        "cooling",
        "over",
        "last-day",
        "soon",
        "check",
        "unknown",
        "unmarked",
        "missing",
        "excursion",
        "silent",
        "disagree",
    ]
    what: str
    place: str | None
    code: str | None
    says: str
    answer: Literal["seen-to", "mine"] | None
    answered_by: str | None
    answered_at: datetime | None
    back_at: datetime | None


class AlertAnswer(BaseModel):
    """What is said to an alert: it is seen to, or whoever says so will see to it."""

    model_config = ConfigDict(
        extra="forbid",
        json_schema_extra={
            "examples": [{"key": "unmarked/4F7K2M0/loose dated", "answer": "mine"}]
        },
    )
    key: str = Field(min_length=1, max_length=500)
    answer: Literal["seen-to", "mine"]


class Feed(BaseModel):
    """The calendar's address: since when there is one; itself only where it was made.

    `token` is the secret in it; `address` holds it already.
    """

    since: datetime | None
    token: str | None = None
    address: str | None = None


class FeedWish(BaseModel):
    """`make` gives a new address and ends the one before; `end` ends it."""

    model_config = ConfigDict(
        extra="forbid", json_schema_extra={"examples": [{"do": "make"}]}
    )
    do: Literal["make", "end"]


class Food(BaseModel):
    """A food that this kitchen described."""

    name: str
    category: str
    allergens: list[str] | None
    made_by: str
    portion_g: float | None
    house_days: int | None


class SentEvent(BaseModel):
    """One fact that a device recorded; `body` depends on the kind."""

    id: str = Field(description="UUIDv7 in small letters, made on the device")
    kind: str = Field(
        description="placed, opened, used, discarded, given, taken, cooled, reheated, "
        "missing, found, corrected to take back one of its own, or measured"
    )
    subject: str = Field(
        description="a container's code; of a cooling log also its batch's id; of "
        "measured `place/` and a place's name"
    )
    happened_at: str = Field(description="ISO 8601 with an offset")
    body: dict[str, Any] = Field(
        default_factory=dict,
        description="placed: place, and maybe state, temp_c, ready_at. discarded: "
        "reason. given: to. taken: mass_g. cooled, reheated: maybe temp_c; cooled with "
        "phase read: temp_c, for its log. corrected: event (an id), void (true). "
        "measured: temp_c, and anyway (true) for what looks like a slip. Else nothing.",
    )


class Sent(BaseModel):
    """What a device kept until now."""

    model_config = _example(
        events=[
            {
                "id": _ID,
                "kind": "placed",
                "subject": _CODE,
                "happened_at": "2026-11-03T17:10:00-05:00",
                "body": {"place": "Freezer"},
            }
        ],
        sent_at="2026-11-03T17:10:02-05:00",
    )
    # Each event is judged alone, so one that is wrong does not hold up the others.
    events: list[Any] = Field(
        max_length=10_000, description="each one an object as SentEvent has it"
    )
    sent_at: str = Field(description="by the device's clock, ISO 8601 with an offset")


class Result(BaseModel):
    """What became of one event."""

    id: str
    result: Literal["recorded", "known", "refused"]
    says: str
    contradiction: bool


class Results(BaseModel):
    """One result for each event, in order; `clock_off_s` is above zero if ahead."""

    results: list[Result]
    clock_off_s: float
    says: str = Field(description="about the device's clock; empty where it is right")
