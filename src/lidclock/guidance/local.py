"""Local rule files: what they may add to a shipped set, and what needs an approval.

They may shorten any limit. A longer one, or one where the set gives none, names the
authority that approved it and the date. Nothing else may give food more time.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import PurePath

from lidclock.domain.foods import MADE_BY, Food
from lidclock.errors import GuidanceError
from lidclock.guidance.model import Category, Rule
from lidclock.guidance.parse import RuleFile, read_toml
from lidclock.guidance.sets import GuidanceSet

_NAME = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")
_USUAL = frozenset({"air"})
_DATED = ("day-count", "elapsed")
# Not measured, and as acid and dry as food can be: rules may hinge on that.
_BARRIERS = ((None, None), (1.0, 0.1))
# Kinds that can only take time away, or speak of quality.
_FREE = frozenset({"chill", "process", "exposure", "quality", "freezes-badly"})


def read_local(
    text: str,
    file: str,
    *,
    categories: dict[str, Category],
    cautions: dict[str, str],
    shipped: tuple[str, ...],
    base_of: Callable[[str], GuidanceSet],
) -> GuidanceSet:
    """A local set from its rule file; GuidanceError says where the file is wrong."""
    data = read_toml(file, text)
    head = data.get("set")
    facts = head if isinstance(head, dict) else {}
    name = facts.get("id", PurePath(file).stem)
    if not isinstance(name, str) or not _NAME.fullmatch(name) or name in shipped:
        raise GuidanceError(
            f"{file}: {name!r} cannot name a local set; use small letters and dashes, "
            "and not the name of a shipped set"
        )
    if "extends" not in facts:
        raise GuidanceError(
            f"{file}: set: a local set extends a shipped one; "
            f"give extends, one of {', '.join(shipped)}"
        )
    reader = RuleFile(name, data, categories, cautions, text=text, file=file)
    guidance = reader.read(base_of)
    base = base_of(facts["extends"])
    _check_counting(reader, guidance, base)
    own = [_in_air(rule) for rule in guidance.rules[len(base.rules) :]]
    for number, rule in enumerate(own, start=1):
        _check_rule(reader, number, rule, base)
    return replace(guidance, rules=(*base.rules, *own), _plans={})


def _in_air(rule: Rule) -> Rule:
    """A rule that names no pack says nothing of packs without air."""
    is_bare = rule.kind in _DATED and not rule.packs
    return replace(rule, packs=_USUAL) if is_bare else rule


def _check_counting(reader: RuleFile, guidance: GuidanceSet, base: GuidanceSet) -> None:
    """Counting may become stricter; another way of counting is another set."""
    where, ours, theirs = reader.part.at("counting"), guidance.counting, base.counting
    why = "that would count days more mildly; extend a set that counts so"
    for key, was, now in (
        ("freeze_day", theirs.freeze_day_counts, ours.freeze_day_counts),
        ("thaw_day", theirs.thaw_day_counts, ours.thaw_day_counts),
    ):
        where.refuse_if(was and not now, key, why)
    where.refuse_if(ours.fresh_hours != theirs.fresh_hours, "fresh_hours", why)
    is_milder = theirs.refreeze == "never" != ours.refreeze
    where.refuse_if(is_milder, "refreeze", why)
    if theirs.reheats is not None:
        more = ours.reheats is None or ours.reheats > theirs.reheats
        where.refuse_if(more, "reheats", why)


def _check_rule(reader: RuleFile, number: int, rule: Rule, base: GuidanceSet) -> None:
    where = reader.part.at(f"rule {number}", f"({rule.id})")
    if rule.approval is not None or rule.kind in ("inherit", "maker-date"):
        return
    if rule.kind in _FREE:
        stands_in = bool(rule.replaces or rule.ceiling_c or rule.time_only_hours)
        where.refuse_if(stands_in, "replaces", "a longer time needs an approval")
        return
    if rule.kind == "house":
        covering = _always_covered(rule, base)
        if covering is not None:
            raise where.error("kind", f"an authority gives a figure: {covering.id}")
        return
    if rule.kind not in _DATED:
        raise where.error(
            "kind", f"{rule.kind} would settle what {base.id} leaves open; use house"
        )
    bare = _first_bare(rule, base)
    if bare is not None:
        raise where.error(
            "categories",
            f"{base.id} gives no figure for {bare}; a new limit needs approved_by and "
            "approved_on, or is kind house",
        )
    stricter = _always_stricter(rule, base)
    if stricter is not None:
        raise where.error(
            "days",
            f"{rule.high} days would never bind, since {stricter.id} allows "
            f"{stricter.high}; a longer limit needs replaces, approved_by and "
            "approved_on",
        )


def _foods(rule: Rule, base: GuidanceSet) -> list[Food]:
    """Foods of every category, maker and pack that the rule is about, acid ones too."""
    makers = (rule.made_by,) if rule.made_by else MADE_BY
    return [
        Food("food", category, (), maker, pack, ph, aw)
        for category in sorted(rule.categories or base.categories)
        for maker in makers
        for pack in sorted(rule.packs or _USUAL)
        for ph, aw in _BARRIERS
    ]


def _dated(food: Food, base: GuidanceSet) -> list[Rule]:
    return [
        one
        for one in base.rules
        if one.kind in _DATED and one.anchor != "thawed" and one.applies_to(food)
    ]


def _first_bare(rule: Rule, base: GuidanceSet) -> str | None:
    """A category, with maker and pack, for which the base gives no figure."""
    for food in _foods(rule, base):
        if not _dated(food, base):
            made = "made here" if food.made_by == "kitchen" else "bought"
            return f"{food.category}, {made}"
    return None


def _always_covered(rule: Rule, base: GuidanceSet) -> Rule | None:
    """A rule of the base, where every food that `rule` is about has one."""
    found = [_dated(food, base) for food in _foods(rule, base)]
    return found[0][0] if found and all(found) else None


def _always_stricter(rule: Rule, base: GuidanceSet) -> Rule | None:
    """The base's rule that binds before `rule`, where one does for every food."""
    if rule.kind != "day-count":
        return None
    found: Rule | None = None
    for food in _foods(rule, base):
        stricter = [
            one
            for one in _dated(food, base)
            if one.kind == "day-count"
            and one.anchor == rule.anchor
            and one.high <= rule.high
        ]
        if not stricter:
            return None
        found = found or min(stricter, key=lambda one: one.high)
    return found
