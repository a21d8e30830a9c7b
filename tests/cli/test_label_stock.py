"""Stock listed, drawn and added; printers calibrated; labels previewed."""

import io

import pytest
from PIL import Image

from lidclock.labels import list_stock, load_stock, read_back
from lidclock.labels.stock import layout_for

MINE = (
    *("label", "stock", "add", "mine-3x8", "--page", "210x297", "--across", "3"),
    *("--down", "8", "--label", "64.6x33.8", "--first", "8.1x13.3"),
    *("--pitch", "64.6x33.8"),
)


@pytest.fixture(autouse=True)
def own_folder(newcomer, monkeypatch):
    folder = newcomer.folder / "own"
    monkeypatch.setenv("LIDCLOCK_LABELS", str(folder))
    return folder


def changed(*pairs):
    """The nine numbers with some of them replaced."""
    words = list(MINE)
    for option, value in pairs:
        words[words.index(option) + 1] = value
    return words


def test_all_stock_is_listed(newcomer):
    seen = newcomer.see("label", "stock")

    assert len(seen.splitlines()) == len(list_stock())
    assert "a4-3x8           A4 sheet, 24 labels of 64.6 x 33.8 mm" in seen
    assert newcomer.data("label", "stock")[0]["label_width_mm"] == 105.0


def test_one_stock_is_shown_with_its_nine_numbers_and_drawn(newcomer):
    seen = newcomer.see("label", "stock", "letter-3x10", "--out", "s.png")

    assert "labels 66.675 x 25.4 mm, the first at 4.7625, 12.7 mm" in seen
    rows = [
        line for line in seen.splitlines() if line[:2].strip(" ") in "┌│├└" and line
    ]
    assert sum("30" in row for row in rows) == 1
    assert sum(row.count("┬") + row.count("┐") for row in rows) >= 3
    with Image.open(newcomer.folder / "s.png") as picture:
        assert picture.size[1] > picture.size[0] > 800


def test_a_stock_of_ones_own_is_used_like_any_other(stew, own_folder):
    seen = stew.see(*MINE)

    assert f"added: {own_folder / 'stock' / 'mine-3x8.toml'}" in seen
    mine, shipped = load_stock("mine-3x8"), load_stock("a4-3x8")
    assert mine.cells() == shipped.cells()
    assert (mine.layout, mine.dpi) == ("across", 300)
    stew.run("label", "--batch", "1", "--stock", "mine-3x8", "--out", "a.pdf")
    assert len(read_back((stew.folder / "a.pdf").read_bytes(), 300)[0]) == 6
    assert "yours" in stew.see("label", "stock").split("mine-3x8", 1)[1]


def test_inches_are_read_too(newcomer):
    newcomer.run("label", "stock", "add", "r", "--roll", "--label", "2x1in")

    assert (load_stock("r").page_width_mm, load_stock("r").dpi) == (50.8, 203)


def test_a_stock_of_ones_own_goes_again(newcomer):
    newcomer.run(*MINE)
    assert newcomer.see("label", "stock", "remove", "mine-3x8") == "removed: mine-3x8\n"

    assert "mine-3x8" not in list_stock()
    refused = newcomer.fail(13, "label", "stock", "remove", "a4-3x8")
    assert "came with lidclock and stays" in refused


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (changed(("--pitch", "60x33.8")), 17, "columns overlap: 64.6 mm labels every"),
        (changed(("--down", "9")), 17, "rows end at 317.50 mm on a page of 297"),
        (changed(("--first", "20x13.3")), 17, "columns end at 213.80 mm on a page"),
        (changed(("--label", "0x33.8")), 17, "label size and dpi must be above zero"),
        (changed(("--page", "9e9x297")), 2, "is no pair of lengths; write it like"),
        (changed(("--page", "99999x297")), 17, "every length must be a number up to"),
        (changed(("add", "../evil")), 2, "cannot be a stock's name"),
        (changed(("add", "a4-3x8")), 13, "there is a stock a4-3x8 already"),
        (changed(("--label", "12x5"), ("--pitch", "64.6x33.8")), 17, "does not fit"),
        (
            ("label", "stock", "add", "x", "--label", "50x25"),
            2,
            "'--page', or '--roll'",
        ),
    ],
)
def test_numbers_that_make_no_stock_are_refused(
    newcomer, own_folder, words, code, said
):
    assert said in newcomer.fail(code, *words)
    assert not own_folder.exists() or not list(own_folder.rglob("*.toml"))


def test_a_broken_file_of_ones_own_hinders_no_other(newcomer, own_folder):
    (own_folder / "stock").mkdir(parents=True)
    (own_folder / "stock" / "bad.toml").write_text("dpi = ", encoding="utf-8")

    seen = newcomer.see("label", "stock")

    (line,) = [one for one in seen.splitlines() if one.startswith("bad ")]
    assert "cannot be used: stock file bad.toml cannot be read" in line
    assert load_stock("a4-3x8").across == 3
    assert "bad.toml cannot be read" in newcomer.fail(17, "label", "stock", "bad")


def test_a_file_of_ones_own_never_stands_in_for_a_shipped_one(newcomer, own_folder):
    newcomer.run(*MINE)
    text = (own_folder / "stock" / "mine-3x8.toml").read_text("utf-8")
    (own_folder / "stock" / "a4-3x8.toml").write_text(
        text.replace("mine-3x8", "a4-3x8").replace("across = 3", "across = 1"), "utf-8"
    )

    assert load_stock("a4-3x8").across == 3


@pytest.mark.parametrize("name", list_stock())
def test_the_layout_that_is_chosen_is_the_one_the_shipped_stock_has(name):
    stock = load_stock(name)
    chosen = layout_for(stock.label_width_mm, stock.label_height_mm, stock.shape)

    assert chosen == stock.layout


def test_a_preview_shows_the_label_reads_it_back_and_records_nothing(stew):
    code, before = stew.codes()[0], stew.event_count()

    seen = stew.see("label", "preview", code, "--columns", "60", "--out", "lid.png")

    lines = seen.splitlines()
    assert lines[0].endswith("on letter-3x10 (66.675 x 25.4 mm, 300 dpi)")
    assert all(len(line) <= 60 for line in lines[1:12])
    assert any("█" in line for line in lines)
    assert f"Code128 reads {code}" in seen
    assert f"QRCode reads HTTP://LIDCLOCK.LOCAL/C/{code}" in seen
    picture = Image.open(io.BytesIO((stew.folder / "lid.png").read_bytes()))
    # 66.675 x 25.4 mm at 300 dots to the inch.
    assert picture.size == pytest.approx((787, 300), abs=1)
    assert stew.event_count() == before


def test_a_preview_of_a_small_lid_reads_its_matrix(stew):
    code = stew.codes()[0]

    seen = stew.see("label", "preview", code, "--stock", "roll-25x25")

    assert f"DataMatrix reads {code}" in seen
    assert "not read back" in stew.see("label", "preview", code, "--no-verify")
