"""Stock listed, drawn, added, made the kitchen's, and removed."""

import re
from dataclasses import asdict, replace

import pytest
from PIL import Image

from lidclock.app.stock import stock_of
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
    seen = newcomer.see("label", "stock").splitlines()

    assert len(seen) == len(list_stock())
    assert re.fullmatch(
        r"a4-3x8 +A4 sheet, 24 labels of 64\.6 x 33\.8 mm +sheet +24 +across", seen[4]
    )
    assert newcomer.data("label", "stock")[0]["label_width_mm"] == 105.0


def test_the_list_tells_the_kitchens_stock_and_what_lies_in_printers(cook):
    cook.run("printer", "add", "Bench", "ipp://127.0.0.1:9/x", "--stock", "roll-50x25")
    told = {
        one["name"]: (one["kitchens"], one["printers"])
        for one in cook.data("label", "stock")
        if one["kitchens"] or one["printers"]
    }
    seen = cook.see("label", "stock")

    assert told == {"letter-3x10": (True, []), "roll-50x25": (False, ["Bench"])}
    assert re.search(r"letter-3x10 .* side +the kitchen's\n", seen)
    assert re.search(r"roll-50x25 .* across +in Bench\n", seen)


def test_one_stock_is_shown_with_its_nine_numbers_and_drawn(newcomer):
    seen = newcomer.see("label", "stock", "letter-3x10", "--out", "s.png")

    assert "labels 66.675 x 25.4 mm, the first at 4.7625, 12.7 mm" in seen
    assert "╔═════" in seen
    with Image.open(newcomer.folder / "s.png") as picture:
        assert picture.size[1] > picture.size[0] > 800
        assert picture.mode == "L"


def test_a_drawing_is_a_pdf_unless_it_is_called_png(newcomer):
    seen = newcomer.see("label", "stock", "roll-50x25", "--out", "s.pdf")

    assert seen.endswith("drawing: s.pdf\n")
    assert (newcomer.folder / "s.pdf").read_bytes().startswith(b"%PDF")


def test_a_stock_of_ones_own_is_used_like_any_other(stew, own_folder):
    seen = stew.see(*MINE)

    assert f"added: {own_folder / 'stock' / 'mine-3x8.toml'}" in seen
    mine, shipped = load_stock("mine-3x8"), load_stock("a4-3x8")
    assert mine.cells() == shipped.cells()
    assert (mine.layout, mine.dpi) == ("across", 300)
    stew.run("label", "--batch", "1", "--stock", "mine-3x8", "--out", "a.pdf")
    assert len(read_back((stew.folder / "a.pdf").read_bytes(), 300)[0]) == 6
    assert re.search(r"mine-3x8 .* your own\n", stew.see("label", "stock"))
    assert mine.title == "sheet, 24 labels of 64.6 x 33.8 mm"


def test_inches_are_read_too(newcomer):
    newcomer.run("label", "stock", "add", "r", "--roll", "--label", "2x1in")

    assert (load_stock("r").page_width_mm, load_stock("r").dpi) == (50.8, 203)


def test_a_stock_of_ones_own_goes_again(newcomer):
    newcomer.run(*MINE)
    assert newcomer.see("label", "stock", "remove", "mine-3x8") == "removed: mine-3x8\n"

    assert "mine-3x8" not in list_stock()
    refused = newcomer.fail(13, "label", "stock", "remove", "a4-3x8")
    assert "came with lidclock and stays" in refused


def test_the_kitchens_stock_is_changed_and_then_used_unasked(stew):
    stew.run(*MINE)
    seen = stew.see("label", "stock", "use", "mine-3x8")
    printed = stew.see("label", "--batch", "1", "--out", "a.pdf")

    assert seen.startswith("the kitchen's stock: mine-3x8 (sheet, 24 labels")
    assert "next time `--start 4`" in printed
    # A4 is 210 mm, 595.3 points, wide.
    assert b"/MediaBox [ 0 0 595.2" in (stew.folder / "a.pdf").read_bytes()


def test_an_unknown_stock_does_not_become_the_kitchens(stew):
    assert "no label stock 'gold'" in stew.fail(17, "label", "stock", "use", "gold")
    assert stew.see("label", "--batch", "1", "--out", "a.pdf")


def test_a_stock_that_is_in_use_is_not_removed(cook):
    cook.run(*MINE)
    cook.run("printer", "add", "Bench", "ipp://127.0.0.1:9/x", "--stock", "mine-3x8")
    in_printer = cook.fail(13, "label", "stock", "remove", "mine-3x8")
    cook.run("printer", "remove", "Bench")
    cook.run("label", "stock", "use", "mine-3x8")
    kitchens = cook.fail(13, "label", "stock", "remove", "mine-3x8")

    assert "stock mine-3x8 lies in Bench: remove that printer first" in in_printer
    assert "is this kitchen's: choose another one first" in kitchens
    assert "mine-3x8" in list_stock()


@pytest.mark.parametrize(
    ("size", "layout"),
    [("30x20", "small"), ("120x60", "across-large"), ("60x30", "across")],
)
def test_a_layout_is_chosen_by_the_size(newcomer, size, layout):
    newcomer.run("label", "stock", "add", "r", "--roll", "--label", size)

    assert load_stock("r").layout == layout


def test_a_layout_may_be_named(newcomer):
    words = ("label", "stock", "add", "r", "--roll", "--label", "60x30")
    newcomer.run(*words, "--layout", "small", "--title", "Jam jars")

    assert (load_stock("r").layout, load_stock("r").title) == ("small", "Jam jars")


