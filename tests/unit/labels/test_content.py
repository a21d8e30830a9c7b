"""What a label may say, and in which words it is refused."""

from __future__ import annotations

from datetime import date

import pytest

from lidclock.errors import LabelError
from lidclock.labels import ActionLabel, Label, Ruler


def label(**changes: object) -> Label:
    words: dict[str, object] = {
        "name": "Soup",
        "code": "4F7K2M0",
        "uri": "HTTP://LIDCLOCK.LOCAL/C/4F7K2M0",
        "headline_word": "USE BY",
        "headline": "Tue 3 Nov 2026",
    }
    return Label(**(words | changes))  # type: ignore[arg-type]


def test_unrecorded_allergens_are_said_to_be_unrecorded():
    assert label(allergens=None).allergen_line() == "allergens not recorded"


def test_an_empty_allergen_list_does_not_read_as_unrecorded():
    assert label(allergens=()).allergen_line() == "no listed allergens"


def test_allergens_stand_in_capitals():
    assert label(allergens=("soy", "wheat")).allergen_line() == "SOY · WHEAT"


def test_the_code_is_typed_in_two_groups():
    assert label().typed_code() == "4F7 K2M0"


@pytest.mark.parametrize("field", ["name", "headline", "headline_word"])
def test_a_label_needs_its_name_word_and_date(field):
    with pytest.raises(LabelError, match="was given"):
        label(**{field: "  "})


@pytest.mark.parametrize(
    ("field", "text"),
    [
        ("name", "So\x1bup"),
        ("name", "Soup\x00"),
        ("headline", "Tue\n3 Nov 2026"),
        ("handling", "Keep \u202ecold"),
        ("lines", ("made\u200bSat",)),
        ("allergens", ("so\u2066y",)),
        ("headline_note", "\x7f"),
    ],
)
def test_control_characters_are_refused_with_their_number(field, text):
    with pytest.raises(LabelError, match=r"control character U\+"):
        label(**{field: text})


@pytest.mark.parametrize(
    ("field", "text"),
    [
        ("headline", "03/11"),
        ("headline", "3/11/2026"),
        ("lines", ("made 2026-10-31 17:40",)),
        ("lines", ("made 31.10.26",)),
        ("name", "Soup 03/11/26"),
        ("handling", "Use before 3.11.2026."),
    ],
)
def test_all_number_dates_are_refused(field, text):
    with pytest.raises(LabelError, match="all-number date"):
        label(**{field: text})


@pytest.mark.parametrize(
    "text", ["1/2 recipe", "1.25 kg", "17:40", "box 12 of 14", "2-3 portions", "0.5 L"]
)
def test_amounts_and_hours_are_not_taken_for_dates(text):
    assert label(lines=(text,)).lines == (text,)


@pytest.mark.parametrize(
    "code", ["4F7K2M", "4F7K2M00", "4f7k2m0", "4F7 2M0", "4F7K2M\n"]
)
def test_a_container_code_has_seven_capitals_or_figures(code):
    with pytest.raises(LabelError, match="cannot go into a symbol"):
        label(code=code)


@pytest.mark.parametrize("uri", ["", "HTTP://K/C/4F7 ", "HTTP://K/\n", "http://k/é"])
def test_an_address_is_printable_ascii_without_spaces(uri):
    with pytest.raises(LabelError, match="cannot go into a symbol"):
        label(uri=uri)


def test_letters_and_accents_are_composed():
    assert label(name="Cre\u0300me").name == "Crème"


def test_a_ruler_counts_both_ends():
    assert len(Ruler(date(2026, 10, 31), date(2026, 11, 3)).days()) == 4


def test_skipped_days_get_no_notch():
    ruler = Ruler(date(2026, 11, 1), date(2026, 11, 4), (date(2026, 11, 2),))

    assert [day.day for day in ruler.days()] == [1, 3, 4]


def test_the_last_day_keeps_its_notch_even_if_skipped():
    ruler = Ruler(date(2026, 11, 1), date(2026, 11, 2), (date(2026, 11, 2),))

    assert ruler.days()[-1] == date(2026, 11, 2)


def test_a_ruler_cannot_run_backwards():
    with pytest.raises(ValueError, match="before it begins"):
        Ruler(date(2026, 11, 3), date(2026, 10, 31))


def test_an_action_needs_a_word():
    with pytest.raises(LabelError, match="word for its action"):
        ActionLabel("", "FREEZE", "HTTP://LIDCLOCK.LOCAL/A/FREEZE")
