"""Names of food as people write them: every script printed, no digit turned round.

The names in data/names_in_scripts.json are ordinary words of each language, typed as
its speakers type them; what must come out of the PDF is those same characters, read
back by PDFium. Scripts the shipped faces lack need the Debian package beside the name.
"""

from __future__ import annotations

import io
import json
import re
import unicodedata
from collections import Counter
from dataclasses import replace
from pathlib import Path

import pypdfium2
import pytest
from PIL import Image, ImageChops, ImageDraw, ImageFont, features
from reportlab.pdfgen.canvas import Canvas

from lidclock.labels import (
    Label,
    arrange_all,
    bidi,
    draw_figures,
    draw_sheet,
    embed,
    fonts,
    found,
    load_stock,
    shaping,
    shipped,
)

ROWS = json.loads(
    (Path(__file__).parent / "data" / "names_in_scripts.json").read_text("utf-8")
)
FACES = (fonts.REGULAR, fonts.BOLD)
STOCK = load_stock("roll-57x32")
SIZE_PT = 40
# Marks that searches pass over: the word joiner, the zero-width non-joiner and joiner.
UNSEEN = {"\u2060", "\u200c", "\u200d"}


def need(row) -> None:
    """Skip where the Debian package with the script's font is not installed."""
    if row["file"] and row["file"] not in found.files(found.folders()):
        pytest.skip(f"no {row['script']} font here: apt-get install {row['package']}")


@pytest.fixture(params=ROWS, ids=[row["script"] for row in ROWS])
def row(request):
    need(request.param)
    return request.param


def label(name: str, allergen: str = "milk") -> Label:
    return Label(
        name=name,
        code="4F7K2M0",
        uri="HTTP://LIDCLOCK.LOCAL/C/4F7K2M0",
        headline_word="USE BY",
        headline="Tue 3 Nov 2026",
        lines=("made Sat 31 Oct 17:40",),
        allergens=(allergen,),
    )


def characters(pdf: bytes) -> list[tuple[str, tuple[float, float, float, float]]]:
    """Each character on the first page and its box: left, bottom, right, top."""
    page = pypdfium2.PdfDocument(pdf)[0].get_textpage()
    return [
        (page.get_text_range(n, 1), page.get_charbox(n))
        for n in range(page.count_chars())
    ]


def drawn(line: shaping.Line, face: str) -> bytes:
    """A page with that line alone."""
    out = io.BytesIO()
    shipped.register()
    canvas = Canvas(out, pagesize=(1200, 120), invariant=1)
    embed.draw(canvas, (40, 50), line, face, SIZE_PT)
    canvas.save()
    return out.getvalue()


def image(line: shaping.Line, face: str):
    document = pypdfium2.PdfDocument(drawn(line, face))
    return document[0].render(scale=1, grayscale=True).to_pil()


def seen(text: str) -> Counter[str]:
    """The visible characters of a text, parted and counted."""
    whole = unicodedata.normalize("NFC", text)
    return Counter(
        one
        for one in unicodedata.normalize("NFD", whole)
        if not one.isspace() and one not in UNSEEN
    )


@pytest.mark.parametrize("face", FACES)
def test_every_glyph_is_one_the_font_has(row, face):
    """Glyph 0 of every font is its empty box, .notdef (OpenType, glyf table)."""
    line = shaping.line(unicodedata.normalize("NFC", row["name"]), face)
    numbers = [glyph.number for piece in line.pieces for glyph in piece.glyphs]

    assert 0 not in numbers
    assert all(
        shipped.is_plain(piece.text) for piece in line.pieces if piece.style is None
    )


def test_the_name_can_be_read_back_from_the_label(row):
    wanted = label(row["name"], row["allergen"])
    text = "".join(one for one, _ in characters(draw_sheet([wanted], STOCK)))

    assert seen(wanted.name) - seen(text) == Counter()
    assert seen(row["allergen"].upper()) - seen(text) == Counter()


