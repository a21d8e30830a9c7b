"""Whatever a person types: it is drawn with real letters, or refused by name."""

from __future__ import annotations

import re
import unicodedata

from hypothesis import given
from hypothesis import strategies as st

from lidclock.domain.joiners import JOINERS, misplaced_joiner
from lidclock.errors import LabelError
from lidclock.labels import bidi, fonts, runs, shaping
from lidclock.labels.content import clean

# Printable: letters, marks, numbers, signs, spaces of every script there is.
PRINTABLE = st.characters(exclude_categories=("C", "Zl", "Zp"))
# Where scripts, directions and figures meet.
MIXED = st.sampled_from(
    "abZ אבגשׁ ابحلا 0123456789 ١٢٣۴ .,:/-+%°()[]«»·×–… "
    "\u05b8\u064b\u0301 กุ้ 漢かナ 한 क्षि"
)
TEXTS = st.text(st.one_of(MIXED, PRINTABLE), min_size=1, max_size=12)
FIGURES = st.text(MIXED, min_size=1, max_size=24)


@given(TEXTS)
def test_text_is_refused_by_name_or_drawn_whole(text):
    text = unicodedata.normalize("NFC", text)
    told = refusal(text)

    assert told is None or re.search(r"U\+[0-9A-F]{4,6} ([A-Z]|without)", told)
    if told is None and not fonts.is_plain(text):
        for face in (fonts.REGULAR, fonts.BOLD):
            drawn = shaping.line(text, face)
            assert all(one.number for piece in drawn.pieces for one in piece.glyphs)
            assert sum(len(piece.text) for piece in drawn.pieces) == len(text)


def refusal(text: str) -> str | None:
    try:
        fonts.check(text)
    except LabelError as error:
        return str(error)
    return None


# Letters that joiners are used with, marks among them, and some they are not used with.
JOINED = st.text(
    st.sampled_from(
        "ab 12۳ اهیخمر\u0651 क\u094dष\u093f ශ\u0dcaරී র\u09cdয \u200c\u200d\u200c"
    ),
    min_size=1,
    max_size=10,
)


@given(JOINED)
def test_a_joiner_is_refused_or_kept_and_shaped(text):
    kept = cleaned(text)
    if kept is None:
        assert JOINERS & set(text)
        return
    assert misplaced_joiner(kept) == ""
    assert joiners_of(kept) == joiners_of(text)
    if refusal(kept) is None and joiners_of(kept):
        for face in (fonts.REGULAR, fonts.BOLD):
            drawn = shaping.line(kept, face)
            assert all(one.number for piece in drawn.pieces for one in piece.glyphs)
            assert JOINERS.isdisjoint(
                piece.text for piece in drawn.pieces if piece.style is None
            )


def cleaned(text: str) -> str | None:
    """The text as a label takes it, or None where it refuses a joiner."""
    try:
        return clean(text, "a name")
    except LabelError as error:
        return None if "invisible joiner U+200" in str(error) else "?"


def joiners_of(text: str) -> list[str]:
    return [one for one in text if one in JOINERS]


@given(JOINED)
def test_a_joiner_is_never_all_that_no_font_shows(text):
    lost = set(fonts.missing(text))

    assert not lost or lost - JOINERS


@given(TEXTS)
def test_refused_characters_are_among_those_typed(text):
    assert set(fonts.missing(text)) <= set(text)


@given(TEXTS)
def test_clusters_lose_nothing(text):
    assert "".join(runs.clusters(text)) == text


@given(FIGURES)
def test_figures_of_a_number_are_never_turned_round(text):
    """Neighbouring figures stand in the order they were typed in."""
    order = bidi.visual(bidi.levels(text))
    place = {typed: shown for shown, typed in enumerate(order)}

    for typed in range(len(text) - 1):
        if text[typed].isdigit() and text[typed + 1].isdigit():
            assert place[typed] < place[typed + 1]


@given(FIGURES)
def test_the_order_of_mixed_text_is_never_in_doubt(text):
    """The two implementations that must agree do."""
    assert sorted(bidi.visual(bidi.levels(text))) == list(range(len(text)))
