"""Days of a home cook in New York, tapped on a phone: what she does, what she sees.

Bun dough of Sat 31 Oct 2026 under a house rule of six days, pickled radish, the
freezer, and what came of each. Dates are real calendar days; clocks go back in the
night to Sun 1 Nov 2026 (IANA time zone database, America/New_York).
"""

from __future__ import annotations

from datetime import timedelta

from scipy.stats import poisson
from tests.web.days import at, codes_on, scan_all, seen, snapshot, words_of
from tests.web.scanning import choose, open_scan, scan, scan_again, settled

from lidclock.app import moves, prep
from lidclock.app.session import Fact
from lidclock.domain.foods import Food
from lidclock.domain.planning import FOOD_PLAN_SUBJECT, FoodPlan

DOUGH = Food("bun dough", "yeast-dough-raw", ("wheat", "milk"), house_days=6)


def stored_dough(house, count=6):
    """Boxes of dough that were put into the fridge a quarter of an hour ago."""
    session = house.session()
    made = house.now - timedelta(minutes=15)
    order = prep.Order(
        DOUGH, count, portion_g=308, made_at=made, place=session.place("Fridge")
    )
    with session.write() as unit:
        return prep.prep(unit, order).codes


def eaten_daily(house, days):
    """A record of one portion of dough every noon."""
    for day in range(days, 0, -1):
        session = house.session(house.now - timedelta(days=day))
        order = prep.Order(DOUGH, 1, portion_g=308, place=session.place("Fridge"))
        with session.write() as unit:
            (code,) = prep.prep(unit, order).codes
        with session.write() as unit:
            moves.use(unit, code, anyway=True)


def test_saturday_six_boxes_are_filled_taped_and_two_put_away(house, phone):
    at(house, phone, 10, 31, 17, 10)
    phone.goto("/prep")
    phone.get_by_label("Food", exact=True).fill("bun dough")
    phone.get_by_role("button", name="Next").click()
    phone.get_by_label("Raw yeast dough").check()
    phone.get_by_label("Allergens, with").fill("wheat, milk")
    phone.get_by_label("Containers", exact=True).fill("6")
    phone.get_by_label("Grams", exact=True).fill("1847")
    phone.get_by_label("in all").check()
    phone.get_by_label("not put away yet").check()
    phone.locator("main summary", has_text="More").click()
    phone.get_by_label("This kitchen's own count").fill("6")
    phone.get_by_role("button", name="Fill").click()
    phone.get_by_role("heading", name="6 containers filled").wait_for()
    assert "on the lids: best by Thu 5 Nov 2026 (house rule," in seen(phone)

    codes = codes_on(phone)
    sheet = phone.get_by_role("link", name="Open the labels").get_attribute("href")
    words = words_of(phone.request.get(sheet).body())
    for wanted in ("BEST BY", "Thu 5 Nov 2026", "house rule", "WHEAT", "MILK"):
        assert wanted in words
    for box in range(1, 7):
        assert f"box {box} of 6" in words
    grams = [snapshot(house, code).mass_g for code in codes]
    assert sorted(grams) == [307, 308, 308, 308, 308, 308]
    phone.get_by_role("button", name="They are on the lids").click()

    at(house, phone, 10, 31, 17, 25)
    scan_all(phone, "To Fridge", codes[:2])
    phone.goto("/shelf")
    assert "Unmarked: no place or no last day 4" in seen(phone)
    assert phone.get_by_role("heading", name="Fridge").inner_text().split()[-1] == "2"


def test_saturday_evening_one_tap_freezes_what_will_not_be_eaten(house, phone):
    """At one portion a day until the end of Thu 5 Nov: 126 h 20 min, and one hour more
    since clocks go back. The odds are those of a Poisson distribution by scipy.
    """
    odds = poisson.sf(4, (127 + 20 / 60) / 24)
    at(house, phone, 10, 31, 17, 40)
    eaten_daily(house, 28)
    codes = stored_dough(house)

    phone.goto("/")
    assert "Keep 4, freeze 2 tonight: bun dough box 5 and 6" in seen(phone)
    assert f"odds that portion 5 of 6 is eaten in time: {odds:.0%}" in seen(phone)
    phone.get_by_role("button", name="Yes").first.click()

    assert [snapshot(house, code).place for code in codes] == (
        ["Fridge"] * 4 + ["Freezer"] * 2
    )
    phone.goto(f"/c/{codes[5]}")
    assert "5 days left after thawing" in seen(phone)
    phone.get_by_role("link", name="Label", exact=True).click()
    sheet = phone.get_by_role("link", name="Open the labels").get_attribute("href")
    words = words_of(phone.request.get(sheet).body())
    assert "FROZEN" in words
    assert "1 of 6 days used" in words


