"""Which kitchens are lived through, and how the work is shared."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import lru_cache

from simulation.bounds import Bounds, bounds
from simulation.kitchen import Kitchen, Script, script
from simulation.live import live
from simulation.policies import (
    FEWER_SEEDS,
    KNOWN_DAYS,
    LIST,
    MOST,
    NOTHING,
    POLICIES,
    Policy,
    proposals,
)
from simulation.tally import Outcome, outcome


@dataclass(frozen=True, slots=True)
class Variant:
    """A kitchen, and three ways to run it: nothing, a list, proposals."""

    name: str
    kitchen: Kitchen = field(default_factory=Kitchen)
    policies: tuple[Policy, ...] = (NOTHING, LIST, MOST)
    known_days: int = KNOWN_DAYS


AS_IT_IS = Variant("as it is", policies=POLICIES)


@lru_cache(maxsize=4)
def _script(kitchen: Kitchen, seed: int) -> Script:
    return script(kitchen, seed)


@lru_cache(maxsize=64)
def _outcome(kitchen: Kitchen, seed: int, policy: Policy, known_days: int) -> Outcome:
    return outcome(live(_script(kitchen, seed), policy, known_days))


def play(variant: Variant, seed: int) -> dict[str, Outcome]:
    """One seed under each policy of the variant, by its name."""
    found = {}
    for policy in variant.policies:
        hangs_on_demand = policy.has_freezing or policy.has_making
        known_days = variant.known_days if hangs_on_demand else KNOWN_DAYS
        found[policy.name] = _outcome(variant.kitchen, seed, policy, known_days)
    return found


def bound(seed: int) -> Bounds:
    """The bounds of one seed of the kitchen as it is."""
    return bounds(_script(AS_IT_IS.kitchen, seed))


@dataclass(frozen=True, slots=True)
class Lived:
    """All of one seed; `others` are rows of the other kitchens, None past the fewer."""

    row: dict[str, Outcome]
    least: Bounds
    others: list[dict[str, Outcome]] | None


def play_all(seed: int) -> Lived:
    """The kitchen as it is, its bounds, and each kitchen that is a little other."""
    others = None
    if seed <= FEWER_SEEDS:
        others = [play(one, seed) for one in variants()]
    return Lived(play(AS_IT_IS, seed), bound(seed), others)


def _kitchens(changes: Mapping[str, Mapping[str, object]]) -> Iterator[Variant]:
    for name, changed in changes.items():
        yield Variant(name, replace(Kitchen(), **changed))


def _policies(name: str, **changed: object) -> Variant:
    return Variant(name, policies=(NOTHING, LIST, replace(MOST, **changed)))


def _obeyed(tenths: int) -> Variant:
    obeys = tenths / 10
    told = replace(LIST, obeys=obeys), proposals(obeys)
    return Variant(f"followed {tenths} of 10 times", policies=(NOTHING, *told))


def variants() -> tuple[Variant, ...]:
    """The rows of the table of what hangs on what, the kitchen as it is first."""
    eaters = {
        "nothing cancelled, no guests": {"cancelled": 0.0, "guests": 0.0},
        "1 dinner of 5 cancelled, guests at 1 of 5": {"cancelled": 0.2, "guests": 0.2},
        "people take one food only": {"accepts": (1,)},
        "people take anything": {"accepts": (9,)},
    }
    batches = {
        "batches of 2 to 5": {"batch_portions": (2, 3, 4, 5)},
        "batches of 6 to 9": {"batch_portions": (6, 7, 8, 9)},
        "as much in two batches a week": {"batches": (2,), "batch_portions": (8, 9)},
        "as much in four batches a week": {"batches": (4,), "batch_portions": (4, 5)},
    }
    menus = {
        "three dishes and a pack": {"dishes": 3, "packs": 1},
        "one dish only": {"dishes": 1, "packs": 0},
    }
    habits = {
        "careless hands take any": {"newest": 0.0},
        "careless hands take the newest": {"newest": 1.0},
        "nothing frozen unasked": {"habit": 0.0},
        "1 of 10 frozen unasked each morning": {"habit": 0.1},
        "freezer with 2 slots": {"freezer_slots": 2},
        "freezer with 24 slots": {"freezer_slots": 24},
        "freezer looked into 1 of 5 times": {"looks": 0.2},
        "freezer always looked into": {"looks": 1.0},
        "nobody joins a planned meal": {"joins": 0.0},
        "everybody joins a planned meal": {"joins": 1.0},
    }
    steered = tuple(replace(x, has_steering=True) for x in (LIST, MOST))
    return (
        Variant("as it is"),
        *map(_obeyed, (2, 5, 10)),
        *_kitchens(eaters),
        *_kitchens(batches),
        *_kitchens(menus),
        *_kitchens(habits),
        _policies("no planned meal", use_up_days=()),
        _policies("a planned meal on Sundays", use_up_days=(6,)),
        _policies("a planned meal every day", use_up_days=tuple(range(7))),
        _policies("no freezing proposed", has_freezing=False),
        Variant("demand told after 1 day", known_days=1),
        Variant("demand told after 10 days", known_days=10),
        Variant("both say which food to eat first", policies=(NOTHING, *steered)),
    )