@pytest.mark.parametrize("face", FACES)
def test_the_name_reads_in_its_own_order(row, face):
    """Letter by letter for one line alone; marks may follow or lead their letter."""
    name = unicodedata.normalize("NFC", row["name"])
    text = "".join(one for one, _ in characters(drawn(shaping.line(name, face), face)))

    assert letters(text) == letters(name)


def letters(text: str) -> str:
    """The letters without marks, in order; Thai and Lao AM as the two they are."""
    return "".join(
        one
        for one in unicodedata.normalize("NFKD", text)
        if unicodedata.category(one)[0] in "LN"
    )


@pytest.mark.parametrize("face", FACES)
def test_no_part_of_a_name_is_blank_or_an_empty_box(row, face):
    line = shaping.line(unicodedata.normalize("NFC", row["name"]), face)
    for piece in line.pieces:
        boxes = tuple(replace(glyph, number=0) for glyph in piece.glyphs)
        alone = image(replace(line, pieces=(piece,)), face)
        boxed = image(replace(line, pieces=(replace(piece, glyphs=boxes),)), face)

        assert piece.text.isspace() or alone.point(lambda grey: 255 - grey).getbbox()
        assert piece.style is None or piece.text.isspace() or alone != boxed


@pytest.mark.parametrize("face", FACES)
def test_all_ink_lies_in_the_room_a_name_is_given(row, face):
    """Marks above and below count: nothing is drawn outside the measured box."""
    name = unicodedata.normalize("NFC", row["name"])
    left, top, right, bottom = (
        image(shaping.line(name, face), face)
        .point(lambda grey: 255 if grey < 128 else 0)
        .getbbox()
    )
    room = fonts.width_mm(name, face, SIZE_PT) / fonts.MM_PER_PT

    assert left >= 40 - fonts.overhang(name) * SIZE_PT - 1
    assert right <= 40 + room + 1
    assert top >= 70 - fonts.ascent(name) * SIZE_PT - 1
    assert bottom <= 70 + fonts.descent(name) * SIZE_PT + 1


@pytest.mark.parametrize("stock", ["roll-57x32", "letter-3x10", "roll-100x62"])
def test_no_ink_lies_outside_the_boxes_of_a_label(row, stock):
    """Marks above a name touch no date, marks below no allergen: boxes never meet."""
    size = load_stock(stock)
    wide, tall = size.label_width_mm, size.label_height_mm
    alone = replace(
        *(size,),
        **{"kind": "roll", "page_width_mm": wide, "page_height_mm": tall},
        **{"across": 1, "down": 1, "left_mm": 0.0, "top_mm": 0.0},
    )
    (figure,) = arrange_all([label(row["name"], row["allergen"])], alone)
    (page,) = pypdfium2.PdfDocument(draw_figures([figure], alone))
    paper = page.render(scale=300 / 72, grayscale=True).to_pil()
    for box in figure.boxes:
        edges = (box.x, box.y, box.right, box.bottom)
        left, top, right, bottom = (round(edge / 25.4 * 300) for edge in edges)
        paper.paste(255, (left - 1, top - 1, right + 1, bottom + 1))

    assert paper.point(lambda grey: 255 if grey < 160 else 0).getbbox() is None


# FreeType fits stems to whole pixels and PDFium does not; at this size that is the most
# by which the same letters in the same places differ (0.08 seen). Marks set at the pen
# instead of their place differ by 0.11 to 0.20.
COMPARED_PX, FITTED = 120, 0.1


@pytest.mark.skipif(not features.check("raqm"), reason="this Pillow has no libraqm")
@pytest.mark.parametrize("face", FACES)
def test_letters_join_and_stack_as_another_engine_sets_them(row, face):
    """libraqm: FriBidi for the order, its own HarfBuzz, FreeType for the ink."""
    name = unicodedata.normalize("NFC", row["name"])
    for piece in shaping.line(name, face).pieces:
        if piece.style is None or piece.style.thicken or piece.text.isspace():
            continue
        ours, theirs = set_by_us(piece, face), set_by_raqm(piece)
        shifts = [(x, y) for x in (-1, 0, 1) for y in (-1, 0, 1)]
        apart = min(
            ink(ImageChops.difference(ours, ImageChops.offset(theirs, *shift)))
            for shift in shifts
        )

        assert apart / ink(ours) < FITTED, piece.text


