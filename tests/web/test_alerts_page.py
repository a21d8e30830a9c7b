"""Alerts on the page and in the API: who sees to each, and what a device tells."""

from __future__ import annotations

import re
from datetime import timedelta
from time import monotonic

import pytest
from tests.web.conftest import PATIENT_S
from tests.web.pages import hidden_fields

from lidclock.app import moves, people

BADGE = re.compile(r'<span class="badge">(\d+)')
# What is told is told within less.
A_WHILE_MS = 3000


def answer_first(client, said="mine"):
    form = hidden_fields(client.get("/alerts").text, "/alerts")
    return client.post("/alerts", data={**form, "answer": said})


def test_an_answered_alert_leaves_the_badge_and_stays_in_the_list(house, client):
    house.prep("stew", count=2, days_ago=9)
    assert BADGE.findall(client.get("/more").text) == ["2", "2"]

    page = answer_first(client).text

    assert BADGE.findall(page) == ["1"]
    waiting, answered = page.split("<h2>Answered</h2>")
    assert (waiting.count("data-key"), answered.count("data-key")) == (1, 1)
    assert "I will: somebody, Tue 3 Nov 2026 07:30" in answered
    assert "If it is still so, it comes back: Wed 4 Nov 2026 07:30" in answered


def test_an_answer_is_taken_back_on_the_page(house, client):
    house.prep("stew", days_ago=9)
    page = answer_first(client, "seen-to").text
    assert "Recorded: Seen to it" in page
    back = client.post("/undo", data=hidden_fields(page, "/undo"))

    assert back.url.path == "/alerts"
    assert "Answered" not in back.text
    assert BADGE.findall(back.text) == ["1"]


def test_a_wet_hand_answers_once(house, client):
    house.prep("stew", days_ago=9)
    form = hidden_fields(client.get("/alerts").text, "/alerts")
    for _ in range(3):
        client.post("/alerts", data={**form, "answer": "mine"})

    assert len(noted(house)) == 1


def noted(house):
    session = house.session()
    with session.read() as unit:
        return unit.ledger.starting("alert/")


def test_what_changed_meanwhile_is_said(house, client):
    (code,) = house.prep("stew", days_ago=9)
    form = hidden_fields(client.get("/alerts").text, "/alerts")
    session = house.session()
    with session.write() as unit:
        moves.discard(unit, code, "past its day")
    answer = client.post("/alerts", data={**form, "answer": "mine"})

    assert answer.status_code == 409
    assert "no longer so" in answer.text


def test_a_form_of_another_site_answers_nothing(house, client):
    house.prep("stew", days_ago=9)

    assert client.post("/alerts", data={"answer": "mine"}).status_code == 403
    assert noted(house) == []


def test_the_api_lists_alerts_and_takes_an_answer_once(house, client):
    (code,) = house.prep("stew", days_ago=9)
    (before,) = client.get("/api/v1/alerts").json()
    told = {"key": before["key"], "answer": "seen-to"}
    answers = [client.post("/api/v1/alerts", json=told) for _ in range(2)]
    (after,) = client.get("/api/v1/alerts").json()

    assert (before["kind"], before["code"], before["place"]) == ("over", code, "Fridge")
    assert [before[name] for name in ("answer", "answered_by", "back_at")] == [None] * 3
    assert [one.json() for one in answers] == [after, after]
    assert after["answer"] == "seen-to"
    assert after["answered_at"] == "2026-11-03T07:30:00-05:00"
    assert after["back_at"] == "2026-11-04T07:30:00-05:00"
    assert len(noted(house)) == 1


@pytest.mark.parametrize(
    ("told", "status"),
    [
        ({"key": "gone", "answer": "mine"}, 409),
        ({"key": "gone", "answer": "maybe"}, 422),
        ({"answer": "mine"}, 422),
        ({"key": "gone", "answer": "mine", "until": "never"}, 422),
        ([], 422),
    ],
)
def test_the_api_refuses_in_words(client, told, status):
    answer = client.post("/api/v1/alerts", json=told)

    assert answer.status_code == status
    assert answer.json()["error"]


HALVES = """() => [...document.querySelectorAll("main a b")].map((bold) => {
    const text = bold.firstChild, middle = text.data.indexOf(" ");
    text.data = "206 C68G"; // a code like any other, and the one that would turn
    const left = (from, to) => {
        const part = new Range();
        part.setStart(text, from);
        part.setEnd(text, to);
        return part.getBoundingClientRect().left;
    };
    return left(0, middle) < left(middle + 1, text.data.length);
})"""


@pytest.mark.parametrize("path", ["/alerts", "/", "/labels?code={code}"])
def test_a_code_reads_from_left_to_right_in_arabic_too(house, phone, path):
    """Figures first and letters after them would change places."""
    (code,) = house.prep("stew", days_ago=3)
    phone.context.add_cookies(
        [{"name": "lidclock_language", "value": "ar", "url": house.address}]
    )
    phone.goto(path.format(code=code))

    assert set(phone.evaluate(HALVES)) == {True}


# What a device tells


@pytest.fixture
def told(phone, house):
    """A phone that may show notifications, at the alerts of a kitchen."""
    phone.context.grant_permissions(["notifications"], origin=house.address)
    phone.goto("/alerts")
    return phone


