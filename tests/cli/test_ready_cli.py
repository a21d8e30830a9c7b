"""`lidclock ready`: the public what-if, its answers and its refusals."""

from __future__ import annotations

import json

import pytest

from lidclock.heat.load import load_foods

QUESTION = {
    "food": "chili-beans",
    "shape": "brick",
    "size_mm": [50, 140, 140],
    "start_c": 5,
    "medium_c": -18,
    "h_w_m2k": None,
    "until": {"where": "centre", "temp_c": -15},
}
STEW = {
    "water": 0.81,
    "protein": 0.04,
    "fat": 0.06,
    "carbohydrate": 0.07,
    "fibre": 0.01,
    "ash": 0.01,
    "freezing_c": -1.0,
}


def with_(**changes):
    """The question with some keys changed; those set to `...` are left out."""
    changed = {**QUESTION, **changes}
    return {key: value for key, value in changed.items() if value is not ...}


def until(temp_c, where="centre"):
    return {"where": where, "temp_c": temp_c}


@pytest.fixture
def ask(newcomer):
    """The answer to a question, put on standard input."""

    def answer(question):
        return json.loads(newcomer.see("ready", "-", given=json.dumps(question)))

    return answer


@pytest.fixture
def refuse(newcomer):
    """The one line that a malformed question leaves."""

    def line(question):
        text = question if isinstance(question, str) else json.dumps(question)
        return newcomer.fail(2, "ready", "-", given=text)

    return line


def test_the_answer_has_what_was_promised(ask):
    answer = ask(QUESTION)
    hours = answer["hours"]

    assert hours["low"] < hours["mid"] < hours["high"]
    assert answer["film_w_m2k"] == {"low": 5, "mid": 7, "high": 10}
    assert answer["method"] == "enthalpy-shape-factor"
    assert answer["shape_factor"] > 1
    assert answer["food"]["source"]["number"] == "16059"
    assert "moves no limit" in answer["cautions"][0]
    assert any("still air of a freezer" in one for one in answer["cautions"])


def test_a_film_that_is_known_leaves_no_band(ask):
    answer = ask(with_(h_w_m2k=7))

    assert len(set(answer["hours"].values())) == 1
    assert answer["hours"]["mid"] == ask(QUESTION)["hours"]["mid"]
    assert not any("not known" in one for one in answer["cautions"])


@pytest.mark.parametrize(
    ("medium_c", "name"),
    [(-18, "of a freezer"), (4, "of a fridge"), (21, "of a room")],
)
def test_the_band_is_that_of_the_air(ask, medium_c, name):
    start = -10 if medium_c > 0 else 10
    answer = ask(
        with_(start_c=start, medium_c=medium_c, until=until((start + medium_c) / 2))
    )

    assert answer["film"].endswith(name)


@pytest.mark.parametrize(
    ("shape", "size_mm", "method"),
    [
        ("slab", [30], "enthalpy"),
        ("sphere", [70], "enthalpy"),
        ("cylinder", [80, None], "enthalpy"),
        ("cylinder", [80, 100], "enthalpy-shape-factor"),
        ("cylinder", [80, 40], "enthalpy-shape-factor"),
        ("brick", [140, 50, 140], "enthalpy-shape-factor"),
    ],
)
def test_every_shape_freezes(ask, shape, size_mm, method):
    answer = ask(with_(shape=shape, size_mm=size_mm))

    assert answer["method"] == method
    assert 1 < answer["hours"]["low"] < 48


def test_the_order_of_a_bricks_sides_does_not_matter(ask):
    assert ask(QUESTION)["hours"] == ask(with_(size_mm=[140, 140, 50]))["hours"]


def test_a_brick_that_does_not_freeze_goes_by_series(ask):
    answer = ask(with_(start_c=60, medium_c=3, until=until(5)))

    assert answer["method"] == "series-product"
    assert answer["shape_factor"] is None


