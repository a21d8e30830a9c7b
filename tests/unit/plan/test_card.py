"""The card: what is on it, in what order, and what answers do to it."""

import json
from datetime import UTC, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest

from lidclock.domain.planning import ACCEPTED, DECLINED, PUT_OFF, Answer
from lidclock.domain.sentences import Sentence, sentence, sentences
from lidclock.plan.card import arrange, card_hours, is_agreed
from lidclock.plan.proposal import (
    CHECK,
    DISCARD,
    FREEZE,
    USE,
    USE_UP,
    Loss,
    Picked,
    Proposal,
    Step,
    proposal_from,
)

NEW_YORK = ZoneInfo("America/New_York")
NOON = datetime(2026, 11, 3, 12, tzinfo=UTC)
HOUR = timedelta(hours=1)
HOURS = (NOON - HOUR, NOON + 8 * HOUR)


def proposal(key, money=1.0, kind=FREEZE, at=None, **more):
    return Proposal(kind, key, f"do {key}", at, loss=Loss(1, money, **more))


def answered(one, answer=ACCEPTED, at=NOON, **more):
    return {one.key: Answer(one.key, answer, at, proposal=one.as_dict(), **more)}


def card(proposals, answers=None, now=NOON, most=5):
    return arrange(proposals, answers or {}, HOURS, now, most)


def keys(found):
    return [one.key for one in found]


def test_harm_comes_first_then_what_loses_most_then_the_hour():
    found = card(
        [
            proposal("small", 1),
            proposal("late", 5, at=NOON + 3 * HOUR),
            proposal("soon", 5, at=NOON + HOUR),
            proposal("harm", 0, kind=DISCARD, is_harm=True),
        ]
    )

    assert keys(found.shown) == ["harm", "soon", "late", "small"]


def test_a_handful_is_shown_and_the_rest_is_counted():
    found = card([proposal(str(money), money) for money in range(7)], most=3)

    assert keys(found.shown) == ["6", "5", "4"]
    assert keys(found.more) == ["3", "2", "1", "0"]


def test_what_was_declined_does_not_come_back():
    one = proposal("a")

    assert keys(card([one], answered(one, DECLINED)).shown) == []
    assert keys(card([one], answered(one, DECLINED)).declined) == ["a"]
    weeks_ago = answered(one, DECLINED, at=HOURS[0] - 500 * HOUR)
    assert keys(card([one], weeks_ago).declined) == ["a"]


@pytest.mark.parametrize("kind", [CHECK, DISCARD])
def test_harm_is_not_declined_away(kind):
    """It is quiet until the next card, and then there again if it is still so."""
    one = proposal("a", kind=kind, is_harm=True)
    just_before = answered(one, DECLINED, at=HOURS[0] - timedelta(seconds=1))

    assert keys(card([one], answered(one, DECLINED, at=HOURS[0])).declined) == ["a"]
    assert keys(card([one], just_before).shown) == ["a"]
    assert keys(card([one], just_before).declined) == []


@pytest.mark.parametrize(("after", "shown"), [(0, []), (1.99, []), (2, ["a"])])
def test_what_was_put_off_comes_back_at_its_hour(after, shown):
    one = proposal("a")
    answers = answered(one, PUT_OFF, until=NOON + 2 * HOUR)

    assert keys(card([one], answers, NOON + after * HOUR).shown) == shown


@pytest.mark.parametrize(
    ("after", "shown", "agreed"),
    [
        *((0, [], ["a"]), (5.4, [], ["a"]), (5.5, ["a"], []), (7, ["a"], [])),
        # It lapses eighteen hours after its own.
        *((23.9, ["a"], []), (24, [], [])),
    ],
)
def test_what_was_agreed_waits_for_its_hour(after, shown, agreed):
    one = proposal("a", kind=USE, at=NOON + 6 * HOUR)

    found = card([one], answered(one), NOON + after * HOUR)

    assert (keys(found.shown), keys(found.agreed)) == (shown, agreed)
    assert found.due == frozenset(shown)


def test_what_was_agreed_stays_as_it_was_agreed():
    one = proposal("a", kind=USE, at=NOON + 6 * HOUR)
    today = Proposal(USE, "a", "do something else", NOON + 6 * HOUR)

    assert [x.says for x in card([today], answered(one)).agreed] == ["do a"]


