"""The block before the date: its word fits inside, whatever script it is in."""

from __future__ import annotations

import pytest

from lidclock.labels import fonts, headline

SIZES = (15.0, 11.0)


@pytest.mark.parametrize(
    "word", ["USE BY", "FROZEN", "À CONSOMMER AVANT", "לשימוש עד", "يستخدم قبل", "ἕως"]
)
def test_the_word_stays_inside_its_block(word):
    made = headline.compose(word, "3 Nov 2026", 60, SIZES)
    texts, panels = [], []
    made.put(texts, panels, [], 10.0, 5.0)
    (panel,) = panels
    words = texts[:-1]

    assert words
    for text in words:
        em = text.size_pt * fonts.MM_PER_PT
        above = fonts.CAP_HEIGHT if text.text.isascii() else fonts.ascent(text.text)
        below = 0.0 if text.text.isupper() else fonts.descent(text.text)
        right = text.x + fonts.width_mm(text.text, text.face, text.size_pt)
        assert panel.y <= text.baseline - above * em
        assert text.baseline + below * em <= panel.y + panel.height
        assert panel.x <= text.x < right <= panel.x + panel.width


@pytest.mark.parametrize("word", ["USE BY", "לְשִׁימוּשׁ עַד", "يُسْتَخْدَمُ قَبْلَ"])
def test_two_lines_of_a_word_do_not_touch(word):
    made = headline.compose(word, "3 Nov 2026", 60, SIZES)
    texts = []
    made.put(texts, [], [], 0.0, 0.0)
    first, second = texts[:2]
    em = first.size_pt * fonts.MM_PER_PT
    tall = fonts.CAP_HEIGHT if word.isascii() else fonts.ascent(second.text)
    deep = 0.0 if word.isascii() else fonts.descent(first.text)

    assert first.baseline + deep * em < second.baseline - tall * em
