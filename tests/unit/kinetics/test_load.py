"""The packaged files of organisms, and a reader that lets nothing odd through."""

from __future__ import annotations

import json
import math
from importlib.resources import files
from pathlib import Path

import pytest

from lidclock.errors import GuidanceError
from lidclock.kinetics.load import NAMES, load_library, read_library
from lidclock.kinetics.parameters import celsius, law_of

LIBRARY = load_library()
TEXTS = {
    name: (files("lidclock.kinetics") / "data" / f"{name}.toml").read_text("utf-8")
    for name in NAMES
}
SOURCE = """
[source.paper]
authority = "A"
document = "D"
section = "S"
year = "2000"
url = "https://example.org"
status = "verified"
seen = "abstract"
"""
ORGANISM = """
[[organism]]
id = "one"
name = "One"
kind = "pathogen"
source = "paper"
model = "square-root"
parameters = { b = 0.02, tmin_c = 1.0 }
valid_c = [0, 20]
lag = "none"
says = "As printed."
"""
HAZARD = """
[[hazard]]
id = "one"
name = "One"
source = "paper"
bands = [[40, 50, "2 d"], [51, 135, "6 h"]]
"""


def read(organism=ORGANISM, source=SOURCE, hazard=HAZARD):
    return read_library({"sources": source, "organisms": organism, "app4": hazard})


def test_a_whole_library_is_read():
    library = read()

    assert library.organisms["one"].law == law_of(
        "square-root", {"b": 0.02, "tmin_c": 1.0}
    )
    assert library.organisms["one"].source.document == "D"
    assert library.hazards["one"].law.rates == pytest.approx((1 / 48, 1 / 6))


@pytest.mark.parametrize(
    ("old", "new", "names"),
    [
        ("b = 0.02", "b = 0", ["organisms.toml", "(one)", "parameters", "b must"]),
        ("b = 0.02", "b = nan", ["parameters", "b", "finite"]),
        ("b = 0.02", "b = true", ["parameters", "b", "must be a number"]),
        ("b = 0.02, ", "", ["parameters", "b", "must be a number"]),
        ("b = 0.02", "b = 0.02, c = 1", ["parameters", "c", "unknown"]),
        ('"square-root"', '"linear"', ["model", "square-root"]),
        ('"square-root"', '"cardinal"', ["parameters", "unknown; expected"]),
        ('"square-root"', '"generations-table"', ["parameters", "does not go"]),
        ("[0, 20]", "[20, 0]", ["valid_c", "must lie below"]),
        ("[0, 20]", "[0]", ["valid_c", "list of 2 numbers"]),
        ('"none"', '"some"', ["lag", "none, stages"]),
        ('"pathogen"', '"foe"', ["kind", "pathogen"]),
        ('source = "paper"', 'source = "web"', ["source", "no source 'web'"]),
        ('says = "As printed."', "says = 3", ["says", "must be text"]),
        ('says = "As printed."', "", ["says", "must be text"]),
        ('says = "As', 'colour = "red"\nsays = "As', ["colour", "unknown"]),
        ("lag =", "rates = [[1, 2], [3, 4]]\nlag =", ["model", "one"]),
        ("lag =", "unit = 'per day'\nlag =", ["unit", "ln/h"]),
        ("lag =", "ph = [1, 2, 3]\nlag =", ["ph", "must be a table"]),
        (
            "lag =",
            'ph = { values = [7, 5, 9], source = "paper" }\nlag =',
            ["ph or aw", "need low < optimum < high"],
        ),
        ("lag =", 'limits = [{ ph = [9, 4], source = "paper" }]\nlag =', ["limits"]),
        ("lag =", 'limits = [{ ph = [4, 9], source = "x" }]\nlag =', ["no source"]),
        ("lag =", "limits = 3\nlag =", ["limits", "list of tables"]),
        ("[[organism]]", "[organism]", ["[[organism]]"]),
        ("[[organism]]", "[[organisms]]", ["organisms", "unknown"]),
        ('id = "one"', 'id = "one', ["organisms.toml", "not TOML"]),
    ],
)
def test_a_malformed_organism_is_refused_with_its_place(old, new, names):
    assert old in ORGANISM
    with pytest.raises(GuidanceError) as refusal:
        read(ORGANISM.replace(old, new, 1))

    assert [one for one in names if one not in str(refusal.value)] == []


@pytest.mark.parametrize(
    ("old", "new", "names"),
    [
        ('status = "verified"', 'status = "sure"', ["status", "unverified"]),
        ('seen = "abstract"', "", ["sources.toml", "source paper", "seen"]),
        ("year =", "pages = 3\nyear =", ["pages", "unknown"]),
    ],
)
def test_a_source_without_its_facts_is_refused(old, new, names):
    with pytest.raises(GuidanceError) as refusal:
        read(source=SOURCE.replace(old, new, 1))

    assert [one for one in names if one not in str(refusal.value)] == []


