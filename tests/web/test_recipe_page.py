"""A batch by its recipe: what to mix, what the scale says, and what went into it."""

import re
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from tests.web.pages import hidden_fields, read_page
from tests.web.scanning import scan, until

from lidclock.app import prep
from lidclock.app.recipe_book import add_recipe
from lidclock.domain.foods import Food

RECIPE = Path(__file__).parents[2] / "sample_inventory" / "bun-dough.toml"
# Sat 31 Oct 2026, 17:10 in New York.
EVENING = datetime(2026, 10, 31, 21, 10, tzinfo=UTC)
BASE = {"count": "1", "mass": "500", "of": "each", "place": "Fridge", "is_new": "yes"}


def words(page):
    return " ".join(re.sub(r"<[^>]*>", " ", page).split())


@pytest.fixture
def baker(house):
    """Saturday evening; the recipe for bun dough is kept."""
    house.now = EVENING
    add_recipe(house.session(), RECIPE.read_text("utf-8"), is_toml=True)
    return house


def live(house, food):
    with house.session().read() as unit:
        found = unit.snapshots.find(food=food)
        views = [unit.view(one.code) for one in found]
    return sorted(views, key=lambda view: view.container.index or 0)


def made_dough(client):
    page = client.get("/prep?food=bun dough&q=dough&count=6&mass=300").text
    form = hidden_fields(page, "/prep", 'name="once"')
    sent = {"category": "yeast-dough-raw", "allergens": "wheat, milk", "days": "6"}
    sent |= {"count": "6", "mass": "1847", "of": "total", "place": "Fridge"}
    return client.post("/prep", data={**form, **sent})


@pytest.mark.usefixtures("baker")
def test_what_to_mix_for_six_boxes_of_300_grams(client):
    """Walk-through of a home cook, step 1 (`scen.home.batch` of planning_checks)."""
    page = client.get("/prep?food=bun dough&count=6&mass=300").text

    assert "Mix 1847 g" in words(page)
    assert "wheat flour 100 1089.7 g" in words(page)
    assert "salt 0.5 5.45 g" in words(page)
    assert "by the recipe bun dough, version 1" in page
    # What was asked is filled in below, with the allergens of the recipe.
    assert 'name="loss" inputmode="decimal" size="5" value="2.5"' in page
    assert 'value="wheat, milk"' in page


@pytest.mark.usefixtures("baker")
def test_masses_keep_their_order_where_text_runs_from_right_to_left(client):
    """U+2066 and U+2069 isolate: else Arabic would show `lb 1.7 oz 27` (UAX #9)."""
    path = "/prep?food=bun dough&count=6&mass=300"
    page = client.get(path, headers={"accept-language": "ar"}).text

    for mass in ("1847 g", "1089.7 g", "5 × 308 g"):
        assert f"\u2066{mass}\u2069" in page


@pytest.mark.usefixtures("baker")
def test_another_loss_changes_the_mix_and_nonsense_is_told(client):
    page = client.get("/prep?food=bun dough&count=6&mass=300&loss=10").text
    assert "Mix 2000 g" in words(page)
    page = client.get("/prep?food=bun dough&count=6&mass=300&loss=heavy").text

    assert "loss: give a number" in words(page)
    assert "Mix " not in words(page).replace("What to mix", "")


def test_the_scale_is_divided_and_a_single_box_kept_as_it_was_weighed(baker, client):
    """Walk-through of a home cook, step 2."""
    filled = made_dough(client)
    boxes = live(baker, "bun dough")
    grams = [view.container.mass_g for view in boxes]
    assert grams == [308, 308, 308, 308, 308, 307]
    batch = boxes[0].inventory.batches[boxes[0].container.batch]
    assert batch.recipe == "bun dough, version 1"

    form = hidden_fields(filled.text, "/prep/weighed")
    said = {**form, "total": "", f"mass_{boxes[3].code}": "305"}
    page = client.post("/prep/weighed", data=said).text
    assert "Left over: 3 g of the batch are in no container." in page
    assert live(baker, "bun dough")[3].container.mass_g == 305

    client.post("/undo", data=hidden_fields(page, "/undo", "/prep/filled"))
    assert live(baker, "bun dough")[3].container.mass_g == 308


