"""The simulated kitchen keeps its books, sees no future, and is told as it came."""

import re
from dataclasses import replace
from datetime import timedelta
from functools import cache
from pathlib import Path

import pytest

from lidclock.domain.moments import last_date
from simulation import limits
from simulation.bounds import bounds
from simulation.kitchen import (
    FIRST,
    MADE,
    OPENED,
    STOCKS,
    ZONE,
    Kitchen,
    instant,
    script,
)
from simulation.learned import Record
from simulation.live import live
from simulation.page import short_lines
from simulation.policies import ALL, FEWER_SEEDS, LIST, MAKING, NOTHING, POLICIES
from simulation.policies import SEEDS as SEEDS_LIVED
from simulation.runs import AS_IT_IS, play, variants
from simulation.tally import WASTED, change, estimate, more_often, paired
from simulation.whole import SHORT_SEEDS
from simulation.words import NOT_LOOKED_INTO

PAGE = Path(__file__).parents[2] / "docs" / "simulation.md"
SEEDS = (1, 2, 7)
EACH = [(policy, seed) for policy in POLICIES for seed in SEEDS]
NAMES = [f"{policy.name}-{seed}" for policy, seed in EACH]
each_life = pytest.mark.parametrize(("policy", "seed"), EACH, ids=NAMES)


@cache
def life(policy, seed, kitchen=Kitchen()):  # noqa: B008 - it never changes
    return live(script(kitchen, seed), policy)


@each_life
def test_every_portion_is_eaten_wasted_frozen_or_there(policy, seed):
    found = life(policy, seed)
    eaten = dict.fromkeys(found.made, 0)
    for one in found.eaten:
        eaten[one.code] += 1

    assert found.made.total() > 100
    for code, made in found.made.items():
        kept = found.in_freezer[code] + found.in_fridge[code]
        assert made == eaten[code] + found.wasted[code] + kept


@each_life
def test_nothing_is_eaten_after_its_last_moment(policy, seed):
    """By the clock's moment, and by the published count where it was never frozen."""
    found = life(policy, seed)

    assert len(found.eaten) > 50
    for one in found.eaten:
        lid = found.lids[one.code]
        assert lid.made_at < one.at < one.last_moment
        if found.frozen[one.code] == 0:
            made_on, eaten_on = (
                at.astimezone(ZONE).date() for at in (lid.made_at, one.at)
            )
            assert (eaten_on - made_on).days + 1 <= lid.stock.days


@each_life
def test_everybody_who_wants_something_eats_once_or_is_counted_as_unmet(policy, seed):
    found = life(policy, seed)
    tables = {x.at: x for day in found.script.days for x in (day.lunch, day.dinner)}
    seats = [(one.at, one.seat) for one in found.eaten]
    wanting = [seat for seat in seats if not tables[seat[0]].wants[seat[1]].is_else]
    wants = sum(not want.is_else for table in tables.values() for want in table.wants)

    assert len(set(seats)) == len(seats)
    assert len(wanting) + found.unmet == wants
    joined = [one for one in found.eaten if (one.at, one.seat) not in set(wanting)]
    assert all(one.is_planned for one in joined)


@each_life
def test_the_freezer_never_holds_more_than_its_slots(policy, seed):
    found = life(policy, seed)

    assert 0 < max(found.occupied) <= found.script.kitchen.freezer_slots


@pytest.mark.parametrize("seed", SEEDS)
def test_all_policies_meet_the_same_making_and_only_proposed_amounts_change_it(seed):
    lives = {policy: life(policy, seed) for policy in POLICIES}
    made = lives[NOTHING].made

    assert [x for x in POLICIES if lives[x].made != made] == [MAKING]


def test_the_same_seed_lives_the_same_and_another_does_not():
    again = live(script(Kitchen(), 1), ALL)

    assert again == life(ALL, 1)
    assert again.eaten != life(ALL, 2).eaten


@pytest.mark.parametrize("policy", POLICIES, ids=[one.name for one in POLICIES])
def test_nobody_sees_the_future(policy):
    """Four weeks alone are the first four of eight, whatever the other four bring."""
    short = live(script(Kitchen(), 5, 28), policy)
    whole = life(policy, 5)
    end = short.script.days[-1].dinner.at

    assert len(short.eaten) > 40
    assert short.eaten == [one for one in whole.eaten if one.at <= end]
    assert short.occupied == whole.occupied[:28]


@pytest.mark.parametrize("name", STOCKS)
def test_foods_last_as_long_as_their_rule_says(name):
    stock = STOCKS[name]
    made_at = instant(FIRST, OPENED if stock.is_pack else MADE)
    last_day = last_date(limits.last_moment(name, made_at), ZONE)

    assert limits.binding_rule(name, made_at) == stock.rule
    assert (last_day - FIRST).days + 1 == stock.days


