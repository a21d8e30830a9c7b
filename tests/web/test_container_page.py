"""What is done to a container by buttons, without scripts."""

import re
from concurrent.futures import ThreadPoolExecutor
from datetime import datetime, timedelta
from html import unescape

import pytest
from tests.web.conftest import MORNING
from tests.web.pages import hidden_fields

from lidclock.app import deeds, portions, prep
from lidclock.domain.foods import Food


def say(client, code, **fields):
    """Press a button on the page of a container."""
    page = client.get(f"/c/{code}").text
    token = hidden_fields(page, f"/c/{code}")["csrf"]
    return client.post(f"/c/{code}", data={"csrf": token, **fields})


def state(house, code):
    session = house.session()
    with session.read() as unit:
        return unit.find(code)


def test_the_page_says_how_it_stands_and_why_with_the_source(house, client):
    (code,) = house.prep("bean stew", days_ago=2)
    page = client.get(f"/C/{code}").text

    # Made Sun 1 Nov; 3 to 4 days, the making day being day 1.
    assert "use by Wed 4 Nov 2026" in page
    assert "day 1 is Sun 1 Nov 2026 (made)" in page
    assert "source: FoodSafety.gov, Cold Food Storage Chart" in page
    assert "Not known" in page
    assert "Cautions" in page
    assert "placed in Fridge" in page
    assert "safe" not in page.lower().replace("foodsafety", "").replace(
        "food safety", ""
    )


def test_the_labels_of_a_whole_batch_are_found_again(house, client):
    codes = house.prep("bean stew", count=3)
    page = client.get(f"/c/{codes[0]}").text
    (there,) = re.findall(r'href="([^"]+)"[^>]*>Labels of its batch: 3<', page)
    labels = client.get(unescape(there)).text

    assert all(f"/c/{code}" in labels for code in codes)
    say(client, codes[1], do="use")
    assert "Labels of its batch: 2" in client.get(f"/c/{codes[0]}").text


@pytest.mark.parametrize(("days_ago", "first"), [(0, "too much"), (9, "past its day")])
def test_the_likely_reason_to_discard_stands_first(house, client, days_ago, first):
    (code,) = house.prep("bean stew", days_ago=days_ago)
    page = client.get(f"/c/{code}").text
    reasons = re.findall(r'name="text" value="[^"]+">([^<]+)<', page)

    assert reasons[0] == first
    assert "past its day" in reasons


def test_what_has_no_last_day_is_not_offered_to_be_used_first(house, client):
    session = house.session()
    with session.write() as unit:
        food = Food("stew", "soup-stew", ())
        (code,) = prep.adopt(unit, food, place=session.place("Fridge")).codes
    (known,) = house.prep("stew")

    assert 'value="use" class="other">' in client.get(f"/c/{code}").text
    assert 'value="use">' in client.get(f"/c/{known}").text


def test_frozen_thawed_and_used_and_each_can_be_undone(house, client):
    (code,) = house.prep("bean stew")
    assert "Recorded: placed in Freezer" in say(client, code, do="freeze").text
    assert state(house, code).state == "freezer"
    assert "Recorded: placed in Fridge" in say(client, code, do="thaw").text
    page = say(client, code, do="use").text
    assert state(house, code).end_kind == "used"

    undo = hidden_fields(page, "/undo")
    assert client.post("/undo", data=undo).status_code == 200
    assert state(house, code).is_live
    again = client.post("/undo", data=undo)
    assert again.status_code == 409
    assert "taken back already" in again.text


def test_an_odd_fact_is_asked_for_once_more_and_then_kept(house, client):
    (code,) = house.prep("bean stew", days_ago=9)
    asked = say(client, code, do="freeze")

    assert asked.status_code == 200
    assert "does not bring it back" in asked.text
    main = asked.text.split("<main")[1].split("</main")[0]
    assert "--" not in re.sub(r"<[^>]*>", "", main)
    assert state(house, code).state == "fridge"
    form = hidden_fields(asked.text, f"/c/{code}")
    assert client.post(f"/c/{code}", data={**form, "anyway": "yes"}).status_code == 200
    assert state(house, code).state == "freezer"


def test_what_happened_in_time_may_be_said_late(house, client):
    (code,) = house.prep("bean stew", days_ago=9)
    asked = say(client, code, do="use")
    form = hidden_fields(asked.text, f"/c/{code}")
    page = client.post(f"/c/{code}", data={**form, "at": "2026-10-26T18:00"}).text

    assert "used, Mon 26 Oct 2026 18:00" in page


def test_some_is_taken_and_the_rest_is_discarded_with_a_cause(house, client):
    (code,) = house.prep("bean stew")
    say(client, code, do="take", mass="120")
    assert state(house, code).mass_g == 180
    assert say(client, code, do="take", mass="-3").status_code == 422
    assert "discarded: smell" in say(client, code, do="discard", text="smell").text


def mass_of(house, code):
    return state(house, code).mass_g