def test_sunday_a_jar_is_opened_with_its_makers_date(house, phone):
    at(house, phone, 11, 1, 12)
    phone.goto("/prep/pack")
    phone.get_by_label("Food", exact=True).fill("pickled radish")
    phone.get_by_role("button", name="Next").click()
    phone.get_by_label("Opened pickles").check()
    phone.get_by_label("None are in it").check()
    phone.get_by_label("Use by date on the pack").fill("2026-11-04")
    phone.get_by_role("button", name="Fill").click()

    phone.get_by_role("heading", name="1 container filled").wait_for()
    # Opened pickles would last until Sat 7 Nov: the maker's date comes sooner.
    assert "use by Wed 4 Nov 2026" in seen(phone)


def test_monday_the_open_box_is_named_and_one_tap_overrides(house, phone):
    at(house, phone, 10, 31, 17, 30)
    codes = stored_dough(house)
    at(house, phone, 11, 1, 12)
    scan_all(phone, "Open", [codes[1]])
    at(house, phone, 11, 2, 18)

    open_scan(phone)
    choose(phone, "Use")
    scan(phone, codes[3])
    phone.locator("#lines").get_by_text("box 2, already open").wait_for()
    assert not snapshot(house, codes[3]).end_kind

    scan_again(phone, codes[3])
    settled(phone, 1)
    assert "box 4 of 6: used" in seen(phone)
    assert snapshot(house, codes[3]).end_kind == "used"


def test_tuesday_the_card_has_one_suggestion_and_no_wall_of_dates(house, phone):
    at(house, phone, 10, 31, 17, 30)
    house.prep("filling", "cooked-vegetables", days_ago=0)
    stored_dough(house, 2)
    at(house, phone, 11, 3, 7, 30)

    phone.goto("/")

    assert phone.locator("li.proposal").count() == 1
    assert "use up: filling" in seen(phone)


def test_thawed_a_fortnight_later_it_has_the_days_it_had_left(house, phone):
    at(house, phone, 10, 31, 17, 40)
    (code, *_) = stored_dough(house)
    phone.goto(f"/c/{code}")
    phone.get_by_role("button", name="Frozen").click()
    phone.get_by_text("Recorded: placed in Freezer").wait_for()
    at(house, phone, 11, 13, 8)

    phone.goto(f"/c/{code}")
    phone.get_by_role("button", name="Taken out to thaw").click()

    phone.get_by_text("Recorded: placed in Fridge").wait_for()
    assert "best by Tue 17 Nov 2026 (house rule, no authority)" in seen(phone)


def test_in_the_night_a_box_is_taken_out_and_clocks_go_back(house, phone):
    """Out at 23:30 for 8 hours: 06:30, since clocks go back at 02:00; told at 06:20."""
    at(house, phone, 10, 31, 17, 40)
    (code, *_) = stored_dough(house)
    session = house.session()
    with session.write() as unit:
        body = {"plan": FoodPlan(thaw_h=8).as_dict()}
        unit.record([Fact("noted", FOOD_PLAN_SUBJECT + "bun dough", body)])
        moves.freeze(unit, code)
    at(house, phone, 10, 31, 23, 30)
    phone.goto(f"/c/{code}")
    phone.get_by_role("button", name="Taken out to thaw").first.click()
    phone.get_by_text("Recorded: placed in Fridge").wait_for()
    assert "ready Sun 1 Nov 06:30" in seen(phone)

    at(house, phone, 11, 1, 6, 19)
    phone.goto("/alerts")
    assert "ready" not in seen(phone)
    at(house, phone, 11, 1, 6, 20)
    phone.goto("/alerts")
    assert "ready Sun 1 Nov 06:30" in seen(phone)
    phone.get_by_role("link", name="bun dough, box 1 of 6").click()
    phone.get_by_role("button", name="Used").first.click()
    phone.get_by_text("Recorded: used").wait_for()
    phone.goto("/alerts")
    assert "ready" not in seen(phone)
