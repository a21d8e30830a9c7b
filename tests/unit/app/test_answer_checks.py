"""Answers out of a file: what no card could be made with is refused in words."""

from datetime import UTC, datetime

import pytest

from lidclock.app.answer_checks import check_answers
from lidclock.domain.events import Event
from lidclock.errors import InputError
from lidclock.plan.proposal import USE, Picked, Proposal, Step

NOON = datetime(2026, 11, 3, 12, tzinfo=UTC)
ONE = Proposal(
    USE, "use/m", "use it", NOON, picks=(Picked("C"),), steps=(Step(NOON, "C", "F"),)
).as_dict()
BODY = {"key": "use/m", "answer": "accepted", "proposal": ONE}


def answer(body, subject="answer/2026-11-03"):
    return [Event("1", "noted", subject, NOON, NOON, "UTC", body=body)]


def test_what_the_program_wrote_passes():
    check_answers(answer(BODY))
    check_answers(answer({"key": "a", "answer": "declined", "reason": "no"}))


@pytest.mark.parametrize(
    "change",
    [
        {"key": None},
        {"key": "x" * 501},
        {"answer": "maybe"},
        {"until": "2026-11-03T12:00"},
        {"until": 7},
        {"reason": ["a"]},
        {"proposal": {"kind": "use"}},
        {"proposal": [1]},
        {"proposal": {**ONE, "kind": "eat"}},
        {"proposal": {**ONE, "says": 7}},
        {"proposal": {**ONE, "at": "2026-11-03T12:00"}},
        {"proposal": {**ONE, "picks": [["C", True, True]]}},
        {"proposal": {**ONE, "picks": [["C", -1, True]]}},
        {"proposal": {**ONE, "picks": [[["C"], 1, True]]}},
        {"proposal": {**ONE, "steps": [["soon", "C", "F", None]]}},
        {"proposal": {**ONE, "wants": [["soup"]]}},
        {"proposal": {**ONE, "loss": ["all", 0, False]}},
        {"proposal": {**ONE, "made_of": {"says": {"text": "{x.y}", "values": {}}}}},
        {"proposal": {**ONE, "made_of": {"says": {"text": 7}}}},
        {"proposal": {**ONE, "made_of": "use it"}},
    ],
)
def test_what_could_not_be_read_later_is_refused(change):
    with pytest.raises(InputError, match="answer/2026-11-03"):
        check_answers(answer({**BODY, **change}))


def test_the_subject_names_a_day():
    with pytest.raises(InputError, match="answer/someday"):
        check_answers(answer(BODY, "answer/someday"))
