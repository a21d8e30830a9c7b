"""Whatever a list holds, its pages are whole: nothing overlaps, nothing is left out."""

from __future__ import annotations

import re

from hypothesis import given
from hypothesis import strategies as st

from lidclock.errors import LabelError
from lidclock.labels import fonts
from lidclock.labels.list_page import ListPage, Row, Section, arranged, tidied
from lidclock.labels.sheet_part import MARGIN, PAPERS

plain = st.text(alphabet="abc WMj,.;-'éÅß0123456789()\\", max_size=120)
names = st.one_of(
    plain, st.text(max_size=40), st.sampled_from(["面包" * 30, "W" * 200])
)
rows = st.builds(
    Row,
    main=names.filter(str.strip),
    details=st.lists(names, max_size=3).map(tuple),
    lead=st.sampled_from(["", "06:30", "17:45"]),
)
sections = st.builds(
    Section,
    head=st.sampled_from(["Take out", "Over: must go"]),
    rows=st.lists(rows, max_size=12).map(tuple),
    blanks=st.sampled_from([(), ("Hour", "°C", "Initials")]),
)


@given(st.lists(sections, max_size=4), st.sampled_from(list(PAPERS)), names)
def test_every_word_is_on_a_page_and_on_no_other_word(found, paper, kitchen):
    page = ListPage(
        *("Pull list", kitchen, "Thu 5 Nov 2026", ("As recorded.",), tuple(found)),
        cautions=("Keep it cold.",),
    )
    width, height = PAPERS[paper]
    try:
        tidy = tidied(page)
        figures = arranged(tidy, width, height)
    except LabelError:  # what labels refuse: tests/unit says what that is
        return

    said = bare("".join(one.text for figure in figures for one in figure.texts))
    for section in tidy.sections:
        for row in section.rows:
            for word in (row.main, *row.details):
                assert bare(word) in said
    for figure in figures:
        assert touching(figure) == []
        for one in figure.texts:
            right = one.x + fonts.width_mm(one.text, one.face, one.size_pt)
            assert one.x >= MARGIN - 0.01
            assert right <= width - MARGIN + 0.01
            assert one.baseline <= height - MARGIN


def bare(text):
    """Without blanks and the marks that hold a line to its direction."""
    return re.sub(r"[\s\u200e\u200f]", "", text)


def touching(figure):
    """Pairs of texts of which one lies on the other, by their capitals."""
    boxes = []
    for one in figure.texts:
        tall = one.size_pt * fonts.MM_PER_PT * fonts.CAP_HEIGHT
        right = one.x + fonts.width_mm(one.text, one.face, one.size_pt)
        boxes.append((one.x, one.baseline - tall, right, one.baseline, one.text))
    return [
        (a[4], b[4])
        for n, a in enumerate(boxes)
        for b in boxes[:n]
        if a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]
    ]
