"""Whatever the set: every category gets an answer, every limit can bind, order is none.

Enumerated where that is finite, over generated histories where it is not.
"""

import re
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidclock.app.compare import Asked, compare
from lidclock.clock import judge
from lidclock.domain.foods import MADE_BY, PACKS, Food
from lidclock.domain.history import History, Stay
from lidclock.domain.moments import zone_of
from lidclock.guidance.load import load_categories
from lidclock.guidance.sets import is_safety
from strategies import ALL_SETS, all_set_ids, cases, later, strictest

ZONE = zone_of("America/New_York")
MADE = datetime(2026, 11, 2, 17, tzinfo=UTC)
HOUR, DAY = timedelta(hours=1), timedelta(days=1)


def life(*moves, **facts):
    """Stays in a row from (state, hours since making, °C); the last one lasts."""
    begun = [MADE + hours * HOUR for _, hours, _ in moves]
    stays = tuple(
        Stay(state, began, end, temp_c=temp_c)
        for (state, _, temp_c), began, end in zip(
            moves, begun, [*begun[1:], None], strict=True
        )
    )
    return History(made_at=facts.pop("made_at", MADE), stays=stays, **facts)


FRIDGE = life(("fridge", 0, 3.0))
# One of these brings each limit to bind; a rule that none does is a rule for nothing.
LIVES = (
    FRIDGE,
    life(("fridge", 0, 0.0)),
    life(("counter", 0, None)),
    life(("counter", 0, 20.0)),
    life(("counter", 0, 40.0)),
    life(("hot", 0, 50.0)),
    life(("hot", 0, 58.0)),
    life(("counter", 0, None), ("fridge", 3, 3.0)),
    life(("fridge", 0, 3.0), ("freezer", 1, None), ("fridge", 200, 3.0)),
    life(("fridge", 0, 3.0), coolings=((MADE + 2 * HOUR, 60.0),)),
    life(("fridge", 0, 3.0), coolings=((MADE + HOUR, 20.0), (MADE + 9 * HOUR, 9.0))),
    life(("fridge", 0, 3.0), coolings=((MADE + 9 * HOUR, 9.0),)),
    replace(FRIDGE, maker_use_by=date(2026, 11, 3)),
    replace(FRIDGE, maker_use_by=date(2026, 11, 3), opened_at=MADE),
)


def inherited(name):
    """The rules that a variant takes over; it may shorten some of them."""
    bases = [base for base in ALL_SETS if name.startswith(f"{base}-")]
    return {rule.id for base in bases for rule in ALL_SETS[base].rules}


LIMITS = [
    (name, rule)
    for name, guidance in ALL_SETS.items()
    for rule in guidance.rules
    if is_safety(rule) and rule.id not in inherited(name)
]


def foods_of(rule):
    """Foods that the rule is about, with what lets it apply."""
    barriers = [(None, None)]
    if rule.barrier == "needed":
        barriers = [(rule.barrier_ph, rule.barrier_aw)]
    for category, maker, pack in product(
        sorted(rule.categories or load_categories()),
        [rule.made_by] if rule.made_by else MADE_BY,
        sorted(rule.packs) or PACKS,
    ):
        for ph, aw in barriers:
            yield Food(
                *("food", category, (), maker, pack, ph, aw),
                time_only_hours=rule.time_only_hours,
            )


def binds(rule, guidance, food, history):
    """Whether the rule is the one that binds, or ties with it."""
    verdict = judge(food, history, guidance, zone=ZONE, now=MADE)
    if verdict.binding is None:
        return False
    return rule.id in {one.rule.id for one in (verdict.binding, *verdict.ties)}


@pytest.mark.parametrize(
    ("name", "rule"), LIMITS, ids=[f"{name}-{rule.id}" for name, rule in LIMITS]
)
def test_every_limit_can_bind(name, rule):
    guidance = ALL_SETS[name]
    found = (
        (food, history)
        for food in foods_of(rule)
        for history in LIVES
        if binds(rule, guidance, food, history)
    )

    assert next(found, None) is not None


@pytest.mark.parametrize("name", ALL_SETS)
def test_every_category_gets_a_verdict_or_a_reason(name):
    """100 % of categories, makers, packs and lives: an answer, never an exception."""
    guidance = ALL_SETS[name]
    for category, maker, pack in product(load_categories(), MADE_BY, PACKS):
        food = Food("food", category, (), maker, pack)
        for history in LIVES:
            verdict = judge(food, history, guidance, zone=ZONE, now=MADE + DAY)

            assert verdict.status in (
                *("keep", "soon", "last-day", "over", "paused", "unknown"),
            )
            assert verdict.status != "unknown" or verdict.blockers
            assert verdict.cautions[-1] == guidance.advice


@pytest.mark.parametrize("name", ALL_SETS)
def test_no_category_says_that_food_is_safe(name):
    guidance = ALL_SETS[name]
    for category in load_categories():
        food = Food("food", category, ())
        verdict = judge(food, FRIDGE, guidance, zone=ZONE, now=MADE)
        said = " ".join((*verdict.cautions, *verdict.unknown)).lower()

        assert re.search(r"\bsafe\b", said) is None


@given(cases(depth=1), st.permutations(sorted(ALL_SETS)), later)
def test_the_order_in_which_sets_are_compared_changes_nothing(case, names, after):
    zone, food, history = case
    asked = Asked(food, history, zone, history.made_at + after, ALL_SETS["us-home"])
    ordered = [one.guidance.id for one in compare(asked, names)]

    assert ordered == [one.guidance.id for one in compare(asked, sorted(names))]


@given(cases(depth=1), all_set_ids, later)
def test_people_at_higher_risk_never_get_longer(case, set_id, after):
    zone, food, history = case
    at = {"zone": zone, "now": history.made_at + after}
    usual = judge(food, history, ALL_SETS[set_id], **at)
    strict = judge(food, history, ALL_SETS[set_id].for_high_risk(), **at)

    assert strictest(strict) <= strictest(usual)
    assert usual.status != "unknown" or strict.status in ("unknown", "over")


@given(
    cases(depth=0),
    all_set_ids,
    st.floats(0, 14, allow_nan=False),
    st.floats(0, 1, allow_nan=False),
)
def test_a_measured_acidity_never_dates_what_was_not_dated_in_air(case, set_id, ph, aw):
    """In air, pH and water activity can only take a limit away, and say so."""
    zone, food, history = case
    plain = replace(food, pack="air", ph=None, aw=None, house_days=None)
    at = {"zone": zone, "now": history.made_at}
    before = judge(plain, history, ALL_SETS[set_id], **at)
    after = judge(replace(plain, ph=ph, aw=aw), history, ALL_SETS[set_id], **at)

    assert before.status != "unknown" or after.status in ("unknown", "over")
