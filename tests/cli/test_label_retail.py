"""Labels for sale, printed: what stands on them, what is refused, what is told."""

from __future__ import annotations

import re
from datetime import date

import pypdfium2
import pytest

from lidclock.cli.label_retail import retail
from lidclock.cli.main import main
from lidclock.domain.moments import say_day
from lidclock.labels import read_back

ADVICE = "help with labels, not legal advice: your authority decides"
TART = ("food", "add", "leek tart", "--category", "quiche")
MADE_OF = [
    *("--ingredient", "wheat flour=250g", "--ingredient", "butter=125g"),
    *("--ingredient", "leeks=400g", "--ingredient", "egg=3.5 oz"),
    *("--ingredient", "stock (water, celery, salt)=0.2 kg", "--ingredient", "salt=4g"),
]
ALLERGENS = ("--allergens", "wheat, milk, egg, celery")
MAKER = ("--maker", "The Example Kitchen", "--maker-address", "1 Example St, Anytown")


@pytest.fixture(autouse=True)
def attached(monkeypatch):
    """The command under a name of its own, wherever the program has it."""
    monkeypatch.setitem(main.commands, "sale", retail)


@pytest.fixture
def baker(cook):
    """Two boxes of tart in the fridge, everything recorded."""
    cook.run(*TART, *MADE_OF, *ALLERGENS)
    cook.run(
        *("prep", "leek tart", "--count", "2", "--portion", "350g"),
        *("--place", "Fridge", "--no-labels"),
    )
    return cook


def sell(cook, *args, under="eu", stock="letter-2x3", out="sale.pdf", code=0, **more):
    """The result of printing the first box."""
    box = cook.codes("leek tart")[0]
    where = ("--under", under, "--stock", stock, "--out", out)
    return cook.run("sale", box, *where, *args, code=code, **more)


def words(cook, name="sale.pdf"):
    """What a reader of the PDF finds on its first page, on one line."""
    document = pypdfium2.PdfDocument(cook.folder / name)
    text = document[0].get_textpage().get_text_range()
    return " ".join(text.replace("\ufffe", "").split())


def test_a_label_says_what_the_law_wants(baker):
    told = sell(baker, *MAKER).stdout
    shown = words(baker)

    assert "labels: sale.pdf (1 label, 1 page); every symbol read back" in told
    assert told.strip().endswith(ADVICE)
    assert "leek tart" in shown
    assert re.search(r"Use by \w{3} \d{1,2} Nov 2026", shown)
    assert (
        "Ingredients: leeks, WHEAT flour, stock (water, CELERY, salt), "
        "BUTTER (MILK), EGG, salt."
    ) in shown
    assert "Keep refrigerated at 4 °C or colder." in shown
    assert "Made by The Example Kitchen, 1 Example St, Anytown" in shown
    assert "350 g" in shown
    assert "Contains:" not in shown
    assert "warning" not in told


def test_a_scan_of_the_label_finds_the_container(baker):
    sell(baker)
    code = baker.codes("leek tart")[0]
    symbols = dict(read_back((baker.folder / "sale.pdf").read_bytes())[0])

    assert symbols == {"Code128": code, "QRCode": f"HTTP://LIDCLOCK.LOCAL/C/{code}"}
    assert "leek tart" in baker.see("scan", symbols["QRCode"])


def test_the_lid_counts_as_labelled_with_the_date_printed(baker):
    sell(baker)
    code = baker.codes("leek tart")[0]
    shown = baker.data("show", code)
    (event,) = [one for one in shown["history"] if one["kind"] == "labelled"]

    assert shown["labelled"]
    assert event["body"]["retail"] == "eu"
    assert event["body"]["last_day"] == shown["verdict"]["last_day"]
    assert event["body"]["date"].startswith("Use by ")
    assert event["body"]["date"] in words(baker)


def test_the_us_wants_both_units_contains_and_fahrenheit(baker):
    sell(baker, under="us")
    shown = words(baker)

    assert "Net Wt 12.3 oz (350 g)" in shown  # 350 / 28.349523125 = 12.345...
    assert "Contains: MILK, EGGS, WHEAT." in shown
    assert "40 °F (4 °C)" in shown


