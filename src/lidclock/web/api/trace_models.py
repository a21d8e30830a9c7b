"""The shapes of a trace, for the description of the API."""

from __future__ import annotations

from datetime import date, datetime
from typing import Literal

from pydantic import BaseModel, ConfigDict, Field


class Link(BaseModel):
    """Some of one thing is in another; `mass_g` is null where nobody weighed it."""

    source: str = Field(alias="from")
    to: str
    how: Literal["mixed", "filled", "split", "combined"]
    mass_g: float | None


class Part(BaseModel):
    """A bought pack, a batch, a container, or one of which nothing else is known.

    `key` is a code, or a batch's id. `taken_elsewhere_g` was taken and recorded into
    nothing. `label` says what is wrong with the label on a live lid.
    """

    key: str
    kind: Literal["pack", "batch", "container", "unknown"]
    food: str | None
    batch: int | None
    box: int | None
    of: int | None
    lot: str | None
    maker: str | None
    gtin: str | None
    maker_use_by: date | None
    opened_at: datetime | None
    made_at: datetime | None
    by: str | None
    recipe: str | None
    held_g: float | None
    left_g: float | None
    left_is_at_most: bool
    taken_elsewhere_g: float
    place: str | None
    ended: str | None
    ended_at: datetime | None
    ended_reason: str | None
    ended_by: str | None
    knows_inputs: bool
    recipe_inputs_not_recorded: list[str]
    label: str | None


class Step(Part):
    """One that was reached, `away` links from what was asked about."""

    away: int
    links: list[Link]


class Trace(BaseModel):
    """What was asked about, and what was reached; a way not asked for is null.

    `circles` are recorded as having gone into themselves: one of the facts is wrong.
    """

    now: datetime
    asked: list[str]
    starts: list[Part]
    back: list[Step] | None
    forward: list[Step] | None
    circles: list[str]
    labels_to_print: list[str]


class HandedOn(BaseModel):
    """A container that somebody wants to hand on; `refusal` says why that may not be.

    It may not if it is past its last moment, has none, or was out of the cold.
    """

    code: str
    food: str
    may_be_handed_on: bool
    refusal: str | None
    made_at: datetime | None
    last_day: date | None
    allergens: list[str] | None
    known_allergens: list[str]
    temp_c: float | None
    measured_at: datetime | None


class RealAllergens(BaseModel):
    """All allergens in a container; an empty list where somebody knows of none."""

    model_config = ConfigDict(
        extra="forbid",
        json_schema_extra={"examples": [{"allergens": ["mustard", "celery"]}]},
    )
    allergens: list[str] = Field(max_length=100)


class AllergensCorrected(BaseModel):
    """The act, to be taken back, and the codes of the lids that want a new label."""

    act: str
    labels_to_print: list[str]
