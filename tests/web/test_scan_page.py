"""The scan page: lids by scanner, by code and by form, in batches with one undo."""

import json
import re
from datetime import timedelta

import pytest
from tests.web.scanning import (
    HAS_LINES,
    WEDGE_MS,
    choose,
    hold_clock,
    open_scan,
    prep,
    scan,
    scan_again,
    settled,
    until,
)

from lidclock.scan.keyboard import SET_UP_TEXT
from lidclock.web.words import COOKIE

# What a German keyboard makes of a US one: other letters, other marks.
GERMAN = str.maketrans("YZ-/:=", "ZYß-Ö`")
PAGES = ["/", "/shelf", "/scan"]


@pytest.fixture
def held(phone, house):
    """The phone with the kitchen's clock."""
    hold_clock(phone, house.now + timedelta(minutes=5))
    return phone


def states(house, codes):
    session = house.session()
    with session.read() as unit:
        return [unit.find(code).standing for code in codes]


def place_of(house, code):
    with house.session().read() as unit:
        return unit.find(code).place


def csrf(client):
    return re.search(r'name="csrf" value="([^"]+)"', client.get("/scan").text)[1]


@pytest.mark.parametrize("path", PAGES)
def test_a_lid_scanned_on_any_page_is_looked_up(house, held, path):
    (code,) = prep(house)
    held.goto(path)

    scan(held, f"HTTP://LIDCLOCK.LOCAL/C/{code}")

    held.wait_for_selector("#lines li")
    assert "stew: keep, use by Fri 6 Nov" in held.inner_text("#answer")
    assert held.url.endswith("/scan")


def test_what_a_person_types_into_a_field_stays_there(house, held):
    (code,) = prep(house)
    open_scan(held)
    held.locator("#line").click()

    held.keyboard.type(code, delay=WEDGE_MS)

    assert held.input_value("#line") == code
    assert held.locator("#lines li").count() == 0


def test_slow_keys_are_no_scan(house, held):
    (code,) = prep(house)
    open_scan(held)

    held.keyboard.type(code, delay=150)
    held.keyboard.press("Enter")
    held.wait_for_timeout(300)

    assert held.locator("#lines li").count() == 0


def test_enter_of_a_scanner_does_not_press_the_button_touched_last(house, held):
    (code,) = prep(house)
    open_scan(held)
    held.locator("#undo").focus()

    scan(held, code)

    held.wait_for_selector("#lines li")
    assert held.locator("#lines li").count() == 1
    assert "use by" in held.inner_text("#answer")


def test_twenty_lids_are_frozen_and_one_undo_takes_them_back(house, held):
    codes = prep(house, count=20)
    open_scan(held)
    choose(held, "Freeze")
    for code in codes:
        scan(held, code)
    settled(held, 20)

    assert set(states(house, codes)) == {"paused"}
    lines = held.locator("#lines li").all_inner_texts()
    assert len([line for line in lines if "frozen; 3 days left" in line]) == 20

    held.locator("#undo").click()
    settled(held, 21)

    assert "paused" not in states(house, codes)
    assert held.inner_text("#answer") == "Taken back: 20"
    said = held.locator("#lines .state").all_inner_texts()
    assert [one.strip(" ·") for one in said] == ["recorded", *["Taken back."] * 20]
    with house.session().read() as unit:
        kinds = [event.kind for event in unit.ledger.all()]
    # Nothing is rubbed out: twenty facts, and twenty that take them back.
    assert kinds.count("corrected") == 20
    assert kinds.count("placed") == 40


def test_an_odd_fact_is_asked_and_a_second_scan_records_it(house, held):
    (code,) = prep(house, days_ago=9)
    open_scan(held)
    choose(held, "Use")
    scan(held, code)
    held.wait_for_selector("#answer[data-kind=odd]")

    assert "is past its last moment: discard it" in held.inner_text("#answer")
    assert "--" not in held.inner_text("#answer")
    assert states(house, [code]) != ["ended"]

    scan_again(held, code)
    settled(held, 1)

    assert states(house, [code]) == ["ended"]


def test_an_action_symbol_chooses_and_a_place_goes_by_its_number(house, held):
    (code,) = prep(house)
    open_scan(held)
    for line in ("TO=3", code):
        scan(held, line)
    settled(held, 1)

    assert place_of(house, code) == house.session().places[2].name


def test_a_keyboard_of_another_layout_is_learned_once(house, held):
    (code,) = prep(house)
    open_scan(held)
    scan(held, "TO=3".translate(GERMAN))
    until(held, HAS_LINES, 1)
    assert held.get_attribute("#answer", "data-kind") == "bad"

    for count, line in enumerate((SET_UP_TEXT, "TO=3", code), start=2):
        scan(held, line.translate(GERMAN))
        until(held, HAS_LINES, count)
    settled(held, 1)

    assert place_of(house, code) == house.session().places[2].name


def test_a_scan_is_heard_and_felt(house, held):
    held.add_init_script(
        """window.felt = []; window.tones = [];
        navigator.vibrate = (pattern) => felt.push(pattern);
        const make = AudioContext.prototype.createOscillator;
        AudioContext.prototype.createOscillator = function () {
            const made = make.call(this); tones.push(made); return made; };"""
    )
    (code,) = prep(house)
    open_scan(held)
    for count, line in enumerate((code, "NONSENSE"), start=1):
        scan(held, line)
        until(held, "count => felt.length === count", count)

    assert held.evaluate("felt") == [[60], [300]]
    high, low = held.evaluate("tones.map(one => one.frequency.value)")
    assert high > low
    assert held.get_attribute("#answer", "aria-live") == "polite"


