"""The page about the simulation, and the few lines about its first seeds."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from simulation import limits
from simulation.bounds import Bounds
from simulation.card import CHOICES
from simulation.kitchen import (
    FIRST,
    MADE,
    OPENED,
    STOCKS,
    WEEKDAYS_SAID,
    Kitchen,
    instant,
)
from simulation.policies import (
    ALL,
    HALF,
    KNOWN_DAYS,
    LIST,
    MAKING,
    MOST,
    NOTHING,
    POLICIES,
)
from simulation.runs import Variant
from simulation.tally import (
    LOST,
    UNMET,
    WASTED,
    WASTED_G,
    Estimate,
    Measure,
    Outcome,
    change,
    estimate,
    more_often,
    paired,
)

Columns = Mapping[str, Sequence[Outcome]]

COLUMNS: Mapping[str, tuple[Measure, int]] = {
    "wasted, % of portions": (WASTED, 1),
    "wasted, % of grams": (WASTED_G, 1),
    "still frozen at the end, %": (lambda x: 100 * x.in_freezer / x.made, 1),
    "wasted or still frozen, %": (LOST, 1),
    "unmet, % of wants": (UNMET, 1),
    "cost": (lambda x: x.cost, 0),
    "cost, what is still frozen taken as wasted": (lambda x: x.full_cost, 0),
}
ACTS: Mapping[str, tuple[Measure, int]] = {
    "made": (lambda x: x.made, 0),
    "wasted": (lambda x: x.wasted, 1),
    "of those after finding the freezer full": (lambda x: x.no_slot, 1),
    "frozen": (lambda x: x.frozen, 1),
    "eaten after freezing": (lambda x: x.thawed, 1),
    "at planned meals": (lambda x: x.planned, 1),
    "eaten on the last two days": (lambda x: x.late_saves, 1),
    "out of order, % of picks": (lambda x: 100 * x.out_of_order / x.picks, 2),
    "lids in the freezer, on average": (lambda x: x.occupied, 1),
}
PAIRS = (
    (LIST, NOTHING),
    (HALF, NOTHING),
    (MOST, NOTHING),
    (ALL, NOTHING),
    (MOST, LIST),
    (MAKING, NOTHING),
    (MAKING, MOST),
)


def summary(
    columns: Columns, shown: Mapping[str, tuple[Measure, int]]
) -> Iterator[str]:
    """A row for each policy: means with half the interval."""
    yield f"| | {' | '.join(shown)} |"
    yield "|---" * (len(shown) + 1) + "|"
    for policy in POLICIES:
        some = columns[policy.name]
        cells = [
            said(estimate([measure(x) for x in some]), places)
            for measure, places in shown.values()
        ]
        yield f"| {policy.name} | {' | '.join(cells)} |"


def said(found: Estimate, places: int = 1) -> str:
    """`31.2 ± 1.1`."""
    return f"{found.mean:.{places}f} ± {found.half:.{places}f}"


def differences(columns: Columns) -> Iterator[str]:
    """Pairs of policies, seed by seed."""
    yield (
        "| | against | wasted, points | relative | wasted or still frozen, points "
        "| relative | unmet, points | cost |"
    )
    yield "|---" * 8 + "|"
    for one, other in PAIRS:
        ours, theirs = columns[one.name], columns[other.name]
        cells = [one.name, other.name]
        for measure in (WASTED, LOST):
            cells.append(signed(paired(ours, theirs, measure)))
            cells.append(_relative(ours, theirs, measure))
        cells.append(signed(paired(ours, theirs, UNMET)))
        cells.append(signed(paired(ours, theirs, lambda x: x.cost), 0))
        yield f"| {' | '.join(cells)} |"


def _relative(
    ours: Sequence[Outcome], theirs: Sequence[Outcome], measure: Measure
) -> str:
    mean, low, high = change(ours, theirs, measure)
    return f"{mean:+.0f} % ({low:+.0f} to {high:+.0f})"


def signed(found: Estimate, places: int = 1) -> str:
    """`-7.1 ± 0.6`."""
    return f"{found.mean:+.{places}f} ± {found.half:.{places}f}"


def worse(columns: Columns) -> Iterator[str]:
    """In how many seeds a policy did worse than nothing, by three measures."""
    yield (
        "| | more wasted than with nothing | as much | more wasted or still frozen "
        "| as much | costs more | costs more, what is still frozen taken as wasted |"
    )
    yield "|---" * 7 + "|"
    for policy in POLICIES[1:]:
        ours, theirs = columns[policy.name], columns[NOTHING.name]
        cells: list[int] = []
        for measure in (WASTED, LOST):
            cells += more_often(ours, theirs, measure)
        for money in (lambda x: x.cost, lambda x: x.full_cost):
            cells.append(more_often(ours, theirs, money)[0])
        yield f"| {policy.name} | {' | '.join(map(str, cells))} |"


def at_least(found: Sequence[Bounds]) -> Iterator[str]:
    """What remains to anybody who knew everything beforehand."""
    yield "| with everything known beforehand | % of portions |"
    yield "|---|---|"
    none = estimate([100 * x.no_freezer / x.made for x in found])
    some = estimate([100 * x.any_freezer / x.made for x in found])
    yield f"| wasted at least, nothing ever frozen | {said(none)} |"
    yield f"| wasted or still frozen at least, a freezer of any size | {said(some)} |"


def sensitivity(rows: Sequence[tuple[Variant, Columns]]) -> Iterator[str]:
    """One line for each kitchen that is a little other."""
    yield (
        "| | wasted with nothing, % | with a list | with proposals | list against "
        "nothing, points | proposals against nothing, points | wasted or still frozen, "
        "points | unmet, points | seeds with more wasted |"
    )
    yield "|---" * 9 + "|"
    for variant, columns in rows:
        nothing, told, most = (columns[x.name] for x in variant.policies)
        cells = [
            variant.name,
            *(
                f"{estimate([WASTED(x) for x in some]).mean:.1f}"
                for some in (nothing, told, most)
            ),
            signed(paired(told, nothing, WASTED)),
            *(signed(paired(most, nothing, x)) for x in (WASTED, LOST, UNMET)),
            str(more_often(most, nothing, WASTED)[0]),
        ]
        yield f"| {' | '.join(cells)} |"


def foods() -> Iterator[str]:
    """What the kitchen keeps, with the rule that ends it by the program's clock."""
    yield "| food | kind | last day | rule | one portion | liked at lunch, at dinner |"
    yield "|---" * 6 + "|"
    for name, stock in STOCKS.items():
        made_at = instant(FIRST, OPENED if stock.is_pack else MADE)
        cells = [
            name,
            "opened pack" if stock.is_pack else "made",
            f"day {stock.days}",
            f"`{limits.binding_rule(name, made_at)}`",
            f"{stock.portion_g} g",
            f"{stock.lunch:g}, {stock.dinner:g}",
        ]
        yield f"| {' | '.join(cells)} |"


