"""The shapes of occasions, before and after, and of an order form."""

from __future__ import annotations

from datetime import date
from typing import Literal

from pydantic import BaseModel, ConfigDict, Field

_MOST = 100_000


class Choice(BaseModel):
    """So many prepared: how likely that is too few, and what is missing and left."""

    portions: int
    runs_short: float
    missing: float
    left: float


class Amount(BaseModel):
    """How many to prepare: enough with probability `ratio`, which is missing cost over
    the sum of both costs.

    `basis` is where the number of eaters is from: `said`, `typed` numbers of earlier
    occasions, or the `record`; `known` is how many of those there are.
    """

    eaters: float
    spread: float
    short: float | None
    worth: float | None
    ratio: float
    exact: float
    prepare: int
    on_hand: int
    make: int
    choices: list[Choice]
    basis: Literal["said", "typed", "record"]
    known: int | None
    says: list[str]


class Occasion(BaseModel):
    """How one came out; `last_time_off_by` is how far the same as last time was off."""

    on: date
    came: int
    expected: float | None
    made: int | None
    wasted: int | None
    left: int | None
    missing: int | None
    off_by: float | None
    last_time_off_by: int | None


class History(BaseModel):
    """What is on record of an occasion by day; the mean and spread of all who came.

    `off_by` and `last_time_off_by` are average errors over the `compared` occasions of
    which both are known.
    """

    name: str
    occasions: list[Occasion]
    mean: float | None
    spread: float | None
    off_by: float | None
    last_time_off_by: float | None
    compared: int


class Outcome(BaseModel):
    """How an occasion came out; the same name and day once more replaces it.

    Without `expected` it is what was on record of the days before.
    """

    model_config = ConfigDict(
        extra="forbid",
        allow_inf_nan=False,
        json_schema_extra={
            "examples": [
                {
                    "name": "club dinner",
                    "came": 115,
                    "expected": 112,
                    "made": 117,
                    "wasted": 2,
                }
            ]
        },
    )
    name: str = Field(min_length=1, max_length=200)
    came: int = Field(ge=0, le=_MOST)
    on: date | None = Field(None, description="the day; today if left out")
    expected: float | None = Field(None, ge=0, le=_MOST)
    made: int | None = Field(None, ge=0, le=_MOST)
    wasted: int | None = Field(None, ge=0, le=_MOST)


class Told(BaseModel):
    """What was recorded, and the act that takes it back."""

    act: str
    occasion: Occasion
    says: list[str]
    history: History


class OrderLine(BaseModel):
    """One thing to order; numbers are decimals written as text, in `unit` if any."""

    name: str
    unit: Literal["g"] | None
    use_per_day: str
    for_one_occasion: str
    needed: str
    on_hand: str
    order: int


class OrderInput(OrderLine):
    """An input of a recipe as bought: what is needed weighs `weighed_in` once trimmed.

    `yield` is the share that is left then.
    """

    yielded: str = Field(alias="yield")
    weighed_in: str


class OrderRecipe(BaseModel):
    """What a recipe takes for so many portions in all."""

    name: str
    version: int
    portions: int
    inputs: list[OrderInput]


class OrderForm(BaseModel):
    """What to order to last `cover_days`: until it comes, and until the next order."""

    day: date
    lead_days: int
    review_days: int
    cover_days: int
    items: list[OrderLine]
    recipe: OrderRecipe | None
