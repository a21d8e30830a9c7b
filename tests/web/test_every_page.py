"""Every page that a link leads to: its status, heading, labels, tokens, and links."""

import json
import re
from datetime import timedelta
from urllib.parse import urljoin, urlsplit

import pytest
from tests.web.conftest import MORNING
from tests.web.pages import read_page

from lidclock.app import meal_plan, moves
from lidclock.app.kitchen_edits import add_place, places_shown
from lidclock.app.recipe_book import add_recipe

STARTS = (
    *("/", "/shelf", "/prep", "/plan", "/guidance", "/kitchen", "/more", "/alerts"),
    "/recipes",
)
# Pages of other parts, which have tests of their own.
ELSEWHERE = (
    *("/scan", "/openapi.json", "/api/", "/static/", "/people", "/login"),
    "/report/weeks.svg",
)
HOSTILE = "<img src=x onerror=alert(1)>\"'&amp;{{7*7}}"
RIGHT_TO_LEFT = "شوربة عدس"


@pytest.fixture
def full(house):
    """A kitchen with something of everything, and names that mean harm."""
    stew = house.prep("bean stew", count=3, days_ago=2)
    house.prep(HOSTILE)
    house.prep(RIGHT_TO_LEFT, days_ago=3)
    house.prep("old soup", days_ago=9)
    session = house.session()
    add_place(session, HOSTILE, "fridge", places_shown(session))
    session = house.session()
    with session.write() as unit:
        moves.freeze(unit, stew[0])
    with session.write() as unit:
        moves.use(unit, stew[1], anyway=True)
    with session.write() as unit:
        moves.place(unit, stew[2], session.place(HOSTILE))
    at = MORNING + timedelta(hours=10)
    meal_plan.put_down(session, at, [("bean stew", 9), (HOSTILE, 1)], name=HOSTILE)
    inputs = [{"name": HOSTILE, "mass": "1 kg", "allergens": [HOSTILE]}]
    recipe = {"name": HOSTILE, "note": HOSTILE, "currency": HOSTILE, "inputs": inputs}
    add_recipe(session, json.dumps(recipe), is_toml=False)
    return house


def crawl(client):
    """Every page within reach, by its path, each fetched once."""
    waiting, pages = [*STARTS, f"/prep?food={RIGHT_TO_LEFT}&q=soup"], {}
    waiting += ["/guidance?q=soup", "/prep?food=new+thing", "/shelf?q=stew"]
    while waiting:
        path = waiting.pop()
        if path in pages:
            continue
        answer = client.get(path)
        pages[path] = answer
        if "text/html" not in answer.headers["content-type"]:
            continue
        for link in read_page(answer.text).links:
            whole = urljoin(path, link.partition("#")[0])
            if not urlsplit(whole).scheme and not whole.startswith(ELSEWHERE):
                waiting.append(whole)
    return pages


@pytest.mark.usefixtures("full")
def test_every_page_within_reach_is_whole(client):
    pages = crawl(client)

    assert {
        path: x.status_code for path, x in pages.items() if x.status_code != 200
    } == {}
    assert {path.split("?")[0].split("/")[1] for path in pages} >= {
        *("", "c", "shelf", "prep", "plan", "guidance", "kitchen", "more", "alerts"),
        *("labels", "recipes"),
    }
    harmless = 0
    for path, answer in pages.items():
        if "text/html" in answer.headers["content-type"]:
            page = read_page(answer.text)
            assert len(page.headings) == 1, path
            assert page.headings[0], path
            assert page.title, path
            assert page.unlabelled == [], path
            assert page.nameless == [], path
            assert page.forms_without_token == [], path
            assert page.inline == [], path
            assert len(set(page.ids)) == len(page.ids), path
            assert "<img src=x" not in answer.text, path
            harmless += "&lt;img src=x" in answer.text
            assert all(source.startswith("/") for source in page.sources), path
    # Names that mean harm are shown as text, and they are shown.
    assert harmless >= 5


NOT_THERE = {
    "/nowhere": 404,
    "/c/0000000": 404,
    "/c/<script>": 404,
    "/guidance/nothing": 404,
    "/guidance/compare?code=zzz": 404,
    "/prep/filled?act=none": 404,
    "/labels?code=zzz": 404,
    "/labels": 422,
    "/C/0000000/x": 422,
    "/labels/zzz.png": 404,
    "/plan/other": 404,
    "/plan/pull?on=yesterday": 422,
    "/plan/pull?on=1990-01-01": 422,
    "/prep?food=%00%01": 422,
    "/recipes/recipe": 422,
    "/recipes/recipe?name=none": 404,
    "/recipes/write?name=none": 404,
    "/recipes/sheet.pdf?name=none": 404,
    "/prep?food=" + "x" * 120: 200,
    "/prep?food=" + "x" * 5000: 422,
}


def test_what_is_not_there_says_so_on_a_page(client):
    for path, status in NOT_THERE.items():
        answer = client.get(path)
        page = read_page(answer.text)
        assert answer.status_code == status, path
        assert len(page.headings) == 1, path
        assert "<script>" not in answer.text, path


def test_a_kitchen_with_nothing_in_it_says_what_to_do(client):
    assert "Nothing to do" in client.get("/").text
    assert "/prep" in read_page(client.get("/shelf").text).links
    assert "No meal is planned" in client.get("/plan").text
    assert "No food is known here yet" in client.get("/prep").text
    assert "Nothing needs anybody now" in client.get("/alerts").text


def test_head_works_where_get_does(client):
    assert {client.head(path).status_code for path in STARTS} == {200}


@pytest.mark.parametrize(
    ("path", "above"), [("/prep/pack", "/prep"), ("/alerts", "/more"), ("/", "/")]
)
def test_the_bar_marks_where_a_page_belongs(client, path, above):
    marked = re.findall(r'<a href="([^"]*)" aria-current', client.get(path).text)

    assert marked == [above]


def test_the_card_of_an_empty_kitchen_leads_on(house, client):
    ways = {"/prep", "/prep/pack", "/prep/adopt"}
    first = read_page(client.get("/").text).links
    house.prep("stew")
    later = read_page(client.get("/").text).links

    assert ways <= set(first)
    assert not {"/prep/pack", "/prep/adopt"} & set(later)
