"""Recipes on the page: listed, at a size, written by hand, changed by two at once."""

import json
import re
from html import unescape
from pathlib import Path

import pytest
from tests.web.pages import hidden_fields, read_page

from lidclock.app.recipe_book import add_recipe, find_recipe, written

SAMPLE = Path(__file__).parents[2] / "sample_inventory" / "bun-dough.toml"
SALAD = """
name = "bean and barley salad"
makes = { count = 35, portion = "185 g" }
[[inputs]]
name = "white beans"
mass = "3 kg"
allergens = []
[[inputs]]
name = "barley"
mass = "2 kg"
allergens = ["barley"]
yield = 0.8
[[inputs]]
name = "dressing"
mass = "1475 g"
"""
DRESSING = """
name = "Dressing"
[[inputs]]
name = "oil"
mass = "3 kg"
allergens = []
[[inputs]]
name = "mustard paste"
mass = "200 g"
allergens = ["mustard"]
"""
ONE = "/recipes/recipe?name=bean and barley salad"
WRITE = "/recipes/write"
API = "/api/v1/recipes"


def words(page):
    return " ".join(unescape(re.sub(r"<[^>]*>", " ", page)).split())


@pytest.fixture
def caterer(house):
    """A salad by mass, its dressing by a recipe of its own, a dough in percent."""
    session = house.session()
    for text in (SALAD, DRESSING, SAMPLE.read_text("utf-8")):
        add_recipe(session, text, is_toml=True)
    return house


def recipe_of(house, name):
    kept = find_recipe(house.session(), name)
    return kept, written(kept.text, is_toml=kept.is_toml).recipe


@pytest.mark.usefixtures("caterer")
def test_recipes_are_found_from_prep_and_more(client):
    for path in ("/prep", "/more"):
        assert "/recipes" in read_page(client.get(path).text).links
    found = [x for x in read_page(client.get("/recipes").text).links if "name=" in x]

    assert found == [
        f"/recipes/recipe?name={name}"
        for name in ("bean%20and%20barley%20salad", "bun%20dough", "Dressing")
    ]
    assert client.get(found[0]).status_code == 200


@pytest.mark.usefixtures("caterer")
def test_the_recipe_for_35_is_scaled_to_117_larger_portions_and_mixed(phone):
    """Walk-through of a caterer, step 2 (`scen.cater.scale` of planning_checks): the
    factor (117 x 230) / (35 x 185) = 4.15598 in full, rounded for display alone.
    """
    phone.goto("/recipes")
    phone.get_by_role("link", name="bean and barley salad").click()
    phone.get_by_label("Portions").fill("117")
    phone.get_by_label("Grams in each").fill("230")
    phone.get_by_role("button", name="Work it out").first.click()
    phone.get_by_text("Mix 26910 g").wait_for()
    factor = 117 * 230 / (35 * 185)

    assert "4.15598 times what is written" in phone.inner_text("main")
    for name, given in [("white beans", 3000), ("barley", 2000), ("dressing", 1475)]:
        row = phone.locator("tr", has_text=name)
        shown = float(row.locator("td").last.inner_text().removesuffix(" g"))
        assert shown == round(given * factor, 1)
    # What is trimmed: 2000 x 4.15598 / 0.8.
    assert "to buy: 10390 g" in phone.locator("tr", has_text="barley").inner_text()
    phone.get_by_role("link", name="Mix it").click()
    phone.get_by_role("region", name="What to mix").wait_for()
    assert "Mix 26910 g" in phone.inner_text("main")
    assert phone.locator("#fill [name=count]").input_value() == "117"


@pytest.mark.usefixtures("caterer")
def test_so_many_times_is_worked_out_and_mixed_alike(client):
    """Two and a half times 6475 g; 87 whole portions of 35 x 2.5 = 87.5."""
    page = client.get(f"{ONE}&factor=2.5").text
    assert "Mix 16187.5 g" in words(page)
    assert "white beans Allergens: none 46.33 7500 g" in words(page)
    assert "To fill: 87 portions of 186.1 g" in words(page)

    (link,) = [x for x in read_page(page).links if x.startswith("/prep?")]
    assert "Mix 16187.2 g" in words(client.get(link).text), "87 x 186.06 g"