def test_what_was_done_at_once_is_open_again_if_the_facts_call_for_it():
    one = proposal("a", kind=FREEZE)

    assert keys(card([one], answered(one)).shown) == ["a"]


def test_what_somebody_looks_into_is_quiet_until_the_next_card():
    one = proposal("a", kind=CHECK)

    assert keys(card([one], answered(one)).shown) == []
    assert keys(card([one], answered(one, at=HOURS[0] - HOUR)).shown) == ["a"]


def test_there_is_one_meal_a_day_to_use_up():
    one = proposal("a", kind=USE_UP, at=NOON + 6 * HOUR)
    found = card([one], answered(one))

    assert not found.shown
    assert not found.agreed


def test_a_promise_kept_for_later_is_told_from_one_done_at_its_hour():
    one = proposal("a", kind=USE, at=NOON + HOUR)

    assert is_agreed(one, answered(one, at=NOON)["a"])
    assert not is_agreed(one, answered(one, at=NOON + 0.5 * HOUR)["a"])
    assert not is_agreed(one, None)


@pytest.mark.parametrize(
    ("local", "last", "following"),
    [
        ("2026-11-03 07:30", "2026-11-03 07:30", "2026-11-03 17:00"),
        ("2026-11-03 07:29", "2026-11-02 17:00", "2026-11-03 07:30"),
        ("2026-11-03 23:00", "2026-11-03 17:00", "2026-11-04 07:30"),
    ],
)
def test_the_card_speaks_at_the_kitchens_hours(local, last, following):
    def instant(text):
        return datetime.fromisoformat(text).replace(tzinfo=NEW_YORK).astimezone(UTC)

    found = card_hours((time(7, 30), time(17)), NEW_YORK, instant(local))

    assert found == (instant(last), instant(following))


def test_the_hours_of_the_card_stay_where_they_are_when_clocks_change():
    """New York, 1 Nov 2026: from 07:30 to 07:30 are 25 hours of daylight and dark."""
    saturday = datetime(2026, 10, 31, 12, tzinfo=UTC)

    last, following = card_hours((time(7, 30),), NEW_YORK, saturday)

    assert following - last == 25 * HOUR


def test_a_proposal_survives_being_kept():
    one = Proposal(
        kind=USE,
        key="use/m/2026-11-03",
        says="use it",
        at=NOON,
        before=NOON + HOUR,
        picks=(Picked("ABC", 2, False),),
        steps=(Step(NOON, "ABC", "Counter", NOON + HOUR),),
        to="Counter",
        meal="m",
        wants=(("soup", 2),),
        loss=Loss(1.5, 4.5, True),
        why=("because",),
    )

    assert proposal_from(one.as_dict()) == one
    assert one.codes == ("ABC",)


def test_what_it_is_made_of_is_kept_beside_its_english():
    one = Proposal(
        FREEZE,
        "a",
        sentences("{count} portion", "{count} portions", 2),
        why=(sentence("ready {hour}", hour="18:30"), "because"),
    )
    kept = json.loads(json.dumps(one.as_dict()))
    found = proposal_from(kept)

    assert (kept["says"], kept["why"]) == ("2 portions", ["ready 18:30", "because"])
    assert (found.says.many, found.says.number) == ("{count} portions", 2)
    assert found.why[0].values == {"hour": "18:30"}
    assert found == one


def test_what_was_kept_in_english_alone_is_read_as_it_is():
    kept = proposal("a").as_dict()
    del kept["made_of"]

    assert proposal_from(kept) == proposal("a")


@pytest.mark.parametrize(
    "made_of",
    [
        {"says": {"text": "eat it all"}, "why": []},
        {"says": "eat it all"},
        {"why": [{"text": "one"}, {"text": "two"}]},
        {},
        None,
    ],
)
def test_the_english_counts_where_the_two_differ(made_of):
    one = Proposal(FREEZE, "a", "discard it", why=("over",))
    found = proposal_from({**one.as_dict(), "made_of": made_of})

    assert (found.says, found.why) == ("discard it", ("over",))
    assert not isinstance(found.says, Sentence)
