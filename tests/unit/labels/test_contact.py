"""Every kind of label on every stock, and the pictures of them."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest
from PIL import Image

from lidclock.errors import LabelError
from lidclock.labels import contact, data, list_stock, load_stock
from lidclock.labels.draw import arrange_all
from lidclock.labels.examples import EXAMPLES

ROOT = Path(__file__).parents[3]


def test_there_is_an_example_of_every_kind():
    assert set(data.shipped_names("kind")) <= set(EXAMPLES)


@pytest.mark.parametrize("kind", list(EXAMPLES))
@pytest.mark.parametrize("name", list_stock())
def test_every_kind_stands_on_every_stock(name, kind):
    """Nothing that ships is refused, and the date is printed whole."""
    stock, label = load_stock(name), EXAMPLES[kind]
    (figure,) = arrange_all([label], stock, dpi=stock.dpi)

    assert label.headline in [text.text for text in figure.texts]
    assert set(figure.shortened) <= {"name", "handling", "line"}


@pytest.mark.parametrize("kind", list(EXAMPLES))
def test_what_has_no_room_is_refused_by_name_and_reason(kind):
    """The smallest shipped label, halved: every reason says what does not fit."""
    stock = replace(load_stock("roll-25x25"), label_width_mm=12.0, name="half")

    with pytest.raises(LabelError) as refused:
        arrange_all([EXAMPLES[kind]], stock, dpi=203)
    what, _, why = str(refused.value).partition(" does not fit on stock half: ")
    assert what == f"label 4F7K2M0 ({EXAMPLES[kind].name})"
    assert re.fullmatch(r"\S.+; use fewer words or a larger label", why)


def test_a_picture_is_true_to_scale_with_every_name_beneath():
    """Four pixels to the millimetre: 203 x 102 for 50.8 x 25.4 mm, nine across."""
    stocks = [load_stock("roll-50x25"), load_stock("a4-round-40")]
    page = contact.sheet(stocks)

    assert page.width == (203 + 14) * len(EXAMPLES) + 14
    assert page.height == 14 + (102 + 18 + 14) + (160 + 18 + 14)
    # A label's corner is paper; that of a round one is ground.
    assert page.getpixel((14, 14)) == 255
    assert page.getpixel((14, 14 + 102 + 18 + 14)) == 225
    assert min(page.crop((14, 14 + 102, 217, 14 + 120)).tobytes()) < 64


def test_a_refusal_is_pictured_with_its_reason():
    tiny = replace(load_stock("roll-25x25"), label_width_mm=12.0)
    page = contact.sheet([tiny])

    # Words, no symbol: some ink on a label of 48 x 100 pixels.
    ink = sum(grey < 128 for grey in page.crop((14, 14, 62, 114)).tobytes())
    assert 100 < ink < 1500


def test_pictures_are_written_for_each_layout_and_old_parts_go(tmp_path, monkeypatch):
    monkeypatch.setattr(contact, "list_stock", lambda: ("roll-50x25", "roll-25x25"))
    (tmp_path / "labels-across-2.png").write_bytes(b"from before")
    (tmp_path / "labels-holiday.png").write_bytes(b"not ours")
    written = list(contact.write_all(tmp_path))

    assert [path.name for path in written] == ["labels-across.png", "labels-small.png"]
    assert {path.name for path in tmp_path.iterdir()} == {
        *("labels-across.png", "labels-small.png", "labels-holiday.png")
    }


def test_a_large_picture_comes_in_parts(tmp_path, monkeypatch):
    monkeypatch.setattr(contact, "list_stock", lambda: ("roll-50x25", "roll-54x25"))
    monkeypatch.setattr(contact, "_MOST_PX", 203 * 102 * len(EXAMPLES))
    written = [path.name for path in contact.write_all(tmp_path)]

    assert written == ["labels-across-1.png", "labels-across-2.png"]


@pytest.mark.parametrize(
    "path", sorted((ROOT / "docs" / "images").glob("labels-*.png"))
)
def test_the_pictures_in_the_documents_are_small_and_shown(path):
    with Image.open(path) as image:
        colours = image.convert("RGB").getcolors()

    assert path.stat().st_size < 400_000
    assert all(red == green == blue for _, (red, green, blue) in colours)
    assert f"(images/{path.name})" in (ROOT / "docs" / "labels.md").read_text("utf-8")