def test_what_is_frozen_on_day_two_of_four_has_two_days_when_thawed():
    """Both days of freezing and thawing count under us-home: day 2, then 3 and 4."""
    made_at = instant(FIRST, MADE)
    frozen_at, thawed_at = (made_at + timedelta(hours=h) for h in (14.5, 24 * 20))
    ends = limits.thawed_until("lentil soup", made_at, frozen_at, thawed_at)
    thawed_on = thawed_at.astimezone(ZONE).date()

    assert (last_date(ends, ZONE) - thawed_on).days == 1
    on_the_last_day = frozen_at + timedelta(days=2)
    assert limits.can_freeze("lentil soup", made_at, frozen_at)
    assert not limits.can_freeze("lentil soup", made_at, on_the_last_day)
    assert not limits.can_freeze("egg salad", made_at, frozen_at)


def test_a_list_that_is_always_followed_leaves_nothing_out_of_order():
    followed = replace(LIST, obeys=1.0)
    one_dish = Kitchen(dishes=1, packs=0, newest=1.0)

    assert life(followed, 1, one_dish).out_of_order == 0
    assert life(NOTHING, 1, one_dish).out_of_order > 10


@pytest.mark.parametrize("seed", SEEDS)
def test_nobody_wastes_less_than_the_bounds(seed):
    """Nothing frozen for the first; nobody joining a planned meal for the second."""
    lived = script(Kitchen(habit=0.0), seed)
    least = bounds(lived)
    frozen = live(lived, replace(ALL, use_up_days=()))

    assert 0 < least.any_freezer < least.no_freezer
    for policy in (NOTHING, LIST):
        assert live(lived, policy).wasted.total() >= least.no_freezer
    assert frozen.wasted.total() + frozen.in_freezer.total() >= least.any_freezer
    assert frozen.wasted.total() < least.no_freezer


def test_demand_is_the_mean_of_days_on_which_it_was_there():
    """2, nothing known, 1 and 0: a mean of 1 a day, told after three such days."""
    record = Record(known_days=3)
    record.end_day({"soup"}, {"soup": 2})
    record.end_day(set(), {})
    record.end_day({"soup"}, {"soup": 1})

    assert record.demand("soup", 2) is None
    record.end_day({"soup", "ham"}, {})
    assert record.demand("soup", 2).mean == pytest.approx(2.0)
    assert record.demand("soup", 2).variance == pytest.approx(2.0)
    assert record.demand("ham", 2) is None


def test_intervals_are_those_of_students_t():
    """1, 2, 3: the mean 2, s = 1, t = 4.303 on 2 degrees: 4.303/sqrt(3) = 2.484."""
    found = estimate([1.0, 2.0, 3.0])

    assert found.mean == pytest.approx(2.0)
    assert found.half == pytest.approx(2.484, abs=5e-4)
    assert found.low == pytest.approx(-0.484, abs=5e-4)


def test_pairs_are_compared_seed_by_seed():
    rows = [play(AS_IT_IS, seed) for seed in SEEDS]
    ours, theirs = ([row[x.name] for row in rows] for x in (ALL, NOTHING))
    shares = [(WASTED(a), WASTED(b)) for a, b in zip(ours, theirs, strict=True)]
    mean, low, high = change(ours, theirs, WASTED)

    expected = sum(a - b for a, b in shares) / 3
    assert paired(ours, theirs, WASTED).mean == pytest.approx(expected)
    total = sum(a for a, _ in shares) / sum(b for _, b in shares)
    assert mean == pytest.approx(100 * (total - 1))
    assert low <= mean <= high
    assert more_often(ours, ours, WASTED) == (0, 3)
    assert more_often(theirs, ours, WASTED) == (3, 0)


def test_the_page_tells_every_policy_and_every_other_kitchen():
    text = PAGE.read_text("utf-8")
    rows = re.findall(r"^\| ([^|]+) \| \d", text, re.MULTILINE)

    assert f"{SEEDS_LIVED} times with other chance" in text
    assert f"{FEWER_SEEDS} seeds each" in text
    assert NOT_LOOKED_INTO not in text
    for name in [one.name for one in (*POLICIES, *variants())]:
        assert name in rows


def test_the_first_seeds_come_out_as_the_page_says():
    rows = [play(AS_IT_IS, seed) for seed in range(1, SHORT_SEEDS + 1)]
    on_page = re.findall(r"^    (seed .+)$", PAGE.read_text("utf-8"), re.MULTILINE)

    assert len(on_page) == SHORT_SEEDS * len(POLICIES)
    assert on_page == list(short_lines(rows))


def test_only_a_full_freezer_keeps_out_what_was_to_be_frozen():
    small, large = (life(ALL, 2, Kitchen(freezer_slots=x)) for x in (2, 200))

    assert small.no_slot
    assert not large.no_slot
    assert max(small.occupied) == 2
    assert small.wasted.total() > large.wasted.total()