def figures(kitchen: Kitchen) -> Iterator[str]:
    """Every other figure of the script."""
    makings = ", ".join(
        f"{count} ({kitchen.batches.count(count)} of {len(kitchen.batches)} weeks)"
        for count in sorted(set(kitchen.batches))
    )
    rows = {
        "eaters": str(kitchen.eaters),
        "at home for lunch, Mon to Sun": _chances(kitchen.lunch_home),
        "at home for dinner, Mon to Sun": _chances(kitchen.dinner_home),
        "eat something else, lunch and dinner": _chances(kitchen.wants_else),
        "dinners cancelled": _chances([kitchen.cancelled]),
        "dinners with guests": f"{100 * kitchen.guests:g} %, "
        f"{kitchen.guest_count} of them",
        "foods that somebody would take, equal chances": _listed(kitchen.accepts),
        "makings a week": makings,
        "portions of a making, one lid each": _listed(kitchen.batch_portions),
        "a pack is opened in a week": f"{100 * kitchen.pack_chance:g} % for each kind, "
        f"{kitchen.pack_portions} portions in one lid",
        "lids the freezer holds": str(kitchen.freezer_slots),
        "careless hands that take the newest, not any": f"{100 * kitchen.newest:g} %",
        "a lid is frozen unasked, each morning": f"{100 * kitchen.habit:g} %",
        "who finds nothing looks into the freezer": f"{100 * kitchen.looks:g} %",
        "joins a planned meal that is not their wish": f"{100 * kitchen.joins:g} %",
        "days on record before demand is told": str(KNOWN_DAYS),
        "a planned meal": f"dinner on {WEEKDAYS_SAID[MOST.use_up_days[0]]}",
        "cost of a wasted and of a frozen portion": f"{CHOICES.worth:g}, "
        f"{CHOICES.freezing:g}, as the program takes them where nobody said",
        "a making has to last": f"{CHOICES.cover_days} days, "
        f"with {100 * CHOICES.service:g} %, likewise",
    }
    yield "| what | figure |"
    yield "|---|---|"
    for words, figure in rows.items():
        yield f"| {words} | {figure} |"


def _chances(values: Sequence[float]) -> str:
    return ", ".join(f"{100 * one:g} %" for one in values)


def _listed(values: Sequence[int]) -> str:
    return ", ".join(map(str, values))


def short_lines(rows: Sequence[Mapping[str, Outcome]]) -> Iterator[str]:
    """The first seeds in a few lines, quick enough to be lived again by a test."""
    for row in rows:
        for one in row.values():
            yield (
                f"seed {one.seed}, {one.policy}: {one.made} made, {one.eaten} eaten, "
                f"{one.wasted} wasted, {one.in_freezer} frozen, {one.unmet} unmet"
            )
