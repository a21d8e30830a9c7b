"""The card as a cook reads it, and what she says to it."""

import json

import pytest

TUESDAY = "2026-11-03T07:30"


@pytest.fixture
def stew_for_days(stew):
    """Three boxes of stew made on Sat 31 Oct: the last day is Tue 3 Nov."""
    stew.now = TUESDAY
    return stew


def kinds(cook, **more):
    return [one["kind"] for one in cook.data("today", **more)["proposals"]]


def test_nothing_there_is_nothing_to_do(cook):
    seen = cook.see("today")

    assert "nothing to do" in seen
    assert "next card: Sun 1 Nov 07:30" in seen


def test_the_last_day_makes_one_proposal_and_no_wall_of_dates(stew_for_days):
    seen = stew_for_days.see("today")

    assert " 1  18:30  use up: stew box 1, 2 and 3" in seen
    assert "    - stew box 1, 2 and 3: last day today" in seen
    assert "lidclock accept 1" in seen
    assert "\n 2  " not in seen


def test_yes_in_the_morning_is_kept_for_the_evening(stew_for_days):
    cook = stew_for_days
    cook.run("today")

    assert "agreed for Tue 3 Nov 18:30: use up" in cook.see("accept", "1")
    assert "  1  Tue 3 Nov 18:30  use up" in cook.see("today")
    assert kinds(cook) == []
    cook.now = "2026-11-03T18:10"
    assert "as agreed" in cook.see("today")
    assert "stew, box 1 of 3: used" in cook.see("accept", "1")
    assert cook.codes() == []
    assert kinds(cook) == []


def test_what_was_agreed_says_when_it_is_over_before_its_hour(stew_for_days):
    cook = stew_for_days
    cook.run("today")
    cook.run("accept", "1")
    assert "over by then" not in cook.see("today")

    cook.run("temp", "add", "Fridge", "20C", "--anyway")

    told = cook.see("today")
    agreed = told[told.index("\nagreed\n") :]
    assert "over by then, at " in agreed
    assert "stew box 1, 2 and 3" in agreed


def test_one_undo_takes_back_all_that_one_yes_did(stew_for_days):
    cook = stew_for_days
    cook.run("today")
    cook.run("accept", "1", "--done")
    assert cook.codes() == []

    cook.run("undo")

    assert len(cook.codes()) == 3
    assert kinds(cook) == ["use-up"]


def test_no_is_remembered_with_its_reason(stew_for_days):
    cook = stew_for_days
    cook.run("today")

    assert cook.see("decline", "1", "guests", "cancelled").startswith("declined: use")
    seen = cook.see("today")

    assert "nothing to do" in seen
    assert "put off: 0, declined: 1" in seen
    kept = [json.loads(line) for line in cook.see("export").splitlines()[1:]]
    assert kept[-1]["body"]["reason"] == "guests cancelled"


def test_later_is_an_hour_at_least_and_the_next_card_where_nobody_says(stew_for_days):
    cook = stew_for_days
    cook.run("today")

    assert "until Tue 3 Nov 08:30" in cook.see("put-off", "1", "--until", "07:40")
    assert kinds(cook, now="2026-11-03T08:29") == []
    assert kinds(cook, now="2026-11-03T08:30") == ["use-up"]
    cook.run("today", now="2026-11-03T08:30")
    seen = cook.see("put-off", "1", now="2026-11-03T08:31")
    assert "until Wed 4 Nov 07:30" in seen


def test_what_is_past_is_discarded_in_one_word(stew_for_days):
    cook = stew_for_days
    cook.now = "2026-11-04T07:30"

    assert "discard stew box 1, 2 and 3" in cook.see("today")
    assert "- last day: Tue 3 Nov" in cook.see("today")
    assert "box 3 of 3: discarded (past its day), 350 g" in cook.see("accept", "1")
    assert kinds(cook) == []


def test_the_number_means_what_was_seen(stew_for_days):
    cook = stew_for_days
    assert "see `lidclock today` first" in cook.fail(13, "accept", "1")
    cook.run("today")
    for code in cook.codes():
        cook.run("scan", code, "--use", "--anyway")

    assert "that is no longer so" in cook.fail(13, "accept", "1")
    assert "there are 1 to 1" in cook.fail(2, "accept", "2")
    assert "a day old" in cook.fail(13, "accept", "1", now="2026-11-04T08:00")


def test_looking_at_the_card_records_nothing(stew_for_days):
    cook = stew_for_days
    before = cook.event_count()

    cook.run("today")
    cook.run("today", "--at", "17:00")

    assert cook.event_count() == before
    cook.run("rebuild")


def test_what_nobody_put_away_is_a_proposal_to_look(dough):
    seen = dough.see("today")

    assert "put 6 containers somewhere: bun dough box 1, 2, 3, 4, 5 and 6" in seen
    assert "accepted: put 6" in dough.see("accept", "1")
    assert kinds(dough) == []


def test_answers_survive_export_and_import(stew_for_days, tmp_path):
    cook = stew_for_days
    cook.run("today")
    cook.run("decline", "1")
    cook.run("export", "all.jsonl")
    cook.database = tmp_path / "other.db"
    cook.run("import", "all.jsonl")

    assert kinds(cook) == []


def test_a_freezer_that_nobody_counted_for_four_weeks_is_to_be_counted(stew):
    stew.run("scan", stew.codes()[0], "--freeze")
    stew.run("scan", stew.codes()[1], "--use", "--anyway")
    stew.run("scan", stew.codes()[1], "--use", "--anyway")
    later, sooner = "2026-11-28T17:10", "2026-11-28T16:09"

    assert kinds(stew, now=sooner) == []
    assert "count what is in Freezer" in stew.see("today", now=later)
    stew.run("stock-take", "Freezer", given=f"{stew.codes()[0]}\n", now=later)
    assert kinds(stew, now=later) == []
