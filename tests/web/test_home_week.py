"""The week after: a home cook's recipe, sauce, partner, warm fridge, waste and month.

More days of the cook in `test_home_day.py`. Expected figures are our own worked
examples, with their sums beside them; days are real calendar days (zoneinfo).

The recipe is put in by a function; test_recipes_page.py writes one.
"""

from pathlib import Path

import pytest
from tests.web.days import (
    add_person,
    at,
    become,
    fill_new,
    fold,
    last_moment,
    scan_all,
    seen,
    snapshot,
    sums,
    type_temp,
)
from tests.web.scanning import choose, open_scan, scan, scan_again, settled, until

from lidclock.app import prep
from lidclock.app.recipe_book import add_recipe
from lidclock.domain.foods import Food

RECIPE = Path(__file__).parents[2] / "sample_inventory" / "bun-dough.toml"
SEEN_ONE = "() => document.getElementById('seen').textContent.includes('1 of 2')"


@pytest.fixture
def recipe(house, phone):
    """Sat 31 Oct 2026, 17:10: the recipe for bun dough is kept."""
    at(house, phone, 10, 31, 17, 10)
    add_recipe(house.session(), RECIPE.read_text("utf-8"), is_toml=True)
    return "bun dough, version 1"


@pytest.fixture
def dough(house, phone, recipe):
    """Six boxes by it in the fridge, 1847 g in all; a quarter of an hour later."""
    session = house.session()
    food = Food("bun dough", "yeast-dough-raw", ("wheat", "milk"), house_days=6)
    fridge = session.place("Fridge")
    order = prep.Order(food, 6, total_g=1847, place=fridge, recipe=recipe)
    with session.write() as unit:
        codes = prep.prep(unit, order).codes
    at(house, phone, 10, 31, 17, 25)
    return codes


@pytest.mark.usefixtures("recipe")
def test_saturday_the_recipe_says_what_to_mix_and_one_box_is_weighed_anew(house, phone):
    """6 x 300 g / (1 - 0.025) = 1846.15, so 1847 g; 1847 x 100 / 169.5 = 1089.7 g of
    flour. Five boxes of 308 g and one of 307 g; box 4 at 305 g leaves 3 g.
    """
    phone.goto("/prep?food=bun dough&q=yeast")
    mix = phone.get_by_role("region", name="What to mix")
    mix.get_by_label("Containers").fill("6")
    mix.get_by_label("Grams in each").fill("300")
    mix.get_by_role("button", name="Work it out").click()
    phone.get_by_text("Mix 1847 g").wait_for()
    assert "wheat flour 100 1089.7 g" in seen(phone)
    assert "Into each: 5 × 308 g, 1 × 307 g" in seen(phone)
    # What was looked for and what was typed survives either form.
    assert phone.get_by_label("Everyday words").input_value() == "yeast"
    phone.get_by_label("Everyday words").fill("dough")
    phone.get_by_role("button", name="Find").click()
    phone.get_by_text("Mix 1847 g").wait_for()

    codes = fill_new(
        *(phone, "bun dough", "Raw yeast dough"),
        **{"grams": 1847, "count": 6, "days": 6, "allergens": "wheat, milk"},
    )
    assert [snapshot(house, code).mass_g for code in codes] == [308] * 5 + [307]
    phone.get_by_label("box 4 of 6, 308 g").fill("305")
    phone.get_by_role("button", name="Keep these masses").click()
    phone.get_by_text("Left over: 3 g of the batch are in no container.").wait_for()
    assert snapshot(house, codes[3]).mass_g == 305
    phone.goto("/shelf")
    assert "Unmarked: no place or no last day 6" in seen(phone)


