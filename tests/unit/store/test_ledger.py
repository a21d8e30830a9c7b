"""The ledger keeps each event once, as it was."""

import random
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta, timezone

import pytest
from sqlalchemy import event as listening

from lidclock.domain.events import in_order
from lidclock.domain.fold import fold
from lidclock.domain.kitchens import Kitchen
from lidclock.errors import EventConflictError
from lidclock.store import Kitchens, Ledger
from lidclock.store.statements import text_of


@pytest.fixture
def connection(database):
    with database.begin() as connection:
        yield connection


@pytest.fixture
def ledger(connection):
    return Ledger(connection, "home")


def undo_of(event, target):
    body = {"event": target.id, "void": True}
    return replace(event, kind="corrected", subject=target.subject, body=body)


def test_an_event_comes_back_as_it_was(ledger, event):
    noted = event(
        1, who="Ada", device="tablet", act="a", body={"note": "crème", "n": 1}
    )
    ledger.append(noted)

    assert ledger.get(noted.id) == noted


def test_an_instant_keeps_its_microseconds_whatever_its_offset(ledger, event):
    eastern = timezone(timedelta(hours=-5))
    at = datetime(2026, 11, 1, 1, 30, 0, 123457, tzinfo=eastern)
    ledger.append(event(1, happened_at=at))

    read = ledger.get("id-000001").happened_at

    assert read == at
    assert read.tzinfo is UTC


def test_an_instant_before_1970_is_kept(ledger, event):
    at = datetime(1969, 12, 31, 23, 59, 59, 999999, tzinfo=UTC)
    ledger.append(event(1, happened_at=at))

    assert ledger.get("id-000001").happened_at == at


def test_the_same_event_twice_is_recorded_once(ledger, event):
    first, second = ledger.append(event(1)), ledger.append(event(1))

    assert (first, second) == (True, False)
    assert list(ledger.all()) == [event(1)]


def test_an_event_that_came_back_through_json_is_still_the_same(ledger, event):
    ledger.append(event(1, body={"from": ("A", "B"), "b": 1}))

    assert ledger.append(event(1, body={"b": 1, "from": ["A", "B"]})) is False


def test_another_event_under_the_same_id_is_refused(ledger, event):
    ledger.append(event(1))

    with pytest.raises(
        EventConflictError, match=r"id-000001 .* record the change as a"
    ):
        ledger.append(event(1, who="somebody else"))


def test_a_refused_event_changes_nothing(ledger, event):
    ledger.append(event(1))
    with pytest.raises(EventConflictError):
        ledger.append(event(1, who="somebody else"))

    assert list(ledger.all()) == [event(1)]


def test_a_code_is_filled_only_once(ledger, event):
    ledger.append(event(1, "filled", "C7"))

    with pytest.raises(EventConflictError, match=r"code C7 .* fill under a new code"):
        ledger.append(event(2, "filled", "C7"))


def test_two_kitchens_may_use_the_same_code_and_id(connection, ledger, event):
    Kitchens(connection).add(Kitchen("hall", "Hall", "UTC"))
    ledger.append(event(1, "filled", "C7"))

    assert Ledger(connection, "hall").append(event(1, "filled", "C7")) is True


def test_a_kitchen_sees_only_its_own_events(connection, ledger, event):
    Kitchens(connection).add(Kitchen("hall", "Hall", "UTC"))
    ledger.append(event(1))

    assert list(Ledger(connection, "hall").all()) == []


def test_append_all_counts_what_was_new(ledger, event):
    ledger.append(event(2))

    assert ledger.append_all([event(1), event(2), event(3)]) == 2


def test_append_all_finds_the_one_that_says_something_else(ledger, event):
    ledger.append(event(2))

    with pytest.raises(EventConflictError, match="id-000002"):
        ledger.append_all([event(1), event(2, subject="other"), event(3)])


def test_append_all_finds_two_of_one_id_among_its_own(ledger, event):
    with pytest.raises(EventConflictError, match="id-000001"):
        ledger.append_all([event(1), event(1, subject="other")])


def test_append_all_of_nothing_is_nothing(ledger):
    assert ledger.append_all([]) == 0


def test_a_new_event_costs_one_statement(connection, ledger, event):
    ledger.append(event(1))  # the statement is prepared by now
    run = []
    connection.connection.driver_connection.set_trace_callback(run.append)
    ledger.append(event(2))
    connection.connection.driver_connection.set_trace_callback(None)

    statements = [text for text in run if not text.startswith("--")]
    assert len(statements) == 1


def test_of_gives_the_events_of_any_of_the_subjects_in_order(ledger, event):
    ledger.append_all([event(3, subject="A"), event(1, subject="B"), event(2)])

    assert ledger.of(["A", "B"]) == [event(1, subject="B"), event(3, subject="A")]


