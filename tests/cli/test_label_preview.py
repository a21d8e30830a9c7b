"""Labels previewed: shown, written dot by dot, read back, recorded nowhere."""

from importlib import import_module

import pytest
from PIL import Image

ALIKE = ("--columns", "60")


def test_a_preview_shows_the_label_and_reads_it_back(stew):
    code = stew.codes()[0]
    lines = stew.see("label", "preview", code, *ALIKE).splitlines()

    assert lines[0] == (
        f"{code[:3]} {code[3:]} on letter-3x10 (66.675 x 25.4 mm, 300 dpi)"
    )
    # 66.675 x 25.4 mm in 58 columns are 58 x 25.4 / 66.675 / 2 = 11 rows.
    assert lines[1] == f"┌{'─' * 58}┐"
    assert lines[13] == f"└{'─' * 58}┘"
    assert all(len(line) == 60 for line in lines[1:14])
    assert sum(line.count("█") for line in lines[2:13]) > 20
    assert lines[14:] == [
        f"Code128 {code} reads",
        f"QRCode HTTP://LIDCLOCK.LOCAL/C/{code} reads",
    ]


def test_a_preview_records_nothing(stew):
    before = stew.event_count()
    stew.run("label", "preview", stew.codes()[0], "--out", "lid.png")

    assert stew.event_count() == before
    assert stew.data("list")["containers"][0]["labelled"] is False


def test_a_picture_has_a_pixel_for_each_dot_and_no_grey(stew):
    """50.8 x 25.4 mm at 8 dots to the millimetre; at 300 to the inch, 600 x 300."""
    code = stew.codes()[0]
    words = ("label", "preview", code, "--stock", "roll-50x25")
    seen = stew.see(*words, "--out", "lid.png")
    stew.run(*words, "--dpi", "300", "--out", "fine.png")

    assert seen.endswith("picture: lid.png\n")
    for name, size in (("lid.png", (406, 203)), ("fine.png", (600, 300))):
        with Image.open(stew.folder / name) as picture:
            assert (picture.size, picture.mode) == (size, "1")
            black = picture.histogram()[0] / (size[0] * size[1])
            assert 0.1 < black < 0.5


def test_a_page_is_written_as_a_pdf_if_it_is_called_so(stew):
    stew.run("label", "preview", stew.codes()[0], "--out", "lid.pdf")

    assert (stew.folder / "lid.pdf").read_bytes().startswith(b"%PDF")


def test_of_several_each_has_its_code_in_the_name(stew):
    codes = stew.codes()
    seen = stew.see("label", "preview", *codes, *ALIKE, "--out", "lid.png")

    for code in codes:
        assert (stew.folder / f"lid-{code}.png").exists()
        assert f"picture: lid-{code}.png" in seen


def test_a_code_may_be_typed_with_its_gap(stew):
    code = stew.codes()[1]
    seen = stew.see("label", "preview", code[:3], code[3:], *ALIKE)

    assert f"Code128 {code} reads" in seen


def test_a_small_lid_reads_its_matrix(stew):
    code = stew.codes()[0]
    seen = stew.see("label", "preview", code, "--stock", "roll-25x25", *ALIKE)

    assert seen.endswith(f"DataMatrix {code} reads\n")


def test_nothing_is_read_where_that_is_not_wanted(stew):
    seen = stew.see("label", "preview", stew.codes()[0], "--no-verify")

    assert "reads" not in seen
    assert seen.endswith("symbols not read back (--no-verify)\n")


def test_what_does_not_read_is_told(stew, monkeypatch):
    """The reader is made to see nothing: what is due is then missing."""
    reader = import_module("lidclock.labels.verify")
    monkeypatch.setattr(reader, "read_picture", lambda _: [])
    code = stew.codes()[0]
    seen = stew.see("label", "preview", code, *ALIKE)

    assert f"! Code128 {code} was not read" in seen
    assert f"! QRCode HTTP://LIDCLOCK.LOCAL/C/{code} was not read" in seen


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (("4F7K2M0",), 11, "is not in this kitchen"),
        (("nonsense",), 11, "is not a container code"),
        (("--stock", "gold"), 17, "no label stock 'gold'"),
        (("--dpi", "72"), 17, "72 dpi is outside 150 to 2400"),
        (("--columns", "3"), 2, "20<=x<=400"),
    ],
)
def test_what_cannot_be_shown_is_refused(stew, words, code, said):
    known = [] if words[0][0] != "-" else [stew.codes()[0]]

    assert said in stew.fail(code, "label", "preview", *known, *words)
