"""The shapes of recipes: listed, written, and at a size."""

from __future__ import annotations

from typing import Any

from pydantic import (
    BaseModel,
    ConfigDict,
    Field,
    StrictFloat,
    StrictInt,
    StrictStr,
)

_MOST_INPUTS = 200
# Text keeps a number exact, and may be a fraction or a percentage.
Number = StrictInt | StrictFloat | StrictStr


class _Sent(BaseModel):
    """What is sent names nothing that is not known here."""

    model_config = ConfigDict(extra="forbid", allow_inf_nan=False)


class Recipe(BaseModel):
    """A recipe on the list, in its latest version."""

    name: str
    version: int
    inputs: list[str]
    added_at: str
    who: str


class Makes(_Sent):
    """What a recipe makes as it is written."""

    count: Number = Field(examples=[35])
    portion: Number | None = Field(None, examples=["185 g"])


class Ingredient(_Sent):
    """What goes in, by mass or in percent; `allergens` null is unknown, [] is none."""

    name: str = Field(min_length=1, max_length=120, examples=["wheat flour"])
    mass: Number | None = Field(None, examples=["1.2 kg"])
    percent: Number | None = None
    density: Number | None = Field(None, description="grams a millilitre")
    # `yield` is a word of the language.
    usable: Number | None = Field(
        None, alias="yield", description="usable share of what is bought"
    )
    allergens: list[str] | None = Field(None, max_length=100)
    price: Number | None = None
    price_per: Number | None = Field(None, examples=["1 kg"])


class Document(_Sent):
    """A recipe as it is written; `lidclock recipe` reads the same from files."""

    name: str = Field(min_length=1, max_length=120, examples=["bun dough"])
    base: list[str] | str | None = Field(
        None, description="the inputs that percentages are of"
    )
    loss: Number | None = Field(None, examples=["2.5%"])
    makes: Makes | None = None
    currency: str | None = Field(None, max_length=500)
    note: str | None = Field(None, max_length=500)
    inputs: list[Ingredient] = Field(min_length=1, max_length=_MOST_INPUTS)


class NewRecipe(_Sent):
    """A recipe whose name is not on the list."""

    recipe: Document


class ChangedRecipe(_Sent):
    """A recipe as it shall be, and the version that it was when you looked."""

    was: int = Field(ge=1)
    recipe: Document


class Version(BaseModel):
    """When a version was added, and by whom."""

    version: int
    added_at: str
    who: str


class WholeRecipe(BaseModel):
    """One version of a recipe; `latest` is null where it was taken off the list.

    `text` is the document as it was written; `recipe` the same with numbers as text.
    """

    name: str
    version: int
    latest: int | None
    added_at: str
    who: str
    versions: list[Version]
    text: str
    recipe: dict[str, Any]
    allergens: list[str] | None
    known_allergens: list[str]


class Mix(BaseModel):
    """A recipe at a size; masses are decimals in grams, written as text."""

    name: str
    version: int
    count: int
    portion_g: str | None
    loss: str
    factor: str | None
    needed_g: str
    mix_g: str
    made_g: str | None
    inputs: list[dict[str, Any]]
    split: dict[str, Any] | None
    allergens: list[str] | None
    known_allergens: list[str]
    unknown: list[str]
    remarks: list[str]
