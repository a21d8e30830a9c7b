"""A label is arranged the same alone as after any others.

Which attempts have room for it is found out on a label with marks for figures, and its
own figures are filled in. Nothing of that may show.
"""

from __future__ import annotations

from datetime import date, timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from lidclock.errors import LabelError
from lidclock.labels import Label, Ruler, arrange, load_stock, stencil
from lidclock.labels.figure import Figure, moved
from lidclock.labels.layout import load_layout

# One of each arrangement.
STOCKS = ("letter-3x10", "roll-50x25", "letter-4x20")
ALPHABET = "0123456789BCDEFGHJKMNPRSTVWX"
# Narrow and wide letters, figures, joints at which lines may break, two scripts that
# are shaped beside them.
WORDS = st.lists(
    st.sampled_from(
        [
            *("soup", "Slow-braised", "filling", "WWW", "i", "Éclair", "Борщ", "5 °C"),
            *("12", "3.5", "2026", "No 7", "(4)", "1/2 l", "·", "box 1 of 4", "240 g"),
            *("מרק", "B12", "鶏"),
        ]
    ),
    min_size=1,
    max_size=9,
).map(" ".join)
CODES = st.text(ALPHABET, min_size=7, max_size=7)
FIRST = date(2026, 10, 31)


@st.composite
def drawn(draw: st.DrawFn) -> Label:
    code = draw(CODES)
    days = draw(st.none() | st.integers(0, 20))
    return Label(
        name=draw(WORDS),
        code=code,
        uri=f"HTTP://LIDCLOCK.LOCAL/C/{code}",
        headline_word=draw(st.sampled_from(["USE BY", "BEST BY", "FROZEN", "NO DATE"])),
        headline=draw(st.sampled_from(["Tue 3 Nov 2026", "Wed 30 Sep 2026", "ask"])),
        headline_note=draw(st.just("") | WORDS),
        lines=tuple(draw(st.lists(WORDS, max_size=2))),
        handling=draw(st.just("") | WORDS.map(lambda words: f"Keep cold. {words}.")),
        allergens=draw(st.none() | st.just(()) | st.just(("soy", "wheat"))),
        ruler=None if days is None else Ruler(FIRST, FIRST + timedelta(days=days)),
    )


@st.composite
def pairs(draw: st.DrawFn) -> tuple[Label, Label]:
    """A label, and one like it: other figures, another code."""
    label = draw(drawn())
    code = draw(CODES)
    turn = draw(st.integers(1, 9))
    swap = str.maketrans("0123456789", "".join(str((n + turn) % 10) for n in range(10)))
    other = Label(
        name=label.name.translate(swap),
        code=code,
        uri=f"HTTP://LIDCLOCK.LOCAL/C/{code}",
        headline_word=label.headline_word,
        headline=label.headline.translate(swap),
        headline_note=label.headline_note.translate(swap),
        lines=tuple(line.translate(swap) for line in label.lines),
        handling=label.handling.translate(swap),
        allergens=label.allergens,
        ruler=label.ruler,
    )
    return label, other


def together(label: Label, name: str) -> Figure | str:
    """The figure, or why there is none."""
    stock = load_stock(name)
    try:
        return arrange.arrange(label, stock, load_layout(stock.layout), 203)
    except LabelError as error:
        return str(error)


def alone(label: Label, name: str) -> Figure | str:
    """The same with every attempt made on this very label."""
    stock = load_stock(name)
    room = arrange.room(stock, load_layout(stock.layout), 203)
    try:
        return moved(arrange.alone(label, room.cell, name), *room.inset)
    except LabelError as error:
        return str(error)


# Each example arranges a label at every size there is.
@settings(max_examples=settings.default.max_examples // 2)
@given(pairs(), st.sampled_from(STOCKS))
def test_a_label_does_not_depend_on_the_one_before_it(pair, name):
    first, second = pair

    assert together(first, name) == alone(first, name)
    assert together(second, name) == alone(second, name)


@given(st.integers(0, 89))
def test_every_place_can_be_told_from_its_two_marks(place):
    first, second = stencil.first_mark(place), stencil.second_mark(place)

    assert first != second
    assert stencil.place_of(first, second) == place
