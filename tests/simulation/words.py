"""What the page about the simulation says around its tables."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from simulation import page
from simulation.bounds import Bounds
from simulation.kitchen import DAYS
from simulation.policies import MOST, NOTHING
from simulation.runs import AS_IT_IS, Lived, Variant, variants
from simulation.story import by_food, only_ours, pair
from simulation.tally import WASTED, Outcome, by_policy

SHORT_SEEDS = 3


@dataclass(frozen=True, slots=True)
class Findings:
    """Everything that was lived: a row for each seed, the bounds, other kitchens."""

    rows: Sequence[Mapping[str, Outcome]]
    least: Sequence[Bounds]
    others: Sequence[tuple[Variant, Mapping[str, Sequence[Outcome]]]]


def findings(lived: Sequence[Lived]) -> Findings:
    """All seeds put together, in their order."""
    few = [one.others for one in lived if one.others is not None]
    rows = [by_policy(column) for column in zip(*few, strict=True)]
    return Findings(
        [one.row for one in lived],
        [one.least for one in lived],
        list(zip(variants(), rows, strict=True)),
    )


def whole_page(found: Findings) -> str:
    """The page."""
    columns = by_policy(found.rows)
    seed = worst_seed(columns)
    ours, theirs = pair(AS_IT_IS.kitchen, seed)
    more = ours.wasted.total() - theirs.wasted.total()
    parts = [
        HEAD.format(seeds=len(found.rows), days=DAYS),
        *page.summary(columns, page.COLUMNS),
        "",
        *page.at_least(found.least),
        DIFFERENCES,
        *page.differences(columns),
        ACTS,
        *page.summary(columns, page.ACTS),
        WORSE,
        *page.worse(columns),
        WORST.format(seed=seed, more=more),
        *by_food(ours, theirs),
        "",
        *only_ours(ours, theirs),
        SENSITIVITY,
        *page.sensitivity(found.others),
        SCRIPT,
        *page.foods(),
        "",
        *page.figures(AS_IT_IS.kitchen),
        SHORT,
        *(f"    {x}" for x in page.short_lines(found.rows[:SHORT_SEEDS])),
        FOOT,
    ]
    return "\n".join(parts)


def worst_seed(columns: Mapping[str, Sequence[Outcome]]) -> int:
    """Where most proposals accepted wasted most more than nothing did."""
    pairs = zip(columns[MOST.name], columns[NOTHING.name], strict=True)
    return max((WASTED(a) - WASTED(b), -a.seed) for a, b in pairs)[1] * -1


HEAD = """"""
DIFFERENCES = "\nDIFF\n"
ACTS = "\nACTS\n"
WORSE = "\nWORSE\n"
WORST = "\nWORST {seed} {more}\n"
SENSITIVITY = "\nSENS\n"
SCRIPT = "\nSCRIPT\n"
SHORT = "\nSHORT\n"
FOOT = "\n"
