"""`lidclock growth`: the public what-if, its answers and its refusals."""

from __future__ import annotations

import json
import math
from itertools import pairwise

import pytest
from scipy.integrate import quad

from lidclock.cli import growth as command
from lidclock.kinetics.load import load_library

LN10 = math.log(10)
PROFILE = [[0, 4], [8, 4], [10, 12], [20, 4]]
QUESTION = {
    "organism": "listeria-monocytogenes",
    "profile": PROFILE,
    "ph": None,
    "aw": None,
    "h0": 0,
    "start_log10": None,
    "max_log10": None,
}
# C. perfringens in roasted chicken, as published; the stages of the Food Code.
CHICKEN = {
    "model": "cardinal",
    "mu_opt": 6.06,
    "tmin_c": 8.8,
    "topt_c": 46.4,
    "tmax_c": 51.5,
}
STAGES = [[0, 57.22], [2, 21.11], [6, 5.0]]


def with_(changes, base=QUESTION):
    """The question with some keys changed; those set to `...` are left out."""
    changed = {**base, **changes}
    return {key: value for key, value in changed.items() if value is not ...}


def own(parameters, profile=PROFILE, **more):
    return {"parameters": parameters, "profile": profile, **more}


@pytest.fixture
def ask(newcomer):
    """The answer to a question, put on standard input."""

    def answer(question):
        return json.loads(newcomer.see("growth", "-", given=json.dumps(question)))

    return answer


@pytest.fixture
def refuse(newcomer):
    """The one line that a malformed question leaves."""

    def line(question):
        text = question if isinstance(question, str) else json.dumps(question)
        return newcomer.fail(2, "growth", "-", given=text)

    return line


def test_the_answer_has_what_was_promised(ask):
    answer = ask(QUESTION)

    assert {"exposure", "log10_increase", "doublings", "validity", "source"} < set(
        answer
    )
    assert set(answer["log10_increase"]) == {"low", "mid", "high"}
    assert answer["organism"] == "listeria-monocytogenes"
    assert answer["source"]["status"] == "verified"
    assert answer["validity"].startswith("within")
    assert "permits nothing" in answer["cautions"][0]
    assert answer["parameters"]["model"] == "square-root"


def test_exposure_is_the_integral_of_the_rate_and_growth_follows(ask):
    """By hand for a square-root law of b 0.1 and tmin -10: 2 h from 5 to 15 °C are
    (1.5² + 1.5 x 2.5 + 2.5²) / 3 x 2 = 8.1667."""
    law = {"model": "square-root", "b": 0.1, "tmin_c": -10}
    answer = ask(own(law, [[0, 5], [2, 15]]))

    assert answer["exposure"] == pytest.approx(49 / 6, rel=1e-12)
    assert answer["log10_increase"]["mid"] == pytest.approx(49 / 6 / LN10)
    assert answer["doublings"] == pytest.approx(49 / 6 / math.log(2))
    assert answer["hours"] == 2


RATES = {
    "square-root": (
        {"b": 0.03, "tmin_c": -1.5},
        lambda t: (0.03 * max(t + 1.5, 0)) ** 2,
    ),
    "extended-square-root": (
        {"b": 0.03, "tmin_c": 2.0, "c": 0.4, "tmax_c": 48.0},
        lambda t: (
            (0.03 * (t - 2) * (1 - math.exp(0.4 * (t - 48)))) ** 2
            if 2 < t < 48
            else 0.0
        ),
    ),
    "cardinal": (
        {key: CHICKEN[key] for key in ("mu_opt", "tmin_c", "topt_c", "tmax_c")},
        lambda t: (
            6.06
            * (t - 51.5)
            * (t - 8.8) ** 2
            / (
                (46.4 - 8.8)
                * ((46.4 - 8.8) * (t - 46.4) - (46.4 - 51.5) * (55.2 - 2 * t))
            )
            if 8.8 < t < 51.5
            else 0.0
        ),
    ),
}