def test_a_total_is_divided_again_and_what_cannot_be_is_refused(baker, client):
    filled = made_dough(client)
    form = hidden_fields(filled.text, "/prep/weighed")
    box_4 = live(baker, "bun dough")[3].code
    client.post("/prep/weighed", data={**form, "total": "1840", f"mass_{box_4}": "300"})
    masses = [view.container.mass_g for view in live(baker, "bun dough")]
    assert masses == [307, 307, 307, 300, 306, 306]
    assert "Left over: 7 g" in client.get(f"/prep/filled?act={form['act']}").text

    page = client.post("/prep/weighed", data={**form, "total": "heavy"})
    assert page.status_code == 422
    empty = client.post("/prep/weighed", data={**form, "total": ""})
    assert "say what the scale shows" in empty.text


@pytest.fixture
def sauce(baker):
    """Chilli sauce of Wed 28 Oct, good for seven days by the house's own rule."""
    baker.now = EVENING - timedelta(days=3)
    session = baker.session()
    food = Food("chilli sauce", "vinegar-sauce", (), house_days=7)
    with session.write() as unit:
        order = prep.Order(food, portion_g=400, place=session.place("Fridge"))
        (code,) = prep.prep(unit, order).codes
    baker.now = EVENING
    return code


def make_filling(client, **more):
    page = client.get("/prep?food=mushroom filling&q=vegetables").text
    form = hidden_fields(page, "/prep", 'name="once"')
    sent = {"category": "cooked-vegetables", "none": "yes", "days": "5"}
    return client.post("/prep", data={**BASE, **form, **sent, **more})


def test_the_last_day_names_the_part_that_binds(baker, client, sauce):
    """Walk-through of a home cook, step 5: `scen.home.filling`."""
    page = make_filling(client, input=[sauce, ""], input_mass=["120", ""])

    assert "Tue 3 Nov 2026" in page.text
    assert "because of chilli sauce, which is in it" in words(page.text)
    assert live(baker, "chilli sauce")[0].container.mass_g == 280


def test_what_went_in_past_its_day_is_asked_for_once_more(baker, client, sauce):
    baker.now += timedelta(days=9)
    odd = make_filling(client, input=[sauce], input_mass=[""])
    assert "Is that so?" in odd.text
    # Without a time there is nothing to check; as it is needs none.
    assert re.search(r'<input type="datetime-local"[^>]* required>', odd.text)
    assert 'name="anyway" value="yes" formnovalidate' in odd.text
    assert live(baker, "mushroom filling") == []
    kept = hidden_fields(odd.text, "/prep")
    again = client.post("/prep", data={**kept, "anyway": "yes"})

    assert again.status_code == 200
    (made,) = live(baker, "mushroom filling")
    assert made.container.components == (sauce,)


def test_a_lid_that_is_scanned_on_the_form_went_into_the_batch(baker, phone, sauce):
    phone.goto("/prep?food=bun dough&q=dough")
    phone.wait_for_selector("html[data-ready] #inputs", state="attached")
    scan(phone, f"HTTP://LIDCLOCK.LOCAL/C/{sauce}")
    until(phone, "() => document.getElementById('heard').textContent")

    assert phone.locator("[name=input]").first.input_value() == sauce
    assert "chilli sauce" in phone.inner_text("#heard")
    assert phone.url.endswith("dough")
    # The same lid once more is the same lid.
    phone.evaluate("() => { document.getElementById('heard').textContent = ''; }")
    scan(phone, sauce)
    until(phone, "() => document.getElementById('heard').textContent")
    assert phone.locator("[name=input]").nth(1).input_value() == ""
    assert len(live(baker, "chilli sauce")) == 1


