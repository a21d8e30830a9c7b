"""Temperatures typed without a signal: kept, sent once with both times, told."""

from datetime import timedelta

import pytest
from tests.web.phones import IS_EMPTY, KEPT, SEND, Phone
from tests.web.scanning import HAS_PROBLEMS, hold_clock, until

from lidclock.app import cooling_page, temps
from lidclock.app.temp_page import readings_of

IS_READY = "() => document.querySelector('html[data-ready] [data-page=readings]')"
SAYS = "words => document.querySelector('main').innerText.includes(words)"
HAS = f"async (count) => (await ({KEPT})()).length === count"
IS_KEPT = "async (path) => Boolean(await caches.match(path))"


@pytest.fixture
def phone(browser, signal, house, tmp_path):
    found = Phone(browser, signal, house, tmp_path / "profile")
    yield found
    found.close()


def opened(page, path="/temperatures"):
    page.goto(path)
    until(page, IS_READY)


def away(page, signal):
    """After one visit, the worker in charge and both pages kept, no signal."""
    opened(page)
    page.evaluate("() => navigator.serviceWorker.ready.then(() => true)")
    until(page, "() => Boolean(navigator.serviceWorker.controller)")
    for path in ("/temperatures", "/cooling"):
        opened(page, path)
        until(page, IS_KEPT, path)
    signal.cut()


def until_kept(page):
    """One is kept, and sending it was tried in vain: once sent, the page goes on."""
    until(page, HAS, 1)
    until(page, SAYS, "kept on this device, sent when there is a signal")


def type_it(page, what, temp):
    form = page.locator(f'form[data-what="{what}"]')
    form.locator("[name=temp]").fill(temp)
    form.get_by_role("button", name="Record").click()
    return form.locator(".answer")


def kept_in(house, place="Fridge"):
    return readings_of(house.session(), place, timedelta(days=7))


def test_a_reading_of_a_place_survives_and_arrives_with_both_times(
    house, signal, phone
):
    page = phone.open(0)
    away(page, signal)
    opened(page)
    until(page, SAYS, "No signal: this is what was known Tue, 3 Nov 2026, 07:30")
    answer = type_it(page, "Fridge", "9,5")
    until_kept(page)
    assert "9.5 °C is beyond the limit there" in answer.inner_text()
    phone.close()
    assert kept_in(house) == []

    page = phone.open(40)
    house.now += timedelta(minutes=40)
    signal.restore()
    opened(page)
    until(page, IS_EMPTY)

    (one,) = kept_in(house)
    assert (one.temp_c, one.device) == (9.5, "page")
    assert one.recorded_at - one.at == timedelta(minutes=40)


def test_an_answer_that_is_lost_counts_once(house, signal, phone):
    page = phone.open(0)
    away(page, signal)
    opened(page)
    type_it(page, "Fridge", "3.5")
    until_kept(page)
    house.now += timedelta(minutes=3)
    signal.restore()
    signal.is_deaf = True
    page.evaluate(SEND)
    assert len(kept_in(house)) == 1
    assert len(page.evaluate(KEPT)) == 1

    signal.is_deaf = False
    page.evaluate(SEND)
    assert page.evaluate(KEPT) == []
    assert len(kept_in(house)) == 1


def test_what_looks_like_a_slip_is_asked_about_on_the_device(house, signal, phone):
    page = phone.open(0)
    away(page, signal)
    opened(page)
    answer = type_it(page, "Fridge", "38")
    until(page, SAYS, "38 °C would be unusual there")
    assert page.evaluate(KEPT) == []

    type_it(page, "Fridge", "3.8")
    until_kept(page)
    type_it(page, "Fridge", "warm")
    until(page, SAYS, "That is no temperature")
    assert answer.is_visible()
    house.now += timedelta(minutes=3)
    signal.restore()
    opened(page)
    until(page, IS_EMPTY)
    assert [one.temp_c for one in kept_in(house)] == [3.8]


def test_what_the_kitchen_refuses_stays_and_is_told(house, signal, phone):
    page = phone.open(0)
    away(page, signal)
    opened(page)
    type_it(page, "Fridge", "3.5")
    until_kept(page)
    # Meanwhile somebody else records another value for that very second.
    assert page.evaluate(KEPT)[0]["happened_at"].startswith("2026-11-03T12:30:00")
    temps.type_reading(house.session(), "Fridge", 4.5)
    house.now += timedelta(minutes=3)
    signal.restore()
    opened(page)
    until(page, HAS_PROBLEMS)

    says = page.inner_text("#problems")
    assert "Fridge 3.5 °C" in says
    assert "said 4.5 °C at that very time already" in says
    page.get_by_role("button", name="I have seen to it").click()
    until(page, IS_EMPTY)
    assert [one.temp_c for one in kept_in(house)] == [4.5]


def test_with_a_signal_it_is_there_at_once(house, phone):
    page = phone.open(0)
    opened(page)
    type_it(page, "Freezer", "-18")
    page.wait_for_url("**/temperatures?did=Freezer**")
    until(page, SAYS, "-18 °C")
    opened(page)
    type_it(page, "Fridge", "9")
    page.wait_for_url("**/temperatures/place?name=Fridge**")

    assert "Door? Power?" in page.inner_text("main")
    assert "Recorded: Fridge, 9 °C" in page.inner_text("main")
    assert [one.temp_c for one in kept_in(house, "Freezer")] == [-18.0]