@pytest.mark.parametrize("model", RATES)
def test_each_model_is_integrated_as_printed(ask, model):
    """Against quadrature of the formula as it stands in the papers."""
    values, rate = RATES[model]
    profile = [[0, -5], [3, 55], [7, 20], [30, 20]]
    expected = sum(
        quad(
            lambda x, a=a, b=b: rate(a[1] + (b[1] - a[1]) * x),
            0,
            1,
            points=sorted(
                (mark - a[1]) / (b[1] - a[1])
                for mark in (values["tmin_c"], values.get("tmax_c", 99))
                if a[1] != b[1] and 0 < (mark - a[1]) / (b[1] - a[1]) < 1
            ),
            limit=200,
            epsabs=1e-12,
        )[0]
        * (b[0] - a[0])
        for a, b in pairwise(profile)
    )
    answer = ask(own({"model": model, **values}, profile))

    assert answer["exposure"] == pytest.approx(expected, rel=1e-9)


def test_a_cool_that_meets_the_stages_shows_three_logs_without_a_lag(ask):
    answer = ask(own(CHICKEN, STAGES))

    assert answer["log10_increase"]["mid"] == pytest.approx(3.0316, abs=2e-4)


def test_spores_in_a_cool_come_with_their_caution(ask):
    answer = ask(
        with_(
            {"organism": "clostridium-perfringens-roasted-chicken", "profile": STAGES}
        )
    )

    assert any("never by this figure" in one for one in answer["cautions"])
    assert answer["validity"].startswith("outside")


def test_lag_and_ceiling_follow_baranyi_and_roberts(ask):
    law = {"model": "square-root", "b": 0.1, "tmin_c": 0}
    answer = ask(own(law, [[0, 10], [5, 10]], h0=2, start_log10=2, max_log10=5))
    after = math.log(1 + math.exp(-2) * (math.exp(5) - 1))
    slowed = after - math.log(1 + (math.exp(after) - 1) / 1000)

    assert answer["exposure"] == pytest.approx(5)
    assert answer["log10_increase"]["mid"] == pytest.approx(slowed / LN10)
    assert answer["end_log10"]["mid"] == pytest.approx(2 + slowed / LN10)


def test_a_lag_alone_needs_no_numbers(ask):
    law = {"model": "square-root", "b": 0.1, "tmin_c": 0}
    answer = ask(own(law, [[0, 10], [5, 10]], h0=2))
    after = math.log(1 + math.exp(-2) * (math.exp(5) - 1))

    assert answer["log10_increase"]["mid"] == pytest.approx(after / LN10)
    assert "end_log10" not in answer


def test_given_cardinal_values_of_ph_and_aw_are_used(ask):
    law = {"model": "square-root", "b": 0.1, "tmin_c": 0}
    wet = {"ph_min": 4.5, "ph_opt": 7, "ph_max": 9.5, "aw_min": 0.9}
    hold = [[0, 10], [5, 10]]
    answer = ask(own({**law, **wet}, hold, ph=5.75, aw=0.95))

    assert answer["exposure"] == pytest.approx(5 * 0.75 * 0.5)
    assert ask(own(law, hold, ph=5.75))["exposure"] == pytest.approx(5)


def test_outside_its_range_the_answer_says_so_and_still_counts(ask):
    answer = ask(with_({"profile": [[0, 30], [5, 30]]}))

    assert answer["validity"].startswith("outside")
    assert answer["within_range"] is False
    assert answer["exposure"] > 0


def test_at_zero_degrees_listeria_is_not_asleep(ask):
    assert ask(with_({"profile": [[0, 0], [62, 0]]}))["doublings"] == pytest.approx(1)


def test_the_worst_of_all_can_be_asked_for(ask):
    answer = ask(with_({"organism": "worst", "profile": [[0, 30], [5, 30]]}))

    assert answer["organism"] in load_library().organisms
    assert "The worst of 9 verified pathogens" in answer["cautions"][-1]


