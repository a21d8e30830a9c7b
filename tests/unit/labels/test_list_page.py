"""Lists on paper: all is on the pages, nothing lies on anything, nothing is cut off."""

import re
from dataclasses import replace

import pypdfium2
import pytest

from lidclock.errors import LabelError
from lidclock.labels import fonts
from lidclock.labels.list_page import ListPage, Row, Section, arranged, draw_list
from lidclock.labels.sheet_part import MARGIN, PAPERS

BLANKS = ("Hour", "°F", "Initials")
LONG = "slow-cooked white beans with tomato, sage and a great deal of garlic " * 4
ROWS = (
    Row("bun dough, box 2 of 6", ("KDX 2DXE", "from Freezer · to Fridge"), "17:45"),
    Row(LONG.strip(), ("4S7 WBD1",)),
    Row("A" * 90, ("B" * 120,)),
    Row("面包" * 40),
    Row("שלום עולם 12"),
)
ITEMS = (
    Row("stew: 6 portions", ("for dinner",)),
    *(Row(f"input {n}", amount=f"{n}00 g", is_item=True) for n in range(1, 40)),
)
PAGE = ListPage(
    "Pull list",
    "Home",
    "Thu 5 Nov 2026",
    ("As recorded by Thu 5 Nov 2026 06:10.",),
    (
        Section("Take out", ROWS, BLANKS),
        Section("Over: must go", (), BLANKS),
        Section("Make", ITEMS, BLANKS),
    ),
    ("The date holds only if the food stayed cold.",),
)


def boxes(figure):
    """Left, top, right, bottom of each line of type, as tall as its capitals."""
    found = []
    for one in figure.texts:
        tall = one.size_pt * fonts.MM_PER_PT * fonts.CAP_HEIGHT
        right = one.x + fonts.width_mm(one.text, one.face, one.size_pt)
        found.append((one.x, one.baseline - tall, right, one.baseline, one.text))
    return found


def overlapping(figure):
    known = boxes(figure)
    return [
        (a[4], b[4])
        for n, a in enumerate(known)
        for b in known[:n]
        if a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]
    ]


def pages_of(pdf):
    """The text of each page, its size, and the boxes of its characters, in points."""
    document = pypdfium2.PdfDocument(pdf)
    found = []
    for page in document:
        text = page.get_textpage()
        marks = [text.get_charbox(n) for n in range(text.count_chars())]
        found.append((text.get_text_range(), page.get_size(), marks))
    document.close()
    return found


def bare(text):
    return re.sub(r"\s", "", text)


@pytest.mark.parametrize("paper", PAPERS)
def test_nothing_lies_on_anything_or_leaves_the_page(paper):
    width, height = PAPERS[paper]
    figures = arranged(PAGE, width, height)

    assert [overlapping(figure) for figure in figures] == [[]] * len(figures)
    for figure in figures:
        for left, top, right, bottom, text in boxes(figure):
            assert left >= MARGIN - 0.01, text
            assert right <= width - MARGIN + 0.01, text
            assert top >= MARGIN - 1, text
            assert bottom <= height - MARGIN + 1, text
        for panel in figure.panels:
            assert panel.x >= MARGIN - 0.01
            assert panel.x + panel.width <= width - MARGIN + 0.3
            assert panel.y + panel.height <= height - MARGIN + 1


@pytest.mark.parametrize("paper", PAPERS)
def test_no_text_runs_into_the_places_to_write_in(paper):
    width, height = PAPERS[paper]
    for figure in arranged(PAGE, width, height):
        lines = [one for one in figure.panels if one.width == 0.2 and one.height > 5]
        for left, top, right, bottom, text in boxes(figure):
            for line in lines:
                apart = right <= line.x or left >= line.x
                level = top < line.y + line.height and bottom > line.y
                assert apart or not level, text


@pytest.mark.parametrize("paper", PAPERS)
def test_another_reader_finds_every_line_on_the_pages(paper):
    pages = pages_of(draw_list(PAGE, paper))
    said = bare("".join(text for text, _, _ in pages))

    for section in PAGE.sections:
        assert bare(section.head) in said
        for row in section.rows:
            words = [row.main, *row.details, row.lead, row.amount]
            if row.main.startswith("שלום"):
                words = ["12"]  # the order of a line that runs left is the reader's
            for word in words:
                assert bare(word) in said, word
    for number, (text, size, marks) in enumerate(pages, start=1):
        assert f"page {number} of {len(pages)}" in text
        assert "Thu 5 Nov 2026" in text
        assert bare(PAGE.cautions[0]) in bare(text)
        for left, bottom, right, top in marks:
            assert 0 <= left <= right <= size[0]
            assert 0 <= bottom <= top <= size[1]


def test_each_row_has_a_box_to_tick():
    width, height = PAPERS["a4"]
    figures = arranged(PAGE, width, height)
    ticks = [one for x in figures for one in x.panels if not one.filled]

    assert len(ticks) == len(ROWS) + len(ITEMS)


def test_what_goes_on_overleaf_says_so_and_of_what_it_is():
    pages = pages_of(draw_list(PAGE, "letter"))

    assert len(pages) == 3
    assert "Make (continued): stew: 6 portions" in pages[2][0]
    assert "Pull list (continued)" in pages[1][0]


def test_a_head_never_stands_alone_at_the_foot():
    """However long the section above, the head is on the page of its first row."""
    width, height = PAPERS["a4"]
    for count in range(1, 30):
        rows = tuple(Row(f"row {n}") for n in range(count))
        sections = (Section("First", rows), Section("Second", (Row("only"),)))
        for figure in arranged(replace(PAGE, sections=sections), width, height):
            said = [one.text for one in figure.texts]
            assert ("Second" in said) == ("only" in said)


def test_the_same_list_gives_the_same_bytes():
    assert draw_list(PAGE) == draw_list(PAGE)


@pytest.mark.parametrize(
    ("name", "why"),
    [
        ("stew\x07", "control character U\\+0007"),
        ("stew\u202e", "control character U\\+202E"),
        ("stew 03/04", "all-number date"),
        ("\U000f0000", "U\\+F0000|control|font"),
    ],
)
def test_what_labels_refuse_is_refused(name, why):
    sections = (Section("Make", (Row(name),)),)
    with pytest.raises(LabelError, match=why):
        draw_list(replace(PAGE, sections=sections))


def test_a_row_taller_than_a_page_is_refused_with_what_to_do():
    sections = (Section("Make", (Row("word " * 3000),)),)
    with pytest.raises(LabelError, match="taller than a page: shorten"):
        draw_list(replace(PAGE, sections=sections))


def test_an_unknown_paper_names_those_there_are():
    with pytest.raises(LabelError, match="a4, letter"):
        draw_list(PAGE, "a5")