def test_a_cooling_is_read_without_a_signal(house, signal, phone):
    house.prep("stew", count=2)
    house.now += timedelta(minutes=5)
    act = cooling_page.Act("start", "1", temp_c=80.0, depth_mm=50.0)
    cooling_page.act(house.session(), act)
    page = phone.open(10)
    away(page, signal)
    opened(page, "/cooling/log?of=1")
    assert page.url.endswith("/cooling")
    assert "batch 1, 2 containers" in page.inner_text("main")
    type_it(page, "stew 1", "90")
    until(page, SAYS, "90 °C would mean that it got warmer")
    type_it(page, "stew 1", "60.04")
    until_kept(page)
    house.now += timedelta(minutes=30)
    signal.restore()
    opened(page, "/cooling")
    until(page, IS_EMPTY)

    (log,) = cooling_page.open_logs(house.session())
    last = log.entries[-1]
    assert last.temp_c == 60.0
    assert last.recorded_at - last.at == timedelta(minutes=20)
    assert len(log.codes) == 2


def test_an_earlier_hour_is_that_of_the_kitchen(house, phone):
    page = phone.open(0)
    opened(page)
    form = page.locator('form[data-what="Fridge"]')
    form.get_by_text("It was earlier").click()
    # Clocks went back on 1 Nov: of two such hours the earlier counts, before 7:00 UTC.
    form.locator("[name=at]").fill("2026-11-01T01:30")
    type_it(page, "Fridge", "3.5")
    page.wait_for_url("**/temperatures?did=Fridge**")

    (one,) = kept_in(house)
    assert one.at.isoformat() == "2026-11-01T05:30:00+00:00"


def test_an_hour_to_come_is_not_kept(phone):
    page = phone.open(0)
    opened(page)
    page.locator('form[data-what="Fridge"]').get_by_text("It was earlier").click()
    field = page.locator('form[data-what="Fridge"] [name=at]')
    field.evaluate("one => { one.removeAttribute('max'); }")
    field.fill("2026-11-03T08:30")
    type_it(page, "Fridge", "3.5")
    until(page, SAYS, "That hour is still to come")

    assert page.evaluate(KEPT) == []


def test_a_reading_of_a_cooling_is_taken_back_like_any_other(house, phone):
    house.prep("stew")
    house.now += timedelta(minutes=5)
    act = cooling_page.Act("start", "1", temp_c=80.0, depth_mm=50.0)
    cooling_page.act(house.session(), act)
    page = phone.open(0)
    opened(page, "/cooling")
    type_it(page, "stew 1", "60")
    page.wait_for_url("**/cooling?did=*")
    assert len(cooling_page.open_logs(house.session())[0].entries) == 2
    page.get_by_role("button", name="Undo").click()
    page.wait_for_url("**/cooling")

    (log,) = cooling_page.open_logs(house.session())
    assert [entry.temp_c for entry in log.entries] == [80.0]


def test_a_reading_that_is_tapped_twice_counts_once(signal, phone):
    page = phone.open(0)
    away(page, signal)
    opened(page)
    page.locator('form[data-what="Fridge"] [name=temp]').fill("4")
    page.evaluate(
        """() => { const form = document.querySelector('form[data-what="Fridge"]');
            form.requestSubmit(); form.requestSubmit(); }"""
    )
    until(page, HAS, 1)
    page.wait_for_timeout(300)

    assert len(page.evaluate(KEPT)) == 1


def test_what_is_typed_of_the_next_place_stays_while_the_first_is_sent(
    house, signal, phone
):
    page = phone.open(0)
    opened(page)
    signal.slow_s = 0.5
    answer = type_it(page, "Fridge", "4")
    page.locator('form[data-what="Freezer"] [name=temp]').fill("-18")
    until(page, SAYS, "Fridge: 4 °C")
    page.wait_for_timeout(500)

    assert answer.is_visible()
    assert page.locator('form[data-what="Freezer"] [name=temp]').input_value() == "-18"
    assert len(kept_in(house)) == 1


def test_a_page_that_was_opened_in_the_morning_takes_the_hours_since(
    house, signal, phone
):
    page = phone.open(0)
    opened(page)
    signal.cut()
    hold_clock(page, house.now + timedelta(hours=3))
    form = page.locator('form[data-what="Fridge"]')
    form.get_by_text("It was earlier").click()
    form.locator("[name=at]").fill("2026-11-03T09:00")
    type_it(page, "Fridge", "4")
    until(page, HAS, 1)

    (event,) = page.evaluate(KEPT)
    assert event["happened_at"] == "2026-11-03T14:00:00.000Z"


@pytest.mark.parametrize(
    "typed", ["\u0664\u066b\u0665", "\uff14\uff0e\uff15", "4,5"], ids=str
)
def test_a_number_of_any_keyboard_is_one(signal, phone, typed):
    page = phone.open(0)
    away(page, signal)
    opened(page)
    type_it(page, "Fridge", typed)
    until(page, HAS, 1)

    assert page.evaluate(KEPT)[0]["body"]["temp_c"] == 4.5
