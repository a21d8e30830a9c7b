"""The program's sentences in other languages; what has no words stays English."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from lidclock.domain.moments import say_hours, say_moment
from lidclock.domain.phrases import with_and, with_commas
from lidclock.domain.sentences import Sentence, figure, joined, quoted, sentence
from lidclock.web.guidance_names import by_name
from lidclock.web.sentences import said, spoken

SPAN = say_hours(timedelta(hours=1, minutes=50))


@pytest.mark.parametrize(
    ("language", "words"),
    [
        ("en", "1 h 50 min"),
        ("de", "1 Std. 50 Min."),
        ("zh-Hans", "1 小时 50 分钟"),
        ("ar", "1 س 50 د"),
    ],
)
def test_a_span_is_said_in_the_language(language, words):
    assert said(language, SPAN) == words


def test_days_and_figures_in_it_are_said_in_the_language():
    at = datetime(2026, 11, 5, 16, 10, tzinfo=UTC)

    assert spoken("de", say_moment(at, ZoneInfo("UTC"))) == "Do., 5. Nov. 2026 16:10"
    assert spoken("de", joined("{mass} kg", mass=figure(1.5))) == "1,5 kg"


def test_what_has_no_words_in_the_language_is_marked_as_english():
    untold = Sentence("nobody says {food}", {"food": "<b>"})

    assert said("de", untold) == (
        '<span lang="en" dir="ltr">nobody says &lt;b&gt;</span>'
    )
    assert said("de", "plain <text>").endswith("plain &lt;text&gt;</span>")
    assert said("en", untold) == "nobody says <b>"


def test_what_is_english_on_purpose_is_marked_where_it_stands_in_a_sentence():
    one = sentence("not for the freezer: {why}", why=quoted("Egg <salad>"))

    assert said("de", one) == (
        "nicht für den Gefrierschrank: "
        '<span lang="en" dir="ltr">Egg &lt;salad&gt;</span>'
    )
    assert spoken("de", one) == "nicht für den Gefrierschrank: Egg <salad>"
    assert quoted(SPAN) is SPAN


def test_what_has_no_words_is_marked_within_what_has():
    untold = Sentence("nobody says {food}", {"food": "<b>"})

    assert said("fr", with_commas([SPAN, untold])) == (
        '1 h 50 min, <span lang="en" dir="ltr">nobody says &lt;b&gt;</span>'
    )


@pytest.mark.parametrize(
    ("language", "words"),
    [
        ("en", "2, 3 and 4"),
        ("de", "2, 3 und 4"),
        ("zh-Hans", "2、3和4"),
        ("ar", "2، 3 و4"),
    ],
)
def test_a_row_has_the_marks_of_the_language(language, words):
    assert said(language, with_and([figure(2), figure(3), figure(4)])) == words


def test_data_is_set_apart_where_the_language_runs_from_right_to_left():
    one = joined("{food}: {span}", food="bun dough (2)", span=SPAN)

    assert spoken("ar", one) == "\u2068bun dough (2)\u2069: 1 س 50 د"
    assert spoken("de", one) == "bun dough (2): 1 Std. 50 Min."


def test_the_invented_language_disguises_sentences_and_leaves_data():
    said_so = spoken("x-pseudo", sentence("made in {place}", place="Fridge"))

    assert "Fridge" in said_so
    assert "made in" not in said_so


def test_ids_are_named_however_deep_they_stand_and_others_are_left():
    deep = sentence("{food}", food=sentence("{category}", category="yeast-dough-raw"))
    own = sentence("{set}", set="ours")

    assert by_name(with_commas([deep, "us-home"])) == "Raw yeast dough, us-home"
    assert by_name(own) is own
    assert by_name("us-home") == "us-home"