def test_everything_recorded_is_refused_piece_by_piece_where_it_is_missing(cook):
    cook.run(*TART)
    cook.run("prep", "leek tart", "--portion", "350g", "--no-labels")
    code = cook.codes()[0]
    steps = [("allergens", ALLERGENS), ("ingredients", MADE_OF)]
    for missing, remedy in steps:
        told = sell(cook, code=13).stderr
        assert f"the {missing} of" in told
        assert f"lidclock correct {code} --food 'leek tart'" in told
        cook.run(*TART, *remedy)
        cook.run("correct", code, "--food", "leek tart")

    assert not (cook.folder / "sale.pdf").exists()
    sell(cook)


def test_no_allergens_is_recorded_enough(cook):
    cook.run(*TART, "--ingredient", "leeks=1kg", "--no-allergens")
    cook.run("prep", "leek tart", "--portion", "350g", "--no-labels")
    told = sell(cook).stdout

    assert "warning" not in told
    assert "Contains" not in words(cook)


def test_an_unknown_mass_is_refused_until_it_is_said(cook):
    cook.run(*TART, *MADE_OF, *ALLERGENS)
    cook.run("prep", "leek tart", "--no-labels")

    assert "give --net MASS" in sell(cook, code=13).stderr
    sell(cook, "--net", "1.2345 kg")
    assert "1.23 kg" in words(cook)  # rounded down to three figures


@pytest.mark.parametrize("net", ["350", "0g", "101 kg", "much"])
def test_what_is_no_net_quantity_is_refused(baker, net):
    assert "cannot be a net quantity" in sell(baker, "--net", net, code=2).stderr


def test_an_allergen_that_is_not_recorded_is_printed_and_told(cook):
    cook.run(*TART, *MADE_OF, "--allergens", "wheat, egg")
    cook.run("prep", "leek tart", "--portion", "350g", "--no-labels")
    told = sell(cook).stdout

    assert "BUTTER (MILK)" in words(cook)
    assert "warning: 'butter' names milk, which is not recorded" in told
    assert "names celery" in told


def test_an_allergen_that_no_ingredient_names_stands_behind_the_list(cook):
    cook.run(*TART, *MADE_OF, "--allergens", "wheat, milk, egg, celery, mustard")
    cook.run("prep", "leek tart", "--portion", "350g", "--no-labels")
    told = sell(cook).stdout

    assert "Contains: MUSTARD." in words(cook)
    assert "no ingredient names it: mustard" in told
    assert "Art. 21(1)(a)" in told


def test_what_may_hide_an_allergen_is_asked_about(cook):
    cook.run(*TART, "--ingredient", "pasta=300g", "--ingredient", "leeks=1kg")
    cook.run(*TART, "--no-allergens")
    cook.run("prep", "leek tart", "--portion", "350g", "--no-labels")

    assert "warning: 'pasta' may hold wheat, egg" in sell(cook).stdout


def test_what_is_unverified_or_taken_for_granted_is_told(baker):
    told = sell(baker, under="us").stdout
    sized = sell(baker, "--largest-face", "100", under="us").stdout

    assert "note: unverified: FDA, 21 CFR 101.7, (i)" in told
    assert "note: sized for a panel of up to 645 cm²" in told
    assert "sized for" not in sized


def test_an_ingredient_in_the_name_is_told_with_its_share(baker):
    """Of 250 + 125 + 400 + 99.2 + 200 + 4 = 1078.2 g, 400 g are 37 %."""
    assert "'leeks' is in the name" in sell(baker).stdout
    assert "it is 37 % of what was put in" in sell(baker).stdout


def test_a_house_rule_is_never_a_use_by_date(cook):
    cook.run(
        *("food", "add", "leek tart", "--category", "yeast-dough-raw", "--days", "4"),
        *(*MADE_OF, *ALLERGENS),
    )
    cook.run("prep", "leek tart", "--portion", "350g", "--no-labels")
    told = sell(cook).stdout
    shown = words(cook)

    assert "Best before Tue 3 Nov 2026" in shown  # made on Sat 31 Oct, day 1
    assert "house rule, no authority" in shown
    assert "Use by" not in shown
    assert "note: the date is a house rule" in told
    sell(cook, under="us")
    assert "Best by Tue 3 Nov 2026" in words(cook)


