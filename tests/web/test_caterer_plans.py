"""Before and after a dinner, and what to order for it: tapped on a phone, and asked.

She prepares for a rowing club's dinner on Tue 3 Nov 2026. A missing portion costs 9,
a spare one 3; 112 come on average, give or take 6 (`scen.cater.count`: 117, critical
ratio 0.75). The order form of the trade is `par.order`: 10 a day for 2 + 3 days, 28 on
hand, 22 to order. Both cases are in tests/external/data/planning_checks.json.
"""

import json
import re
from datetime import date
from html import unescape
from pathlib import Path

import pytest
from tests.web.days import at, seen, words_of
from tests.web.pages import hidden_fields

from lidclock.app.occasions import Told, tell
from lidclock.app.recipe_book import add_recipe

CHECKS = Path(__file__).parents[1] / "external" / "data" / "planning_checks.json"
CASES = {one["id"]: one for one in json.loads(CHECKS.read_text("utf-8"))["cases"]}
CLUB = "rowing club dinner"
# Mean 112; squares 36 four times, over 4: the standard deviation is 6.
CAME = [(7, 106), (8, 118), (9, 118), (10, 106)]
LAST = date(2026, 10, 20)
SALAD = """
name = "bean salad"
makes = { count = 35, portion = "185 g" }
[[inputs]]
name = "white beans"
mass = "3 kg"
allergens = []
[[inputs]]
name = "celery"
mass = "3475 g"
yield = "75%"
allergens = ["celery"]
"""


@pytest.fixture
def club(house):
    """Five dinners on record; to the last one 112 came."""
    for month, came in CAME:
        tell(house.session(), Told(CLUB, came, date(2026, month, 3)))
    tell(house.session(), Told(CLUB, 112, LAST))
    return house


def ask(phone, **fields):
    form = phone.locator("form", has=phone.get_by_role("button", name="Work it out"))
    for label, text in fields.items():
        form.locator(f"[name={label}]").fill(text)
    form.get_by_role("button", name="Work it out").click()


def test_112_with_a_spread_of_6_are_117_portions_and_she_reads_why(house, phone):
    wanted = CASES["scen.cater.count"]["expected"]
    at(house, phone, 11, 2, 9)
    phone.goto("/plan")
    phone.get_by_role("link", name="One occasion").click()
    ask(phone, eaters="112", spread="6", short="9", worth="3")
    answer = phone.get_by_role("region", name=f"Prepare {wanted['Q']} portions")
    answer.wait_for()

    told = " ".join(answer.inner_text().split())
    assert "112 are expected, give or take 6." in told
    assert f"enough 75 times out of 100 (critical ratio {wanted['cr']})" in told
    assert "A missing portion costs 9 and a spare one 3" in told
    rows = [
        [cell.inner_text() for cell in row.locator("th, td").all()]
        for row in answer.locator("tbody tr").all()
    ]
    # z = 5/6: cdf 0.7977, pdf 0.2819; lost 6 x (0.2819 - 5/6 x 0.2023) = 0.68.
    assert rows[1] == ["117", "20.2", "0.7", "5.7"]
    assert [row[0] for row in rows] == ["116", "117", "118"]

    ask(phone, on_hand="40")
    phone.get_by_text("40 are there already: make 77 more.").wait_for()


def test_the_same_out_of_what_came_before_typed_or_on_record(club, phone):
    at(club, phone, 11, 2, 9)
    phone.goto("/plan/occasion")
    ask(phone, before="106, 118, 118, 106, 112", short="9", worth="3")
    phone.get_by_role("heading", name="Prepare 117 portions").wait_for()
    assert "112 came on average, in 5 times that are known." in seen(phone)
    assert "take how far it varies as a rough guess" in seen(phone)

    phone.goto("/plan/occasion")
    phone.get_by_role("link", name=CLUB).click()
    ask(phone, short="9", worth="3")
    phone.get_by_role("heading", name="Prepare 117 portions").wait_for()
    assert "The next time 112 are expected, give or take 6." in seen(phone)


