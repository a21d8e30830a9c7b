"""Each kind of event folded into an inventory; one container, C1, unless said."""

from datetime import UTC, datetime, timedelta

import pytest

from lidclock.domain.events import Event, food_subject
from lidclock.domain.fold import fold
from lidclock.domain.foods import Food

NOON = datetime(2026, 11, 2, 12, tzinfo=UTC)
HOUR = timedelta(hours=1)


class Log:
    """Writes events an hour apart, with ids in order."""

    def __init__(self):
        self.events = []

    def add(self, kind, subject="C1", **body):
        number = len(self.events)
        at = NOON + number * HOUR
        event = Event(f"e{number:03}", kind, subject, at, at, "UTC", body=body)
        self.events.append(event)
        return event

    def container(self, code="C1"):
        return fold(self.events).containers[code]


@pytest.fixture
def log():
    log = Log()
    log.add("made", "b1", number=1, food="soup", total_g=500.0, lot="L1")
    log.add("filled", batch="b1", index=1, of=1, mass_g=500.0)
    return log


def test_a_container_takes_food_time_and_lot_from_its_batch(log):
    container = log.container()

    assert (container.food, container.lot) == ("soup", "L1")
    assert container.made_at == NOON
    assert (container.filled_g, container.mass_g) == (500.0, 500.0)


def test_noting_a_food_describes_it_whatever_the_case(log):
    food = Food("Soup", "soup-stew", ("celery",))
    log.add("noted", food_subject("Soup"), food=food.as_dict())
    inventory = fold(log.events)

    assert inventory.food_of(inventory.containers["C1"]) == food


def test_a_food_nobody_described_has_no_category(log):
    inventory = fold(log.events)

    assert inventory.food_of(inventory.containers["C1"]).category == ""
    assert inventory.allergens_of(inventory.containers["C1"]) is None


def test_labelling_and_placing_are_remembered(log):
    log.add("labelled")
    log.add("placed", place="F1", state="fridge", temp_c=3.0)
    container = log.container()

    assert container.labelled
    assert (container.place, container.state) == ("F1", "fridge")


def test_the_last_label_counts_and_the_others_are_remembered(log):
    first = log.add("labelled", last_day="2026-11-05", number=1)
    second = log.add("labelled", last_day=None, number=2)
    container = log.container()

    assert [(one.at, one.number) for one in container.labels] == [
        (first.happened_at, 1),
        (second.happened_at, 2),
    ]
    assert container.printed["last_day"] is None
    assert container.next_label == 3


def test_labels_from_before_they_had_numbers_are_counted(log):
    log.add("labelled")
    log.add("labelled")

    assert [one.number for one in log.container().labels] == [1, 2]


def test_when_it_should_be_thawed_is_remembered_and_no_stay(log):
    ready = NOON + 30 * HOUR
    log.add("placed", place="F1", state="fridge", ready_at=ready.isoformat())
    container = log.container()

    assert container.placings[-1].ready_at == ready
    assert [stay.state for stay in fold(log.events).history_of(container).stays] == [
        "counter",
        "fridge",
    ]


def test_the_first_opening_counts(log):
    first = log.add("opened")
    log.add("opened")

    assert log.container().opened_at == first.happened_at


def test_cooling_and_reheating_are_remembered(log):
    cooled, reheated = log.add("cooled"), log.add("reheated")
    container = log.container()

    assert container.coolings == [(cooled.happened_at, None)]
    assert container.reheated == [(reheated.happened_at, None)]


def test_taking_some_leaves_the_rest(log):
    log.add("taken", mass_g=120.5)

    assert log.container().mass_g == 379.5


def test_taking_all_ends_the_container_as_used(log):
    taken = log.add("taken", mass_g=500.0)
    container = log.container()

    assert (container.end.kind, container.end.at) == ("used", taken.happened_at)
    assert not container.is_live


def test_a_split_off_share_carries_the_past(log):
    log.add("placed", place="F1", state="fridge")
    log.add("filled", "C2", mass_g=200.0, parent="C1")
    log.add("split", into={"C2": 200.0})
    child, parent = log.container("C2"), log.container("C1")

    assert (parent.mass_g, child.mass_g) == (300.0, 200.0)
    assert (child.food, child.made_at, child.state) == ("soup", NOON, "fridge")
    assert child.placings == parent.placings