def ink(image: Image.Image) -> int:
    return sum(grey * count for grey, count in enumerate(image.histogram()))


def set_by_us(piece: shaping.Piece, face: str) -> Image.Image:
    size = COMPARED_PX
    out = io.BytesIO()
    shipped.register()
    canvas = Canvas(out, pagesize=(9 * size, 3 * size), invariant=1)
    alone = shaping.Line((piece,), 0, 0, 0, 0)
    embed.draw(canvas, (size - piece.x * size, size), alone, face, size)
    canvas.save()
    page = pypdfium2.PdfDocument(out.getvalue())[0]
    return page.render(scale=1, grayscale=True).to_pil().point(lambda grey: 255 - grey)


def set_by_raqm(piece: shaping.Piece) -> Image.Image:
    size = COMPARED_PX
    file = str(piece.style.face.path)
    font = ImageFont.truetype(file, size, layout_engine=ImageFont.Layout.RAQM)
    image = Image.new("L", (9 * size, 3 * size), 0)
    way = "rtl" if bidi.has_right_to_left(piece.text) else "ltr"
    pen = ImageDraw.Draw(image)
    pen.text((size, 2 * size), piece.text, 255, font, anchor="ls", direction=way)
    return image


# Name, and what must be found on the page from left to right, each piece unbroken.
MIXED = [
    ("מרק עוף 12", ["12"]),
    ("מרק עוף 12 מנות 345", ["345", "12"]),
    ("חלב 1.25 kg", ["1.25", "kg"]),
    ("חלב 240 g של הבוקר", ["240", "g"]),
    ("עוף ב 5 °C", ["5", "°C"]),
    ("עוף ב −18 °C", ["−18", "°C"]),
    ("מרק B7-12", ["B7-12"]),
    ("מרק 12-B7", ["12-B7"]),
    ("קופסה 1250/12", ["1250/12"]),
    ("קופסה (12) [34]", ["34", "12"]),
    ("עד Tue 13 Nov 2026", ["Tue", "13", "Nov", "2026"]),
    ("עד 13 Nov 2026 17:40", ["13", "Nov", "2026", "17:40"]),
    ("شوربة العدس 12", ["12"]),
    ("شوربة 12 صحن 345", ["345", "12"]),
    ("حليب 1.25 kg", ["1.25", "kg"]),
    ("حليب 12-34", ["12-34"]),
    ("حليب B7-12", ["B7-12"]),
    ("حليب ١٢", ["١٢"]),
    ("دودھ ۱۲", ["۱۲"]),
    ("عند 5 °C أو أقل", ["5", "°C"]),
    ("Soup מרק 12", ["Soup", "12"]),
    ("Soup מרק 240 g", ["Soup", "240", "g"]),
    ("box 12 חלב 34 kg", ["box", "12", "34", "kg"]),
]


@pytest.mark.parametrize(("name", "forward"), MIXED)
def test_figures_and_codes_stand_from_left_to_right(name, forward):
    """By where PDFium finds each character, not by the order it reads them in."""
    placed = sorted((box[0], one) for one, box in characters_of_name(label(name)))
    line = "".join(one for _, one in placed if not one.isspace())

    assert re.search(".*".join(map(re.escape, forward)), line), line


def characters_of_name(wanted: Label) -> list[tuple[str, tuple[float, ...]]]:
    """The characters between the ascent and the descent of the label's first line."""
    (figure,) = arrange_all([wanted], STOCK)
    name = next(text for text in figure.texts if text.text == wanted.name)
    foot = (STOCK.page_height_mm - name.baseline) / fonts.MM_PER_PT
    top = foot + fonts.ascent(name.text) * name.size_pt
    return [
        (one, box)
        for one, box in characters(draw_figures([figure], STOCK))
        if foot - name.size_pt / 3 < (box[1] + box[3]) / 2 < top
    ]
