"""What a person types on a label is text and stays text: nothing of it runs.

A PDF is a program of sorts: a bracket that ends a string could begin a command, and a
document can hold scripts, addresses and files. Whatever the words of a label are, the
finished file has the same bones as that of a harmless label, PDFium finds no action in
it, and reads those very words back.
"""

from __future__ import annotations

import re
import unicodedata

import pypdfium2
import pypdfium2.raw as pdfium
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from lidclock.errors import LabelError
from lidclock.labels import (
    ActionLabel,
    Label,
    draw_actions,
    draw_sheet,
    fonts,
    load_stock,
)

STOCK = load_stock("roll-102x152")
# ISO 32000-1: what makes a reader do something (12.6, 7.11, 12.7), by its keys.
ACTIVE = re.compile(
    rb"/(JS|JavaScript|OpenAction|AA|Launch|URI|GoToR|GoToE|SubmitForm|ImportData"
    rb"|EmbeddedFiles?|Filespec|AcroForm|XFA|RichMedia|Annots?|Movie|Sound|Names)\b"
)
NASTY = (
    ") Tj ET /JS (app.alert(1)) /OpenAction",
    "(((",
    ")))",
    ") Tj (",
    "\\) Tj ET Q",
    "\\\\)",
    "\\",
    "stew\\",
    "\\051 Tj",
    "\\n\\r\\t",
    "<</S/URI/URI(http://x)>>",
    "<FEFF0041>",
    "%PDF-1.7",
    "% stew",
    "endstream endobj",
    "1 0 obj << /Type /Action >>",
    "trailer << /Root 9 0 R >>",
    "startxref 0 %%EOF",
    "BT /F1 99 Tf (x) Tj ET",
    "[(a) -250 (b)] TJ",
    "/Launch (cmd)",
    "Crème) Tj /JS (brûlée",
    "שלום) Tj /JS (x",
    "\\) مرحبا (",
    "борщ ) Tj",
)
TOKENS = st.sampled_from(
    [*") ( \\ < > [ ] { } / %".split(), " Tj ", " ET ", "/JS", "/OpenAction", "endobj"]
    + [
        "\\)",
        "\\(",
        "stream",
        "obj",
        "<<",
        ">>",
        "a",
        "Z",
        "7",
        " ",
        "é",
        "Б",
        "ש",
        "م",
    ]
)
NAMES = st.one_of(
    st.lists(TOKENS, min_size=1, max_size=8).map("".join),
    st.text(
        st.characters(min_codepoint=33, max_codepoint=126), min_size=1, max_size=16
    ),
)


def label(name: str, *, everywhere: bool = False) -> Label:
    """With the words as its name, or also wherever else words may stand."""
    more = {"lines": (name,), "handling": name, "headline_note": name}
    return Label(
        name=name,
        code="4F7K2M0",
        uri="HTTP://LIDCLOCK.LOCAL/C/4F7K2M0",
        headline_word="USE BY",
        headline="Tue 3 Nov 2026",
        allergens=(name,) if everywhere else ("soy",),
        **(more if everywhere else {}),
    )


def bones(pdf: bytes) -> bytes:
    """The file without the contents of its streams."""
    return re.sub(rb"stream\r?\n.*?endstream", b"", pdf, flags=re.DOTALL)


def objects(pdf: bytes) -> int:
    return len(re.findall(rb"^\d+ 0 obj", bones(pdf), re.MULTILINE))


def kinds(page: pypdfium2.PdfPage) -> list[int]:
    """What is painted that is no text: PDFium's kind of each object, in order."""
    found = (one.type for one in page.get_objects())
    return [kind for kind in found if kind != pdfium.FPDF_PAGEOBJ_TEXT]


def check_nothing_acts(pdf: bytes, title: str) -> None:
    assert ACTIVE.search(bones(pdf)) is None
    document = pypdfium2.PdfDocument(pdf)
    try:
        assert pdfium.FPDFDoc_GetJavaScriptActionCount(document) == 0
        assert pdfium.FPDFDoc_GetAttachmentCount(document) == 0
        assert pdfium.FPDF_CountNamedDests(document) == 0
        assert document.get_formtype() == pdfium.FORMTYPE_NONE
        assert document.get_metadata_dict()["Title"] == title
        for page in document:
            assert pdfium.FPDFPage_GetAnnotCount(page) == 0
            page.close()
    finally:
        document.close()


def letters_on(pdf: bytes) -> str:
    """The page's text without its spaces; a hyphen at a line's end is one, too."""
    document = pypdfium2.PdfDocument(pdf)
    text = document[0].get_textpage().get_text_range()
    document.close()
    return packed(text.replace("\ufffe", "-").replace("\x02", "-"))


def packed(text: str) -> str:
    return "".join(unicodedata.normalize("NFKD", text).split())


def drawn(name: str, **more: bool) -> bytes | None:
    """The label's file; None where its words are refused, as they may be."""
    try:
        return draw_sheet([label(name, **more)], STOCK)
    except LabelError:
        return None


HARMLESS = drawn("stew")
assert HARMLESS is not None


@pytest.mark.parametrize("name", NASTY)
def test_nasty_names_are_drawn_as_they_are_written(name):
    pdf = drawn(name)

    assert pdf is not None
    check_nothing_acts(pdf, "Container labels")
    text = letters_on(pdf)
    assert counted(name) == counted(text_of_name(text))
    if fonts.is_plain(name):
        assert packed(name) in text
        assert objects(pdf) == objects(HARMLESS)
        assert len(pypdfium2.PdfDocument(pdf)) == 1


def counted(text: str) -> list[str]:
    """The characters in any order; a bracket in Hebrew or Arabic looks either way."""
    return sorted(packed(text).replace(")", "("))


def text_of_name(text: str) -> str:
    """What a page says before the word of its headline."""
    return text.partition("USEBY")[0]


@pytest.mark.parametrize("name", NASTY)
def test_nasty_words_change_nothing_else_on_the_page(name):
    """Wherever words may stand; the symbols, panels and rules stay as they were."""
    pdf = drawn(name, everywhere=True)
    harmless = drawn("stew", everywhere=True)

    assert pdf is not None
    assert harmless is not None
    check_nothing_acts(pdf, "Container labels")
    if fonts.is_plain(name):
        assert objects(pdf) == objects(harmless)
        assert kinds(pypdfium2.PdfDocument(pdf)[0]) == kinds(
            pypdfium2.PdfDocument(harmless)[0]
        )


@given(NAMES)
def test_any_name_is_text_and_nothing_but_text(name):
    pdf = drawn(name)
    assume(pdf is not None and name.strip())
    check_nothing_acts(pdf, "Container labels")
    if fonts.is_plain(name):
        assert objects(pdf) == objects(HARMLESS)
        assert packed(name) in letters_on(pdf)


@pytest.mark.parametrize("word", NASTY)
def test_nasty_action_words_are_text_as_well(word):
    action = ActionLabel(
        "FREEZE", "FREEZE", "HTTP://LIDCLOCK.LOCAL/A/FREEZE", hint=word
    )
    pdf = draw_actions([action], load_stock("letter-2x3"))

    check_nothing_acts(pdf, "Action codes")
    assert counted(f"FREEZE{word}FREEZE") == counted(letters_on(pdf))


def test_the_title_tells_nothing_of_what_is_on_the_labels():
    told = pypdfium2.PdfDocument(HARMLESS).get_metadata_dict()

    assert told["Title"] == "Container labels"
    assert not any("stew" in value for value in told.values())
    assert b"stew" not in bones(HARMLESS)
