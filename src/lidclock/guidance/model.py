"""What a guidance set is: rules with their sources, and how its authority counts."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from lidclock.domain.foods import Food

KINDS = ("day-count", "elapsed", "exposure", "inherit", "maker-date", "process") + (
    "quality",
    "exempt",
    "house",
    "local",
)
ANCHORS = ("made", "opened")
NATURES = ("raw", "cooked", "baked", "ready")
TCS = ("yes", "assumed", "no")


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
class Rule:
    """One published limit. `low` and `high` differ where a range is published.

    `low`/`high` are days, or months for `quality`; `hours` serves `elapsed`, `process`
    and `exposure`, which counts above `above_c`, a hot hold only below `below_c`, and
    starts again after a reheating to `kill_c`.
    An empty `categories` means every category.
    """

    id: str
    kind: str
    source: Source
    section: str
    says: str
    categories: frozenset[str] = frozenset()
    made_by: str = ""
    pack: str = ""
    anchor: str = "made"
    low: int = 0
    high: int = 0
    hours: float = 0.0
    above_c: float | None = None
    below_c: float | None = None
    kill_c: float | None = None

    def applies_to(self, food: Food) -> bool:
        """Whether this limit is about such a food."""
        return (
            (not self.categories or food.category in self.categories)
            and self.made_by in ("", food.made_by)
            and self.pack in ("", food.pack)
        )

    @property
    def is_house_rule(self) -> bool:
        """Whether no authority stands behind it."""
        return self.kind == "house"


@dataclass(frozen=True, slots=True)
class Counting:
    """How a set charges the days of freezing and thawing, and what thawing starts.

    `fresh_hours` is None where the days that were left carry over; else the hours
    that begin once, at the first thaw, and replace the days that were left.
    """

    freeze_day_counts: bool = True
    thaw_day_counts: bool = True
    fresh_hours: float | None = None
    says: str = ""


@dataclass(frozen=True, slots=True)
class Category:
    """A kind of food: the key into guidance."""

    id: str
    name: str
    nature: str
    tcs: str
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
class Plan:
    """The rules of one set that apply to one food, ready for the clock."""

    category: Category | None
    dated: tuple[Rule, ...]
    exposure: tuple[Rule, ...]
    process: tuple[Rule, ...]
    quality: tuple[Rule, ...]
    exempt: tuple[Rule, ...]
    inherit: Rule | None
    maker_date: Rule | None


@dataclass(frozen=True)
class GuidanceSet:
    """One authority's limits for one setting."""

    id: str
    title: str
    authority: str
    advice: str
    cold_c: float
    counting: Counting
    rules: tuple[Rule, ...]
    categories: Mapping[str, Category]
    cautions: Mapping[str, str]
    _plans: dict[tuple[object, ...], Plan] = field(
        default_factory=dict, repr=False, compare=False
    )

    def plan_for(self, food: Food) -> Plan:
        """The rules for `food`, a kitchen's own day count included."""
        key = (food.category, food.made_by, food.pack, food.house_days)
        plan = self._plans.get(key)
        if plan is None:
            plan = self._plans[key] = self._plan(food)
        return plan

    def _plan(self, food: Food) -> Plan:
        rules = [rule for rule in self.rules if rule.applies_to(food)]
        of_kind = {
            kind: tuple(rule for rule in rules if rule.kind == kind) for kind in KINDS
        }
        dated = of_kind["day-count"] + of_kind["elapsed"]
        category = self.categories.get(food.category)
        return Plan(
            category=category,
            dated=dated + _own_days(food, category, has_authority=bool(dated)),
            exposure=of_kind["exposure"],
            process=of_kind["process"],
            quality=of_kind["quality"],
            exempt=of_kind["exempt"],
            inherit=next(iter(of_kind["inherit"]), None),
            maker_date=next(iter(of_kind["maker-date"]), None),
        )

    def with_counting(self, **changes: bool | float | None) -> GuidanceSet:
        """The same limits, counted another way."""
        counting = replace(self.counting, **changes)  # type: ignore[arg-type]
        return replace(self, counting=counting, _plans={})


def _own_days(
    food: Food, category: Category | None, *, has_authority: bool
) -> tuple[Rule, ...]:
    """The kitchen's own day count: a local limit, or a house rule standing alone.

    A house rule fills no gap where the gap itself is a warning: packs without air,
    and raw meat and poultry.
    """
    days = food.house_days
    if days is None:
        return ()
    is_fit = food.pack == "air" and category is not None and category.takes_house_rule
    if not has_authority and not is_fit:
        return ()
    anchor = "opened" if food.made_by == "maker" else "made"
    if has_authority:
        return (
            Rule(
                "local-rule",
                "local",
                KITCHEN,
                "local rule",
                f"This kitchen keeps it at most {days} days.",
                anchor=anchor,
                low=days,
                high=days,
            ),
        )
    return (
        Rule(
            "house-rule",
            "house",
            KITCHEN,
            "house rule",
            f"This kitchen keeps it at most {days} days; no authority gives a figure.",
            anchor=anchor,
            low=days,
            high=days,
        ),
    )


KITCHEN = Source("this kitchen", "house rule, no authority", "", "", False, "kitchen")
