"""The shapes of filling containers, and of what a scale says."""

from __future__ import annotations

from pydantic import BaseModel, ConfigDict, Field

from lidclock.web.api.models import Container

_MOST = 1000


class _Sent(BaseModel):
    """What is sent names nothing that is not known here."""

    model_config = ConfigDict(extra="forbid", allow_inf_nan=False)


class NewFood(_Sent):
    """A food that this kitchen has not had yet; allergens null where nobody knows."""

    category: str = Field(max_length=100, examples=["soup-stew"])
    allergens: list[str] | None = Field(None, max_length=100)
    house_days: int | None = Field(None, ge=1, le=366)


class Input(_Sent):
    """A container that went in; no mass where nobody weighed it."""

    code: str = Field(max_length=60, examples=["4F7K2M0"])
    mass_g: float | None = Field(None, gt=0)


class Order(_Sent):
    """A batch: how many containers, how much in each or in all, made of what.

    `recipe` is the version of the food's recipe; `once` is an id (UUID) made by the
    sender: the same one again fills nothing. `anyway` records what is odd.
    """

    food: str = Field(min_length=1, max_length=200)
    new: NewFood | None = None
    count: int = Field(1, ge=1, le=_MOST)
    portion_g: float | None = Field(None, gt=0)
    total_g: float | None = Field(None, gt=0)
    at: str | None = Field(None, max_length=40, description="ISO 8601; now if left out")
    place: str = Field("", max_length=200)
    placed_at: str | None = Field(
        None,
        max_length=40,
        description="ISO 8601, when it went into the place; now if left out: "
        "the time before counts as counter time",
    )
    lot: str = Field("", max_length=60)
    inputs: list[Input] = Field(default_factory=list, max_length=100)
    recipe: int | None = Field(None, ge=1)
    once: str | None = Field(None, max_length=60)
    anyway: bool = False


class Filled(BaseModel):
    """The containers by number; `act` names the filling."""

    act: str
    containers: list[Container]
    left_over_g: float | None


class Scale(_Sent):
    """What a scale shows: all together, or single containers by their codes."""

    total_g: float | None = Field(None, gt=0)
    each_g: dict[str, float] = Field(default_factory=dict, max_length=_MOST)
