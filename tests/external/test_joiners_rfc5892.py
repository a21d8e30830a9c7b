"""Joiners stay where RFC 5892 lets them stand, and shape what is printed.

The rules are those of RFC 5892, Appendix A.1 (ZERO WIDTH NON-JOINER) and A.2 (ZERO
WIDTH JOINER). The two host names are the worked examples of Unicode Technical Standard
46, table "Deviation Characters", in the ASCII form (RFC 3492) printed there; the
Persian example of Unicode document L2/06-353 says "a letter" with the non-joiner and
"names" without it. U+200D before a virama: The Unicode Standard, chapters on Bengali
(Ra with ya-phalaa) and Kannada, from memory, unverified.
"""

# ruff: noqa: RUF001 - Arabic letters that look like Latin ones
from __future__ import annotations

import pytest

from lidclock.domain.joiners import misplaced_joiner, without_joiners
from lidclock.errors import LabelError
from lidclock.labels import fonts, found, shaping
from lidclock.labels.content import clean

PUBLISHED = {"Persian": b"mgba3gch31f060k", "Sinhala": b"10cl1a0b660p"}
FACES = (fonts.REGULAR, fonts.BOLD)


@pytest.mark.parametrize("ascii_form", PUBLISHED.values(), ids=PUBLISHED)
def test_the_published_examples_keep_their_joiner(ascii_form):
    name = ascii_form.decode("punycode")

    assert without_joiners(name) != name
    assert clean(name, "a name") == name


@pytest.mark.parametrize(
    "text",
    [
        *("نمی\u200cخواهم", "سبزی\u200cپلو", "کوفته\u200cها", "نم\u0651\u200cها"),
        *("ශ්\u200dරී", "क्\u200dष", "क्\u200cष", "അവന്\u200d"),
        *("র\u200d্যাডিশ", "ರ\u200d್ಕ"),
    ],
)
def test_a_joiner_stays_where_its_script_needs_it(text):
    assert misplaced_joiner(text) == ""


@pytest.mark.parametrize(
    "text",
    [
        *("so\u200cup", "so\u200dup", "Auf\u200clauf", "面\u200c包", "אב\u200cג"),
        *("\u200cنمی", "نمی\u200c", "نمی\u200c خواهم", "نمی \u200cخواهم"),
        *("نمی\u200c\u200cخواهم", "نمی\u200dخواهم", "۱۲\u200cتایی", "نمی\u200cab"),
        *("\u200d", "क\u200dष", "1\u200d2", "👩\u200d🍳"),
    ],
)
def test_a_joiner_is_refused_anywhere_else(text):
    with pytest.raises(LabelError, match=r"invisible joiner U\+200[CD] where its"):
        clean(text, "a name")


@pytest.mark.parametrize(
    "control", ["\u200b", "\u200e", "\u202b", "\u202e", "\u2060", "\u2066", "\u00ad"]
)
def test_other_invisible_characters_are_refused_between_the_same_letters(control):
    """No marks, embeddings, overrides, isolates, soft hyphens or word joiners."""
    with pytest.raises(LabelError, match=r"control character U\+"):
        clean(f"نمی{control}خواهم", "a name")


def numbers(text, face):
    return [
        glyph.number
        for piece in shaping.line(text, face).pieces
        for glyph in piece.glyphs
    ]


@pytest.mark.parametrize("face", FACES)
def test_the_non_joiner_parts_letters_and_prints_nothing(face):
    """Yeh before it takes the shape it has at a word's end; no glyph stands for it."""
    parted, joined = "می\u200cخ", "میخ"

    # From the left: the second part stands before the first.
    assert numbers(parted, face) == numbers("خ", face) + numbers("می", face)
    assert numbers(parted, face) != numbers(joined, face)


@pytest.mark.parametrize("face", FACES)
def test_between_letters_that_do_not_join_it_changes_nothing(face):
    parted, plain = shaping.line("دا\u200cدا", face), shaping.line("دادا", face)

    assert (parted.width, parted.ascent) == (plain.width, plain.ascent)
    assert numbers("دا\u200cدا", face) == numbers("دادا", face)


@pytest.mark.parametrize(
    ("file", "with_joiner"),
    [
        ("NotoSansSinhala-Regular.ttf", "ශ්\u200dරී"),
        ("NotoSansBengali-Regular.ttf", "র\u200d্যা"),
    ],
)
@pytest.mark.parametrize("face", FACES)
def test_the_joiner_makes_another_shape_and_prints_nothing(face, file, with_joiner):
    if file not in found.files(found.folders()):
        pytest.skip(f"no {file} here: apt-get install fonts-noto-core")
    without = without_joiners(with_joiner)

    assert numbers(with_joiner, face) != numbers(without, face)
    assert 0 not in numbers(with_joiner, face)
    assert len(numbers(with_joiner, face)) < len(with_joiner)


def test_names_that_differ_by_a_joiner_alone_are_told_apart():
    """They are two words, and stay as they were typed."""
    assert clean("نامه\u200cای", "a name") != clean("نامهای", "a name")