@pytest.mark.parametrize("organism", load_library().organisms)
def test_every_organism_answers(ask, organism):
    answer = ask(with_({"organism": organism}))

    assert answer["organism"] == organism
    assert 0 <= answer["log10_increase"]["low"] <= answer["log10_increase"]["high"]


def test_a_file_is_read_like_the_input_and_spread_on_request(newcomer):
    path = newcomer.folder / "question.json"
    path.write_text("\ufeff" + json.dumps(QUESTION), encoding="utf-8")
    told = newcomer.see("growth", str(path))
    spread = newcomer.see("growth", "--indent", given=json.dumps(QUESTION))

    assert json.loads(told) == json.loads(spread)
    assert len(told.splitlines()) == 1 < len(spread.splitlines())


def test_it_needs_no_kitchen_makes_none_and_asks_no_clock(newcomer):
    newcomer.run("--now", "no time at all", "growth", given=json.dumps(QUESTION))

    assert list(newcomer.folder.iterdir()) == []


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"organism": "listeria"}, ["organism: 'listeria'", "listeria-monocytogenes"]),
        ({"organism": 3}, ["organism: 3 is not known"]),
        ({"organism": ...}, ["give organism or parameters, one of the two"]),
        ({"parameters": CHICKEN}, ["give organism or parameters, one of the two"]),
        ({"profile": ...}, ["profile: write a list of [hours, temp_c], not nothing"]),
        ({"profile": {}}, ["profile: write a list", "not an object"]),
        ({"profile": []}, ["profile: 0 points", "at least two"]),
        ({"profile": [[0, 4]]}, ["profile: 1 points", "at least two"]),
        ({"profile": [[0, 4], [0, 5]]}, ["profile[1]", "0 h does not come after 0 h"]),
        ({"profile": [[0, 4], [-1, 5]]}, ["profile[1]", "sort the points"]),
        ({"profile": [[0, 4], [1]]}, ["profile[1]: write [hours, temp_c]"]),
        ({"profile": [[0, 4], 5]}, ["profile[1]: write [hours, temp_c], not 5"]),
        ({"profile": [[0, "4C"], [1, 4]]}, ["profile[0] temp_c", "not '4C'"]),
        ({"profile": [[0, True], [1, 4]]}, ["profile[0] temp_c", "not True"]),
        ({"profile": [[0, None], [1, 4]]}, ["profile[0] temp_c: is missing"]),
        ({"profile": [[0, 4], [1, 450]]}, ["profile[1] temp_c", "-100 to 200"]),
        ({"profile": [[0, 4], [1e9, 4]]}, ["profile[1] hours", "-1e+07 to 1e+07"]),
        ({"ph": 20}, ["ph: 20 lies outside 0 to 14"]),
        ({"ph": "sour"}, ["ph: give a number, not 'sour'"]),
        ({"aw": 1.2}, ["aw: 1.2 lies outside 0 to 1"]),
        ({"h0": -1}, ["h0: -1 lies outside 0 to 50"]),
        ({"max_log10": 8}, ["max_log10: needs start_log10"]),
        ({"start_log10": 6, "max_log10": 4}, ["max_log10: 4 lies below"]),
        ({"start_log10": 99}, ["start_log10: 99 lies outside"]),
        ({"colour": "red"}, ["unknown key 'colour'", "leave it out"]),
    ],
)
def test_a_fault_is_named_with_what_to_do(refuse, changes, words):
    line = refuse(with_(changes))

    assert [word for word in words if word not in line] == []