def test_the_mean_is_there_before_the_centre(ask):
    centre = ask(with_(start_c=60, medium_c=3, until=until(21)))
    mean = ask(with_(start_c=60, medium_c=3, until=until(21, "mean")))

    assert mean["hours"]["mid"] < centre["hours"]["mid"]


@pytest.mark.parametrize("temp_c", [-20, -18, 6, 40])
def test_what_the_medium_never_brings_about_has_no_hours(ask, temp_c):
    answer = ask(with_(until=until(temp_c)))

    assert answer["hours"] is None
    assert answer["cautions"][0].startswith("No hours: the food ")


def test_where_it_starts_it_is_at_once(ask):
    answer = ask(with_(until=until(5)))

    assert answer["hours"] == {"low": 0, "mid": 0, "high": 0}
    assert "nothing to wait for" in answer["cautions"][0]


def test_a_thaw_that_leaves_ice_says_so(ask):
    thaw = with_(start_c=-18, medium_c=4)

    short, whole = (ask({**thaw, "until": until(temp)}) for temp in (-1.0, 0.0))

    assert any("Ice is left at -1 °C" in one for one in short["cautions"])
    assert not any("Ice is left" in one for one in whole["cautions"])


def test_a_composition_serves_as_a_food(ask):
    answer = ask(with_(food=STEW))

    assert answer["food"]["id"] is None
    assert 10 < answer["hours"]["mid"] < 20
    assert not any("add up" in one for one in answer["cautions"])


def test_parts_near_one_are_taken_as_shares(ask):
    scaled = {
        key: value * 0.985 if key != "freezing_c" else value
        for key, value in STEW.items()
    }
    answer = ask(with_(food=scaled))

    assert answer["hours"] == ask(with_(food=STEW))["hours"]
    assert "The parts add up to 0.985; taken as shares of 1." in answer["cautions"]


def test_a_freezing_point_is_not_needed_in_the_warm(ask):
    food = {key: value for key, value in STEW.items() if key != "freezing_c"}

    assert ask(with_(food=food, start_c=60, medium_c=3, until=until(5)))["hours"]


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        (
            {"food": "unobtainium"},
            "food: 'unobtainium' is not known; take one of chick",
        ),
        ({"food": None}, "food: nothing is not known"),
        ({"food": {**STEW, "water": 0.7}}, "the parts add up to 0.89, not to 1"),
        ({"food": {**STEW, "water": float("nan")}}, "food.water: NaN is no number"),
        ({"food": {**STEW, "water": 81}}, "food.water: 81 lies outside 0 to 1"),
        ({"food": {**STEW, "salt": 0.01}}, "food: unknown key 'salt'"),
        ({"food": {**STEW, "freezing_c": None}}, "food.freezing_c: is missing"),
        (
            {"food": {**STEW, "freezing_c": 0}},
            "freezing_c: 0 lies outside -40 to -0.01",
        ),
        ({"shape": "torus"}, "shape: 'torus' is not one of slab, cylinder, sphere, b"),
        ({"shape": ["slab"]}, "shape: a list of 1 is not one of"),
        ({"size_mm": [50, 140]}, "size_mm: a brick has [side, side, side] in mm, not"),
        ({"size_mm": 50}, "size_mm: a brick has [side, side, side] in mm, not 50"),
        ({"size_mm": [0, 140, 140]}, "size_mm[0]: 0 lies outside 1 to 2000"),
        ({"size_mm": [1e9, 140, 140]}, "size_mm[0]: 1000000000.0 lies outside"),
        ({"size_mm": [50, None, 140]}, "size_mm[1]: is missing; give a number"),
        ({"size_mm": [True, 140, 140]}, "size_mm[0]: give a number, not True"),
        ({"start_c": float("nan")}, "start_c: NaN is no number"),
        ({"start_c": float("inf")}, "start_c: inf lies outside -40 to 120"),
        ({"medium_c": ...}, "medium_c: is missing"),
        ({"medium_c": "cold"}, "medium_c: give a number, not 'cold'"),
        ({"h_w_m2k": 0}, "h_w_m2k: 0 lies outside 0.1 to 10000"),
        ({"h_w_m2k": -8}, "h_w_m2k: -8 lies outside"),
        ({"until": -15}, 'until: write {"where": "centre", "temp_c": a temperature}'),
        (
            {"until": until(-15, "edge")},
            "until.where: 'edge' is not one of centre, mean",
        ),
        ({"until": {"where": "mean"}}, "until.temp_c: is missing"),
        ({"until": {**until(1), "by": 3}}, "until: unknown key 'by'"),
        (
            {"colour": "red"},
            "document: unknown key 'colour'; leave it out, or use food",
        ),
    ],
)
def test_what_is_malformed_is_named(refuse, changes, said):
    assert said in refuse(with_(**changes))