def test_the_debrief_is_kept_and_the_next_forecast_goes_by_it(club, phone):
    """Forecast 112, came 115, made 117, 2 wasted. The mean is then 675/6 = 112.5."""
    at(club, phone, 11, 4, 10)
    phone.goto(f"/plan/occasion?name={CLUB}&short=9&worth=3")
    after = phone.locator("form", has=phone.get_by_role("button", name="Record"))
    assert after.locator("[name=expected]").input_value() == "112"
    assert after.locator("[name=made]").input_value() == "117"
    after.get_by_label("Day").fill("2026-11-03")
    after.get_by_label("How many came").fill("115")
    after.get_by_label("How many were thrown away").fill("2")
    after.get_by_role("button", name="Record").click()
    told = phone.get_by_role("status")
    told.wait_for()

    lines = [line.inner_text() for line in told.locator("p").all()]
    assert lines[1:] == [
        "115 came, 112 were expected: off by 3.",
        "The same as last time, 112, would have been off by 3.",
        "117 made: 2 left over, 0 missing.",
        "2 thrown away.",
    ]
    record = phone.get_by_role("region", name="On record", exact=True)
    assert record.locator("li").first.inner_text().startswith("Tue 3 Nov")
    assert record.locator("li").count() == 6
    assert "The next time 112.5 are expected" in record.inner_text()
    found = phone.request.get(f"/api/v1/occasions/amount?name={CLUB}").json()
    assert (found["eaters"], found["known"]) == (112.5, 6)

    told.get_by_role("button", name="Undo").click()
    phone.wait_for_function("() => !document.querySelector('[role=status]')")
    assert "The next time 112 are expected, give or take 6." in seen(phone)
    assert record.locator("li").count() == 5


def test_flatbread_is_22_to_order_and_celery_is_told_as_bought(house, phone):
    """117 x 230 g of 35 x 185 g: beans 12,467.95 g; celery 14,442.05 g to weigh in,
    19,256.06 g to buy at a yield of 75 %, of which 2 kg are there.
    """
    given = CASES["par.order"]["inputs"]
    add_recipe(house.session(), SALAD, is_toml=True)
    at(house, phone, 11, 2, 9)
    phone.goto("/plan")
    phone.get_by_role("link", name="Order form").click()
    phone.get_by_label("Recipe").select_option("bean salad")
    ask(
        phone,
        **{"lead": str(given["lead"]), "review": str(given["review"])},
        **{"item0": "flatbread", "use0": str(given["use_per_day"])},
        **{"hand0": str(given["on_hand"]), "once": "117", "portion": "230"},
    )
    wanted = CASES["par.order"]["expected"]
    phone.get_by_text(f"flatbread: order {wanted}").wait_for()
    assert "To last 5 days" in seen(phone)
    assert "10 a day for 5 days 28 on hand" in seen(phone)
    assert "white beans: order 12468 g" in seen(phone)
    assert "celery: order 19257 g" in seen(phone)
    assert "14442 g to weigh in, at a yield of 75 %" in seen(phone)

    ask(phone, there1="2 kg")
    phone.get_by_text("celery: order 17257 g").wait_for()
    paper = phone.get_by_role("link", name="Open for paper").get_attribute("href")
    words = words_of(phone.request.get(paper).body())
    for line in ("Order form", "flatbread: order 22", "celery: order 17257 g"):
        assert line in words
    assert "Initials" in words


def record(client, **fields):
    form = hidden_fields(client.get("/plan/occasion").text, "/plan/occasion", "csrf")
    return client.post("/plan/occasion", data={**form, **fields})


@pytest.mark.parametrize(
    ("fields", "says"),
    [
        ({"name": "", "came": "3"}, "say which occasion it was"),
        ({"name": "x"}, "say how many came"),
        ({"name": "x", "came": "3.5"}, "how many came: '3.5' is not a whole number"),
        ({"name": "x", "came": "-3"}, "how many came: '-3' is not a number"),
        ({"name": "x", "came": "3", "on": "2026-11-04"}, "is still to come"),
        ({"name": "x", "came": "3", "made": "2", "wasted": "3"}, "3 wasted of 2 made"),
    ],
)
def test_what_cannot_be_is_told_with_what_was_typed_and_not_kept(client, fields, says):
    answer = record(client, **fields)

    assert answer.status_code == 422
    assert says in unescape(answer.text)
    for name, typed in fields.items():
        assert re.search(rf'name="{name}" value="{typed}"', answer.text)
    assert client.get("/api/v1/occasions").json() == []