def test_frozen_food_says_so_and_how_long_it_keeps_once_thawed(baker):
    code = baker.codes("leek tart")[0]
    baker.run("scan", code, "--freeze")
    sell(baker)
    shown = words(baker)
    best_by = date.fromisoformat(baker.data("show", code)["verdict"]["best_by"])

    assert f"Best before {say_day(best_by)}" in shown
    assert "Frozen on Sat 31 Oct 2026." in shown
    assert re.search(r"Once thawed, keep refrigerated and use within \d days?", shown)
    assert "Keep frozen." in shown
    assert "Use by" not in shown


def test_a_date_of_the_kitchen_for_frozen_food_counts_where_it_is_earlier(baker):
    baker.run("scan", baker.codes("leek tart")[0], "--freeze")
    sell(baker, "--best-before", "10 Nov 2026")
    earlier = words(baker)
    sell(baker, "--best-before", "10 Nov 2028")

    assert "Best before Tue 10 Nov 2026 house rule, no authority" in earlier
    assert "2028" not in words(baker)


def test_thawed_food_says_that_it_was_frozen(baker):
    """Regulation (EU) 1169/2011, Annex VI, part A, 2: sold defrosted, it says so."""
    code = baker.codes("leek tart")[0]
    baker.run("scan", code, "--freeze")
    baker.run("scan", code, "--to", "Fridge", now="2026-11-01T09:00")
    sell(baker, now="2026-11-01T09:10")

    assert "leek tart (defrosted)" in words(baker)


def test_a_date_of_its_own_is_for_frozen_food_alone(baker):
    told = sell(baker, "--best-before", "10 Jan 2027", code=2).stderr

    assert "is not frozen" in told


def test_what_is_over_is_not_for_sale(baker):
    told = sell(baker, code=13, now="2026-11-20T12:00").stderr

    assert "past its last moment" in told
    assert not (baker.folder / "sale.pdf").exists()


def test_what_has_no_date_is_refused_with_the_reason(cook):
    cook.run("food", "add", "leek tart", "--category", "yeast-dough-raw", *MADE_OF)
    cook.run("food", "add", "leek tart", *ALLERGENS)
    cook.run("prep", "leek tart", "--portion", "350g", "--no-labels")

    assert "has no date to print: " in sell(cook, code=13).stderr


def test_raw_meat_in_the_us_needs_a_statement_that_the_kitchen_must_stand_for(cook):
    cook.run("food", "add", "leek tart", "--category", "raw-poultry", *MADE_OF)
    cook.run("food", "add", "leek tart", *ALLERGENS)
    cook.run("prep", "leek tart", "--portion", "350g", "--no-labels")
    face = ("--largest-face", "150")

    assert "give --statement safe-handling if that is true" in (
        sell(cook, under="us", code=13).stderr
    )
    told = sell(cook, *face, "--statement", "safe-handling", under="us").stdout
    assert "Wash working surfaces (including cutting boards)" in words(cook)
    assert "it says that the meat was inspected and passed" in told
    sell(cook)


def test_a_statement_is_printed_when_asked_for_and_known(baker):
    face = ("--largest-face", "150", "--statement")
    sell(baker, *face, "california-cottage", under="us")

    assert "Made in a Home Kitchen" in words(baker)
    assert "there is safe-handling, california-cottage" in (
        sell(baker, *face, "ohio", under="us", code=11).stderr
    )


def test_a_lot_of_its_own_stays_and_the_recorded_one_may_go(cook):
    """On stock so small that the recorded lot has no room, a given one is too much."""
    cook.run(*TART, *MADE_OF, *ALLERGENS)
    cook.run("prep", "leek tart", "--portion", "350g", "--lot", "L-12", "--no-labels")
    sell(cook, *MAKER)
    assert "Lot L-12" in words(cook)

    told = sell(cook, *MAKER, stock="roll-57x32").stdout
    assert "no room for the lot on 1 label" in told
    assert "Lot" not in words(cook)
    assert "there is more text than room" in (
        sell(cook, *MAKER, "--lot", "L-77", stock="roll-57x32", code=17).stderr
    )
    sell(cook, *MAKER, "--lot", "L-77")
    assert "Lot L-77" in words(cook)


@pytest.mark.parametrize("face", ["0", "-3", "1e9", "nan"])
def test_an_impossible_face_is_refused(baker, face):
    assert "cannot be the area" in sell(baker, "--largest-face", face, code=2).stderr


