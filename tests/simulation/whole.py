"""The page about the simulation, put together from its tables and its words."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from textwrap import fill

from simulation import page
from simulation import words as text
from simulation.bounds import Bounds
from simulation.kitchen import DAYS
from simulation.page import signed
from simulation.policies import FEWER_SEEDS, LIST, MAKING, MOST, NOTHING
from simulation.runs import AS_IT_IS, Lived, Variant, variants
from simulation.story import by_food, only_ours, pair
from simulation.tally import (
    LOST,
    UNMET,
    WASTED,
    Outcome,
    by_policy,
    change,
    estimate,
    more_often,
    paired,
)

SHORT_SEEDS = 3
_WIDTH = 88
_GLUED = "_±_"


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
    more = (ours.wasted + ours.in_freezer).total()
    more -= (theirs.wasted + theirs.in_freezer).total()
    why = text.WHY.get(seed, text.NOT_LOOKED_INTO).strip()
    said = _said(found, columns)
    parts = [
        text.HEAD.format(
            seeds=len(found.rows), days=DAYS, slots=AS_IT_IS.kitchen.freezer_slots
        ),
        *page.summary(columns, page.COLUMNS),
        "",
        *page.at_least(found.least),
        text.DIFFERENCES,
        *page.differences(columns),
        _filled(text.TRIALS.format(**said)),
        text.ACTS,
        *page.summary(columns, page.ACTS),
        text.WORSE.format(seeds=len(found.rows)),
        *page.worse(columns),
        _filled(text.WORST.format(seed=seed, more=more, why=why)),
        "",
        *by_food(ours, theirs),
        "",
        *only_ours(ours, theirs),
        text.SENSITIVITY.format(seeds=min(FEWER_SEEDS, len(found.rows))),
        *page.sensitivity(found.others),
        _filled(text.FOLLOWS.format(**said)),
        text.SCRIPT,
        *page.foods(),
        "",
        *page.figures(AS_IT_IS.kitchen),
        text.SHORT,
        *(f"    {x}" for x in page.short_lines(found.rows[:SHORT_SEEDS])),
        "",
    ]
    return re.sub(r"\n{3,}", "\n\n", "\n".join(parts))


def _filled(words: str) -> str:
    """Words with their figures in them, wrapped again; none is torn at its `±`."""
    found = []
    for block in words.replace(" ± ", _GLUED).strip().split("\n\n"):
        if block.startswith("#"):
            found.append(block)
            continue
        items = [" ".join(x.split()) for x in re.split(r"\n(?=- )", block)]
        inner = "  " if block.startswith("- ") else ""
        found.append(
            "\n".join(fill(one, _WIDTH, subsequent_indent=inner) for one in items)
        )
    text = "\n\n".join(found).replace(_GLUED, " ± ")
    return f"\n{text}\n"


def worst_seed(columns: Mapping[str, Sequence[Outcome]]) -> int:
    """Where most proposals accepted lost most more than nothing did."""
    pairs = list(zip(columns[MOST.name], columns[NOTHING.name], strict=True))
    return max(pairs, key=lambda x: (x[0].lost - x[1].lost, -x[0].seed))[0].seed


def _said(found: Findings, columns: Mapping[str, Sequence[Outcome]]) -> dict[str, str]:
    """The figures that the words name, out of the same tables."""
    nothing, most = columns[NOTHING.name], columns[MOST.name]
    least = estimate([100 * x.no_freezer / x.made for x in found.least]).mean
    said = {
        "relative": f"{change(most, nothing, WASTED)[0]:+.0f} %",
        "relative_lost": f"{change(most, nothing, LOST)[0]:+.0f} %",
        "wasted": f"{estimate([WASTED(x) for x in nothing]).mean:.1f} %",
        "least": f"{least:.1f} %",
        "list": signed(paired(columns[LIST.name], nothing, WASTED)),
        "cost": signed(paired(most, nothing, lambda x: x.cost), 0),
        "full_cost": signed(paired(most, nothing, lambda x: x.full_cost), 0),
        "full_cost_worse": str(more_often(most, nothing, lambda x: x.full_cost)[0]),
        "seeds": str(len(most)),
        "most_wasted": f"{estimate([x.wasted for x in most]).mean:.0f}",
        "no_slot": f"{estimate([x.no_slot for x in most]).mean:.0f}",
        "unmet": signed(paired(columns[MAKING.name], most, UNMET)),
    }
    for variant, some in found.others:
        without, told, with_us = (some[x.name] for x in variant.policies)
        key = variant.name.replace(" ", "_")
        said[f"{key}_list"] = signed(paired(told, without, WASTED))
        said[f"{key}_wasted"] = signed(paired(with_us, without, WASTED))
        said[f"{key}_lost"] = signed(paired(with_us, without, LOST))
    return said