def test_every_fault_is_named_at_once(refuse):
    line = refuse(with_(food="x", shape="y", start_c="z", h_w_m2k=0))

    assert [line.count(f"{one}: ") for one in ("food", "shape", "start_c")] == [1, 1, 1]
    assert "h_w_m2k: 0 lies outside" in line


@pytest.mark.parametrize("text", ["", "[]", "{", "7", '{"food": 1, "food": 2}'])
def test_what_is_no_document_is_refused(refuse, text):
    assert refuse(text)


def test_a_deep_document_is_refused(refuse):
    assert "not a JSON document" in refuse("[" * 100_000)


def test_a_huge_document_is_refused_before_it_is_read_whole(newcomer):
    path = newcomer.folder / "huge.json"
    path.write_bytes(b" " * (1024 * 1024 + 1))

    assert "larger than 1 MB; one question" in newcomer.fail(2, "ready", str(path))


def test_the_list_shows_every_food(newcomer):
    told = newcomer.see("ready", "--list")

    assert all(one in told for one in load_foods())
    assert "a guess" in told
    listed = json.loads(newcomer.see("ready", "--list", "--json"))
    assert [one["id"] for one in listed] == list(load_foods())


THAW = ("ready", "chili-beans", "--from", "freezer", "--to", "fridge")


def test_a_container_is_asked_for_in_words(newcomer):
    told = newcomer.see(*THAW, "--thick", "50mm", "--mass", "1kg")

    assert told.startswith("About 30 h (")
    assert "until the middle is at 0 °C" in told
    assert "brick of 50 x 137.7 x 137.7 mm, -18 °C all through, in 4 °C" in told
    assert "Rule of thumb, by weight (24 h for 4 to 5 lb): 12 h." in told
    assert "moves no limit" in told


def test_words_and_documents_say_the_same(newcomer, ask):
    found = json.loads(
        newcomer.see(*THAW, "--thick", "50mm", "--mass", "1kg", "--json")
    )

    assert ask(found["question"]) == found["answer"]


@pytest.mark.parametrize("shape", ["bag", "tray"])
def test_a_flat_container_is_a_slab(newcomer, shape):
    told = newcomer.see(*THAW, "--thick", "1in", "--mass", "1lb", "--shape", shape)

    assert "slab of 25.4 mm" in told


def test_a_ball_goes_by_its_mass(newcomer):
    """200 g at 1240 kg/m³ are 67.5 mm across."""
    ball = ("ready", "bread-dough-lean", "--from", "4C", "--to", "counter")
    told = newcomer.see(*ball, "--shape", "ball", "--mass", "200g", "--until", "15C")

    assert "sphere of 67.5 mm, 4 °C all through, in 21 °C" in told
    assert " min (" in told
    assert "Rule of thumb" not in told


@pytest.mark.parametrize(
    ("start", "medium", "until"),
    [("fridge", "freezer", -15), ("60C", "fridge", 5), ("-12C", "counter", 0)],
)
def test_an_end_is_meant_where_none_is_named(newcomer, start, medium, until):
    told = newcomer.see(
        "ready", "beef-stew", "--from", start, "--to", medium, "--thick", "3cm"
    )

    assert f"until the middle is at {until} °C." in told


