"""The slip for what is handed on: after a dinner nine tubs stayed cold, six did not."""

from dataclasses import replace

import pytest
from tests.web.days import at, words_of

from lidclock.app import moves, prep
from lidclock.domain.foods import Food
from lidclock.store import Kitchens


@pytest.fixture
def dinner(house, phone):
    """15 portions at 16:00; six stood on the buffet from 18:00 to 19:00.

    Under the FDA Food Code an hour there takes nothing from their last day.
    """
    at(house, phone, 11, 3, 16)
    session = house.session()
    session.adopt_kitchen(replace(session.kitchen, guidance="us-food-code"))
    food = Food("bean salad", "grain-salad", ("mustard",))
    with session.write() as unit:
        Kitchens(unit.connection).update(session.kitchen)
        fridge, counter = session.place("Fridge"), session.place("Counter")
        filled = prep.prep(unit, prep.Order(food, 15, 230.0, place=fridge))
        house.codes = filled.codes
    at(house, phone, 11, 3, 18)
    session = house.session()
    with session.write() as unit:
        for code in house.codes[:6]:
            moves.place(unit, code, counter)
    at(house, phone, 11, 3, 19)
    session = house.session()
    with session.write() as unit:
        for code in house.codes[:6]:
            moves.place(unit, code, fridge)
        moves.measured(unit, house.codes[6], 3.5)
    at(house, phone, 11, 3, 19, 30)
    return house


def test_the_nine_get_a_slip_with_two_names_and_the_six_get_none(dinner, phone):
    """3B.12: name, made, last day, allergens, temperature, who gave and who took."""
    nine = dinner.codes[6:]
    phone.goto(f"/c/{nine[0]}")
    phone.locator("main summary").get_by_text("Handed on", exact=True).click()
    phone.get_by_role("link", name="Slip to hand on").click()
    offered = phone.locator("input[name=code]")
    assert [one.get_attribute("value") for one in offered.all()] == nine
    for one in offered.all():
        one.check()
    phone.get_by_label("Who gives it?").fill("Ana")
    phone.get_by_label("To whom?").fill("night shelter")
    refused = phone.locator("section", has_text="May not be handed on")
    assert (
        refused.inner_text().count("it was out of the cold, Tue 3 Nov 2026 18:00") == 6
    )
    form = phone.locator("form.stack")
    query = form.evaluate("one => new URLSearchParams(new FormData(one)).toString()")
    answer = phone.request.get(f"/slip.pdf?{query}")

    assert answer.headers["content-type"] == "application/pdf"
    words = words_of(answer.body())
    assert words.count("bean salad") == 9
    for code in nine:
        assert f"{code[:3]} {code[3:]}" in words
    assert words.count("allergens: mustard") == 9
    # 3-501.17 (A): 7 days, Tue 3 Nov being day 1.
    assert words.count("made Tue 3 Nov 2026 16:00") == 9
    assert words.count("use by Mon 9 Nov 2026") == 9
    assert "temperature of the food: 3.5 °C, Tue 3 Nov 2026 19:00" in words
    assert words.count("temperature of the food: not measured") == 8
    assert "Given by: Ana" in words
    assert "Taken by: night shelter" in words


def test_a_slip_for_one_of_the_six_is_refused_whoever_asks(dinner, client):
    code = dinner.codes[0]
    asked = {"code": [dinner.codes[6], code], "by": "Ana", "to": "shelter"}
    answer = client.get("/slip.pdf", params=asked)

    assert answer.status_code == 409
    assert "may not be handed on: it was out of the cold" in answer.text
    found = client.get("/api/v1/slip", params={"code": code}).json()
    assert [one["may_be_handed_on"] for one in found] == [False]


@pytest.mark.parametrize("path", ["/slip", "/slip.pdf", "/api/v1/slip"])
def test_a_slip_of_nothing_is_refused(client, path):
    assert client.get(path).status_code == 422


def test_a_slip_records_nothing(dinner, client):
    before = dinner.session()
    with before.read() as unit:
        count = unit.ledger.position()
    client.get(f"/slip.pdf?code={dinner.codes[6]}")

    with dinner.session().read() as unit:
        assert unit.ledger.position() == count
        assert unit.find(dinner.codes[6]).is_live


def test_one_that_has_no_batch_is_offered_alone(house, client):
    session = house.session()
    food = Food("oat drink", "pickles-opened", (), "maker")
    with session.write() as unit:
        pack = prep.open_pack(unit, food, place=session.place("Fridge"))
    page = client.get("/slip", params={"code": pack.codes[0]}).text

    assert page.count('name="code"') == 1
    assert "May not be handed on" not in page
