"""Text in the page's stream: every letter a letter, nothing a command."""

from __future__ import annotations

import io
import re
import zlib
from dataclasses import replace

import pypdfium2
import pytest

from lidclock.labels import content, draw_sheet, load_stock, shipped
from lidclock.labels.draw import arrange_all, draw_figures
from lidclock.labels.figure import Figure, Text

STREAM = re.compile(rb"/Length \d+\n>>\nstream\n(.*?)endstream", re.DOTALL)
SHEET = load_stock("letter-3x10")


def contents(pdf: bytes) -> list[str]:
    """The drawing operators of each page."""
    found = [zlib.decompress(one) for one in STREAM.findall(pdf)]
    return [one.decode("ascii") for one in found if b" cm\n" in one]


def extracted(pdf: bytes) -> str:
    document = pypdfium2.PdfDocument(pdf)
    text = "".join(page.get_textpage().get_text_range() for page in document)
    document.close()
    return text


def lines_of(texts: list[str]) -> bytes:
    """A page with these texts, one below the other."""
    set_up = tuple(
        Text(1.0, 2.0 + n * 0.7, text, shipped.REGULAR, 1.5)
        for n, text in enumerate(texts)
    )
    return draw_figures([Figure((), set_up, (), ())], SHEET)


@pytest.mark.parametrize(
    "text",
    [
        *("(", ")", "((", "\\", "\\)", "\\051", "(a) Tj ET Q", "<</JS(x)>>", "%PDF"),
        *("5 °C · 240 g", "Żurek", "Борщ", "100 % (net)", "a\u00a0b"),
    ],
)
def test_any_text_comes_out_as_it_went_in(text):
    assert extracted(lines_of([text])).strip() == text.replace("\u00a0", " ")


def test_brackets_and_backslashes_are_written_as_numbers():
    (page,) = contents(lines_of([r"a(b)\c"]))

    assert r"(a\050b\051\134c)Tj" in page


def test_more_letters_than_one_part_of_a_font_holds():
    """A part has 256; these need two, and a text with letters of both is whole."""
    letters = [chr(one) for one in range(0xC0, 0x590) if shipped.is_simple(chr(one))]
    mixed = letters[0] + letters[-1] + "a" + letters[-2]
    texts = ["".join(letters[at : at + 40]) for at in range(0, len(letters), 40)]
    pdf = lines_of([*texts, mixed])

    assert len(letters) > 256
    found = extracted(pdf).split()
    assert found == [*texts, mixed]
    assert pdf.count(b"/FontFile2") >= 2


def test_white_text_does_not_leave_the_ink_white(make):
    (page,) = contents(draw_sheet([make()], SHEET))

    assert page.count("1 g ") == page.count(" 0 g") == 2


def test_the_same_label_is_the_same_text_in_every_cell(make):
    """Only the corner differs: that is what lets a page compress so well."""
    (page,) = contents(draw_sheet([make()] * 3, SHEET))
    one, other, third = page.split("\nq 2.82")[1:]

    bodies = {body.split(" cm\n", 1)[1].rstrip() for body in (one, other, third)}
    assert len(bodies) == 1


def test_labels_of_other_batches_have_their_own_rule(make):
    """The rule is written once for all labels that share it, and only for them."""
    longer = content.Ruler(make().ruler.first, make().ruler.last.replace(day=6))
    labels = [make(), make(ruler=longer), make()]
    (page,) = contents(draw_sheet(labels, SHEET))
    one, other, third = page.split("\nq 2.82")[1:]

    notches = re.compile(r"[\d.]+ w (?:[-\d.]+ [-\d.]+ m [-\d.]+ [-\d.]+ l ?){2,}S")
    first, second, last = (notches.search(body)[0] for body in (one, other, third))
    assert first == last
    assert second.count(" l") == first.count(" l") + 3


def test_months_in_another_script_stand_on_the_rule(make):
    months = (
        "ינו",
        "פבר",
        "מרץ",
        "אפר",
        "מאי",
        "יונ",
        "יול",
        "אוג",
        "ספט",
        "אוק",
        "נוב",
        "דצמ",
    )
    label = make(ruler=replace(make().ruler, months=months))
    (figure,) = arrange_all([label], load_stock("a4-3x8"))
    text = extracted(draw_figures([figure], load_stock("a4-3x8")))

    assert {mark.text for mark in figure.rule[2].months} == {"אוק", "נוב"}
    assert "אוק" in text or "אוק"[::-1] in text


def test_pages_are_compressed_and_nothing_more(make):
    pdf = draw_sheet([make()], SHEET)

    assert b"ASCII85" not in pdf
    assert io.BytesIO(pdf).read(5) == b"%PDF-"
