"""The shapes of counts of places and of what became of what was made."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any, Literal

from pydantic import BaseModel, ConfigDict, Field

from lidclock.web.api.models import Container


class _Sent(BaseModel):
    """What is sent names nothing that is not known here."""

    model_config = ConfigDict(extra="forbid")


class Nothing(_Sent):
    """An empty object: the address says it all."""


class Countable(BaseModel):
    """A place to count; `count` is the id of the one under way."""

    place: str
    expected: int
    last_at: datetime | None
    count: str | None


class Begin(_Sent):
    """Which place is counted."""

    place: str = Field(min_length=1, max_length=200, examples=["Freezer"])


class Scans(_Sent):
    """Lids as they were scanned or typed, in order; one twice does no harm."""

    lines: list[str] = Field(max_length=2000, examples=[["4F7K2M0"]])


class Heard(BaseModel):
    """The answer to one line; `odd` and `bad` want somebody to look."""

    kind: Literal["good", "odd", "bad"]
    says: str
    code: str | None


class Standing(BaseModel):
    """A count under way, beside what the kitchen says.

    `elsewhere` belongs to another place; of those in `undated` it must be said since
    when they are here. In `ended` nothing should be left.
    """

    count: str
    place: str
    began_at: datetime
    who: str | None
    seen: int
    expected: int
    missing: list[Container]
    elsewhere: list[Container]
    undated: list[str]
    ended: list[Container]
    unmarked: list[str]
    not_known: list[str]
    answers: list[Heard]


class Became(_Sent):
    """What became of a container that was not seen.

    `reason` goes with discarded, `place` with elsewhere; without `at` it is now.
    """

    code: str = Field(max_length=20, examples=["4F7K2M0"])
    what: Literal["eaten", "lost", "discarded", "still there", "elsewhere"]
    reason: str = Field("", max_length=200)
    place: str = Field("", max_length=200)
    at: str | None = Field(None, max_length=40, description="ISO 8601")


class Record(_Sent):
    """What is recorded of a count; what no answer names stays as it is.

    `moves` places lids from elsewhere here; `since` says by code since when those are
    here that came out of the cold.
    """

    answers: list[Became] = Field(default_factory=list, max_length=2000)
    moves: bool = False
    since: dict[str, str] = Field(default_factory=dict, max_length=2000)


class Recorded(BaseModel):
    """What was recorded, all as one act; `refused` says by code what was not."""

    place: str
    seen: int
    expected: int
    missing: list[str]
    unknown: int
    placed: list[str]
    recorded: dict[str, list[str]]
    refused: dict[str, str]
    act: str


class Dropped(BaseModel):
    """The act that ended a count without recording it."""

    act: str


class Amount(BaseModel):
    """So much; money leaves out the portions that nobody priced."""

    grams: float
    unweighed_containers: int
    portions: float
    money: float
    portions_without_money: float


class Balance(BaseModel):
    """A period of one food, or of all where `food` is null: what came, went, is there.

    opening + made + opened + taken_in + found + moved = eaten + cooked + given + wasted
    + missing + closing; `frozen` is a part of `closing`, `causes` divide `wasted`.
    """

    food: str | None
    opening: Amount
    made: Amount
    opened: Amount
    taken_in: Amount
    found: Amount
    eaten: Amount
    cooked: Amount
    given: Amount
    wasted: Amount
    missing: Amount
    moved: Amount
    closing: Amount
    frozen: Amount
    causes: dict[str, Amount]
    waste_share: float | None
    adds_up: bool


class FoodBalance(Balance):
    """The same of one food, and where its money comes from."""

    money_from: list[str]


class Week(BaseModel):
    """What was wasted from a day on, for up to seven days."""

    first_on: date = Field(alias="from")
    wasted: Amount
    causes: dict[str, Amount]
    left_g: float
    waste_share: float | None


class Report(BaseModel):
    """What became of what was made, from a first to a last day, both included."""

    first_on: date = Field(alias="from")
    until: date
    money: str | None
    total: Balance
    foods: list[FoodBalance]
    measures: dict[str, Any]
    weeks: list[Week]
    in_no_container_g: float
    problems: list[str]
