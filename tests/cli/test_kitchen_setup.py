"""`init`, `food`, `place`: setting a kitchen up, and what is refused."""

import json

import pytest

STEW = ("food", "add", "stew", "--category", "soup-stew")


def test_init_says_where_the_kitchen_lies_and_what_comes_next(newcomer):
    seen = newcomer.see("init", "--yes", "--zone", "Europe/Berlin", "--name", "Ilse")

    assert f"kitchen 'Ilse' is ready in {newcomer.database}" in seen
    assert "zone: Europe/Berlin" in seen
    assert "next: `lidclock guidance categories`" in seen


def test_init_asks_with_defaults(newcomer):
    answers = "Ilse\nEurope/Berlin\n\n\n\n"

    seen = newcomer.see("init", given=answers)

    assert "Guidance set [us-home]" in seen
    assert "zone: Europe/Berlin" in seen


def test_init_that_is_not_answered_makes_no_kitchen(newcomer):
    result = newcomer.run("init", given="Ilse\n", code=130)

    assert result.stderr.splitlines()[-1] == "stopped"
    assert not newcomer.database.exists()


def test_init_finds_the_zone_of_the_system(newcomer, monkeypatch):
    monkeypatch.setenv("TZ", "Asia/Tokyo")

    assert "zone: Asia/Tokyo (from TZ)" in newcomer.see("init", "--yes")


def test_places_replace_the_defaults(newcomer):
    newcomer.run("init", "--yes", "--place", "Cold room: fridge", "--place", "Box:hot")

    assert newcomer.data("place", "list") == [
        {"name": "Cold room", "state": "fridge"},
        {"name": "Box", "state": "hot"},
    ]


@pytest.mark.parametrize(
    ("options", "code"),
    [
        (("--zone", "Mars/Base"), 2),
        (("--guidance", "moon"), 11),
        (("--stock", "moon"), 17),
        (("--place", "Fridge"), 2),
        (("--place", "Fridge:warm"), 2),
        (("--place", "A:fridge", "--place", "a:freezer"), 2),
        (("--symbol-base", "lidclock"), 2),
        (("--lead", "0"), 2),
        (("--day-start", "24"), 2),
        (("--units", "stone"), 2),
    ],
)
def test_a_bad_kitchen_is_refused_and_none_is_made(newcomer, options, code):
    refused = newcomer.fail(code, "init", "--yes", *options)

    assert refused.startswith("Error: ")
    assert not newcomer.database.exists()


# What a QR symbol holds in its alphanumeric mode: 0-9 A-Z blank $ % * + - . / :
# (ISO/IEC 18004:2015, table 5). The blank has no place in an address.
@pytest.mark.parametrize(
    "base",
    [
        *("", " ", "lidclock", "ftp://lid", "http://", "http:///c", "https://:80"),
        *("http://.", "http://-", "http://a..b", "http://-a.b", "http://a-"),
        *("http://a:", "http://a:0", "http://a:65536", "http://a:99999"),
        *("http://a b", "http://a\nb", "http://a/?q=1", "http://a/#top", "http://a_b"),
        *("http://me@a", "http://a/b_c", "http://a/~b", "http://[::1]"),
        # These have other letters as capitals: another address, silently.
        *("http://stra\u00dfe.example", "http://a/\u0131", "http://a/\ufb01"),
    ],
)
def test_an_address_that_no_code_can_follow_is_refused(newcomer, base):
    refused = newcomer.fail(2, "init", "--yes", "--zone", "UTC", "--symbol-base", base)

    assert "cannot go before the codes" in refused
    assert not newcomer.database.exists()


@pytest.mark.parametrize(
    ("given", "kept"),
    [
        ("http://lidclock.local", "HTTP://LIDCLOCK.LOCAL"),
        ("https://192.0.2.7:8000/", "HTTPS://192.0.2.7:8000"),
        ("HTTP://a-b.example:65535", "HTTP://A-B.EXAMPLE:65535"),
        (" http://a/k$%20*+-.:/b// ", "HTTP://A/K$%20*+-.:/B"),
    ],
)
def test_the_address_of_the_codes_is_kept_in_capitals(newcomer, given, kept):
    newcomer.run("init", "--yes", "--zone", "UTC", "--symbol-base", given)
    head = newcomer.see("export").splitlines()[0]

    assert json.loads(head)["kitchen"]["symbol_base"] == kept


def test_a_second_kitchen_in_the_same_file_is_refused(cook):
    assert "already holds the kitchen" in cook.fail(13, "init", "--yes")


def test_adding_a_food_says_what_guidance_gives(cook):
    seen = cook.see(*STEW, "--no-allergens")

    assert "us-home: 3 to 4 days from making (FoodSafety.gov, " in seen


def test_without_a_figure_common_practice_is_offered_as_such(cook):
    seen = cook.see("food", "add", "dough", "--category", "yeast-dough-raw")

    assert (
        "us-home gives no figure for yeast-dough-raw; common practice, no source: "
        "up to a week; accept it with --days 7" in seen
    )


def test_a_house_rule_is_called_one(cook):
    dough = ("food", "add", "dough", "--category", "yeast-dough-raw")

    assert "house rule: 6 days from making; no authority" in cook.see(
        *dough, "--days", "6"
    )


def test_allergens_that_were_not_given_are_asked_for(cook):
    assert "allergens: not recorded" in cook.see(*STEW)


def test_foods_are_listed(cook):
    cook.run(*STEW, "--allergens", "Celery, celery , milk", "--days", "2")
    food = cook.data("food", "list")[0]

    assert food["allergens"] == ["celery", "milk"]
    assert "own count 2 days" in cook.see("food", "list")


def test_categories_are_listed_with_their_words(newcomer):
    seen = newcomer.see("food", "categories")

    assert "soup-stew" in seen
    assert "Raw yeast dough" in seen


@pytest.mark.parametrize(
    ("args", "code"),
    [
        (("food", "add", "stew"), 2),
        (("food", "add", " ", "--category", "soup-stew"), 2),
        (("food", "add", "a\tb\x07", "--category", "soup-stew"), 2),
        (("food", "add", "stew", "--category", "moon"), 11),
        ((*STEW, "--days", "367"), 2),
        ((*STEW, "--aw", "1.1"), 2),
        (("place", "add", "Fridge", "--state", "fridge"), 13),
        (("place", "add", "Box", "--state", "warm"), 2),
        (("place", "add", " ", "--state", "hot"), 2),
    ],
)
def test_bad_foods_and_places_are_refused(cook, args, code):
    before = cook.event_count()
    cook.fail(code, *args)

    assert cook.event_count() == before


def test_a_place_can_be_added_and_used(cook):
    cook.run("place", "add", "Cellar", "--state", "fridge")

    seen = cook.see(
        *("prep", "stew", "--category", "soup-stew", "--place", "cellar"), "--no-labels"
    )

    assert "Cellar" in seen


def test_food_options_on_the_spot_change_a_known_food(cook):
    cook.run(*STEW, "--no-allergens")
    cook.run("prep", "Stew", "--days", "2", "--no-labels")
    food = cook.data("food", "list")[0]

    assert (food["name"], food["house_days"], food["allergens"]) == ("stew", 2, [])