@pytest.mark.usefixtures("caterer")
def test_as_it_is_written_it_is_shown_without_a_question(client):
    page = words(client.get(ONE).text)
    assert "As it is written it makes: 35 portions of 185 g" in page
    assert "Mix 6475 g" in page
    assert "times what is written;" not in page

    dough = words(client.get("/recipes/recipe?name=bun dough").text)
    assert "In percent of wheat flour, for any amount" in dough
    assert "milk Allergens: milk 45 water" in dough


def test_allergens_come_from_the_tree(caterer, client):
    """Step 7: mustard is in the dressing, of which the salad's recipe says nothing."""
    page = words(client.get(ONE).text)
    assert "dressing Allergens: mustard" in page
    assert "Allergens: barley, mustard They are" in page
    mix = client.get("/prep?food=bean and barley salad").text
    assert 'value="barley, mustard"' in mix

    changed = DRESSING.replace('allergens = ["mustard"]', "")
    add_recipe(caterer.session(), changed, is_toml=True)
    page = words(client.get(ONE).text)
    assert "Allergens: barley; NOT RECORDED for dressing" in page
    found = client.get(f"{API}/bean and barley salad").json()
    assert (found["allergens"], found["known_allergens"]) == (None, ["barley"])


@pytest.mark.parametrize(
    ("asked", "told"),
    [
        ("count=many&mass=230", "Portions: give a number of 0 or more, not 'many'"),
        ("count=2&mass=heavy", "Each portion: 'heavy' is not an amount"),
        ("factor=0", "How many times: 0 is nothing"),
        ("count=2&factor=2", "How many times: say how many portions, or how many"),
        ("count=9000&mass=20 kg", "Portions: that mix weighs 180000 kg"),
    ],
)
@pytest.mark.usefixtures("caterer")
def test_a_size_that_cannot_be_is_told_beside_the_recipe(client, asked, told):
    answer = client.get(f"{ONE}&{asked}")

    assert told in words(answer.text)
    assert "white beans" in answer.text
    assert "Mix it" in answer.text


@pytest.mark.usefixtures("caterer")
def test_there_is_a_sheet_for_paper(client):
    page = client.get(f"{ONE}&count=117&mass=230").text
    (sheet,) = [x for x in read_page(page).links if "sheet.pdf" in x]
    answer = client.get(sheet)

    assert answer.headers["content-type"] == "application/pdf"
    assert answer.content.startswith(b"%PDF")
    pdf = pytest.importorskip("pypdfium2").PdfDocument(answer.content)
    text = pdf[0].get_textpage().get_text_bounded()
    assert "12468 g" in text
    assert "4.156 times the recipe as written" in text
    assert client.head(sheet).status_code == 200


@pytest.fixture
def plain_phone(browser, house):
    """A phone that runs no scripts."""
    context = browser.new_context(
        base_url=house.address,
        viewport={"width": 390, "height": 844},
        java_script_enabled=False,
    )
    yield context.new_page()
    context.close()


def test_a_recipe_is_written_on_a_phone(house, plain_phone):
    """Rows by hand, more rows by a button, a slip put right; then it is scaled."""
    phone = plain_phone
    phone.goto("/recipes")
    phone.get_by_role("link", name="Write a recipe").click()
    phone.get_by_label("Name: of the food that it makes").fill("lentil soup")

    def line(number):
        return phone.get_by_role("group", name=f"Ingredient {number}", exact=True)

    for number, (name, amount) in enumerate(
        [("lentils", "500"), ("celery", "a bit"), ("water", "1.5 kg")], start=1
    ):
        line(number).get_by_label("What", exact=True).fill(name)
        line(number).get_by_label("How much").fill(amount)
    line(2).get_by_label("Allergens").fill("celery")
    line(1).get_by_label("None are in it").check()
    phone.get_by_role("button", name="More ingredients").click()
    phone.wait_for_url("**/recipes/write")
    assert (
        line(4)
        .get_by_label("What", exact=True)
        .evaluate("one => one === document.activeElement")
    )
    line(7).get_by_label("What", exact=True).fill("salt")
    line(7).get_by_label("How much").fill("20")
    makes = phone.get_by_role("group", name="What it makes")
    makes.get_by_label("Portions").fill("6")
    makes.get_by_label("Grams in each").fill("330")
    phone.get_by_role("button", name="Save").click()

    told = phone.get_by_role("alert")
    told.wait_for()
    assert "1 thing to put right" in told.inner_text()
    told.get_by_role("link", name="Ingredient 2: celery").click()
    assert "'a bit' is not an amount" in line(2).inner_text()
    # The empty rows are gone; what was typed is there.
    assert line(4).get_by_label("What", exact=True).input_value() == "salt"
    line(2).get_by_label("How much").fill("1/2 lb")
    phone.get_by_role("button", name="Save").click()
    phone.get_by_text("Saved.").wait_for()

    assert "As it is written it makes: 6 portions of 330 g" in phone.inner_text("main")
    shown = phone.inner_text("main")
    assert "Allergens: celery; NOT RECORDED for water, salt" in shown
    assert "226.8 g" in shown, "half of 453.59237 g"
    _, recipe = recipe_of(house, "lentil soup")
    assert [one.allergens for one in recipe.inputs] == [(), ("celery",), None, None]