@pytest.mark.parametrize(
    ("parameters", "words"),
    [
        ("cardinal", ["parameters: write an object, not 'cardinal'"]),
        ({}, ["parameters.model: None is not one of square-root"]),
        ({"model": "linear"}, ["parameters.model: 'linear' is not one of"]),
        ({"model": "square-root", "b": 0.1}, ["parameters.tmin_c: is missing"]),
        (
            {"model": "square-root", "b": 0, "tmin_c": 1},
            ["parameters: b must be a number above 0"],
        ),
        (
            {"model": "square-root", "b": 99, "tmin_c": 1},
            ["parameters.b: 99 lies outside 0 to 10"],
        ),
        (
            {"model": "square-root", "b": 0.1, "tmin_c": 1, "tmax_c": 40},
            ["parameters: unknown key 'tmax_c'"],
        ),
        ({**CHICKEN, "topt_c": 20}, ["parameters: topt_c must lie above the middle"]),
        ({**CHICKEN, "tmax_c": 40}, ["parameters:", "must rise in that order"]),
        ({**CHICKEN, "ph_min": 4.5}, ["give ph_min, ph_opt, ph_max, or none"]),
        ({**CHICKEN, "aw_opt": 0.99}, ["aw_opt needs aw_min"]),
    ],
)
def test_a_fault_of_the_parameters_is_named(refuse, parameters, words):
    line = refuse(own(parameters))

    assert [word for word in words if word not in line] == []


def test_all_faults_are_named_at_once(refuse):
    line = refuse(
        with_({"organism": "x", "profile": [[0, 4], [0, 900]], "ph": 20, "h0": -1})
    )

    assert all(
        word in line for word in ("organism:", "temp_c:", "profile[1]:", "ph:", "h0:")
    )


def test_very_many_faults_are_counted(refuse):
    line = refuse(with_({"profile": [[0, "cold"]] * 5000}))

    assert "and 9991 more" in line
    assert len(line) < 2000


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", ["not a JSON document"]),
        ("[1, 2]", ["document: write an object, not a list of 2"]),
        ('{"h0": 0, "h0": 1}', ["stands twice"]),
        ('{"organism": "worst", "profile": [[0, NaN], [1, 4]]}', ["NaN is no number"]),
        (
            '{"organism": "worst", "profile": [[0, 4], [Infinity, 4]]}',
            ["profile[1] hours: inf lies outside"],
        ),
        (
            '{"organism": "worst", "profile": [[0, 4], [1, 1e999]]}',
            ["inf lies outside"],
        ),
        ("[" * 100_000, ["not a JSON document"]),
        ("9" * 5000, ["not a JSON document"]),
    ],
)
def test_a_document_that_is_none_is_refused(refuse, text, words):
    line = refuse(text)

    assert [word for word in words if word not in line] == []


def test_a_file_that_is_not_there_is_named(newcomer):
    assert "cannot read no.json" in newcomer.fail(2, "growth", "no.json")


def test_a_file_that_is_no_text_is_refused(newcomer):
    path = newcomer.folder / "picture.json"
    path.write_bytes(b"\xff\xfe\x00")

    assert "not UTF-8" in newcomer.fail(2, "growth", str(path))


def test_a_huge_document_is_refused_before_it_is_read_whole(newcomer, monkeypatch):
    monkeypatch.setattr(command, "MOST_BYTES", 1024 * 1024)
    path = newcomer.folder / "huge.json"
    path.write_bytes(b" " * (1024 * 1024 + 1))
    line = newcomer.fail(2, "growth", str(path))

    assert "larger than 1 MB; leave out points" in line


def test_the_list_shows_range_source_and_status(newcomer):
    text = newcomer.see("growth", "--list")

    assert all(one in text for one in load_library().organisms)
    assert "-0.5 to 21 °C" in text
    assert "Walker, Archer and Banks" in text
    assert "unverified" in text


def test_the_list_is_to_be_had_as_json(newcomer):
    listed = newcomer.data("growth", "--list")

    assert [one["id"] for one in listed] == list(load_library().organisms)
    assert listed[0]["valid_c"] == [-0.5, 21.0]
    assert {one["source"]["status"] for one in listed} == {"verified", "unverified"}