def test_unknown_rules_are_refused_and_the_known_ones_named(baker):
    assert "au, ca, eu, gb, nz, us" in sell(baker, under="mars", code=11).stderr


def test_what_does_not_fit_is_refused_and_nothing_is_recorded(baker):
    before = baker.event_count()
    told = sell(baker, stock="roll-50x25", code=17).stderr

    assert "does not fit on stock roll-50x25" in told
    assert "it would fit on " in told
    assert "letter-2x5" in told
    assert baker.event_count() == before


def test_what_had_no_room_is_told(baker):
    told = sell(baker, *MAKER, stock="a4-3x8", code=0).stdout

    assert "no room for the bars on 1 label" in told


def test_several_boxes_fill_a_sheet_from_where_it_is_free(baker):
    args = ("--under", "eu", "--stock", "letter-2x3", "--out", "sale.pdf")
    told = baker.see("sale", *baker.codes("leek tart"), *args, "--start", "6")

    assert "2 labels, 2 pages" in told
    assert told.count("not on this label") == 1


def test_a_batch_is_named_by_its_number(baker):
    told = baker.see(
        *("sale", "--batch", "1", "--under", "eu", "--stock", "letter-2x3"),
        *("--out", "sale.pdf", "--no-verify"),
    )

    assert "2 labels, 1 page); symbols not read back" in told


def test_foods_are_told_apart_in_what_is_told(baker):
    baker.run(*("food", "add", "stew", "--category", "soup-stew", "--no-allergens"))
    baker.run("food", "add", "stew", "--ingredient", "pasta=1kg")
    baker.run("prep", "stew", "--portion", "300g", "--no-labels")
    args = ("--under", "eu", "--stock", "letter-2x3", "--out", "sale.pdf")
    told = baker.see("sale", *baker.codes(), *args)

    assert "warning: stew: 'pasta' may hold" in told
    assert "note: leek tart: 'leeks' is in the name" in told


def test_maker_and_address_come_from_the_environment(baker, monkeypatch):
    monkeypatch.setenv("LIDCLOCK_MAKER", "The Other Kitchen")
    monkeypatch.setenv("LIDCLOCK_MAKER_ADDRESS", "2 Example St")
    told = sell(baker).stdout

    assert "Made by The Other Kitchen, 2 Example St" in words(baker)
    assert "no --maker-address" not in told


def test_text_that_looks_like_markup_stays_text(cook):
    odd = "<b>&amp;</b> =SUM(A1) %PDF-1.4 (x) \\n"
    cook.run(*TART, "--ingredient", f"{odd}=9g", "--no-allergens")
    cook.run("prep", "leek tart", "--portion", "350g", "--no-labels")
    sell(cook, "--maker", "</Text> ) Tj ET", "--lot", "=1+1")
    shown = words(cook)

    assert odd in shown
    assert "Made by </Text> ) Tj ET" in shown
    assert "Lot =1+1" in shown


@pytest.mark.parametrize("lot", ["03/04/26", "a\u202eb"])
def test_what_must_not_be_printed_is_refused(baker, lot):
    assert sell(baker, "--lot", lot, code=17).stderr.startswith("Error: the lot holds")


def test_writing_from_right_to_left_is_printed(cook):
    cook.run("food", "add", "شوربة", "--category", "soup-stew", "--allergens", "حليب")
    cook.run(
        "food", "add", "شوربة", "--ingredient", "حليب=1kg", "--ingredient", "ماء=2kg"
    )
    cook.run("prep", "شوربة", "--portion", "350g", "--no-labels")
    args = ("--under", "eu", "--stock", "letter-2x3", "--out", "sale.pdf")
    told = cook.see("sale", *cook.codes(), *args)

    assert "every symbol read back" in told
    assert "350 g" in words(cook)


def test_what_went_in_from_other_containers_is_told(baker):
    code = baker.codes("leek tart")[0]
    baker.run(
        *("prep", "pie", "--category", "quiche", "--from", f"{code}=100g"),
        *("--ingredient", "leeks=9g", "--no-allergens", "--portion", "90g"),
        "--no-labels",
    )
    args = ("--under", "eu", "--stock", "letter-2x3", "--out", "sale.pdf")
    told = baker.see("sale", *baker.codes("pie"), *args)

    assert "it was made from leek tart: see that the ingredients name" in told
    assert "Contains: WHEAT, EGG, MILK, CELERY." in words(baker)
