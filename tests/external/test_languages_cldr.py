"""Days, decimal signs and plural forms of each language, as Unicode CLDR 47 has them.

data/cldr_47.json was written by Babel 2.18.0, which carries CLDR 47 (seen 2026-11-26):
days by the skeletons yMMMEd and MMMEd, the decimal symbol of Western digits, the
direction, and the plural category of whole numbers. CLDR's `many` of Spanish and French
starts at a million, which no kitchen counts to. The order of gettext's forms for Arabic
(zero, one, two, few, many, other) is that of CLDR's own list of categories.
"""

import json
from datetime import date
from pathlib import Path

import pytest

from lidclock.web import dates
from lidclock.web.words import catalogue_of, direction_of

CLDR = json.loads((Path(__file__).parent / "data" / "cldr_47.json").read_text("utf-8"))
CATEGORIES = ("zero", "one", "two", "few", "many", "other")
LANGUAGES = list(CLDR)


@pytest.mark.parametrize("language", LANGUAGES)
def test_a_day_is_written_as_cldr_writes_it(language):
    published = CLDR[language]["day"]

    assert {
        iso: dates.say_day(language, date.fromisoformat(iso)) for iso in published
    } == published


@pytest.mark.parametrize("language", LANGUAGES)
def test_a_near_day_is_written_without_its_year(language):
    published = CLDR[language]["short_day"]
    said = {}
    for iso in published:
        day = date.fromisoformat(iso)
        said[iso] = dates.say_near_day(language, day, day)

    assert said == published


@pytest.mark.parametrize("language", LANGUAGES)
def test_decimals_follow_the_sign_of_the_language(language):
    assert dates.say_number(language, 3.5) == f"3{CLDR[language]['decimal']}5"


@pytest.mark.parametrize("language", LANGUAGES)
def test_the_language_runs_its_own_way(language):
    assert direction_of(language) == CLDR[language]["direction"]


@pytest.mark.parametrize("language", LANGUAGES)
def test_each_count_takes_its_plural_category(language):
    published = CLDR[language]["plural"]
    used = [one for one in CATEGORIES if one in published.values()]
    catalogue = catalogue_of(language)

    assert catalogue.form_count == len(used)
    assert {count: used[catalogue.form_of(int(count))] for count in published} == (
        published
    )
