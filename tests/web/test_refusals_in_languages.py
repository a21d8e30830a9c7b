"""What a cook is refused or asked once more, and temperatures, in other languages."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import timedelta
from html import unescape

import httpx
import pytest
from tests.web.pages import hidden_fields

from lidclock.app import prep
from lidclock.domain.foods import Food
from lidclock.store import Kitchens
from lidclock.web.words import COOKIE, LANGUAGES, catalogue_of

OTHERS = [name for name in LANGUAGES if name != "en"]
# Unicode's no-break space: a figure and its degrees stay on one line.
HELD = "\u00a0"


@pytest.fixture
def client(house):
    """As everywhere, but patient: a busy machine takes its time."""
    with httpx.Client(
        base_url=house.address, follow_redirects=True, timeout=60
    ) as found:
        yield found


def main(page: str) -> str:
    return page.split("<main")[1].split("</main>", maxsplit=1)[0]


def text(page: str) -> str:
    return unescape(re.sub(r"<[^>]+>", "", main(page)))


def type_it(client, temp, place="Fridge"):
    page = client.get("/temperatures").text
    form = hidden_fields(page, "/temperatures", f'value="{place}"')
    return client.post("/temperatures", data={**form, "temp": temp}).text


def start(client, code, **more):
    page = client.get("/cooling").text
    form = hidden_fields(page, "/cooling", 'value="start"')
    return client.post("/cooling", data={**form, "other": code, **more}).text


@pytest.mark.parametrize("typed", ["9.2", "9,2", "9,2 °C", "9.2C"])
def test_a_temperature_is_typed_and_shown_with_a_comma_where_one_is_used(client, typed):
    client.cookies.set(COOKIE, "de")
    page = type_it(client, typed)

    assert f"9,2{HELD}°C" in page
    assert "9.2" not in text(page)
    assert f"höchstens 4,4{HELD}°C" in page
    assert f"4,4{HELD}°C" in text(page).partition("Darin")[0]


@pytest.mark.parametrize(
    ("language", "shown"),
    [
        ("en", "62.5 °C"),
        ("de", f"62,5{HELD}°C"),
        ("fr", f"62,5{HELD}°C"),
        ("es", f"62,5{HELD}°C"),
        ("zh-Hans", f"62.5{HELD}°C"),
        ("ar", f"62.5{HELD}°م"),
    ],
)
def test_a_cooling_log_has_the_language_s_sign_before_decimals(
    house, client, language, shown
):
    (code,) = house.prep("stew")
    client.cookies.set(COOKIE, language)
    page = start(client, code, temp="62,5", depth="5,5 cm", around="3,5")
    log = client.get("/cooling/log", params={"of": code}).text

    for one in (page, log):
        assert shown in one
    if language not in ("en", "zh-Hans", "ar"):
        assert not re.search(r"\d\.\d", text(page))


def test_what_an_alert_says_of_cooling_is_said_in_the_language(house, client):
    """Under the Food Code 21 °C is due two hours after 57 °C (3-501.14)."""
    session = house.session()
    with session.write() as unit:
        caterer = replace(session.kitchen, guidance="us-food-code")
        Kitchens(unit.connection).update(caterer)
    (code,) = house.prep("stew")
    client.cookies.set(COOKIE, "de")
    start(client, code, temp="57")
    said = []
    for minutes in (70, 30):
        house.now += timedelta(minutes=minutes)
        said.append(main(client.get("/alerts").text))

    assert re.search(rf"21{HELD}°C bis \d\d:\d\d, noch 20 Min.: messen Sie", said[0])
    assert "ohne Messung verstrichen; messen Sie jetzt" in said[1]
    assert 'lang="en"' not in said[0] + said[1]


def ask(client, house, what):
    """A page that refuses, or asks once more."""
    (code,) = house.prep("stew")
    if what in ("abc", "", "47", "500", "85"):
        return type_it(client, what)
    if what == "depth":
        return start(client, code, temp="60", depth="deep")
    if what == "no log":
        return client.get("/cooling/log", params={"of": code}).text
    if what == "warmer":
        start(client, code, temp="40")
        form = hidden_fields(client.get("/cooling").text, "/cooling", 'value="read"')
        return client.post("/cooling", data={**form, "temp": "50,5"}).text
    if what == "month":
        return client.get("/report?month=2050-01").text
    assert what == "reason"
    form = hidden_fields(type_it(client, "9"), "/temperatures/reason")
    return client.post("/temperatures/reason", data={**form, "text": " "}).text


WHATS = {
    "abc": "ist keine Temperatur; schreiben Sie sie wie 4C oder 40F",
    "": "sagen Sie, was das Thermometer zeigt",
    "47": f"47{HELD}°C ist ungewöhnlich für einen Kühlschrank; 47{HELD}°F wären "
    f"8,3{HELD}°C",
    "500": f"liegt außerhalb von -100 bis 200{HELD}°C",
    "85": "der gerade eingeschaltet wurde",
    "depth": "ist keine Tiefe; schreiben Sie sie wie 50 mm, 5 cm oder 2 in",
    "no log": "hat kein Kühlprotokoll: beginnen Sie eines",
    "warmer": f"50,5{HELD}°C nach 40{HELD}°C hieße, dass es sich um 10,5{HELD}°C",
    "month": "2050-01 liegt in der Zukunft",
    "reason": "sagen Sie, warum: die Tür, der Strom",
}


@pytest.mark.parametrize(("what", "says"), WHATS.items(), ids=lambda x: x[:12])
def test_a_refusal_that_a_cook_meets_is_in_german(house, client, what, says):
    client.cookies.set(COOKIE, "de")
    page = ask(client, house, what)

    assert says in text(page)


@pytest.mark.parametrize("language", OTHERS)
def test_no_refusal_of_those_is_english(house, client, language):
    client.cookies.set(COOKIE, language)
    pages = {what: ask(client, house, what) for what in WHATS}

    left = {what for what, page in pages.items() if re.search(r'lang="en"', main(page))}
    assert left == set()


def test_costs_are_typed_with_a_comma_too(client):
    client.cookies.set(COOKIE, "de")
    form = hidden_fields(client.get("/kitchen").text, "/kitchen", "was_name")
    shown = {
        name.removeprefix("was_"): value
        for name, value in form.items()
        if name.startswith("was_")
    }
    sent = {**form, **shown, "worth": "4,5"}
    refused = client.post("/kitchen", data={**sent, "worth": "viel"})
    client.post("/kitchen", data=sent)

    assert 'name="worth" value="4.5"' in client.get("/kitchen").text
    assert "ist keine Zahl" in refused.text


def test_a_list_of_law_and_a_set_are_named_in_the_language(house, client):
    session = house.session()
    order = prep.Order(
        Food("cake", "cake-plain", ("wheat", "celery")),
        1,
        portion_g=100,
        place=session.place("Fridge"),
    )
    with session.write() as unit:
        (code,) = prep.prep(unit, order).codes
    client.cookies.set(COOKIE, "de")
    page = text(client.get(f"/c/{code}").text)

    assert (
        "auf der Allergenliste (USA): wheat; nicht auf dieser Liste: Sellerie" in page
    )
    assert "Einfacher Kuchen oder Muffins (US-Aufbewahrungstabellen" in page


def test_french_signs_stay_with_their_words():
    said = [x for one in catalogue_of("fr").entries.values() for x in one.says]

    assert any(f"{HELD}:" in one for one in said)
    assert [one for one in said if re.search(r" [:;?!»]|« ", one)] == []


PRINTERS = "/kitchen/printers"
ADDED = {"do": "add", "name": "bench", "address": "ipp://bench.local/ipp/print"}
OF_PRINTERS = {
    "option": ({**ADDED, "name": "-fast"}, "liest sich wie eine Option oder ein Code"),
    "too long": ({**ADDED, "name": "x" * 41}, "1 bis 40 druckbare Zeichen"),
    "twice": (ADDED, "es gibt schon einen Drucker 'bench'"),
    "gone": ({"do": "remove", "name": "x"}, "kein Drucker 'x' in dieser Küche"),
}


@pytest.mark.parametrize(("sent", "says"), OF_PRINTERS.values(), ids=OF_PRINTERS)
def test_a_refusal_about_a_printer_is_in_german(client, sent, says):
    client.cookies.set(COOKIE, "de")
    form = hidden_fields(client.get(PRINTERS).text, PRINTERS)
    client.post(PRINTERS, data={**form, **ADDED})
    page = client.post(PRINTERS, data={**form, **sent}).text

    assert says in text(page)
    assert "lidclock printer" not in page