def test_a_tap_that_comes_twice_takes_once_and_its_undo_gives_all_back(house, client):
    """Wet hands, or a browser that sends a form again after a lost answer."""
    (code,) = house.prep("bean stew")
    form = hidden_fields(client.get(f"/c/{code}").text, f"/c/{code}", "Taken<")
    sent = {**form, "mass": "100"}
    answers = [client.post(f"/c/{code}", data=sent) for _ in range(2)]
    taken = mass_of(house, code)
    client.post("/undo", data=hidden_fields(answers[1].text, "/undo"))

    assert [one.status_code for one in answers] == [200, 200]
    assert answers[0].url == answers[1].url
    assert (taken, mass_of(house, code)) == (200, 300)


def test_taps_that_come_at_once_take_once(house, client):
    (code,) = house.prep("bean stew")
    form = hidden_fields(client.get(f"/c/{code}").text, f"/c/{code}", "Taken<")
    with ThreadPoolExecutor(4) as taps:
        for one in [
            taps.submit(client.post, f"/c/{code}", data={**form, "mass": "100"})
            for _ in range(4)
        ]:
            assert one.result().status_code == 200

    assert mass_of(house, code) == 200


def test_the_same_form_with_another_number_or_button_is_another_act(house, client):
    (code,) = house.prep("bean stew")
    form = hidden_fields(client.get(f"/c/{code}").text, f"/c/{code}", "Taken<")
    for mass in ("100", "50"):
        client.post(f"/c/{code}", data={**form, "mass": mass})
    moves = hidden_fields(client.get(f"/c/{code}").text, f"/c/{code}", "Freezer")
    for place in ("Freezer", "Counter"):
        client.post(f"/c/{code}", data={**moves, "place": place})

    assert mass_of(house, code) == 150
    assert state(house, code).place == "Counter"


def test_using_twice_by_one_tap_asks_nothing(house, client):
    (code,) = house.prep("bean stew")
    form = hidden_fields(client.get(f"/c/{code}").text, f"/c/{code}", 'value="use"')
    for _ in range(2):
        answer = client.post(f"/c/{code}", data={**form, "do": "use"})

    assert "Is that so?" not in answer.text
    assert "used" in answer.text


def test_a_form_with_a_name_that_is_none_is_refused_in_words(house, client):
    (code,) = house.prep("bean stew")
    answer = say(client, code, do="use", once="x")

    assert answer.status_code == 422
    assert "open the page again" in answer.text
    assert state(house, code).is_live


@pytest.mark.parametrize(
    ("now", "offered"),
    [
        # New York, 1 Nov 2026: clocks go from 02:00 EDT back to 01:00 EST.
        ("2026-11-01T01:30:20-04:00", "2026-11-01T01:30"),
        ("2026-11-01T01:30:20-05:00", ""),
        ("2026-11-01T02:00:20-05:00", "2026-11-01T02:00"),
    ],
)
def test_the_present_is_offered_where_it_is_read_as_such(house, client, now, offered):
    """In the hour that comes again it would be an hour earlier, untyped."""
    house.now = datetime.fromisoformat("2026-11-01T00:00:00-04:00")
    (code,) = house.prep("bean stew")
    house.now = datetime.fromisoformat(now)
    page = client.get(f"/c/{code}").text
    (value,) = re.findall(r'name="at" max="[^"]+" value="([^"]*)"', page)

    assert value == offered
    if offered:
        say(client, code, do="freeze", at=value)
        history = client.get(f"/api/v1/containers/{code}").json()["history"]
        frozen_at = datetime.fromisoformat(history[-1]["happened_at"])
        assert house.now - frozen_at == timedelta(seconds=20)


def test_handing_on_needs_a_name_and_says_where_it_went(house, client):
    (code,) = house.prep("bean stew")
    assert say(client, code, do="give").status_code == 422
    assert (
        "given to the neighbours"
        in say(client, code, do="give", text="the neighbours").text
    )


def test_a_label_that_is_void_says_so(house, client):
    from lidclock.app.label_pages import record_labelled

    (code,) = house.prep("bean stew")
    for hours in (0, 1):
        session = house.session(MORNING + timedelta(hours=hours))
        record_labelled(session, [code])
    house.now = MORNING + timedelta(hours=2)

    assert "label 1" in client.get(f"/C/{code}/1").text
    assert "is void: take it off" in client.get(f"/C/{code}/1").text
    assert "is void: take it off" not in client.get(f"/C/{code}/2").text


def test_what_nobody_offers_is_refused(house, client):
    (code,) = house.prep("bean stew")

    assert say(client, code, do="bless").status_code == 422
    assert say(client, code, do="place", place="nowhere").status_code == 404
    assert client.post(f"/c/{code}", data={"do": "use"}).status_code == 403
    assert state(house, code).is_live