def test_an_end_that_never_comes_is_said(newcomer):
    told = newcomer.see(*THAW, "--thick", "3cm", "--until", "6C")

    assert "No hours: the food goes from -18 towards 4 °C" in told
    assert "About" not in told


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ((*THAW, "--mass", "1kg"), "how thick is it? give --thick"),
        ((*THAW, "--shape", "ball"), "a ball: give --thick, how wide it is, or --mass"),
        ((*THAW, "--thick", "much"), "much"),
        ((*THAW, "--thick", "9m"), "m"),
        ((*THAW[:4], "--thick", "5cm"), "give both --from and --to"),
        (("ready", "beef-stew", "--thick", "5cm"), "give both --from and --to"),
        ((*THAW[:5], "shelf", "--thick", "5cm"), "shelf"),
        ((*THAW[:5], "counter", "--from", "fridge", "--thick", "5cm"), "--until 15C"),
        (("ready", "stone", *THAW[2:], "--thick", "5cm"), "food: 'stone' is not known"),
        ((*THAW, "--thick", "5cm", "--shape", "cup"), "'cup' is not one of"),
    ],
)
def test_what_is_missing_of_a_container_is_asked_for(newcomer, words, said):
    assert said in newcomer.fail(2, *words)


COOLING = {
    "food": "beef-stew",
    "shape": "slab",
    "size_mm": [50],
    "start_c": 60,
    "medium_c": 4,
    "h_w_m2k": None,
    "until": {"where": "centre", "temp_c": 8},
}


def read(*readings, **changes):
    """The cooling with probe readings."""
    return {**COOLING, "readings": [list(one) for one in readings], **changes}


def test_without_readings_nothing_is_said_of_them(ask):
    assert ask(COOLING)["readings"] is None
    assert ask(read())["readings"] is None


def test_readings_narrow_the_answer_and_it_tells_by_how_much(ask):
    wide, told = ask(COOLING), ask(read((1, 48), (2, 37)))

    assert told["readings"]["fit"] == "narrowed"
    assert told["readings"]["hours_before"] == wide["hours"]
    assert told["readings"]["film_before"] == wide["film_w_m2k"]
    assert told["readings"]["tolerance_k"] == 1
    assert told["readings"]["tolerance_source"] == "FDA Food Code, 4-203.11"
    left, was = told["hours"], wide["hours"]
    assert was["low"] <= left["low"] <= left["mid"] <= left["high"] < was["high"]
    assert told["readings"]["says"] == (
        f"They leave {left['low']:.3g} to {left['high']:.3g} h of {was['low']:.3g} to "
        f"{was['high']:.3g} h."
    )


def test_food_that_is_ahead_keeps_the_whole_band(ask):
    told = ask(read((1, 40), (2, 22)))

    assert told["readings"]["fit"] == "faster"
    assert told["hours"] == ask(COOLING)["hours"]
    assert "does not fit the readings" in told["cautions"][0]
    assert "A fan" in told["cautions"][0]


def test_food_that_lags_is_later_and_says_so(ask):
    told = ask(read((1, 56), (2, 51)))

    assert told["readings"]["fit"] == "slower"
    assert told["hours"]["high"] > ask(COOLING)["hours"]["high"]
    assert "Thicker, a lid" in told["cautions"][0]


def test_readings_that_rise_in_a_fridge_are_cautioned(ask):
    told = ask(read((1, 30), (2, 40)))

    assert "Readings rise from 30 to 40 °C while the food cools" in told["cautions"][0]
    assert told["hours"]["high"] >= ask(COOLING)["hours"]["high"]


def test_readings_that_fall_on_a_counter_are_cautioned(ask):
    thaw = {"start_c": -18, "medium_c": 21, "until": {"temp_c": 0}}
    told = ask(read((1, -4), (2, -9), **thaw))

    assert "Readings fall from -4 to -9 °C while the food warms" in told["cautions"][0]


