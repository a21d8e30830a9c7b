"""The shelf: groups, search, and a kitchen with two thousand containers."""

import gzip
import re
import time

from tests.web.conftest import MORNING

from lidclock.app import moves, prep
from lidclock.domain.foods import Food

MOST_BYTES = 300_000


def test_unmarked_ones_come_first_and_missing_ones_last(house, client):
    (gone,) = house.prep("bean stew")
    house.prep("ragu", count=2)
    session = house.session()
    with session.write() as unit:
        moves.missing(unit, gone)
    with session.write() as unit:
        prep.prep(unit, prep.Order(Food("chili", "soup-stew", ()), made_at=MORNING))
    heads = re.findall(r"<h2>([^<]*)", client.get("/shelf").text)

    assert [head.split(":")[0].strip() for head in heads] == [
        *("Unmarked", "Fridge", "Missing")
    ]


def test_a_food_or_the_beginning_of_a_code_finds_it(house, client):
    (stew,) = house.prep("Bean Stew")
    (ragu,) = house.prep("ragu")

    def found(wanted):
        page = client.get("/shelf", params={"q": wanted}).text
        return re.findall(r'href="/c/(\w+)"', page)

    assert found("bean") == [stew]
    assert found(f"{ragu[:3]} {ragu[3:].lower()}") == [ragu]
    assert found("nothing like it") == []
    assert "Nothing here by that name" in client.get("/shelf?q=zzzz").text


def test_two_thousand_containers_are_small_and_quick(house, client):
    for number in range(20):
        house.prep(f"food {number}", count=100, days_ago=number % 4)
    client.get("/shelf")
    began = time.process_time()
    page = client.get("/shelf").text
    spent_s = time.process_time() - began

    assert page.count('href="/c/') == 2000
    # Few lids look different: each drawing is sent once.
    assert page.count("<symbol") <= 8
    assert len(gzip.compress(page.encode(), 6)) < MOST_BYTES
    assert client.get("/shelf").headers["content-encoding"] == "gzip"
    # Processor time of browser and server together; ten times what is seen.
    assert spent_s < 3