def changed(page, **fields):
    """The form as it was shown, and what somebody typed into it."""
    found = hidden_fields(page, WRITE, "Save")
    for tag in re.findall(r"<input [^>]*>", page[page.index(WRITE) :]):
        name, value = (re.search(rf'{x}="([^"]*)"', tag) for x in ("name", "value"))
        is_off = "checkbox" in tag and " checked" not in tag
        if name and value and not is_off:
            found[name[1]] = unescape(value[1])
    note = re.search(r"<textarea[^>]*>(.*?)</textarea>", page, re.S)
    return {**found, "note": unescape(note[1]), **fields}


def test_two_who_change_one_recipe_lose_nothing(caterer, client):
    """The second is told what the first did; saved again, both are versions."""
    page = client.get(f"{WRITE}?name=bun dough").text
    first, second = changed(page, amount_1="50 %"), changed(page, amount_7="1 %")
    assert client.post(WRITE, data=first).status_code == 200

    answer = client.post(WRITE, data={**second, "note": "slower"})
    assert answer.status_code == 409
    assert "milk, how much: it was 45 %, it is 50 % now" in words(answer.text)
    assert recipe_of(caterer, "bun dough")[0].version == 2
    again = changed(answer.text)
    assert (again["note"], again["amount_7"]) == ("slower", "1 %")
    # As it was typed, milk and all: whoever saves again has been told.
    assert client.post(WRITE, data=again).status_code == 200
    kept, recipe = recipe_of(caterer, "bun dough")
    assert (kept.version, recipe.inputs[1].parts, recipe.inputs[7].parts) == (3, 45, 1)


def test_the_same_once_more_is_no_version(caterer, client):
    page = client.get(f"{WRITE}?name=bun dough").text
    assert "The file of version 1 has remarks" in page
    answer = client.post(WRITE, data=changed(page))

    assert "there is no new version" in answer.text
    assert recipe_of(caterer, "bun dough")[0].version == 1


def test_a_name_that_is_taken_is_refused_and_what_was_typed_stays(caterer, client):
    page = client.get(WRITE).text
    typed = changed(page, name="DRESSING", name_0="vinegar", amount_0="1 kg")
    answer = client.post(WRITE, data=typed)

    assert answer.status_code == 409
    assert "There is a recipe" not in answer.text
    assert "there is a recipe 'DRESSING' already" in words(answer.text)
    assert 'value="vinegar"' in answer.text
    assert recipe_of(caterer, "Dressing")[0].version == 1


def test_every_fault_is_named_at_its_line(client):
    page = client.get(WRITE).text
    typed = changed(page, name_0="flour", amount_0="1 cup", none_0="yes")
    typed |= {"allergens_0": "wheat", "name_2": "milk", "amount_2": "40 %"}
    typed |= {"amount_3": "5 g", "count": "some", "portion": "300"}
    answer = client.post(WRITE, data=typed)

    assert answer.status_code == 422
    page = words(answer.text)
    assert "5 things to put right" in page
    for told in (
        "name: is missing; a recipe is kept and found by its name",
        "portions that it makes: give a number of 0 or more, not 'some'",
        "how much: '1 cup': 'cup' is not one of g, kg, lb, oz, ml, l",
        "allergens: name allergens, or say that there are none",
        "Ingredient 3",
        "name: is missing; give a name",
    ):
        assert told in page


def test_nothing_written_is_refused(client):
    answer = client.post(WRITE, data=changed(client.get(WRITE).text, name="soup"))

    assert "write down at least one ingredient" in answer.text
    assert "give a number" not in answer.text