def test_no_hours_are_told_of_what_no_film_explains(ask):
    told = ask(read((1, 80)))

    assert told["hours"] is None
    assert told["readings"]["fit"] == "none"
    assert "No hours can be told: measure again" in told["cautions"][0]


def test_a_film_that_was_given_is_only_compared(ask):
    fits, not_fits = (ask(read((2, temp), h_w_m2k=8)) for temp in (39.6, 30))

    assert fits["readings"]["fit"] == "agrees"
    assert not_fits["readings"]["fit"] == "differs"
    assert fits["hours"] == not_fits["hours"] == ask({**COOLING, "h_w_m2k": 8})["hours"]
    assert any("They change nothing" in one for one in not_fits["cautions"])
    assert not any("They change nothing" in one for one in fits["cautions"])


def test_an_end_near_the_air_is_cautioned(ask):
    near = {"until": {"temp_c": 5}}
    told = ask(read((1, 48), (2, 37), **near))

    assert any("half a degree there counts" in one for one in told["cautions"])


def test_readings_of_what_never_comes_are_not_used(ask):
    told = ask(read((1, 48), until={"temp_c": 2}))

    assert told["hours"] is None
    assert told["readings"]["fit"] == "unused"


@pytest.mark.parametrize(
    ("readings", "said"),
    [
        ([[2, 30], [1, 40]], "readings[1]: 1 h does not come after 2 h; give them in"),
        ([[1, 30], [1, 30]], "readings[1]: 1 h does not come after 1 h"),
        ([[-1, 30]], "readings[0], hours: -1 lies outside 0 to 1000"),
        ([[1, float("nan")]], "readings[0], temp_c: NaN is no number"),
        ([[float("nan"), 30]], "readings[0], hours: NaN is no number"),
        ([[1, 1e300]], "readings[0], temp_c: 1e+300 lies outside"),
        ([[1]], "readings[0]: write [hours, temp_c], not a list of 1"),
        ([1, 30], "readings[0]: write [hours, temp_c], not 1"),
        ({"1": 30}, "readings: write [[hours, temp_c], ...], not an object"),
        ([[n, 30] for n in range(51)], "readings: at most 50 are taken; these are 51"),
        ([["2h", "12C"]], "readings[0], hours: give a number, not '2h'"),
    ],
)
def test_malformed_readings_are_named(refuse, readings, said):
    assert said in refuse({**COOLING, "readings": readings})


HOT = ("ready", "beef-stew", "--from", "60C", "--to", "fridge", "--thick", "5cm")


def test_readings_in_words_are_the_same(newcomer, ask):
    words = ("--read", "1h=48C", "--read", "2h 0min=37C", "--until", "8C")
    found = json.loads(newcomer.see(*HOT, *words, "--json"))
    told = newcomer.see(*HOT, *words)

    assert found["question"]["readings"] == [[1, 48], [2, 37]]
    assert found["answer"] == ask(read((1, 48), (2, 37)))
    assert "Readings: They leave " in told
    assert told.count("They leave") == 1


def test_what_does_not_fit_is_said_once(newcomer):
    told = newcomer.see(*HOT, "--read", "1h=30C")

    assert told.count("does not fit the readings") == 1


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--read", "12C"), "'12C' is no reading; write it like 2h=12C"),
        (("--read", "2h=warm"), "'warm' is not a temperature"),
        (("--read", "soon=12C"), "'soon' is not a span"),
        (("--read", "2h=12C", "--read", "1h=20C"), "does not come after"),
    ],
)
def test_a_reading_in_words_that_is_none_is_refused(newcomer, words, said):
    assert said in newcomer.fail(2, *HOT, *words)


def test_a_reading_alone_asks_for_the_container(newcomer):
    line = newcomer.fail(2, "ready", "beef-stew", "--read", "1h=30C")

    assert "give both --from and --to" in line
