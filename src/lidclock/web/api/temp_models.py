"""The shapes of temperatures and coolings, for the description of the API."""

from __future__ import annotations

from datetime import datetime
from typing import Any, Literal
from uuid import UUID

from pydantic import BaseModel, ConfigDict, Field

_STANDS = Literal["within", "unread", "excursion", "spike", "silent", "disagree"]
Deed = (
    Literal["start", "read", "finish", "split", "bath"]
    | Literal["vent", "move", "reheat", "discard"]
)


class PlaceTemperature(BaseModel):
    """A place as it stands; `codes` are in it, `over` those past their last moment."""

    name: str
    state: Literal["fridge", "freezer", "counter", "hot"]
    stands: _STANDS
    since: datetime | None = Field(description="when that began, where it alarms")
    says: str
    last_c: float | None
    last_at: datetime | None
    limit_c: float | None
    limit_is_lowest: bool = Field(description="true for a hot hold")
    limit_says: str
    limit_source: str
    codes: list[str]
    over: list[str]


class Temperatures(BaseModel):
    """Every place of the kitchen."""

    now: datetime
    places: list[PlaceTemperature]


class NotedReading(BaseModel):
    """A reading; `temp_c` as it was put right, null if struck, `read_c` as read."""

    at: datetime
    temp_c: float | None
    read_c: float
    sensor: str
    who: str | None
    device: str | None
    recorded_at: datetime


class Readings(BaseModel):
    """The readings of a place, the newest first."""

    now: datetime
    place: str
    readings: list[NotedReading]


class NewReading(BaseModel):
    """What a thermometer said in a place; `at` in the past, now where it is left out.

    `anyway` records what looks like a slip.
    """

    model_config = ConfigDict(
        extra="forbid",
        json_schema_extra={"examples": [{"place": "Fridge", "temp_c": 4.5}]},
    )
    place: str = Field(min_length=1, max_length=200)
    temp_c: float = Field(ge=-100, le=200)
    at: str = Field("", max_length=40, description="ISO 8601 with an offset")
    anyway: bool = False


class Recorded(BaseModel):
    """What became of a reading; `beyond` where the place was beyond its limit."""

    at: datetime
    temp_c: float
    new: bool
    beyond: bool
    says: str
    place: PlaceTemperature


class CoolingEntry(BaseModel):
    """One line of a cooling log."""

    at: datetime
    temp_c: float | None
    medium_c: float | None
    depth_mm: float | None
    covered: bool | None
    reheated: bool
    closed: bool
    who: str | None
    recorded_at: datetime


class CoolingStage(BaseModel):
    """One stage of cooling; the three times are estimates at 5, 50 and 95 %."""

    rule: str
    target_c: float
    due_at: datetime | None
    minutes_left: int | None
    state: str
    met_at: datetime | None
    forecast: str | None
    early_at: datetime | None
    middle_at: datetime | None
    late_at: datetime | None
    verified: bool


class Cooling(BaseModel):
    """A cooling log; `key` names it for an entry, `subject` for a device's event."""

    key: str
    subject: str
    open: bool
    says: str
    state: Literal["missed", "overdue", "slow", "cooling"]
    codes: list[str]
    food: str
    batch: int | None
    place: str | None
    counted_from: datetime | None
    since: str
    depth_mm: float | None
    covered: bool | None
    medium_c: float | None
    medium_measured_at: datetime | None
    last_c: float | None
    last_at: datetime | None
    stages: list[CoolingStage]
    readings_used: int
    rough: bool
    may_reheat: bool
    measure_at: datetime | None
    entries: list[CoolingEntry]


class Coolings(BaseModel):
    """Every open cooling log, the most urgent first."""

    now: datetime
    coolings: list[Cooling]


class CoolingAct(BaseModel):
    """What is done about a cooling; `of` is a batch's number or a code.

    start: `temp_c`, `depth_mm`, `covered`, `medium_c`, `place` as far as known. read,
    finish, reheat: `temp_c`. split: `depth_mm`, and `pans` in all. bath: `medium_c`.
    move: `place`. discard: `text` is the reason. vent: nothing more. `once` is an id
    made by the sender: the same one again records nothing.
    """

    model_config = ConfigDict(
        extra="forbid",
        json_schema_extra={"examples": [{"of": "7", "do": "read", "temp_c": 34.0}]},
    )
    of: str = Field(min_length=1, max_length=40)
    do: Deed
    temp_c: float | None = Field(None, ge=-100, le=200)
    medium_c: float | None = Field(None, ge=-100, le=200)
    depth_mm: float | None = Field(None, ge=3, le=600)
    covered: bool | None = None
    place: str = Field("", max_length=200)
    pans: int = Field(1, ge=1, le=12)
    text: str = Field("", max_length=200)
    at: str = Field("", max_length=40, description="ISO 8601 with an offset")
    once: UUID | None = None
    anyway: bool = False


class Acted(BaseModel):
    """What came of it; `refusal` says why a log that was finished stays open."""

    act: str = Field(description="taken back by this id")
    refusal: str
    remarks: list[str]
    coolings: list[dict[str, Any]]
