"""Projections answer lists and can be thrown away."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest

from lidclock.domain.containers import Batch
from lidclock.domain.foods import Food
from lidclock.domain.kitchens import Kitchen
from lidclock.domain.snapshots import Snapshot
from lidclock.store import Kitchens, Snapshots
from lidclock.store import snapshots as module
from lidclock.store.statements import text_of

NOON = datetime(2026, 11, 2, 12, 0, tzinfo=UTC)
HOUR = timedelta(hours=1)
FULL = Snapshot(
    code="AB12",
    food="Lentil Soup",
    standing="dated",
    batch_number=12,
    batch_id="b-12",
    index=1,
    of=6,
    lot="L1",
    place="Fridge",
    state="fridge",
    mass_g=400.5,
    made_at=NOON,
    opened_at=NOON + HOUR,
    last_moment=NOON + 5 * HOUR,
    last_day=date(2026, 11, 8),
    best_by=date(2026, 12, 1),
    days_left=3,
    binding="us.date-marking.7d",
    is_house_rule=True,
    is_labelled=True,
    is_unmarked=True,
    end_kind="used",
    end_reason="lunch",
    ended_at=NOON + 2 * HOUR,
    subjects=("AB12", "b-12", "food/lentil soup"),
    cooling_since=NOON + 3 * HOUR,
)


@pytest.fixture
def connection(database):
    with database.begin() as connection:
        yield connection


@pytest.fixture
def snapshots(connection):
    return Snapshots(connection, "home")


def dated(code, hours, **facts):
    moment = NOON + hours * HOUR
    return Snapshot(code, "Soup", "dated", last_moment=moment, **facts)


def codes(found):
    return [snapshot.code for snapshot in found]


def test_every_field_comes_back(snapshots):
    snapshots.put_all([FULL])

    assert snapshots.get("AB12") == FULL


def test_what_is_not_known_comes_back_as_not_known(snapshots):
    bare = Snapshot("AB12", "Soup", "unknown")
    snapshots.put_all([bare])

    assert snapshots.get("AB12") == bare


def test_a_code_nobody_used_gives_nothing(snapshots):
    assert snapshots.get("AB12") is None


def test_a_later_state_replaces_every_field_of_the_earlier(snapshots):
    bare = Snapshot("AB12", "Stew", "paused")
    snapshots.put_all([FULL])
    snapshots.put_all([bare])

    assert snapshots.get("AB12") == bare


def test_codes_are_those_of_live_containers(snapshots):
    for code, standing in [("B", "dated"), ("A", "paused"), ("C", "unknown")]:
        snapshots.put_all([Snapshot(code, "Soup", standing)])
    snapshots.put_all([Snapshot("D", "Soup", "ended")])

    assert snapshots.codes() == ["A", "B", "C"]


def test_due_lists_the_soonest_first_and_ties_by_code(snapshots):
    snapshots.put_all([dated("B", 2), dated("A", 2), dated("C", 1), dated("D", 4)])

    assert codes(snapshots.due(NOON + 3 * HOUR)) == ["C", "A", "B"]


def test_a_last_moment_at_the_horizon_itself_is_due(snapshots):
    snapshots.put_all([dated("A", 3)])

    assert codes(snapshots.due(NOON + 3 * HOUR)) == ["A"]


def test_due_passes_over_what_is_frozen_or_ended(snapshots):
    for code, standing in [("A", "paused"), ("B", "ended"), ("C", "unknown")]:
        snapshots.put_all([Snapshot(code, "Soup", standing, last_moment=NOON)])

    assert snapshots.due(NOON) == []


def test_due_stops_at_its_limit(snapshots):
    snapshots.put_all([dated("A", 1), dated("B", 2)])

    assert codes(snapshots.due(NOON + 9 * HOUR, limit=1)) == ["A"]


def test_unmarked_lists_live_ones_only(snapshots):
    snapshots.put_all([dated("A", 1, is_unmarked=True)])
    snapshots.put_all([dated("B", 1)])
    snapshots.put_all([Snapshot("C", "Soup", "ended", is_unmarked=True)])

    assert codes(snapshots.unmarked()) == ["A"]


def test_paused_lists_the_fewest_days_left_first(snapshots):
    for code, days in [("A", None), ("B", 4), ("C", 1)]:
        snapshots.put_all([Snapshot(code, "Soup", "paused", days_left=days)])

    assert codes(snapshots.paused()) == ["C", "B", "A"]


def test_unknown_lists_what_has_no_last_day(snapshots):
    snapshots.put_all([Snapshot("A", "Soup", "unknown"), dated("B", 1)])

    assert codes(snapshots.unknown()) == ["A"]


def test_cooling_lists_open_logs_the_longest_open_first(snapshots):
    logs = {"A": 2, "B": 1, "C": None}
    for code, hours in logs.items():
        since = None if hours is None else NOON + hours * HOUR
        snapshots.put_all([Snapshot(code, "Soup", "dated", cooling_since=since)])

    assert codes(snapshots.cooling()) == ["B", "A"]


@pytest.mark.parametrize(
    ("wanted", "found"),
    [
        ({}, ["A", "B", "C"]),
        ({"place": "Fridge"}, ["A"]),
        ({"state": "freezer"}, ["B"]),
        ({"food": "LENTIL soup"}, ["C"]),
        ({"batch": 2}, ["B", "C"]),
        ({"batch": 2, "state": "freezer"}, ["B"]),
        ({"batch": 2, "live": False}, ["B", "C", "D"]),
        ({"live": False}, ["A", "B", "C", "D"]),
    ],
)
def test_find_meets_every_condition(snapshots, wanted, found):
    snapshots.put_all([dated("A", 1, place="Fridge", state="fridge", batch_number=1)])
    snapshots.put_all([dated("B", 2, place="Chest", state="freezer", batch_number=2)])
    snapshots.put_all([Snapshot("C", "Lentil Soup", "unknown", batch_number=2)])
    snapshots.put_all([Snapshot("D", "Soup", "ended", batch_number=2)])

    assert codes(snapshots.find(**wanted)) == found


def test_twins_go_by_last_moment_then_opened_then_age(snapshots):
    snapshots.put_all([Snapshot("F", "SOUP", "unknown")])
    snapshots.put_all([dated("E", 2, made_at=NOON)])
    snapshots.put_all([dated("D", 2, made_at=NOON - HOUR)])
    snapshots.put_all([dated("C", 2, made_at=NOON, opened_at=NOON)])
    snapshots.put_all([dated("B", 1)])
    snapshots.put_all([Snapshot("A", "Stew", "dated", last_moment=NOON)])

    assert codes(snapshots.twins("soup")) == ["B", "C", "D", "E", "F"]


def test_a_food_is_found_in_any_case(snapshots):
    soup = Food("Lentil Soup", "cooked", allergens=(), ph=6.1, house_days=4)
    snapshots.put_food(soup)

    assert snapshots.food("LENTIL SOUP") == soup


def test_foods_come_by_name(snapshots):
    snapshots.put_food(Food("stew", "cooked", allergens=("milk",)))
    snapshots.put_food(Food("Soup", "cooked"))

    assert [food.name for food in snapshots.foods()] == ["Soup", "stew"]


def test_a_batch_is_found_by_its_number(snapshots):
    batch = Batch("b-1", 1, "Soup", NOON, 2400.0, ("AB12",), "L1", 6)
    snapshots.put_batch(batch)

    assert snapshots.batch(1) == batch
    assert snapshots.batches() == [batch]


def test_two_batches_under_one_number_are_both_kept(snapshots):
    earlier, later = Batch("b-1", 1, "Soup", NOON), Batch("b-2", 1, "Stew", NOON + HOUR)
    snapshots.put_batch(later)
    snapshots.put_batch(earlier)

    assert snapshots.batch(1) == later
    assert len(snapshots.batches()) == 2


def test_dependents_are_all_that_hang_on_a_subject(snapshots):
    snapshots.put_all([dated("A", 1, subjects=("A", "b-1"))])
    snapshots.put_all([dated("B", 1, subjects=("B", "b-1", "A"))])
    snapshots.put_all([dated("C", 1, subjects=("C",))])

    assert snapshots.dependents(["A", "b-1"]) == ["A", "B"]


def test_a_subject_let_go_has_no_dependent_any_more(snapshots):
    snapshots.put_all([dated("A", 1, subjects=("A", "b-1"))])
    snapshots.put_all([dated("A", 1, subjects=("A", "b-2"))])

    assert snapshots.dependents(["b-1"]) == []
    assert snapshots.dependents(["b-2"]) == ["A"]


def test_what_is_known_of_earlier_only_spares_what_is_equal(snapshots):
    """Links that stand stay; those of other subjects are made anew."""
    same, other = dated("A", 1, subjects=("A", "b-1")), dated("B", 1, subjects=("B",))
    snapshots.put_all([same, other])
    later = replace(other, subjects=("B", "b-2"))
    fresh = dated("C", 1, subjects=("C", "b-2"))
    snapshots.put_all([same, later, fresh], {"A": same, "B": other, "C": None})

    assert snapshots.dependents(["b-1"]) == ["A"]
    assert snapshots.dependents(["b-2"]) == ["B", "C"]
    assert snapshots.get("B") == later


def test_a_dropped_container_leaves_nothing_behind(snapshots):
    snapshots.put_all([FULL])
    snapshots.drop("AB12")

    assert snapshots.dump() == []


def test_a_dropped_batch_and_food_leave_nothing_behind(snapshots):
    snapshots.put_batch(Batch("b-1", 1, "Soup", NOON))
    snapshots.put_food(Food("Soup", "cooked"))
    snapshots.drop_batch("b-1")
    snapshots.drop_food("SOUP")

    assert snapshots.dump() == []


def test_clear_drops_only_the_projections_of_its_kitchen(connection, snapshots):
    Kitchens(connection).add(Kitchen("hall", "Hall", "UTC"))
    other = Snapshots(connection, "hall")
    for each in (snapshots, other):
        each.put_all([FULL])
        each.put_food(Food("Soup", "cooked"))
        each.put_batch(Batch("b-1", 1, "Soup", NOON))
    snapshots.clear()

    assert snapshots.dump() == []
    assert len(other.dump()) == 3 + len(FULL.subjects)


def test_dumps_are_equal_however_the_rows_came_in(snapshots):
    snapshots.put_all([FULL, dated("A", 1, subjects=("A",))])
    at_once = snapshots.dump()
    snapshots.clear()
    snapshots.put_all([dated("A", 9, subjects=("A", "gone"))])
    snapshots.put_all([dated("A", 1, subjects=("A",))])
    snapshots.put_all([FULL])

    assert snapshots.dump() == at_once


def test_a_dump_tells_states_apart(snapshots):
    snapshots.put_all([dated("A", 1)])
    before = snapshots.dump()
    snapshots.put_all([dated("A", 2)])

    assert snapshots.dump() != before


@pytest.mark.parametrize(
    ("statement", "index", "sorts"),
    [
        ("_DUE", "container_by_last_moment", False),
        ("_UNMARKED", "container_unmarked", False),
        ("_MISSING", "container_missing", False),
        ("_COOLING", "container_cooling", False),
        ("_CODES", "container_by_last_moment", False),
        ("_TWINS", "container_by_food", True),
        ("_DEPENDENTS", "sqlite_autoindex_container_subject_1", False),
    ],
)
def test_lists_search_an_index(connection, statement, index, sorts):
    text = text_of(getattr(module, statement))
    given = {
        "kitchen_id": "",
        "until_us": 0,
        "limit": 1,
        "food_key": "",
        "subjects": "",
    }
    given["subjects"] = "[]"
    raw = connection.connection.driver_connection
    plan = " ".join(row[3] for row in raw.execute("EXPLAIN QUERY PLAN " + text, given))

    assert f"{index} (kitchen_id=?" in plan
    assert ("TEMP B-TREE" in plan) == sorts


def test_those_are_found_by_their_codes_ended_ones_too(snapshots):
    ended = replace(FULL, code="CD34", standing="ended")
    snapshots.put_all([FULL])
    snapshots.put_all([ended])

    assert snapshots.those(["AB12", "CD34", "EF56"]) == {"AB12": FULL, "CD34": ended}
    assert snapshots.those([]) == {}
