"""A guidance set: one authority's limits for one setting, by food."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace

from lidclock.domain.foods import Food
from lidclock.domain.sentences import sentences
from lidclock.guidance.model import (
    KINDS,
    KITCHEN,
    Category,
    Counting,
    Offer,
    Plan,
    Rule,
)
from lidclock.guidance.tcs import NOT_NEEDED, judge_control

# What is left of a set for food that needs no time/temperature control.
_WITHOUT_CONTROL = frozenset(
    {"maker-date", "quality", "inherit", "exempt", "on-pack", "freezes-badly"}
)
_SAFETY = frozenset({"day-count", "elapsed", "exposure", "chill", "process"})


@dataclass(frozen=True)
class GuidanceSet:
    """One authority's limits for one setting.

    `is_high_risk` makes it the stricter reading for people at higher risk. With
    `uses_tcs_tables` a pH or water activity can show that no control is needed.
    """

    id: str
    title: str
    authority: str
    advice: str
    cold_c: float
    counting: Counting
    rules: tuple[Rule, ...]
    categories: Mapping[str, Category]
    cautions: Mapping[str, str]
    allergens: str = ""
    uses_tcs_tables: bool = False
    is_high_risk: bool = False
    note: str = ""
    _plans: dict[tuple[object, ...], Plan] = field(
        default_factory=dict, repr=False, compare=False
    )

    def plan_for(self, food: Food) -> Plan:
        """The rules for `food`, a kitchen's own day count included."""
        key = (
            *(food.category, food.made_by, food.pack, food.house_days),
            *(food.ph, food.aw, food.time_only_hours),
        )
        plan = self._plans.get(key)
        if plan is None:
            plan = self._plans[key] = self._plan(food)
        return plan

    def _plan(self, food: Food) -> Plan:
        category = self.categories.get(food.category)
        rules = list(self._rules_for(food, category))
        of_kind = {
            kind: tuple(rule for rule in rules if rule.kind == kind) for kind in KINDS
        }
        dated = of_kind["day-count"] + of_kind["elapsed"]
        has_authority = any(rule.anchor != "thawed" for rule in dated)
        if has_authority:
            dated = _without_replaced(dated)
        elif _takes_house_rule(food, category):
            dated = (*dated, *of_kind["house"])
        return Plan(
            category=category,
            dated=dated + _own_days(food, category, has_authority=has_authority),
            exposure=_without_replaced(of_kind["exposure"]),
            process=of_kind["process"],
            chill=of_kind["chill"],
            quality=of_kind["quality"],
            exempt=of_kind["exempt"],
            on_pack=of_kind["on-pack"],
            inherit=next(iter(of_kind["inherit"]), None),
            maker_date=next(iter(of_kind["maker-date"]), None),
            freezes_badly=next(iter(of_kind["freezes-badly"]), None),
            offer=None if has_authority else self._offer(food, category),
        )

    def _rules_for(self, food: Food, category: Category | None) -> Iterator[Rule]:
        exemption = self._tcs_exemption(food, category)
        for rule in self.rules:
            if not rule.applies_to(food):
                continue
            is_freed = (
                rule.kind not in _WITHOUT_CONTROL and rule.source.grade != "local"
            )
            if exemption is not None and is_freed:
                continue
            yield _low_end(rule) if self.is_high_risk else rule
        if exemption is not None:
            yield exemption

    def _tcs_exemption(self, food: Food, category: Category | None) -> Rule | None:
        """The cell of the published table that frees this food from control.

        Never raw food, nor what the code calls for control by its nature, whatever a
        meter says: garlic in oil, fish, food for infants.
        """
        if not self.uses_tcs_tables or category is None or category.nature == "raw":
            return None
        if not category.takes_house_rule or category.tcs == "no":
            return None
        if food.pack != "air" or (food.ph is None and food.aw is None):
            return None
        cell = judge_control(food.ph, food.aw)
        return cell.as_rule if cell.outcome == NOT_NEEDED else None

    def _offer(self, food: Food, category: Category | None) -> Offer | None:
        """The row of the nearest parent that has one, for a kitchen to choose."""
        if category is None or not category.takes_house_rule:
            return None
        for parent in self.ancestors(category):
            rules = [
                rule
                for rule in self.rules
                if rule.kind in ("day-count", "elapsed")
                and rule.applies_to(replace(food, category=parent.id))
            ]
            if rules:
                nearest = min(rules, key=lambda rule: (rule.high, rule.id))
                shown = _low_end(nearest) if self.is_high_risk else nearest
                return Offer(parent, shown)
        return None

    def ancestors(self, category: Category) -> Iterator[Category]:
        """The categories above one, the nearest first."""
        while category.parent:
            category = self.categories[category.parent]
            yield category

    def for_high_risk(self) -> GuidanceSet:
        """The stricter reading for people at higher risk: the low end of every range.

        The six hours of time as the only control stand in for nothing any more; their
        ceiling still holds.
        """
        rules = tuple(
            rule if rule.time_only_hours is None else replace(rule, replaces="")
            for rule in self.rules
        )
        return replace(self, rules=rules, is_high_risk=True, _plans={})

    def with_counting(self, **changes: bool | float | None) -> GuidanceSet:
        """The same limits, counted another way."""
        counting = replace(self.counting, **changes)  # type: ignore[arg-type]
        return replace(self, counting=counting, _plans={})


def is_safety(rule: Rule) -> bool:
    """Whether a rule sets a limit, rather than a horizon of quality or an exemption."""
    return rule.kind in _SAFETY


def _low_end(rule: Rule) -> Rule:
    """A rule with its low end as the limit: what people at higher risk go by."""
    if not is_safety(rule) or (rule.low == rule.high and not rule.low_hours):
        return rule
    hours = rule.low_hours or rule.hours
    return replace(rule, high=rule.low, hours=hours, low_hours=0.0)


def _without_replaced(rules: tuple[Rule, ...]) -> tuple[Rule, ...]:
    """Without the rules that an approved one stands in for."""
    gone = {rule.replaces for rule in rules if rule.approval is not None}
    return tuple(rule for rule in rules if rule.id not in gone)


def _takes_house_rule(food: Food, category: Category | None) -> bool:
    """Not packs without air, nor food whose gap is itself a warning."""
    return food.pack == "air" and category is not None and category.takes_house_rule


def _own_days(
    food: Food, category: Category | None, *, has_authority: bool
) -> tuple[Rule, ...]:
    """The kitchen's own day count: a local limit, or a house rule standing alone.

    A house rule fills no gap where the gap itself is a warning: packs without air,
    raw meat, fish and poultry, garlic in oil, food for infants.
    """
    days = food.house_days
    if days is None:
        return ()
    if not has_authority and not _takes_house_rule(food, category):
        return ()
    kind, says = (
        "house",
        sentences(
            "This kitchen keeps it at most {count} day; no authority gives a figure.",
            "This kitchen keeps it at most {count} days; no authority gives a figure.",
            days,
        ),
    )
    if has_authority:
        kind, says = (
            "local",
            sentences(
                "This kitchen keeps it at most {count} day.",
                "This kitchen keeps it at most {count} days.",
                days,
            ),
        )
    anchor = "opened" if food.made_by == "maker" else "made"
    return (
        Rule(
            f"{kind}-rule",
            kind,
            KITCHEN,
            f"{kind} rule",
            says,
            anchor=anchor,
            low=days,
            high=days,
        ),
    )