def test_a_typed_code_works_with_the_keyboard_alone(house, held):
    (code,) = prep(house)
    open_scan(held)
    held.locator("#line").focus()
    held.keyboard.type(code.lower())
    held.keyboard.press("Enter")

    held.wait_for_selector("#lines li")
    assert "stew: keep, use by" in held.inner_text("#answer")


def plain(client, **fields):
    """The form as a browser without scripts sends it."""
    answer = client.post("/scan", data={"csrf": csrf(client), **fields})
    assert answer.status_code == 200, answer.text
    hidden = re.findall(r'name="(act|doubted|was)" value="([^"]*)"', answer.text)
    said = re.findall(r"<li>(.*?)</li>", answer.text)
    return dict(hidden), said


def test_without_scripts_a_batch_is_scanned_and_taken_back(house, client):
    codes = prep(house, count=3)
    state = {"was": "", "act": ""}
    for code in codes:
        state, said = plain(client, action="FREEZE", line=code, **state)
        assert "frozen; 3 days left after thawing" in said[0]

    assert set(states(house, codes)) == {"paused"}
    _, said = plain(client, action="FREEZE", undo="1", **state)

    assert said[0] == "3 lids taken back"
    assert "paused" not in states(house, codes)


def test_without_scripts_an_odd_fact_wants_a_second_scan(house, client):
    (code,) = prep(house, days_ago=9)
    state, said = plain(client, action="USE", was="USE", line=code)
    assert "past its last moment" in said[0]
    assert states(house, [code]) != ["ended"]

    plain(client, action="USE", line=code, **state)

    assert states(house, [code]) == ["ended"]


def test_a_plain_form_of_another_site_is_refused(client):
    client.get("/scan")

    answer = client.post("/scan", data={"line": "USE", "csrf": "guessed"})

    assert answer.status_code == 403


@pytest.mark.parametrize(
    "line", ["<b>x</b>", "\x00\x1b[2J", "\u202eC3", "9" * 4000, "é" * 60]
)
def test_hostile_lines_are_answered_in_words(client, line):
    answer = client.post("/scan/check", json={"line": line, "action": "USE"})

    assert answer.status_code == 200
    assert answer.json()["kind"] == "nothing"
    page = client.post("/scan", data={"csrf": csrf(client), "line": line})
    assert page.status_code == 200
    assert "<b>x</b>" not in page.text


@pytest.mark.parametrize("said", [{"line": 3}, {"line": None}, [], "x"])
def test_a_check_that_is_none_is_refused(client, said):
    answer = client.post("/scan/check", content=json.dumps(said))

    assert answer.status_code == 422


def test_checking_records_nothing(house, client):
    (code,) = prep(house)
    told = client.post("/scan/check", json={"line": code, "action": "USE"}).json()

    assert told["kind"] == "lid"
    assert told["says"].endswith("stew: used")
    with house.session().read() as unit:
        assert all(event.kind != "used" for event in unit.ledger.all())


SAY_WHEN = """async (language) => {
    document.documentElement.lang = language;
    const { when } = await import("/static/words.js");
    return when("2026-11-03T12:30:00Z", "America/New_York"); }"""


@pytest.mark.parametrize(
    ("language", "parts"),
    [
        ("en", ["Tue", "3 Nov 2026", "07:30"]),
        ("de", ["Di.", "3. Nov. 2026", "07:30"]),
        ("zh-Hans", ["2026年11月3日", "07:30"]),
        ("ar", ["3 نوفمبر 2026", "07:30"]),
        # Arabic of a place with digits of its own, as some phones take for plain "ar".
        ("ar-EG", ["3 نوفمبر 2026", "07:30"]),
    ],
)
def test_scripts_say_moments_in_words_and_western_digits(phone, language, parts):
    """Words and order: Unicode CLDR, as the browser has it."""
    open_scan(phone)

    said = phone.evaluate(SAY_WHEN, language)

    assert all(part in said for part in parts)
    assert all(sign in "0123456789" for sign in said if sign.isdigit())


SAY_REFUSED = """async () => {
    const { word } = await import("/static/words.js");
    return word("refused", { what: "000 0000, 07:30", says: "no such lid" }); }"""


@pytest.mark.parametrize(("language", "marks"), [("ar", 2), ("de", 0)])
def test_from_right_to_left_values_keep_their_own_direction(
    house, phone, language, marks
):
    """First strong isolate and its end: Unicode Standard Annex 9, section 2.4."""
    phone.context.add_cookies(
        [{"name": COOKIE, "value": language, "url": house.address}]
    )
    open_scan(phone)

    said = phone.evaluate(SAY_REFUSED)

    assert said.count("\u2068") == said.count("\u2069") == marks
    assert "no such lid" in said


def test_a_lid_that_the_scanner_read_twice_is_no_answer(house, held):
    (code,) = prep(house, days_ago=9)
    open_scan(held)
    choose(held, "Use")
    for _ in range(2):
        scan(held, code)
    until(held, HAS_LINES, 3)

    assert held.get_attribute("#answer", "data-kind") == "odd"
    assert states(house, [code]) != ["ended"]


def test_the_way_to_the_content_is_no_lid(house, held):
    (code,) = prep(house)
    held.goto("/scan#main")
    held.wait_for_selector("html[data-ready]")
    scan(held, code)
    until(held, HAS_LINES, 1)

    assert held.locator("#lines li").count() == 1