@pytest.mark.parametrize(
    ("query", "says"),
    [
        ("eaters=many", "how many are expected: 'many' is not a number"),
        ("short=9&worth=3", "say how many are expected"),
        ("eaters=3&short=9", "say both: what one missing portion costs"),
        ("eaters=3&short=0&worth=1", "costs must be more than 0"),
        ("before=some", "'some' is not how many came"),
    ],
)
def test_a_question_that_cannot_be_answered_says_so_on_its_page(client, query, says):
    answer = client.get(f"/plan/occasion?{query}")

    assert answer.status_code == 422
    assert says in unescape(answer.text)
    assert "How many to prepare" in answer.text


def test_an_order_that_makes_no_sense_keeps_what_was_typed(client):
    answer = client.get("/plan/order?item0=flatbread&use0=lots&lead=2")

    assert answer.status_code == 422
    assert "flatbread, used a day: 'lots' is not a number" in unescape(answer.text)
    assert 'name="use0" value="lots"' in answer.text
    assert client.get("/plan/order.pdf").status_code == 422


def test_the_kitchens_own_costs_stand_in_the_fields(house, client):
    from lidclock.app.choices import set_choices

    assert 'name="short" value=""' in client.get("/plan/occasion").text
    with house.session().write() as unit:
        set_choices(unit, {"short": 9.0, "worth": 3.0})

    page = client.get("/plan/occasion?name=").text
    assert 'name="short" value="9"' in page
    assert 'name="worth" value="3"' in page


@pytest.mark.usefixtures("club")
def test_programs_are_told_the_same(client):
    wanted = CASES["scen.cater.count"]["expected"]
    asked = {"eaters": 112, "spread": 6, "short": 9, "worth": 3}
    found = client.get("/api/v1/occasions/amount", params=asked).json()
    assert (found["prepare"], found["ratio"]) == (wanted["Q"], wanted["cr"])
    assert found["says"][0] == "112 are expected, give or take 6."

    sent = {"name": CLUB, "came": 115, "expected": 112, "made": 117, "wasted": 2}
    told = client.post("/api/v1/occasions", json=sent).json()
    (history,) = client.get("/api/v1/occasions").json()
    assert told["history"] == history
    assert told["occasion"] == history["occasions"][-1]
    assert told["occasion"]["on"] == "2026-11-03"
    assert told["occasion"]["off_by"] == told["occasion"]["last_time_off_by"] == 3
    assert (history["mean"], history["compared"]) == (112.5, 5)

    undo = f"/api/v1/occasions/{told['act']}/undo"
    assert client.post(undo, json={}).json()["mean"] == 112
    assert client.post(undo, json={}).status_code == 409
    assert client.post("/api/v1/occasions/none/undo", json={}).status_code == 404
    order = "/api/v1/order?item=flatbread=10&have=flatbread=28&lead=2&review=3"
    assert client.get(order).json()["items"][0]["order"] == 22


@pytest.mark.parametrize(
    ("path", "status"),
    [
        ("occasions?name=nothing", 404),
        ("occasions/amount", 422),
        ("occasions/amount?name=nothing", 404),
        ("occasions/amount?eaters=nan", 422),
        ("occasions/amount?eaters=3&spread=-1", 422),
        ("occasions/amount?eaters=3&short=1", 422),
        ("order", 422),
        ("order?item=flatbread", 422),
        ("order?recipe=nothing&once=3", 404),
    ],
)
def test_programs_are_refused_in_words(client, path, status):
    answer = client.get(f"/api/v1/{path}")

    assert answer.status_code == status
    says = answer.json()["error"]
    assert len(says) > 5
    assert "--" not in says
    assert "`" not in says


@pytest.mark.parametrize(
    "path", ["plan/occasion", "plan/order", "api/v1/occasions", "api/v1/order?item=a=1"]
)
def test_head_works_where_get_does(client, path):
    head = client.head(f"/{path}")

    assert head.status_code == 200
    assert head.content == b""
