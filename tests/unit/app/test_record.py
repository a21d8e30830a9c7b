"""Recording: batches, moves, corrections, undo, import and rebuild on a real ledger."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from tests.unit.app.conftest import at

from lidclock.app import (
    corrections,
    lids,
    lists,
    moves,
    portions,
    prep,
    setup,
    transfer,
)
from lidclock.app.corrections import Change
from lidclock.app.prep import Input, Order
from lidclock.app.scanning import Scanner
from lidclock.domain.foods import Food
from lidclock.domain.kitchens import Place
from lidclock.errors import InputError, OddFactError, RefusedError, UnknownThingError
from lidclock.labels import load_stock, verify

SOUP = Food("leek soup", "soup-stew", ("milk",))
DOUGH = Food("bun dough", "yeast-dough-raw", ("wheat", "milk"), house_days=6)


def soup(session, count=3, **order):
    wanted = {"portion_g": 300.0, "place": session.place("Fridge"), **order}
    with session.write() as unit:
        return prep.prep(unit, Order(SOUP, count, **wanted))


def status(session, code):
    return lists.show(session, code).verdict.status


def test_a_total_is_split_in_whole_grams_and_nothing_is_lost(opened):
    """1847 g over six boxes: five of 308 g and one of 307 g."""
    filled = soup(opened("2026-10-31T18:00"), 6, portion_g=None, total_g=1847.0)

    assert [v.container.mass_g for v in filled.views] == [308, 308, 308, 308, 308, 307]


def test_batches_are_numbered_from_one(opened):
    session = opened("2026-10-31T18:00")

    assert [soup(session).batch_number, soup(session).batch_number] == [1, 2]


def test_containers_that_were_not_placed_are_listed_as_unmarked(opened):
    session = opened("2026-10-31T18:00")
    soup(session, 4, place=None)

    assert len(lists.due(session).unmarked) == 4


def test_components_pass_on_their_last_day_and_their_allergens(opened):
    session = opened("2026-10-28T18:00")
    with session.write() as unit:
        base = prep.prep(
            unit,
            Order(Food("salad", "egg-salad", ("egg",)), place=session.place("Fridge")),
        )
    session = opened("2026-10-30T18:00")

    filled = soup(session, 1, inputs=(Input(base.codes[0]),))

    assert filled.views[0].verdict.last_day == date(2026, 10, 31)
    assert filled.views[0].allergens == ("milk", "egg")


def test_a_weighed_input_is_taken_from_its_container(opened):
    session = opened("2026-10-30T18:00")
    stock = soup(session, 1)

    soup(session, 1, inputs=(Input(stock.codes[0], 120.0),))

    assert lists.show(session, stock.codes[0]).container.mass_g == 180


def test_a_batch_made_in_the_future_is_refused_and_nothing_is_recorded(opened):
    session = opened("2026-10-31T18:00")

    with pytest.raises(InputError, match="in the future"):
        soup(session, made_at=at("2026-10-31T18:01"))

    assert lists.stocked(session).containers == ()


def test_what_was_not_frozen_cannot_be_thawed(opened):
    session = opened("2026-10-31T18:00")
    code = soup(session, 1).codes[0]

    with pytest.raises(RefusedError, match="not in a freezer"), session.write() as unit:
        moves.thaw(unit, code)


def test_freezing_after_the_last_moment_is_odd_and_recorded_all_the_same(opened):
    code = soup(opened("2026-10-31T18:00"), 1).codes[0]
    later = opened("2026-11-08T18:00")
    with pytest.raises(OddFactError), later.write() as unit:
        moves.freeze(unit, code)

    with later.write() as unit:
        moves.freeze(unit, code, anyway=True)

    assert status(later, code) == "over"


def test_a_younger_twin_names_the_one_to_take_first(opened):
    old = soup(opened("2026-10-30T18:00"), 1).codes[0]
    session = opened("2026-10-31T18:00")
    young = soup(session, 1).codes[0]

    first = f"{old[:3]} {old[3:]} first"
    with pytest.raises(OddFactError, match=first), session.write() as unit:
        moves.use(unit, young)


def test_a_twin_of_the_same_last_day_goes_first_because_it_is_older(opened):
    old = soup(opened("2026-10-31T08:00"), 1).codes[0]
    session = opened("2026-10-31T18:00")
    young = soup(session, 1).codes[0]

    first = rf"{old[:3]} {old[3:]} first \(box 1, older, in Fridge\)"
    with pytest.raises(OddFactError, match=first), session.write() as unit:
        moves.use(unit, young)


def test_an_open_twin_is_named_before_a_closed_one_of_the_same_day(opened):
    session = opened("2026-10-31T18:00")
    one, other = soup(session, 2).codes
    with session.write() as unit:
        moves.open_container(unit, one)

    with pytest.raises(OddFactError, match="already open"), session.write() as unit:
        moves.use(unit, other)


def test_what_is_over_may_not_be_handed_on(opened):
    code = soup(opened("2026-10-31T18:00"), 1).codes[0]
    later = opened("2026-11-08T18:00")

    with pytest.raises(RefusedError, match="handed on"), later.write() as unit:
        moves.give(unit, code, "a neighbour")


def test_a_mistyped_code_names_the_nearest_live_one(opened):
    session = opened("2026-10-31T18:00")
    code = soup(session, 1).codes[0]
    other = "B" if code[0] != "B" else "C"

    with pytest.raises(UnknownThingError, match=code):
        lists.show(session, other + code[1:])


def test_correcting_the_making_time_moves_the_whole_batch(opened):
    session = opened("2026-10-31T18:00")
    codes = soup(session, 2, made_at=at("2026-10-31T17:30")).codes

    with session.write() as unit:
        change = Change(made_at=at("2026-10-30T17:30"), placed_at=None)
        corrections.correct_container(unit, codes[0], change)

    assert lists.show(session, codes[1]).container.made_at == at("2026-10-30T17:30")


def test_a_corrected_mass_says_what_is_left_of_the_batch(opened):
    session = opened("2026-10-31T18:00")
    codes = soup(session, 6, portion_g=None, total_g=1847.0).codes

    with session.write() as unit:
        done = corrections.correct_container(unit, codes[3], Change(mass_g=305.0))

    assert done.view.container.mass_g == 305
    assert done.remarks == ("3 g of batch 1 in no container",)


def test_a_corrected_fact_stays_in_the_ledger(opened):
    session = opened("2026-10-31T18:00")
    code = soup(session, 1).codes[0]
    with session.write() as unit:
        corrections.correct_container(unit, code, Change(mass_g=250.0))

    view = lists.show(session, code)

    filled = next(event for event in view.events if event.kind == "filled")
    assert filled.body["mass_g"] == 300


def test_undo_takes_back_one_act_after_another(opened):
    session = opened("2026-10-31T18:00")
    code = soup(session, 1).codes[0]
    with session.write() as unit:
        moves.freeze(unit, code)
        moves.open_container(unit, code)

    with session.write() as unit:
        corrections.undo(unit)
        corrections.undo(unit)

    assert lists.show(session, code).container.state == "fridge"


def test_undoing_a_batch_takes_its_containers_off_every_list(opened):
    session = opened("2026-10-31T18:00")
    soup(session, 3)
    with session.write() as unit:
        corrections.undo(unit)

    assert lists.stocked(session).containers == ()


def test_a_split_conserves_mass_and_keeps_the_clock(opened):
    session = opened("2026-10-31T18:00")
    code = soup(session, 1).codes[0]
    with session.write() as unit:
        parts = portions.split(unit, code, [120.0, 80.0])

    masses = [view.container.mass_g for view in parts.views]
    whole = lists.show(session, code)
    assert sum(masses) + whole.container.mass_g == 300
    assert parts.views[0].verdict.last_day == whole.verdict.last_day


def test_combined_containers_end_as_the_oldest_of_them(opened):
    old = soup(opened("2026-10-30T18:00"), 1).codes[0]
    session = opened("2026-10-31T18:00")
    young = soup(session, 1).codes[0]
    oldest = lists.show(session, old).verdict.last_day

    with session.write() as unit:
        mixture = portions.combine(unit, [old, young]).views[0]

    assert mixture.verdict.last_day == oldest
    assert mixture.container.mass_g == 600
    assert status(session, old) == "ended"


def test_an_adopted_container_without_a_date_is_unknown_and_unmarked(opened):
    session = opened("2026-10-31T18:00")
    with session.write() as unit:
        code = prep.adopt(unit, SOUP, place=session.place("Fridge")).codes[0]

    assert status(session, code) == "unknown"
    assert [x.container.code for x in lists.due(session).unmarked] == [code]


def test_an_opened_pack_never_outlives_its_makers_date(opened):
    session = opened("2026-10-31T18:00")
    ham = Food("ham", "deli-meat-opened", (), made_by="maker")
    with session.write() as unit:
        pack = prep.open_pack(
            unit,
            ham,
            maker_use_by=date(2026, 11, 2),
            place=session.place("Fridge"),
        )

    assert pack.views[0].verdict.last_day == date(2026, 11, 2)


def test_a_house_rule_frozen_on_its_first_day_has_five_of_six_days_left(opened):
    session = opened("2026-10-31T18:00")
    with session.write() as unit:
        code = prep.prep(unit, Order(DOUGH, place=session.place("Fridge"))).codes[0]
        moves.freeze(unit, code)

    assert lists.show(session, code).verdict.days_left == 5


def test_alerts_come_most_urgent_first(opened):
    over = soup(opened("2026-10-25T18:00"), 1).codes[0]
    session = opened("2026-11-03T08:00")
    soup(opened("2026-11-01T18:00"), 1)

    found = lists.alerts(session, timedelta(hours=48))

    assert [alert.kind for alert in found] == ["over", "soon"]
    assert found[0].container.code == over


def test_projections_rebuilt_at_another_hour_are_equal(opened):
    session = opened("2026-10-31T18:00")
    codes = soup(session, 3).codes
    with session.write() as unit:
        moves.freeze(unit, codes[0])
        moves.discard(unit, codes[1], "dropped")
        prep.adopt(unit, SOUP)

    with opened("2027-02-01T09:00").write() as unit:
        assert transfer.rebuild(unit)


def test_an_import_of_its_own_export_changes_nothing(opened):
    session = opened("2026-10-31T18:00")
    soup(session, 3)
    with session.read() as unit:
        lines = list(transfer.export_lines(unit))

    document = transfer.read_lines(lines, "export")

    with session.write() as unit:
        assert transfer.import_events(unit, document.events) == 0


def test_a_torn_export_is_refused_with_its_line(opened):
    session = opened("2026-10-31T18:00")
    soup(session, 1)
    with session.read() as unit:
        lines = list(transfer.export_lines(unit))

    with pytest.raises(InputError, match="export line 2: not JSON"):
        transfer.read_lines([lines[0], lines[1][:40]], "export")


def test_a_formula_in_a_name_is_harmless_in_the_csv(opened):
    session = opened("2026-10-31T18:00")
    with session.write() as unit:
        prep.prep(unit, Order(Food("=1+1", "soup-stew", ()), 1))

    assert ",'=1+1," in transfer.export_csv(session)


def test_the_action_sheet_names_places_by_number_and_scans_back(tmp_path, opened):
    """A name such as `Walk-in fridge` would not fit into bars."""
    session = opened("2026-10-31T18:00")
    code = soup(session, 1, place=None).codes[0]
    actions = lids.print_actions(session, tmp_path / "actions.pdf")
    into = next(action for action in actions if action.word == "Freezer")
    scanner = Scanner(session)

    scanner.hear(into.code)
    scanner.hear(code)

    assert into.code == "TO=2"
    assert lists.show(session, code).container.place == "Freezer"


def test_every_action_symbol_reads_back(tmp_path, opened):
    session = opened("2026-10-31T18:00")
    setup.add_place(session, Place("Walk-in fridge by the back door", "fridge"))
    path = tmp_path / "actions.pdf"

    actions = lids.print_actions(session, path)

    assert (
        verify(path.read_bytes(), actions, load_stock(session.kitchen.stock).dpi) == []
    )