def test_where_the_layout_for_a_size_does_not_do_the_next_one_is_taken(newcomer):
    """48 mm of 24 mm height are for "across" by their size; the text is too much."""
    newcomer.run("label", "stock", "add", "r", "--roll", "--label", "48x24")

    assert layout_for(48, 24) == "across"
    assert load_stock("r").layout == "small"


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (changed(("--pitch", "60x33.8")), 17, "columns overlap: 64.6 mm labels every"),
        (changed(("--down", "9")), 17, "rows end at 317.50 mm on a page of 297"),
        (changed(("--first", "20x13.3")), 17, "columns end at 213.80 mm on a page"),
        (
            changed(("--label", "0x33.8")),
            17,
            "label width and height must be above zero",
        ),
        (changed(("--page", "9e9x297")), 2, "is no pair of lengths; write it like"),
        (changed(("--page", "99999x297")), 17, "every length must be a number up to"),
        (changed(("add", "../evil")), 2, "cannot be a stock's name"),
        (changed(("add", "a4-3x8")), 13, "there is a stock a4-3x8 already"),
        (changed(("--label", "12x5"), ("--pitch", "64.6x33.8")), 17, "does not fit"),
        (changed(("add", "remove")), 2, "none of add, remove, use"),
        (changed(("--across", "1001")), 17, "it holds 1 to 1000"),
        (changed(("--label", "nanx33.8")), 2, "is no pair of lengths"),
        ((*MINE, "--dpi", "20"), 17, "20 dpi is outside 150 to 2400"),
        ((*MINE, "--round"), 17, "a round label is as high as it is wide"),
        ((*MINE, "--layout", "gold"), 17, "no label layout 'gold'; there is across,"),
        (
            (
                *("label", "stock", "add", "x", "--roll"),
                "--label=50x25",
                "--layout=side",
            ),
            *(17, "does not fit on 50 x 25 mm with layout side: its date does not fit"),
        ),
        ((*MINE, "--title", "a\x1b[2J"), 17, "holds the control character U+001B"),
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


GOOD = """
title = "mine"
kind = "roll"
layout = "across"
dpi = 203
page_width_mm = 60
page_height_mm = 30
across = 1
down = 1
label_width_mm = 60
label_height_mm = 30
left_mm = 0
top_mm = 0
pitch_x_mm = 60
pitch_y_mm = 30
"""


@pytest.mark.usefixtures("newcomer")
def test_a_file_written_by_hand_will_do(own_folder):
    put(own_folder, GOOD)

    assert load_stock("bad").label_width_mm == 60.0


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("dpi = ", "stock file bad.toml cannot be read"),
        (b'title = "\xff"', "stock file bad.toml cannot be read"),
        ("x = " + "[" * 5000, "stock file bad.toml cannot be read"),
        ("", "stock bad: title must be text, not None"),
        (GOOD.replace("across = 1", "across = nan"), "across must be a whole number"),
        (GOOD.replace("across = 1", "across = 1.5"), "across must be a whole number"),
        (GOOD.replace("dpi = 203", "dpi = inf"), "dpi must be a whole number"),
        (
            GOOD.replace("dpi = 203", "dpi = 1" + "0" * 400),
            "dpi must be a whole number",
        ),
        (GOOD.replace("dpi = 203", "dpi = true"), "dpi must be a number, not True"),
        (GOOD.replace("= 60", "= nan"), "every length must be a number up to"),
        (GOOD.replace("left_mm = 0", "left_mm = 9"), "columns end at 69.00 mm"),
    ],
)
def test_a_broken_file_of_ones_own_hinders_no_other(newcomer, own_folder, text, said):
    put(own_folder, text)
    seen = newcomer.see("label", "stock")

    (line,) = [one for one in seen.splitlines() if one.startswith("bad ")]
    assert "your own, cannot be used: " in line
    assert said in line
    assert load_stock("a4-3x8").across == 3
    assert said in newcomer.fail(17, "label", "stock", "bad")
    newcomer.run("label", "stock", "remove", "bad")
    assert "bad" not in list_stock()


def put(folder, text):
    (folder / "stock").mkdir(parents=True)
    content = text if isinstance(text, bytes) else text.encode()
    (folder / "stock" / "bad.toml").write_bytes(content)


def test_a_folder_that_cannot_be_made_is_named(newcomer, own_folder):
    own_folder.write_text("a file", encoding="utf-8")

    assert f"cannot make {own_folder / 'stock'}" in newcomer.fail(14, *MINE)


def test_a_file_of_ones_own_never_stands_in_for_a_shipped_one(newcomer, own_folder):
    newcomer.run(*MINE)
    text = (own_folder / "stock" / "mine-3x8.toml").read_text("utf-8")
    (own_folder / "stock" / "a4-3x8.toml").write_text(
        text.replace("mine-3x8", "a4-3x8").replace("across = 3", "across = 1"), "utf-8"
    )

    assert load_stock("a4-3x8").across == 3
    own = [one["name"] for one in newcomer.data("label", "stock") if one["own"]]
    assert own == ["mine-3x8"]
    newcomer.fail(13, "label", "stock", "remove", "a4-3x8")
    assert (own_folder / "stock" / "a4-3x8.toml").exists()


@pytest.mark.parametrize("name", list_stock())
def test_every_shipped_stock_could_be_ones_own(name):
    """Its own numbers are taken, an everyday label fits, and the layout is the same."""
    shipped = load_stock(name)
    made = stock_of(
        *("mine", "", asdict(shipped)),
        **{"dpi": shipped.dpi, "kind": shipped.kind, "shape": shipped.shape},
    )

    assert made == replace(shipped, name="mine", title=made.title)


@pytest.mark.parametrize("name", list_stock())
def test_the_layout_that_is_chosen_is_the_one_the_shipped_stock_has(name):
    stock = load_stock(name)
    chosen = layout_for(stock.label_width_mm, stock.label_height_mm, stock.shape)

    assert chosen == stock.layout