def test_saturday_a_filling_lasts_no_longer_than_the_sauce_in_it(house, phone):
    """The sauce of Wed 28 Oct lasts 7 days, to Tue 3 Nov; the filling of Sat 31 Oct
    would last 5, to Wed 4 Nov: the sooner counts.
    """
    at(house, phone, 10, 28, 17)
    phone.goto("/prep?food=chilli sauce")
    (sauce,) = fill_new(
        *(phone, "chilli sauce", "Vinegar or chilli sauce"),
        **{"grams": 400, "days": 7, "place": "Fridge"},
    )
    at(house, phone, 10, 31, 17)
    phone.goto("/prep?food=mushroom filling&q=vegetables")
    fold(phone, "Made out of containers that are here")
    phone.get_by_label("Code on its lid").first.fill(sauce)
    phone.get_by_label("Grams of it").first.fill("120")
    (filling,) = fill_new(
        *(phone, "mushroom filling", "Cooked vegetables"),
        **{"grams": 900, "days": 5, "place": "Fridge"},
    )

    assert "Tue 3 Nov 2026" in seen(phone)
    assert "Because of chilli sauce, which is in it" in seen(phone)
    assert snapshot(house, sauce).mass_g == 280
    phone.goto(f"/c/{filling}")
    assert "Tue 3 Nov 2026" in seen(phone)
    assert "Wed 4 Nov 2026" not in seen(phone, ".container-head")


def test_monday_the_partner_says_who_he_is_and_takes_another_box(house, phone, dough):
    add_person(phone, "ilse", "7392")
    add_person(phone, "ben", "4826")
    at(house, phone, 11, 1, 12)
    become(phone, "ilse", "7392")
    scan_all(phone, "Open", [dough[1]])
    at(house, phone, 11, 2, 18)
    become(phone, "ben", "4826")

    open_scan(phone)
    choose(phone, "Use")
    scan(phone, dough[3])
    phone.locator("#lines").get_by_text("box 2, already open").wait_for()
    scan_again(phone, dough[3])
    settled(phone, 1)
    phone.goto(f"/c/{dough[3]}")
    assert "Used, Mon 2 Nov 2026 18:00" in seen(phone)
    assert "18:00 used by ben" in seen(phone, "ol.history")
    phone.goto(f"/c/{dough[1]}")
    assert "12:00 opened by ilse" in seen(phone, "ol.history")


def test_tuesday_a_warm_fridge_is_told_and_no_date_gets_later(house, phone, dough):
    at(house, phone, 11, 1, 12)
    phone.goto("/prep?food=radish soup")
    (soup,) = fill_new(phone, "radish soup", "Soup or stew", grams=600, place="Fridge")
    before = {code: last_moment(phone, code) for code in (*dough, soup)}
    at(house, phone, 11, 3, 19)
    type_temp(phone, "Fridge", "9")
    assert "Door? Power? Move the food to a colder place?" in seen(phone)
    at(house, phone, 11, 3, 20)
    type_temp(phone, "Fridge", "9")

    assert "Above its limit of 4.4 °C for 1 h, since Tue 3 Nov 2026 19:00" in (
        seen(phone)
    )
    assert "Inside 7" in seen(phone)
    for code in (*dough, soup):
        assert phone.locator(f'a[href="/c/{code}"]').count() == 1
        assert last_moment(phone, code) <= before[code]
    # What the set gives two hours has one left.
    assert last_moment(phone, soup).startswith("2026-11-03T21:00:00")
    phone.get_by_role("button", name="The door stood open").click()
    phone.get_by_text("20:00 the door stood open").wait_for()
    phone.goto("/alerts")
    assert "Fridge" in seen(phone)
    at(house, phone, 11, 3, 20, 10)
    type_temp(phone, "Fridge", "3")
    after = {code: last_moment(phone, code) for code in (*dough, soup)}
    assert all(after[code] <= before[code] for code in before)


def test_friday_what_is_past_leaves_as_waste_or_as_eaten_before(house, phone, dough):
    """The last day of the six was Thu 5 Nov; 307 g is what the last box holds."""
    scan_all(phone, "Use", dough[:2])
    at(house, phone, 11, 6, 8)
    phone.goto(f"/c/{dough[5]}")
    assert "Over: best by was Thu 5 Nov 2026" in seen(phone, ".container-head")
    buttons = phone.locator("section.deeds button").all()
    assert {one.get_attribute("value") for one in buttons} == {
        *("past its day", "made too much", "smell", "cold failure", "accident"),
        *("use", "freeze", None),
    }
    phone.get_by_role("button", name="past its day").click()
    phone.get_by_text("Recorded: discarded").wait_for()

    phone.goto(f"/c/{dough[4]}")
    fold(phone, "It had been used or frozen before that")
    phone.get_by_label("When?").fill("2026-11-05T19:00")
    phone.get_by_role("button", name="Used", exact=True).click()
    phone.get_by_text("Recorded: used").wait_for()
    assert "Thu 5 Nov 19:00 used [recorded Fri 6 Nov 08:00]" in seen(phone)

    phone.goto("/report")
    assert sums(phone, "What became of it")["wasted"][:2] == ["307 g", "1"]
    assert sums(phone, "Wasted, by cause")["past its day"][:2] == ["307 g", "1"]
    assert "in time, but written down late: 1" in seen(phone)


