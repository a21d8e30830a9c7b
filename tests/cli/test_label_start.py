"""Part-used sheets: where labels begin, and where the next ones will."""

import pytest

from lidclock.labels.preview import picture


def ink_in_cell(path, column, row):
    """Whether anything stands on that label of a letter-3x10 sheet; 6 dots to a mm."""
    page = picture(path.read_bytes(), 152)
    mm = page.width / 215.9
    left, top = 4.7625 + column * 69.85, 12.7 + row * 25.4
    box = (round(left * mm), round(top * mm) + 2)
    cell = page.crop((*box, round((left + 66.6) * mm), round((top + 25.4) * mm) - 2))
    return min(cell.tobytes()) < 128


def test_labels_begin_at_the_free_one(stew):
    """Three from the 5th on are row 1, columns 1 and 2, and row 2, column 0."""
    stew.run("label", "--batch", "1", "--start", "5", "--out", "a.pdf")
    filled = [
        (column, row)
        for row in range(10)
        for column in range(3)
        if ink_in_cell(stew.folder / "a.pdf", column, row)
    ]

    assert filled == [(1, 1), (2, 1), (0, 2)]


@pytest.mark.parametrize(
    ("start", "said"),
    [
        ("1", "the sheet goes on at label 4: next time `--start 4`"),
        ("27", "the sheet goes on at label 30: next time `--start 30`"),
        ("29", "the sheet goes on at label 2: next time `--start 2`"),
    ],
)
def test_it_is_said_where_the_last_sheet_goes_on(stew, start, said):
    seen = stew.see("label", "--batch", "1", "--start", start, "--out", "a.pdf")

    assert seen.splitlines()[-1] == said


@pytest.mark.parametrize("words", [("--start", "28"), ("--stock", "roll-50x25")])
def test_of_a_sheet_that_is_used_up_nothing_is_said(stew, words):
    seen = stew.see("label", "--batch", "1", *words, "--out", "a.pdf")

    assert len(seen.splitlines()) == 1


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (
            ("--start", "31"),
            17,
            "stock letter-3x10 has cells 1 to 30; there is no cell 31",
        ),
        (("--start", "2", "--stock", "roll-50x25"), 17, "has one cell to a page"),
        (("--start", "0"), 2, "x>=1"),
    ],
)
def test_a_label_that_the_sheet_does_not_have_is_refused(stew, words, code, said):
    before = stew.event_count()

    assert said in stew.fail(code, "label", "--batch", "1", *words, "--out", "a.pdf")
    assert stew.event_count() == before
    assert not (stew.folder / "a.pdf").exists()
