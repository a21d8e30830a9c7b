"""The month on the page: sums that agree, causes, money, and a month to choose."""

import re
from datetime import UTC, datetime, timedelta

import pytest

from lidclock.app import moves, prep
from lidclock.domain.foods import Food

# Sat 31 Oct 2026, 17:10 in New York.
EVENING = datetime(2026, 10, 31, 21, 10, tzinfo=UTC)


def words(cell):
    return " ".join(re.sub("<[^>]*>", " ", cell).split())


def table(page, caption):
    """The cells of one table by the word that each row begins with."""
    found = re.search(rf"<caption>{caption}</caption>.*?</table>", page, re.S)
    rows = re.findall(r"<tr[^>]*>(.*?)</tr>", found[0], re.S)
    cells = [re.findall(r"<t[hd][^>]*>(.*?)</t[hd]>", row, re.S) for row in rows]
    plain = [
        [" ".join(re.sub("<[^>]*>", " ", x).split()) for x in row] for row in cells
    ]
    return {row[0]: row[1:] for row in plain}


@pytest.fixture
def november(house):
    """Six boxes of dough: three eaten, one frozen, one lost, one past its day."""
    house.now = EVENING
    session = house.session()
    with session.write() as unit:
        order = prep.Order(
            Food(
                "bun dough", "yeast-dough-raw", ("wheat",), house_days=6, portion_g=300
            ),
            6,
            total_g=1847,
            place=session.place("Fridge"),
        )
        codes = prep.prep(unit, order).codes
    house.now += timedelta(days=1)
    session = house.session()
    with session.write() as unit:
        moves.freeze(unit, codes[0])
        for code in codes[1:4]:
            moves.use(unit, code, anyway=True)
        moves.missing(unit, codes[4])
    house.now = EVENING + timedelta(days=6)
    session = house.session()
    with session.write() as unit:
        moves.discard(unit, codes[5], "")
    return house


@pytest.mark.usefixtures("november")
def test_what_was_made_is_what_became_of_it(client):
    """Walk-through of a home cook, steps 12 and 15."""
    page = client.get("/report").text
    came, went = (
        table(page, caption)
        for caption in ("What there was to account for", "What became of it")
    )

    assert came["made"] == ["1847 g", "6"]
    assert came["together"] == went["together"] == ["1847 g", "6"]
    assert went["eaten"] == ["924 g", "3"]
    assert went["wasted"] == ["307 g", "1"]
    assert went["missing"] == ["308 g", "1"]
    assert went["still there, frozen"] == ["308 g", "1"]
    assert went["still there, not frozen"] == ["0 g", "0"]
    assert table(page, "Wasted, by cause")["past its day"] == ["307 g", "1"]
    assert "Money is not known" in page


@pytest.mark.usefixtures("november")
def test_a_month_ends_with_its_last_day_and_the_next_begins_with_what_was_there(client):
    october = client.get("/report?month=2026-10").text
    assert "Thu 1 Oct 2026 to Sat 31 Oct 2026" in october
    assert table(october, "What became of it")["still there, not frozen"] == [
        *("1847 g", "6")
    ]
    assert 'href="/report?month=2026-09"' not in october
    assert 'href="/report?month=2026-11"' in october
    page = client.get("/report?month=2026-11").text

    assert "Sun 1 Nov 2026 to Fri 6 Nov 2026" in page
    came = table(page, "What there was to account for")
    assert came["there before"] == ["1847 g", "6"]
    assert came["made"] == ["0 g", "0"]
    assert "The month after" not in page
    assert 'href="/report?month=2026-10"' in page


def test_one_food_of_several_has_a_page_of_its_own(november, client):
    november.prep("stew")
    page = client.get("/report").text
    assert table(page, "By food")["stew"] == ["300 g", "", "", "300 g"]
    assert 'href="/report?food=stew"' in page
    page = client.get("/report?food=stew").text

    assert table(page, "What there was to account for")["together"] == ["300 g", "1"]
    assert "dough" not in page


@pytest.mark.usefixtures("november")
def test_the_weeks_are_drawn_as_one_picture_that_loads_nothing(client):
    page = client.get("/report").text
    source = re.search(r'src="(/report/weeks.svg[^"]*)"', page)[1]
    # What draws takes its time to load, the first time in a process.
    picture = client.get(source, timeout=60)

    assert picture.headers["content-type"] == "image/svg+xml"
    assert picture.text.rstrip().endswith("</svg>")
    assert "<script" not in picture.text
    assert client.head(source, timeout=60).status_code == 200
    # The table beside it has its figures.
    assert ["307 g", "24.9 %"] in table(page, "Wasted in each week").values()


@pytest.mark.parametrize(
    ("month", "says"),
    [("2027-01", "in the future"), ("soon", "not a month"), ("0001-01", "year")],
)
def test_a_month_that_cannot_be_is_refused(client, month, says):
    answer = client.get("/report", params={"month": month})

    assert answer.status_code == 422
    assert says in answer.text


def test_a_kitchen_with_nothing_in_it_has_an_empty_month(client):
    page = client.get("/report").text

    assert "Nothing was made, opened or there in this time." in page
    assert client.get("/report/weeks.svg", timeout=60).status_code == 200


@pytest.mark.usefixtures("november")
def test_programs_get_the_same_figures(client):
    told = client.get("/api/v1/report", params={"from": "2026-10-31"}).json()

    assert told["total"]["made"]["grams"] == 1847
    assert told["total"]["causes"]["past its day"]["grams"] == 307
    assert told["total"]["adds_up"] is True
    assert client.head("/api/v1/report").status_code == 200
    wrong = client.get("/api/v1/report", params={"from": "2027-01-01"})
    assert wrong.status_code == 422
