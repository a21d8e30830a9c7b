"""Recording cannot be used, by slip or by intent, to make food younger than it is."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest
from tests.unit.app.conftest import at

from lidclock.app import corrections, lists, moves, portions, prep, setup
from lidclock.app.corrections import Change
from lidclock.app.prep import Input, Order
from lidclock.app.scanning import Scanner
from lidclock.domain.foods import Food
from lidclock.errors import InputError, OddFactError, RefusedError

SOUP = Food("leek soup", "soup-stew", ("milk",))


def soup(session, count=1, **order):
    wanted = {"portion_g": 300.0, "place": session.place("Fridge"), **order}
    with session.write() as unit:
        return prep.prep(unit, Order(SOUP, count, **wanted)).codes


def seen(session, code):
    return lists.show(session, code)


def test_a_food_described_anew_leaves_what_was_filled_before(opened):
    session = opened("2026-10-31T18:00")
    code = soup(session)[0]
    before = seen(session, code)

    setup.add_food(session, Food("leek soup", "yeast-dough-raw", (), house_days=90))

    after = seen(session, code)
    assert after.verdict.last_day == before.verdict.last_day
    assert after.allergens == ("milk",)


def test_a_correction_applies_a_new_description_to_one_container(opened):
    session = opened("2026-10-31T18:00")
    one, other = soup(session, 2)
    setup.add_food(session, replace(SOUP, allergens=("milk", "celery")))

    with session.write() as unit:
        corrections.correct_container(unit, one, Change(food="leek soup"))

    assert seen(session, one).allergens == ("milk", "celery")
    assert seen(session, other).allergens == ("milk",)


def test_a_bought_pack_needs_a_food_of_its_own(opened):
    session = opened("2026-10-31T18:00")
    soup(session)

    with pytest.raises(RefusedError, match="made here"), session.write() as unit:
        prep.open_pack(unit, "leek soup")


def test_what_is_over_goes_into_nothing_without_a_second_word(opened):
    old = soup(opened("2026-10-20T18:00"))[0]
    session = opened("2026-10-31T18:00")

    with pytest.raises(OddFactError, match="does not bring it back"):
        soup(session, inputs=(Input(old),))


def test_one_container_named_twice_gives_no_more_than_it_holds(opened):
    session = opened("2026-10-31T18:00")
    code = soup(session)[0]

    with pytest.raises(InputError, match="holds 300 g, not 400 g"):
        soup(session, inputs=(Input(code, 200.0), Input(code, 200.0)))


def test_time_missing_counts_as_counter_time(opened):
    """Missing from noon until the next noon: two hours were allowed."""
    code = soup(opened("2026-10-31T11:50"))[0]
    session = opened("2026-11-01T12:00")
    with session.write() as unit:
        moves.missing(unit, code, at=at("2026-10-31T12:00"))
        moves.place(unit, code, session.place("Fridge"))

    found = seen(session, code)

    assert found.verdict.status == "over"
    assert any("while it was missing" in line for line in found.verdict.unknown)


def test_a_split_keeps_what_its_child_went_through_before(opened):
    session = opened("2026-10-31T18:00")
    code = soup(
        session, made_at=at("2026-10-31T15:00"), placed_at=at("2026-10-31T15:10")
    )
    with session.write() as unit:
        child = portions.split(unit, code[0], [100.0], at=at("2026-10-31T15:30")).codes[
            0
        ]
        moves.place(unit, child, session.place("Counter"), at=at("2026-10-31T15:40"))

    with session.write() as unit:
        split = next(e for e in unit.view(code[0]).events if e.kind == "split")
        corrections.correct_event(unit, split.id, at=at("2026-10-31T15:50"))

    assert seen(session, child).verdict.status == "over"


def test_a_split_taken_back_takes_its_children_along(opened):
    session = opened("2026-10-31T18:00")
    code = soup(session)[0]
    with session.write() as unit:
        portions.split(unit, code, [100.0])
        split = next(e for e in unit.view(code).events if e.kind == "split")
        corrections.correct_event(unit, split.id, void=True)

    masses = [x.container.mass_g for x in lists.stocked(session).containers]
    assert masses == [300]


def test_a_contradiction_is_recorded_and_changes_nothing(opened):
    session = opened("2026-10-31T18:00")
    code = soup(session)[0]
    with session.write() as unit:
        moves.use(unit, code)
        moves.freeze(unit, code, anyway=True)

    view = seen(session, code)

    assert view.container.end.kind == "used"
    assert [event.kind for event in view.container.after_end] == ["placed"]


def test_undo_takes_back_only_what_this_device_recorded(opened):
    session = opened("2026-10-31T18:00")
    code = soup(session)[0]
    other = opened("2026-10-31T18:05")
    other.device = "other"
    with other.write() as unit:
        moves.place(unit, code, other.place("Counter"))

    with session.write() as unit:
        corrections.undo(unit)

    assert lists.stocked(session).containers == ()


def test_a_refused_action_leaves_no_action_in_force(opened):
    session = opened("2026-10-31T18:00")
    code = soup(session)[0]
    scanner = Scanner(session)
    scanner.hear("USE")
    scanner.hear("TO=Attic")

    scanner.hear(code)

    assert seen(session, code).container.is_live


def test_used_before_its_last_moment_may_be_recorded_after_it(opened):
    code = soup(opened("2026-10-31T18:00"))[0]
    later = opened("2026-11-10T18:00")

    with later.write() as unit:
        moves.use(unit, code, at=at("2026-11-02T18:00"))

    assert seen(later, code).container.end.at == at("2026-11-02T18:00")


def test_an_event_cannot_be_moved_to_before_the_making(opened):
    session = opened("2026-10-31T18:00")
    code = soup(session)[0]
    with session.write() as unit:
        placed = next(e for e in unit.view(code).events if e.kind == "placed")

        with pytest.raises(InputError, match="was made or filled"):
            corrections.correct_event(
                unit, placed.id, at=session.now - timedelta(hours=1)
            )


def test_nothing_happens_to_a_split_portion_before_the_split(opened):
    session = opened("2026-10-31T18:00")
    code = soup(
        session, made_at=at("2026-10-31T12:00"), placed_at=at("2026-10-31T12:00")
    )
    with session.write() as unit:
        moves.place(unit, code[0], session.place("Counter"), at=at("2026-10-31T13:00"))
        child = portions.split(unit, code[0], [100.0], at=at("2026-10-31T16:00")).codes[
            0
        ]

    with pytest.raises(InputError, match="made or filled"), session.write() as unit:
        moves.place(
            unit, child, session.place("Fridge"), at=at("2026-10-31T13:05"), anyway=True
        )

    assert seen(session, child).verdict.status == "over"


def test_raw_food_of_unknown_age_goes_into_nothing_without_a_second_word(opened):
    session = opened("2026-10-31T18:00")
    bird = Food("bird", "raw-poultry", ())
    with session.write() as unit:
        code = prep.adopt(unit, bird, place=session.place("Fridge")).codes[0]

    with pytest.raises(OddFactError, match="nobody knows how old"):
        soup(session, inputs=(Input(code),))


def test_a_corrected_opening_is_the_one_that_counts(opened):
    session = opened("2026-10-31T18:00")
    ham = Food("ham", "deli-meat-opened", (), made_by="maker")
    with session.write() as unit:
        code = prep.open_pack(
            unit, ham, opened_at=at("2026-10-29T12:00"), place=session.place("Fridge")
        ).codes[0]
        moves.open_container(unit, code)
        change = Change(opened_at=at("2026-10-28T12:00"))
        corrections.correct_container(unit, code, change)

    assert seen(session, code).container.opened_at == at("2026-10-28T12:00")
