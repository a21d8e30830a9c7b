"""Meals put down, skipped and taken off; what is short; lists for paper."""

from tests.web.pages import hidden_fields


def add(client, **fields):
    form = hidden_fields(client.get("/plan").text, "/plan/meals")
    return client.post("/plan/meals", data={**form, **fields})


def test_a_meal_says_what_is_short_and_can_be_undone(house, client):
    house.prep("bean stew", count=2)
    page = add(client, at="2026-11-05T18:30", food0="bean stew", portions0="5").text

    assert "Thu 5 Nov 18:30" in page
    assert "short: 3 of 5 portions of bean stew" in page
    undo = hidden_fields(page, "/undo")
    assert "No meal is planned" in client.post("/undo", data=undo).text


def test_a_meal_that_is_sent_twice_is_one(house, client):
    house.prep("bean stew", count=2)
    form = hidden_fields(client.get("/plan").text, "/plan/meals")
    sent = {**form, "at": "2026-11-05T18:30", "food0": "bean stew", "portions0": "2"}
    for _ in range(2):
        page = client.post("/plan/meals", data=sent).text

    assert page.count("Thu 5 Nov 18:30") == 1


def test_a_meal_of_every_week_is_left_out_on_one_day_and_taken_off(house, client):
    house.prep("bean stew", count=2)
    page = add(
        client, at="2026-11-05T18:30", food0="bean stew", eaters="2", every="week"
    ).text
    assert "every week on Thu" in page
    form = hidden_fields(page, "/plan/leave-out", "Not on this day")
    page = client.post("/plan/leave-out", data={**form, "day": "2026-11-05"}).text
    assert "Thu 5 Nov 18:30" not in page
    page = add(client, at="2026-11-06T18:30", food0="bean stew").text
    form = hidden_fields(page, "/plan/leave-out")
    page = client.post("/plan/leave-out", data=form).text
    assert "Fri 6 Nov 18:30" not in page


def test_a_meal_in_the_past_is_refused_in_words(house, client):
    house.prep("bean stew")
    answer = add(client, at="2026-11-01T18:30", food0="bean stew")

    assert answer.status_code == 422
    assert "is over" in answer.text


def test_the_lists_open_as_pages_and_for_paper(house, client):
    house.prep("bean stew", count=2, days_ago=3)
    assert "Last day" in client.get("/plan/pull").text
    assert "bean stew, box 1 of 2" in client.get("/plan/pull").text
    for name in ("pull", "prep"):
        pdf = client.get(f"/plan/{name}.pdf?on=2026-11-04")
        assert pdf.headers["content-type"] == "application/pdf"
        assert pdf.content.startswith(b"%PDF-")
