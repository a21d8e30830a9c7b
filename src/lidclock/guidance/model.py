"""What guidance is made of: sources, rules, categories, ways of counting."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from lidclock.domain.foods import Food

KINDS = (
    *("day-count", "elapsed", "exposure", "chill", "inherit", "maker-date", "process"),
    *("quality", "freezes-badly", "exempt", "on-pack", "house", "local"),
)
ANCHORS = ("made", "opened", "begun", "thawed")
NATURES = ("raw", "cooked", "baked", "ready")
TCS = ("yes", "assumed", "no")
GRADES = ("primary", "mirror", "secondary", "computed", "memory", "local", "kitchen")
REFREEZE = ("fridge-thawed", "never")


@dataclass(frozen=True, slots=True)
class Source:
    """Where a number was published, and how far it was checked."""

    authority: str
    document: str
    year: str
    url: str
    verified: bool
    grade: str


@dataclass(frozen=True, slots=True)
class Approval:
    """Who allowed a longer limit than the set's own, and when."""

    authority: str
    on: date


@dataclass(frozen=True, slots=True)
class Rule:
    """One published limit; which fields a kind takes stands in docs/rule-files.md.

    `low`/`high` are days, or months for `quality`; they differ where a range is
    published. `hours` serves the kinds that count hours, `low_hours` is the low end
    of a range of them. An empty `categories` means every category.
    """

    id: str
    kind: str
    source: Source
    section: str
    says: str
    categories: frozenset[str] = frozenset()
    made_by: str = ""
    packs: frozenset[str] = frozenset()
    anchor: str = "made"
    low: int = 0
    high: int = 0
    hours: float = 0.0
    low_hours: float = 0.0
    above_c: float | None = None
    below_c: float | None = None
    kill_c: float | None = None
    start_c: float | None = None
    ceiling_c: float | None = None
    start_within: float | None = None
    chilled_within: float | None = None
    until_opened: bool = False
    states: frozenset[str] = frozenset()
    rechill_hours: float | None = None
    once: bool = False
    time_only_hours: int | None = None
    barrier: str = ""
    barrier_ph: float | None = None
    barrier_aw: float | None = None
    replaces: str = ""
    approval: Approval | None = None
    record: str = ""

    def applies_to(self, food: Food) -> bool:
        """Whether this limit is about such a food."""
        return (
            (not self.categories or food.category in self.categories)
            and self.made_by in ("", food.made_by)
            and (not self.packs or food.pack in self.packs)
            and (self.time_only_hours in (None, food.time_only_hours))
            and self._barrier_fits(food)
        )

    def _barrier_fits(self, food: Food) -> bool:
        """Whether acidity or dryness keeps the rule in force, or lifts it."""
        if not self.barrier:
            return True
        is_acid = self.barrier_ph is not None and (
            food.ph is not None and food.ph <= self.barrier_ph
        )
        is_dry = self.barrier_aw is not None and (
            food.aw is not None and food.aw <= self.barrier_aw
        )
        return (is_acid or is_dry) == (self.barrier == "needed")

    @property
    def is_house_rule(self) -> bool:
        """Whether no authority stands behind it."""
        return self.kind == "house"


@dataclass(frozen=True, slots=True)
class Counting:
    """How a set charges the days of freezing and thawing, and what thawing starts.

    `fresh_hours` is None where the days that were left carry over; else the hours
    that begin once, at the first thaw, and replace the days that were left. `refreeze`
    says when thawed food may be frozen again, `reheats` how often it may be reheated.
    """

    freeze_day_counts: bool = True
    thaw_day_counts: bool = True
    fresh_hours: float | None = None
    refreeze: str = "fridge-thawed"
    reheats: int | None = None
    says: str = ""
    records: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Category:
    """A kind of food: the key into guidance, in a tree under `parent`."""

    id: str
    name: str
    nature: str
    tcs: str
    parent: str = ""
    words: tuple[str, ...] = ()
    handling: str = ""
    cautions: tuple[str, ...] = ()
    offered_days: int | None = None
    takes_house_rule: bool = True
    offer: str = ""

    @property
    def is_cooked(self) -> bool:
        """Whether it comes hot off the stove, so that it has to be cooled."""
        return self.nature == "cooked"

    @property
    def is_heated(self) -> bool:
        """Whether making it was a kill step for what went in raw."""
        return self.nature in ("cooked", "baked")


@dataclass(frozen=True, slots=True)
class Offer:
    """A near category's row that a kitchen may go by; never taken silently."""

    category: Category
    rule: Rule


@dataclass(frozen=True, slots=True)
class Plan:
    """The rules of one set that apply to one food, ready for the clock."""

    category: Category | None
    dated: tuple[Rule, ...]
    exposure: tuple[Rule, ...]
    process: tuple[Rule, ...]
    chill: tuple[Rule, ...]
    quality: tuple[Rule, ...]
    exempt: tuple[Rule, ...]
    on_pack: tuple[Rule, ...]
    inherit: Rule | None
    maker_date: Rule | None
    freezes_badly: Rule | None
    offer: Offer | None = None


KITCHEN = Source("this kitchen", "house rule, no authority", "", "", False, "kitchen")