def test_past_its_day_only_discarding_and_late_facts_are_offered(house, client):
    """Walk-through of a home cook, step 12."""
    (code,) = house.prep("bean stew", days_ago=9)
    page = client.get(f"/c/{code}").text
    shown = re.search(r'class="deeds">.*?</section>', page, re.S)[0]

    assert set(re.findall(r'name="do" value="(\w+)"', shown)) == {
        *("discard", "use", "freeze")
    }
    with house.session().read() as unit:
        view = unit.view(code)
    assert deeds.offered(view) == ["discard"]
    assert deeds.offered_late(view) == ["use", "freeze"]
    # What is written down late has to say when.
    late = re.search(r"It had been used or frozen.*?</details>", shown, re.S)[0]
    assert 'name="at"' in late
    assert "required" in late
    form = hidden_fields(page, f"/c/{code}", "It is kept with the time")
    said = {**form, "do": "use", "at": "2026-10-26T19:00"}
    page = client.post(f"/c/{code}", data=said).text

    assert "Recorded: used" in page
    # Both times are kept, and the month counts it as written down late.
    assert "Mon 26 Oct 19:00  used  [recorded Tue 3 Nov 07:30]" in page
    assert "in time, but written down late: 1" in client.get("/report").text


def test_a_cook_reads_names_where_a_command_shows_ids(house, client):
    page = client.get(f"/c/{house.prep('stew')[0]}").text

    assert "category: Soup or stew, under US home storage charts" in page
    assert "us-home" not in page
    assert "soup-stew" not in page


def test_a_day_to_plan_for_is_told_until_it_has_gone_by(house, client):
    soon, late = house.prep("stew", days_ago=2)[0], house.prep("stew", days_ago=3)[0]

    assert "Plan to use it by Tue 3 Nov 2026" in client.get(f"/c/{soon}").text
    assert "Plan to use it by" not in client.get(f"/c/{late}").text


CORRECT = "Correct what was recorded"


def correction(client, code):
    """What the form for corrections sends along, its name included."""
    page = client.get(f"/c/{code}").text
    return hidden_fields(page, f"/c/{code}", 'value="correct"')


def adopted(house, made_at=None):
    session = house.session()
    place = session.place("Fridge")
    with session.write() as unit:
        found = prep.adopt(
            unit, Food("stew", "soup-stew", ()), made_at=made_at, place=place
        )
    return found.codes[0]


def test_a_making_time_that_is_asked_for_can_be_given_and_taken_back(house, client):
    code = adopted(house)
    page = client.get(f"/c/{code}").text
    assert "give it to settle the last day" in page
    assert page.index('href="#correct"') < page.index('id="deeds"')
    assert '<details id="correct" open>' in page

    form = correction(client, code) | {"made": "2026-11-02T19:00"}
    first, second = (client.post(f"/c/{code}", data=form) for _ in range(2))
    assert first.url == second.url
    # It went in at 07:30 today, as far as anybody said.
    assert "12 h 30 min before it was first put away" in first.text
    form = correction(client, code) | {"placed": "2026-11-02T19:30"}
    page = client.post(f"/c/{code}", data=form).text
    assert "keep: use by Thu 5 Nov 2026" in page
    assert '<details id="correct">' in page

    client.post("/undo", data=hidden_fields(page, "/undo"))
    assert "over: use by was" in client.get(f"/c/{code}").text


def test_both_times_are_corrected_at_once_and_the_first_place_is_meant(house, client):
    house.now = MORNING - timedelta(hours=1)
    code = adopted(house, made_at=house.now)
    house.now = MORNING
    say(client, code, do="place", place="Freezer")
    form = correction(client, code)
    both = {"made": "2026-11-02T19:00", "placed": "2026-11-02T19:30", "mass": "410"}
    assert client.post(f"/c/{code}", data=form | both).status_code == 200

    session = house.session()
    with session.read() as unit:
        view = unit.view(code)
    assert view.container.filled_g == 410
    counter, fridge, freezer = view.verdict.history.stays
    assert (counter.ended - counter.began) == timedelta(minutes=30)
    assert (fridge.place, freezer.place) == ("Fridge", "Freezer")
    assert freezer.began == MORNING


def test_a_correction_that_cannot_be_is_refused_in_words(house, client):
    code = adopted(house, made_at=MORNING - timedelta(hours=1))
    house.now = MORNING + timedelta(hours=1)
    say(client, code, do="place", place="Freezer")
    for wrong, says in [
        ({}, "fill in what is to be corrected"),
        ({"made": "2027-01-01T10:00"}, "in the future"),
        ({"placed": "2026-11-01T10:00"}, "before it was made"),
        ({"placed": "2026-11-03T08:29:59"}, ""),
        ({"placed": "2026-11-03T08:30"}, "after it was put somewhere else"),
        ({"mass": "heavy"}, "not a mass"),
    ]:
        answer = client.post(f"/c/{code}", data=correction(client, code) | wrong)
        assert answer.status_code == (422 if says else 200), wrong
        assert says in answer.text, wrong
        assert "--" not in answer.text.split("<main")[1].split("</main")[0], wrong


def test_only_what_is_its_own_is_offered_to_be_corrected(house, client):
    (code,) = house.prep("bean stew")
    page = client.get(f"/c/{code}").text
    assert CORRECT in page
    assert all(f'name="{name}"' in page for name in ("made", "placed"))
    session = house.session()
    with session.write() as unit:
        parts = portions.split(unit, code, [100.0])
    page = client.get(f"/c/{parts.codes[0]}").text
    assert 'name="made"' not in page
    assert "What it held" not in page
