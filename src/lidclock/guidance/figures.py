"""The numbers and conditions of one rule, checked."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from lidclock.domain.foods import LONGEST_HOUSE_DAYS, TIME_ONLY_HOURS
from lidclock.domain.kitchens import STATES
from lidclock.guidance.model import ANCHORS
from lidclock.guidance.part import FilePart

LONGEST = 1000
# The fewest days that so many calendar months in a row can have.
SHORTEST_MONTHS = (0, 28, 59, 89, 120, 150, 181, 212, 242, 273, 303, 334, 365)
# What a key may hold: a number within bounds.
_BOUNDS = {
    **dict.fromkeys(
        ("above_c", "below_c", "kill_c", "start_c", "ceiling_c"), (-40, 150)
    ),
    "rechill_hours": (0, 24),
    **dict.fromkeys(("start_within", "chilled_within"), (0, 100)),
    "barrier_ph": (0, 14),
    "barrier_aw": (0, 1),
}
# Of these pairs, the second must not lie below the first.
_ORDER = (("above_c", "below_c"), ("below_c", "kill_c"), ("above_c", "ceiling_c"))


def figures(where: FilePart, facts: Mapping[str, Any]) -> dict[str, Any]:
    """The numbers of a rule: days, months or hours, each one figure or a range."""
    kind = facts["kind"]
    found: dict[str, Any] = {}
    if kind in ("day-count", "house"):
        found["low"], found["high"] = _days(where, facts)
    if kind == "quality":
        found["low"], found["high"] = where.whole_range(facts, "months", LONGEST)
    if "hours" in facts:
        low_hours, found["hours"] = where.range(facts, "hours", LONGEST)
        if low_hours != found["hours"]:
            found["low_hours"] = low_hours
    return found


def _days(where: FilePart, facts: Mapping[str, Any]) -> tuple[int, int]:
    """A count of days; months are the shortest ones that a calendar has."""
    if ("days" in facts) == ("months" in facts):
        raise where.error("days", "days must be a whole number or [low, high]")
    if "days" in facts:
        most = LONGEST_HOUSE_DAYS if facts["kind"] == "house" else LONGEST
        return where.whole_range(facts, "days", most)
    low, high = where.whole_range(facts, "months", len(SHORTEST_MONTHS) - 1)
    return SHORTEST_MONTHS[low], SHORTEST_MONTHS[high]


def conditions(where: FilePart, facts: Mapping[str, Any]) -> dict[str, Any]:
    """Anchors, temperatures and what else decides whether a rule counts."""
    found: dict[str, Any] = {
        key: where.number(facts, key, *bounds)
        for key, bounds in _BOUNDS.items()
        if key in facts
    }
    for low, high in _ORDER:
        if low in found and high in found and found[low] > found[high]:
            raise where.error(high, f"{high} must not lie below {low}")
    for key, known in (("anchor", ANCHORS), ("barrier", ("needed", "lifts"))):
        if key in facts:
            where.one_of(key, facts[key], known)
            found[key] = facts[key]
    if "barrier" in facts and not facts.keys() & {"barrier_ph", "barrier_aw"}:
        raise where.error("barrier", "give barrier_ph or barrier_aw with it")
    if "states" in facts:
        found["states"] = frozenset(where.words(facts, "states", STATES))
    if "time_only_hours" in facts:
        where.one_of("time_only_hours", facts["time_only_hours"], TIME_ONLY_HOURS)
        found["time_only_hours"] = facts["time_only_hours"]
    for key in ("once", "until_opened"):
        if key in facts:
            found[key] = where.flag(facts, key)
    return found