def turn_on(page):
    page.get_by_role("switch", name="Tell me on this device").check()
    page.wait_for_function("localStorage.getItem('lidclock-tell') === 'yes'")


SHOWN = """async () => {
    const registration = await navigator.serviceWorker.ready;
    const shown = await registration.getNotifications();
    return shown.map(
        ({ title, body, lang, data }) => ({ title, body, lang, path: data.path }),
    );
}"""


def shown(page, count):
    """What the device shows, once it shows so many; or what it shows at the end."""
    # What did not come through is looked for again after a minute.
    latest = monotonic() + 60 + PATIENT_S
    while len(found := page.evaluate(SHOWN)) != count and monotonic() < latest:
        page.wait_for_timeout(50)
    return found


def test_a_new_alert_is_told_once_and_one_that_was_there_is_not(house, told):
    house.prep("stew", days_ago=9)
    told.reload()
    turn_on(told)
    (code,) = house.prep("dal", days_ago=9)

    (one,) = shown(told, 1)
    assert one["title"].startswith("over: discard")
    assert "dal, Fridge" in one["title"]
    assert one["body"].startswith("use by")
    assert one["path"] == f"/c/{code}"
    # Somebody wipes it away; what else is recorded does not bring it back.
    told.evaluate(
        """async () => {
            const registration = await navigator.serviceWorker.ready;
            for (const one of await registration.getNotifications()) one.close();
        }"""
    )
    (other,) = house.prep("chili", days_ago=9)
    (one,) = shown(told, 1)
    assert one["path"] == f"/c/{other}"


def test_nothing_is_told_and_nothing_asked_before_a_tap(house, told):
    house.prep("stew", days_ago=9)
    told.locator("main", has_text="stew").wait_for()

    assert not told.get_by_role("switch").is_checked()
    assert told.evaluate(SHOWN) == []


def test_an_answered_alert_is_told_no_more_and_told_again_when_it_is_back(house, told):
    turn_on(told)
    house.prep("stew", days_ago=9)
    assert len(shown(told, 1)) == 1
    told.get_by_role("button", name="I will").click()
    assert shown(told, 0) == []

    house.now += timedelta(days=1)
    told.reload()
    assert len(shown(told, 1)) == 1


def test_what_ends_by_itself_is_found_within_a_minute(house, told):
    """Nothing is recorded then: the page asks of its own accord."""
    house.prep("stew", days_ago=2)
    told.clock.install()
    told.goto("/more")
    told.goto("/alerts")
    turn_on(told)
    house.now += timedelta(days=3)
    told.clock.fast_forward("01:01")

    (one,) = shown(told, 1)
    assert one["title"].startswith("over: discard")


def test_many_at_once_are_a_few_and_their_number(house, told):
    turn_on(told)
    house.prep("stew", count=7, days_ago=9)

    found = shown(told, 5)
    rest = [one["title"] for one in found if one["path"] == "/alerts"]
    assert rest == ["Alerts: +3"], found


def test_it_tells_in_the_language_of_the_page(house, told):
    told.context.add_cookies(
        [{"name": "lidclock_language", "value": "de", "url": house.address}]
    )
    told.reload()
    told.get_by_role("switch").check()
    told.wait_for_function("localStorage.getItem('lidclock-tell') === 'yes'")
    house.prep("stew", days_ago=9)

    (one,) = shown(told, 1)
    assert one["lang"] == "de"
    assert not one["title"].startswith("over")


def test_a_tap_on_it_leads_to_what_it_is_about(house, told):
    """The tap itself no test can make: its event is sent to the worker as one is."""
    turn_on(told)
    (code,) = house.prep("stew", days_ago=9)
    shown(told, 1)
    (worker,) = told.context.service_workers
    worker.evaluate(
        """async () => {
            const [notification] = await registration.getNotifications();
            dispatchEvent(new NotificationEvent("notificationclick", { notification }));
        }"""
    )

    told.wait_for_url(f"**/c/{code}")
    assert told.evaluate(SHOWN) == []


def test_who_was_sent_away_is_told_nothing(house, told):
    """Behind a password that this browser does not know."""
    turn_on(told)
    people.set_password(house.session(), "three warm brown loaves")
    house.app.state.settings = type(house.app.state.settings)(is_open=False)
    house.prep("stew", days_ago=9)
    told.wait_for_url("**/login**")

    told.wait_for_timeout(A_WHILE_MS)
    assert told.evaluate(SHOWN) == []


def test_a_browser_that_cannot_says_so(browser, house):
    context = browser.new_context(base_url=house.address)
    context.add_init_script("delete window.Notification")
    page = context.new_page()
    page.goto("/alerts")

    page.get_by_text("cannot tell you").wait_for()
    assert page.get_by_role("switch").count() == 0
    context.close()


def test_a_browser_that_forbids_it_says_so(browser, house):
    context = browser.new_context(base_url=house.address)
    context.add_init_script(
        """Object.defineProperty(Notification, "permission", { get: () => "denied" });
        Notification.requestPermission = async () => "denied";"""
    )
    page = context.new_page()
    page.goto("/alerts")
    page.get_by_role("switch").click()

    page.get_by_text("The browser forbids it").wait_for()
    assert not page.get_by_role("switch").is_checked()
    assert page.evaluate("localStorage.getItem('lidclock-tell')") is None
    context.close()