def test_programs_ask_what_to_mix_fill_and_weigh(baker, client, sauce):
    asked = {"count": 6, "portion": "300g"}
    mix = client.get("/api/v1/recipes/bun dough/mix", params=asked).json()
    assert (mix["mix_g"], mix["inputs"][0]["shown"]) == ("1847", "1089.7 g")
    (listed,) = client.get("/api/v1/recipes").json()
    assert (listed["name"], listed["version"]) == ("bun dough", 1)

    new = {"category": "cooked-vegetables", "allergens": [], "house_days": 5}
    order = {"food": "filling", "new": new, "count": 2, "total_g": 501}
    order |= {"place": "Fridge", "inputs": [{"code": sauce, "mass_g": 120}]}
    filled = client.post("/api/v1/prep", json=order).json()
    assert [one["mass_g"] for one in filled["containers"]] == [251, 250]
    assert filled["containers"][0]["last_day"] == "2026-11-03"

    path = f"/api/v1/prep/{filled['act']}"
    first = filled["containers"][0]["code"]
    weighed = client.post(f"{path}/weighed", json={"each_g": {first: 240}}).json()
    assert weighed["left_over_g"] == 11
    assert weighed["containers"][0]["mass_g"] == 240
    # The same form once more fills nothing.
    order |= {"once": filled["act"]}
    assert client.post("/api/v1/prep", json=order).json()["act"] == filled["act"]
    assert len(live(baker, "filling")) == 2


@pytest.mark.parametrize(
    ("method", "path", "sent", "status"),
    [
        ("GET", "/recipes/pie/mix?count=1", None, 404),
        ("GET", "/recipes/bun dough/mix?count=many", None, 422),
        ("POST", "/prep", {"food": "pie"}, 404),
        ("POST", "/prep", {"food": "pie", "count": "many"}, 422),
        ("POST", "/prep/none/weighed", {"total_g": 10}, 404),
    ],
)
@pytest.mark.usefixtures("baker")
def test_what_cannot_be_asked_is_refused(client, method, path, sent, status):
    answer = client.request(method, f"/api/v1{path}", json=sent)

    assert answer.status_code == status, answer.text


def test_programs_say_when_a_batch_was_put_away(baker, client):
    new = {"category": "soup-stew", "allergens": []}
    order = {"food": "soup", "new": new, "place": "Fridge", "at": "2026-10-30T12:00"}
    put = {**order, "placed_at": "2026-10-30T12:30"}
    filled = client.post("/api/v1/prep", json=put)
    assert filled.status_code == 200, filled.text
    session = baker.session()
    with session.read() as unit:
        (soup,) = [x for x in unit.snapshots.find() if x.food == "soup"]
        stays = unit.view(soup.code).verdict.history.stays
    assert stays[1].began == datetime(2026, 10, 30, 16, 30, tzinfo=UTC)

    for wrong in ({**put, "placed_at": "2026-10-30T11:30"}, {**put, "place": ""}):
        assert client.post("/api/v1/prep", json=wrong).status_code == 422


SOUP = """
name = "red bean soup"
makes = {count = 8}
inputs = [
  {name = "red beans", mass = "750 g", allergens = []},
  {name = "water", mass = "1800 g", allergens = []},
]
"""


def test_what_is_filled_and_what_is_mixed_agree_or_it_is_said(house, client):
    """2550 g are eight portions, so four are 1275 g; the last ones held 300 g each."""
    add_recipe(house.session(), SOUP, is_toml=True)
    house.prep("red bean soup", count=4)
    page = words(client.get("/prep?food=red bean soup").text)
    said = "4 × 300 g are 1200 g, but 1275 g are mixed"
    assert "Mix 1275 g" in page
    assert said in page
    assert page.index(said) < page.index("Where is it now?")
    for alike in ("318.75", "318.8"):
        page = words(client.get(f"/prep?food=red bean soup&mass={alike}").text)
        assert "Mix 1275 g" in page
        assert "are mixed" not in page, alike


def test_what_was_asked_of_a_recipe_is_asked_again_on_mixing(house, client):
    """Also where the recipe could not be worked out, as with grams it knows not."""
    add_recipe(house.session(), SOUP, is_toml=True)
    for asked in ("count=12", "count=12&mass=350"):
        page = client.get(f"/recipes/recipe?name=red bean soup&{asked}").text
        (link,) = [x for x in read_page(page).links if x.startswith("/prep?")]
        mix = client.get(link).text
        assert "Mix 3825 g" in words(mix), asked
        assert re.search(r'name="count"[^>]*value="12"', mix), asked
    assert "12 × 350 g are 4200 g, but 3825 g are mixed" in words(mix)