def test_recount_of_the_freezer_misses_one_box_which_was_lost(house, phone, dough):
    """Of boxes 1 and 5, 308 g each, one is not there."""
    for code in (dough[0], dough[4]):
        phone.goto(f"/c/{code}")
        phone.get_by_role("button", name="Frozen").first.click()
        phone.get_by_text("Recorded: placed in Freezer").wait_for()
    at(house, phone, 11, 14, 9)
    phone.goto("/stock-take?place=Freezer")
    phone.wait_for_selector("html[data-ready] form#count")
    scan(phone, dough[0])
    until(phone, SEEN_ONE)
    phone.get_by_role("link", name="That is all: what is missing?").click()

    phone.get_by_role("button", name="Record the count").wait_for()
    assert "1 missing: box 5, 308 g" in seen(phone)
    assert phone.locator("fieldset.became").count() == 1
    phone.locator("fieldset.became").get_by_text("Lost", exact=True).click()
    phone.get_by_role("button", name="Record the count").click()
    phone.get_by_text("Recorded: the place was counted.").wait_for()
    assert snapshot(house, dough[4]).end_kind == "missing"
    assert not snapshot(house, dough[0]).end_kind


def grams(cell):
    return int(cell.removesuffix(" g"))


def test_the_month_adds_up_to_what_was_made_in_grams_and_money(house, phone, dough):
    """Boxes of 308 g (the last 307 g): two eaten, one frozen, one past its day, two
    missing. By the recipe's prices 169.5 g of mix cost 0.11 for 100 g of flour, 0.0524
    for 45 g of milk (1.20 a litre of 1030 g), 0.0104 for sugar, 0.0144 for oil, 0.009
    for yeast, 0.008 for baking powder, 0.0004 for salt; of 100 g mixed 97.5 g are
    filled. A box is worth that in whole cents.
    """
    at(house, phone, 11, 1, 12)
    scan_all(phone, "Freeze", dough[:1])
    scan_all(phone, "Use", [*dough[1:3]])
    for code in dough[3:5]:
        phone.goto(f"/c/{code}")
        fold(phone, "Not there")
        phone.get_by_role("button", name="Looked for, not seen").click()
        phone.get_by_text("Recorded:").wait_for()
    at(house, phone, 11, 6, 8)
    scan_all(phone, "Discard", dough[5:])
    phone.goto("/report")

    came = sums(phone, "What there was to account for")
    went = sums(phone, "What became of it")
    mix = 0.11 + 0.045 * 1.2 / 1.03 + 0.0104 + 0.0144 + 0.009 + 0.008 + 0.0004
    box = round(mix / 169.5 / 0.975 * 308, 2)
    assert came["made"] == ["1847 g", "6", f"{6 * box:.2f}"]
    assert went["eaten"][:2] == ["616 g", "2"]
    assert went["still there, frozen"][:2] == ["308 g", "1"]
    assert went["missing"][:2] == ["616 g", "2"]
    assert went["wasted"][:2] == ["307 g", "1"]
    assert came["together"] == came["made"]
    together = went.pop("together")
    assert together == came["together"]
    assert sum(grams(row[0]) for row in went.values()) == grams(together[0])
    assert round(sum(float(row[2]) for row in went.values()), 2) == float(together[2])
    for month in ("2026-10", "2026-11"):
        phone.goto(f"/report?month={month}")
        ends = (
            sums(phone, one)["together"]
            for one in ("What there was to account for", "What became of it")
        )
        assert len(set(map(tuple, ends))) == 1