def test_of_takes_more_subjects_than_sqlite_takes_parameters(ledger, event):
    ledger.append(event(1, subject="S39999"))

    assert len(ledger.of(f"S{n}" for n in range(40_000))) == 1


def test_of_no_subject_is_nothing(ledger, event):
    ledger.append(event(1))

    assert ledger.of([]) == []


def test_all_comes_in_the_order_of_happening_then_id(ledger, event):
    at = event(1).happened_at
    events = [event(9), event(3, happened_at=at), event(2, happened_at=at), event(1)]
    ledger.append_all(events)

    assert list(ledger.all()) == in_order(events)


@pytest.mark.parametrize("seed", range(5))
def test_the_order_of_arrival_does_not_matter_to_the_fold(ledger, event, seed):
    filled = {"food": "Soup", "mass_g": 400, "maker_use_by": str(date(2026, 11, 9))}
    fridge = {"place": "Fridge", "state": "fridge"}
    freezer = {"place": "Chest", "state": "freezer"}
    events = [
        event(1, "filled", body=filled),
        event(2, "placed", body=fridge),
        event(3, "taken", body={"mass_g": 150}),
        event(4, "placed", body=freezer),
        event(5, "corrected", body={"event": "id-000003", "set": {"mass_g": 50}}),
    ]
    shuffled = random.Random(seed).sample(events, len(events))
    ledger.append_all(shuffled)

    assert fold(ledger.all()) == fold(events)


def test_the_latest_act_is_every_event_of_it(ledger, event):
    ledger.append_all([event(1), event(2, act="fill"), event(3, act="fill")])

    assert [part.id for part in ledger.latest_act()] == ["id-000002", "id-000003"]


def test_the_latest_act_goes_by_when_it_was_recorded(ledger, event):
    told_late = event(1, recorded_at=event(9).recorded_at)
    ledger.append_all([told_late, event(5)])

    assert ledger.latest_act() == [told_late]


def test_undoing_again_walks_further_back(ledger, event):
    ledger.append_all([event(1), event(2)])
    ledger.append(undo_of(event(3), event(2)))

    assert ledger.latest_act() == [event(1)]


def test_nothing_is_left_once_everything_was_taken_back(ledger, event):
    ledger.append_all([event(1), undo_of(event(2), event(1))])

    assert ledger.latest_act() == []


def test_an_act_taken_back_in_part_offers_the_rest(ledger, event):
    kept, dropped = event(1, act="fill"), event(2, act="fill")
    ledger.append_all([kept, dropped, undo_of(event(3), dropped)])

    assert ledger.latest_act() == [kept]


def test_a_correction_of_a_fact_can_be_undone(ledger, event):
    change = {"event": "id-000001", "set": {"mass_g": 1}}
    ledger.append_all([event(1), event(2, "corrected", body=change)])

    assert [part.id for part in ledger.latest_act()] == ["id-000002"]


def test_an_undo_that_was_itself_voided_takes_nothing_back(ledger, event):
    undo = undo_of(event(3), event(2))
    ledger.append_all([event(1), event(2), undo, undo_of(event(4), undo)])

    assert ledger.latest_act() == [event(2)]


def test_the_latest_act_of_one_device_passes_over_the_others(ledger, event):
    mine = event(1, device="tablet")
    ledger.append_all([mine, event(2, device="phone")])

    assert ledger.latest_act("tablet") == [mine]


def test_batches_are_numbered_from_one(ledger):
    assert ledger.next_batch_number() == 1


def test_the_number_of_a_batch_taken_back_is_not_given_out_again(ledger, event):
    made = event(1, "made", "b1", body={"number": 7, "food": "Soup"})
    ledger.append_all([made, undo_of(event(2), made)])

    assert ledger.next_batch_number() == 8


def test_a_statement_with_a_value_written_into_it_is_refused():
    from lidclock.store.tables import event as table

    with pytest.raises(ValueError, match="values written into a statement"):
        text_of(table.select().where(table.c.id == "x"))


def test_writing_begins_by_taking_the_lock(database):
    seen = []

    @listening.listens_for(database.engine, "before_cursor_execute")
    def note(_connection, _cursor, statement, *_rest):
        seen.append(statement)

    with database.begin():
        pass

    assert seen == ["BEGIN IMMEDIATE"]


def test_those_are_found_by_their_ids_however_many(ledger, event):
    ledger.append_all([event(1), event(2), event(3)])
    asked = [f"id-{n:06}" for n in (1, 3, *range(100, 60_000))]

    assert ledger.those(asked) == {"id-000001": event(1), "id-000003": event(3)}
    assert ledger.those([]) == {}


def test_the_position_grows_with_every_event_whatever_its_times_say(ledger, event):
    positions = [ledger.position()]
    for number in (5, 1, 3):
        ledger.append(event(number))
        positions.append(ledger.position())
    ledger.append(event(3))

    assert positions == sorted(set(positions))
    assert ledger.position() == positions[-1]