def test_a_recipe_is_taken_off_the_list_and_put_back(caterer, client):
    page = client.get("/recipes/recipe?name=Dressing").text
    form = hidden_fields(page, "/recipes/remove")
    add_recipe(caterer.session(), DRESSING.replace("3 kg", "2 kg"), is_toml=True)
    stale = client.post("/recipes/remove", data=form)
    assert stale.status_code == 409
    assert "oil, how much: it was 3 kg, it is 2 kg now" in words(stale.text)

    form = hidden_fields(stale.text, "/recipes/remove")
    gone = client.post("/recipes/remove", data=form)
    assert "Dressing was taken off the list." in gone.text
    assert "Dressing" not in [x for x in read_page(gone.text).links if "recipe?" in x]
    (look,) = [x for x in read_page(gone.text).links if "version=" in x]
    (back,) = [x for x in read_page(client.get(look).text).links if "write?" in x]
    client.post(WRITE, data=changed(client.get(back).text))
    kept, recipe = recipe_of(caterer, "Dressing")
    assert (kept.version, recipe.inputs[0].parts) == (4, 2000)


def test_an_earlier_version_can_be_looked_at_and_gone_back_to(caterer, client):
    add_recipe(caterer.session(), DRESSING.replace("3 kg", "2 kg"), is_toml=True)
    page = client.get("/recipes/recipe?name=Dressing&version=1").text
    assert "This is an earlier version; version 2 is on the list." in page
    assert "Mix it" not in page
    (back,) = [x for x in read_page(page).links if "write?" in x]
    client.post(WRITE, data=changed(client.get(back).text))

    kept, recipe = recipe_of(caterer, "Dressing")
    assert (kept.version, recipe.inputs[0].parts) == (3, 3000)


def test_programs_write_change_and_take_off_recipes(client):
    inputs = [{"name": "beans", "mass": "1/3 lb", "yield": 0.9}]
    inputs.append({"name": "water", "mass": 0.1, "allergens": []})
    soup = {"name": "soup 1/2", "inputs": inputs}
    made = client.post(API, json={"recipe": soup})
    assert (made.status_code, made.json()["version"]) == (201, 1)
    assert client.post(API, json={"recipe": soup}).status_code == 409

    one = client.get(f"{API}/soup 1/2").json()
    assert one["recipe"]["inputs"][1]["mass"] == "0.1"
    assert (one["allergens"], one["latest"]) == (None, 1)
    # What was given can be sent back.
    change = {"was": 1, "recipe": {**one["recipe"], "note": "slow"}}
    assert client.put(f"{API}/soup 1/2", json=change).json()["version"] == 2
    assert client.put(f"{API}/soup 1/2", json=change).status_code == 409
    other = {"was": 2, "recipe": {**soup, "name": "stew"}}
    assert client.put(f"{API}/soup 1/2", json=other).status_code == 422
    mix = client.get(f"{API}/soup 1/2/mix", params={"factor": "3"}).json()
    assert mix["inputs"][0]["exact_g"] == "45359237/100000", "3 x 1/3 lb"

    assert client.delete(f"{API}/soup 1/2", params={"was": 1}).status_code == 409
    assert client.delete(f"{API}/soup 1/2", params={"was": 2}).status_code == 200
    assert client.get(API).json() == []
    old = client.get(f"{API}/soup 1/2", params={"version": 2}).json()
    assert (old["latest"], [x["version"] for x in old["versions"]]) == (None, [1, 2])


@pytest.mark.parametrize(
    "recipe",
    [
        {"name": "x", "inputs": []},
        {"name": "x", "inputs": [{"name": "a"}]},
        {"name": "x", "inputs": [{"name": "a", "mass": True}]},
        {"name": "x", "inputs": [{"name": "a", "mass": "1 cup"}]},
        {"name": "x", "inputs": [{"name": "a", "mass": "1 kg"}], "colour": "red"},
        {"name": "x", "note": "\ud800", "inputs": [{"name": "a", "mass": "1 kg"}]},
    ],
)
def test_what_is_no_recipe_is_refused(client, recipe):
    kind = {"content-type": "application/json"}
    said = json.dumps({"recipe": recipe})
    answer = client.post(API, content=said, headers=kind)

    assert answer.status_code == 422, answer.text
    assert client.get(API).json() == []
