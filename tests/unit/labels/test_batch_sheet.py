"""Batch sheets: everything is on the page, nothing lies on anything."""

from dataclasses import replace

import pypdfium2
import pytest

from lidclock.errors import LabelError
from lidclock.labels import fonts
from lidclock.labels.batch_sheet import (
    BatchSheet,
    SheetRow,
    arranged,
    draw_batch_sheet,
)
from lidclock.labels.sheet_part import PAPERS

ROW = SheetRow("wheat flour", "100", "1089.7 g")
SHEET = BatchSheet(
    "bun dough",
    ("6 portions of 300 g", "Percentages are of wheat flour."),
    (ROW, SheetRow("milk", "45", "490.4 g")),
    SheetRow("all together", "145", "1580.1 g"),
    "Divide 1580 g over 2 containers: 2 x 790 g",
    ("790 g", "790 g"),
    (("Allergens", "wheat, milk"), ("Note", "Knead until smooth.")),
    "This sheet sets no date.",
)


def rows(count, name="input"):
    return tuple(SheetRow(f"{name} {n}", "1", "10 g") for n in range(count))


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


def within(box, room):
    left, top, right, bottom = box[:4]
    return (left >= room[0] and top >= room[1]) and (
        right <= room[2] and bottom <= room[3]
    )


MANY = {
    "few": SHEET,
    "one": replace(SHEET, rows=(ROW,), containers=("1 g",)),
    "twelve": replace(SHEET, rows=rows(12), containers=("308 g",) * 12),
    "twenty": replace(SHEET, rows=rows(20), containers=("308 g",) * 24),
    "no containers": replace(SHEET, divide="", containers=()),
    "hundreds": replace(SHEET, containers=("308 g",) * 500),
    "long title": replace(SHEET, title="a very long name of a soup " * 4),
    "long names": replace(SHEET, rows=rows(8, "stock of celery, leek and carrot, no")),
}


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", MANY)
def test_everything_lies_on_the_page_and_apart(name, paper):
    width, height = PAPERS[paper]

    figure = arranged(MANY[name], width, height)

    assert overlapping(figure) == []
    room = (10, 10, width - 10, height - 10)
    assert [one for one in boxes(figure) if not within(one, room)] == []
    lines = [(x.x, x.y, x.x + x.width, x.y + x.height) for x in figure.panels]
    assert [one for one in lines if not within(one, room)] == []


def test_each_input_and_each_container_has_a_box_to_tick():
    figure = arranged(SHEET, *PAPERS["a4"])

    assert sum(not one.filled for one in figure.panels) == 2 + 2


def test_where_rows_are_many_the_boxes_of_containers_give_way():
    full = replace(SHEET, rows=rows(26), containers=("308 g",) * 24)

    figure = arranged(full, *PAPERS["a4"])

    assert sum(not one.filled for one in figure.panels) == 26


def test_few_rows_are_set_large():
    figure = arranged(SHEET, *PAPERS["a4"])
    (mass,) = [one for one in figure.texts if one.text == "1089.7 g"]

    assert mass.size_pt == 15
    assert mass.face == fonts.BOLD


def test_more_than_a_page_holds_is_refused_with_how_many_fit():
    with pytest.raises(
        LabelError, match=r"60 inputs do not fit on one page, \d+ would"
    ):
        draw_batch_sheet(replace(SHEET, rows=rows(60)))


def test_a_name_that_cannot_fit_is_refused():
    wide = replace(SHEET, rows=(replace(ROW, name="W" * 120),))

    with pytest.raises(LabelError, match="does not fit beside its mass"):
        draw_batch_sheet(wide)


def test_a_word_wider_than_the_page_is_refused():
    with pytest.raises(LabelError, match="wider than the page"):
        draw_batch_sheet(replace(SHEET, title="W" * 120))


def test_an_unknown_paper_is_refused():
    with pytest.raises(LabelError, match="there are a4, letter"):
        draw_batch_sheet(SHEET, "a5")


def test_the_same_sheet_is_the_same_file():
    assert draw_batch_sheet(SHEET) == draw_batch_sheet(SHEET)


def test_the_page_is_black_and_white_only():
    """Rendered in colour no pixel has one: every copier can print it."""
    document = pypdfium2.PdfDocument(draw_batch_sheet(SHEET))
    image = document[0].render(scale=1).to_pil().convert("RGB")
    document.close()

    colours = {pixel for _, pixel in image.getcolors(1 << 24)}
    assert len(colours) > 1
    assert all(red == green == blue for red, green, blue in colours)