@pytest.mark.parametrize(
    "bands",
    [
        "[]",
        "3",
        '[[40, 50, "2 w"]]',
        "[[40, 50, 2]]",
        '[[40, 50, "0 h"]]',
        '[[50, 40, "2 d"]]',
        '[[40, 50, "2 d"], [41, 45, "6 h"]]',
        '[[40, 50, "2 d", 1]]',
    ],
)
def test_bands_that_make_no_table_are_refused(bands):
    text = HAZARD.replace('[[40, 50, "2 d"], [51, 135, "6 h"]]', bands)
    with pytest.raises(GuidanceError, match=r"app4\.toml: hazard 1 \(one\): bands"):
        read(hazard=text)


@pytest.mark.parametrize("twin", ["organism", "hazard"])
def test_an_id_that_stands_twice_is_refused(twin):
    texts = {"organism": ORGANISM, "hazard": HAZARD}
    with pytest.raises(GuidanceError, match="stands twice"):
        read(**{twin: texts[twin] * 2})


def test_a_gap_between_two_bands_belongs_to_the_warmer():
    law = read().hazards["one"].law

    assert law.rate(celsius(50)) == pytest.approx(1 / 48)
    assert law.rate(celsius(50.5)) == pytest.approx(1 / 6)


@pytest.mark.parametrize("unit", [("log10/h", 10), ("generations/h", 2)])
def test_rates_in_other_units_are_turned_into_natural_logarithms(unit):
    name, base = unit
    for model, values in (
        ("square-root", {"b": 0.02, "tmin_c": 1.0}),
        ("extended-square-root", {"b": 0.02, "tmin_c": 1, "c": 0.3, "tmax_c": 48}),
        ("cardinal", {"mu_opt": 1.0, "tmin_c": 5, "topt_c": 37, "tmax_c": 45}),
    ):
        ratio = law_of(model, values, name).rate(20) / law_of(model, values).rate(20)
        assert ratio == pytest.approx(math.log(base))


def test_every_organism_has_a_source_that_was_seen_or_says_that_it_was_not():
    unverified = [
        one.id for one in LIBRARY.organisms.values() if not one.source.is_verified
    ]

    assert len(LIBRARY.organisms) == 14
    assert unverified == ["escherichia-coli-o157-leafy-greens"]
    assert all(
        one.url.startswith("http") and one.seen for one in LIBRARY.sources.values()
    )


def test_no_source_stands_there_for_nothing():
    used = {one.source.id for one in LIBRARY.organisms.values()}
    used |= {one.source.id for one in LIBRARY.hazards.values()}
    for one in LIBRARY.organisms.values():
        used |= {each.id for each in (one.ph_source, one.aw_source) if each}
        used |= {limit.source.id for limit in one.limits}

    assert set(LIBRARY.sources) == used


def test_listeria_goes_through_the_quickest_published_times():
    """sqrt(ln 2 / 62) at 0 °C and sqrt(ln 2 / 13) at 5 °C."""
    low, high = math.sqrt(math.log(2) / 62), math.sqrt(math.log(2) / 13)
    law = LIBRARY.organisms["listeria-monocytogenes"].law

    assert law.b == pytest.approx((high - low) / 5)
    assert law.tmin_c == pytest.approx(-5 * low / (high - low))


def test_the_generic_table_and_its_curve_tell_the_same():
    """The curve is a fit within 0.8 % at the printed temperatures, up to 120 °F."""
    table = LIBRARY.organisms["generic-table"].law
    curve = LIBRARY.organisms["generic-curve"].law
    temps = [celsius(temp_f) for temp_f in (40, 41, 45, 50, 60, 75, 90, 100, 110, 115)]

    assert table.rate(temps) == pytest.approx(curve.rate(temps), rel=0.012)


def test_the_bands_of_the_fda_are_those_that_were_collected():
    """Each row of data/fda_app4_a2.json: inside its band, its time."""
    path = Path(__file__).parents[2] / "external" / "data" / "fda_app4_a2.json"
    rows = json.loads(path.read_text("utf-8"))["rows"]
    found = []
    for row in rows:
        low, high = row["from_f"], row["to_f"] or 135
        middle = celsius((low + high) / 2 if high > low else high)
        hours = 1 / float(LIBRARY.hazards[row["hazard"]].law.rate(middle))
        # A row of one temperature has no width: the warmer one counts there.
        found.append(hours == pytest.approx(row["hours"]) or (low == high))

    assert len(rows) == 48
    assert all(found)
    assert not any(one.source.is_verified for one in LIBRARY.hazards.values())