def test_moving_a_share_does_not_move_what_it_came_from(log):
    log.add("filled", "C2", mass_g=200.0, parent="C1")
    log.add("split", into={"C2": 200.0})
    log.add("placed", "C2", place="Z", state="freezer")

    assert log.container("C1").placings == []


def test_splitting_everything_ends_the_parent(log):
    log.add("filled", "C2", mass_g=500.0, parent="C1")
    log.add("split", into={"C2": 500.0})

    assert log.container().end.kind == "split"


def test_a_mixture_is_as_old_as_its_oldest_part(log):
    log.add("made", "b2", number=2, food="rice")
    log.add("filled", "C2", batch="b2", mass_g=100.0)
    log.add("filled", "C3", food="stew", mass_g=600.0)
    mixed = log.add("combined", "C3", **{"from": ["C1", "C2"]})
    log.add("combined", "C1", into="C3")
    mixture = log.container("C3")

    assert (mixture.made_at, mixture.mixed_at) == (NOON, mixed.happened_at)
    assert mixture.components == ("C1", "C2")
    assert log.container("C1").end.kind == "combined"


def test_a_mixture_with_an_undated_part_has_no_making_time(log):
    log.add("filled", "C2", food="?", mass_g=100.0)
    log.add("filled", "C3", food="stew", mass_g=600.0)
    log.add("combined", "C3", **{"from": ["C1", "C2"]})

    assert log.container("C3").made_at is None


@pytest.mark.parametrize("kind", ["used", "discarded", "given", "missing"])
def test_an_ending_says_how_and_when(log, kind):
    ended = log.add(kind, reason="party")
    end = log.container().end

    assert (end.kind, end.at, end.reason) == (kind, ended.happened_at, "party")


def test_what_was_missing_is_live_again_once_found(log):
    log.add("missing")
    log.add("found")

    assert log.container().is_live


def test_what_was_missing_is_live_again_once_placed(log):
    log.add("missing")
    log.add("placed", place="F1", state="fridge")

    assert log.container().is_live


def test_an_event_after_the_end_is_kept_and_shown(log):
    log.add("used")
    odd = log.add("placed", place="Z", state="freezer")
    container = log.container()

    assert container.after_end == [odd]
    assert container.placings == []


def test_a_remark_changes_nothing_about_a_container(log):
    before = log.container()
    log.add("noted", temp_c=3.0)

    assert log.container() == before


def test_what_the_food_itself_measured_is_kept_beside_its_cooling(log):
    log.add("measured", temp_c=8.3)
    container = log.container()

    assert [temp_c for _, temp_c in container.probes] == [8.3]
    assert container.coolings == []


def test_a_corrected_time_moves_the_event(log):
    moved = (NOON - 5 * HOUR).isoformat()
    log.add("corrected", "b1", event="e000", set={"happened_at": moved})

    assert log.container().made_at == NOON - 5 * HOUR


def test_a_correction_leaves_the_corrected_event_as_it_was(log):
    made = log.events[0]
    log.add("corrected", "b1", event="e000", set={"food": "stew"})

    assert log.container().food == "stew"
    assert made.body["food"] == "soup"


def test_the_later_of_two_corrections_wins(log):
    log.add("corrected", "b1", event="e000", set={"food": "stew", "lot": "L2"})
    log.add("corrected", "b1", event="e000", set={"food": "broth"})
    container = log.container()

    assert (container.food, container.lot) == ("broth", "L2")


def test_a_voided_correction_does_not_count(log):
    correction = log.add("corrected", "b1", event="e000", set={"food": "stew"})
    log.add("corrected", "b1", event=correction.id, void=True)

    assert log.container().food == "soup"


def test_a_voided_void_does_not_count(log):
    used = log.add("used")
    undo = log.add("corrected", event=used.id, void=True)
    log.add("corrected", event=undo.id, void=True)

    assert not log.container().is_live


def test_an_event_about_nothing_known_is_ignored(log):
    before = fold(log.events)
    log.add("placed", "C9", place="F1", state="fridge")

    assert fold(log.events) == before
