"""What one line does on the page: weighed without recording, or recorded as a batch."""

import pytest

from lidclock.app.prep import Order, prep
from lidclock.app.scan_page import (
    ACTION,
    KEYBOARD,
    LID,
    LONGEST_LINE,
    NOTHING,
    Ask,
    choices,
    record,
    take_back,
    weigh,
)
from lidclock.domain.foods import Food
from lidclock.errors import RefusedError
from lidclock.scan.keyboard import SET_UP_TEXT

SOUP = Food("leek soup", "soup-stew", ())
MADE, NEXT_DAY, MUCH_LATER = "2026-10-31T18:00", "2026-11-01T09:00", "2026-11-20T09:00"


@pytest.fixture
def codes(opened):
    session = opened(MADE)
    order = Order(SOUP, 3, portion_g=300.0, place=session.place("Fridge"))
    with session.write() as unit:
        return prep(unit, order).codes


def kinds(session):
    with session.read() as unit:
        return [event.kind for event in unit.ledger.all()]


def test_the_actions_are_those_for_which_there_is_a_place(opened):
    session = opened(MADE)
    whole = [one.action for one in choices(session)]
    session.places = [one for one in session.places if one.state != "freezer"]

    assert whole[:6] == ["LOOK", "USE", "OPEN", "FREEZE", "THAW", "DISCARD"]
    assert whole[6:] == ["TO=1", "TO=2", "TO=3"]
    assert "FREEZE" not in [one.action for one in choices(session)]


@pytest.mark.parametrize("action", ["USE", "FREEZE", "DISCARD", "TO=3", "OPEN"])
def test_weighing_says_what_recording_says_and_records_nothing(opened, codes, action):
    session = opened(NEXT_DAY)
    before = kinds(session)
    ask = Ask(codes[0], action)
    weighed = weigh(session, ask)

    assert kinds(session) == before
    assert weighed.kind == LID
    assert record(session, ask, "") == weighed
    assert len(kinds(session)) == len(before) + 1


def test_what_is_odd_is_asked_and_recorded_when_it_comes_again(opened, codes):
    session = opened(MUCH_LATER)
    first = record(session, Ask(codes[0], "USE"), "")

    assert first.is_odd
    assert first.says.endswith("discard it. Scan it again if it is so")
    assert "used" not in kinds(session)
    # Another lid in between was not asked about.
    assert record(session, Ask(codes[1], "USE", doubted=codes[0]), "").is_odd
    assert not record(session, Ask(codes[0], "USE", doubted=codes[0]), "").is_odd
    assert kinds(session).count("used") == 1


def test_one_undo_takes_back_a_batch_and_nothing_before_it(opened, codes):
    session = opened(NEXT_DAY)
    record(session, Ask(codes[0], "OPEN"), "")
    for code in codes:
        record(session, Ask(code, "FREEZE"), "batch")

    assert take_back(session, "batch") == 3
    with session.read() as unit:
        assert {unit.find(code).state for code in codes} == {"fridge"}
        assert unit.view(codes[0]).container.opened_at is not None
    with pytest.raises(RefusedError, match="nothing left"):
        take_back(session, "batch")


def test_a_reason_goes_with_a_discard(opened, codes):
    session = opened(NEXT_DAY)
    heard = record(session, Ask(codes[0], "DISCARD", "  left\nout "), "")

    assert heard.says.endswith("discarded (left out), 300 g")


def test_symbols_that_are_no_lid_are_told_apart(opened, codes):
    session = opened(NEXT_DAY)

    assert weigh(session, Ask("TO=2")).action == "TO=2"
    assert weigh(session, Ask("DONE")).action == "LOOK"
    assert weigh(session, Ask("UNDO")).kind == ACTION
    assert weigh(session, Ask("LABEL")).kind == NOTHING
    assert "supplier's pack" in weigh(session, Ask("(01)09501101530003")).says
    assert weigh(session, Ask(codes[0] * 4)).kind == NOTHING
    assert weigh(session, Ask("9" * (LONGEST_LINE + 1))).kind == NOTHING
    assert weigh(session, Ask(codes[0], "NONSENSE")).kind == NOTHING


def test_a_keyboard_is_learned_from_its_set_up_symbol(opened):
    german = str.maketrans("YZ-/=", "ZYß-`")
    session = opened(NEXT_DAY)
    typed = SET_UP_TEXT.translate(german)
    heard = weigh(session, Ask(typed))

    assert heard.kind == KEYBOARD
    assert "QWERTZ" in heard.says
    assert heard.table["`"] == "="
    assert weigh(session, Ask("TO`3", typed=typed)).action == "TO=3"
    assert weigh(session, Ask("TO`3")).kind == NOTHING
