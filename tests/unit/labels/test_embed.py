"""Shaped text in the PDF: each glyph in its place, the same bytes every time."""

from __future__ import annotations

import ctypes
import io

import pypdfium2
import pypdfium2.raw as pdfium
import pytest
from reportlab.pdfgen.canvas import Canvas

from lidclock.labels import embed, faces, fonts, shaping, shipped

SIZE_PT = 20
AT = (30.0, 40.0)


def page_of(text: str, face: str = fonts.REGULAR, grey: int = 0) -> bytes:
    out = io.BytesIO()
    shipped.register()
    canvas = Canvas(out, pagesize=(400, 100), pageCompression=1, invariant=1)
    if grey:
        canvas.rect(0, 0, 400, 100, stroke=0, fill=1)
        canvas.setFillGray(grey)
    line = shaping.line(text, face)
    embed.draw(canvas, AT, line, face, SIZE_PT, grey=grey)
    canvas.save()
    return out.getvalue()


def origins(pdf: bytes) -> set[tuple[float, float]]:
    """Where PDFium sets each character of the page, rounded to 0.1 pt."""
    text = pypdfium2.PdfDocument(pdf)[0].get_textpage()
    found = set()
    for n in range(text.count_chars()):
        x, y = ctypes.c_double(), ctypes.c_double()
        pdfium.FPDFText_GetCharOrigin(text.raw, n, x, y)
        found.add((round(x.value, 1), round(y.value, 1)))
    return found


@pytest.mark.parametrize("text", ["k\u0302 K\u0302", "مُحَمَّد", "שֶׁל חָלָב"])
def test_glyphs_stand_where_the_shaper_put_them(text):
    line = shaping.line(text, fonts.REGULAR)
    due = {
        (round(AT[0] + glyph.x * SIZE_PT, 1), round(AT[1] + glyph.y * SIZE_PT, 1))
        for piece in line.pieces
        for glyph in piece.glyphs
        if not glyph.text.isspace()
    }

    assert due <= near(origins(page_of(text)))


def near(points: set[tuple[float, float]]) -> set[tuple[float, float]]:
    """The points and their neighbours, a rounding step away."""
    steps = (-0.1, 0.0, 0.1)
    return {
        (round(x + a, 1), round(y + b, 1))
        for x, y in points
        for a in steps
        for b in steps
    }


def test_the_same_text_gives_the_same_bytes():
    assert page_of("אב 12 שֶׁל") == page_of("אב 12 שֶׁל")


def test_only_the_glyphs_in_use_are_embedded():
    assert len(page_of("אב")) < 5000


def test_white_text_is_white():
    pdf = page_of("אבג", fonts.BOLD, grey=1)
    image = pypdfium2.PdfDocument(pdf)[0].render(scale=1, grayscale=True).to_pil()

    assert image.getextrema()[1] > 200


def test_a_face_without_a_bold_is_thickened():
    """Stroking the outlines adds ink."""
    face = faces.of_file(shipped.file_of(shipped.REGULAR))
    thin, thick = (ink(face, thicken) for thicken in (False, True))

    assert thick > 1.1 * thin


def test_a_thickened_white_letter_has_no_dark_edge():
    face = faces.of_file(shipped.file_of(shipped.REGULAR))
    thin, thick = (ink(face, thicken, grey=1) for thicken in (False, True))

    assert thick < thin


def ink(face: faces.Face, thicken: bool, *, grey: int = 0) -> int:
    """How much of a page is dark with an H on it; a white one is on a dark page."""
    out = io.BytesIO()
    canvas = Canvas(out, pagesize=(100, 100), invariant=1)
    if grey:
        canvas.rect(0, 0, 100, 100, stroke=0, fill=1)
        canvas.setFillGray(grey)
    number = face.shaper.get_nominal_glyph(ord("H"))
    glyph = shaping.Glyph(number, "H", 0.0, 0.0)
    piece = shaping.Piece("H", 0.0, faces.Style(face, thicken), (glyph,))
    embed.draw(canvas, (20, 20), shaping.Line((piece,), 1, 0, 1, 0), "", 60, grey=grey)
    canvas.save()
    page = pypdfium2.PdfDocument(out.getvalue())[0]
    histogram = page.render(scale=2, grayscale=True).to_pil().histogram()
    return sum((255 - grey) * count for grey, count in enumerate(histogram))
