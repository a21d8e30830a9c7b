"""`trace` on real databases: back, forward, by lot, what is unknown, on paper."""

import re

import pypdfium2
import pytest

DRESSING = (
    *("open", "mustard dressing", "--category", "pickles-opened", "--mass", "3kg"),
    *("--allergens", "mustard", "--place", "Fridge"),
)
OF_THE_PACK = (*("--lot", "AB 12", "--maker", "North Mill", "--use-by", "20 Nov 2026"),)
SALAD = ("prep", "salad", "--category", "soup-stew", "--no-allergens", "--place")
NINE = ("Fridge", "--count", "9", "--portion", "400g", "--no-labels")


def spaced(code):
    return f"{code[:3]} {code[3:]}"


@pytest.fixture
def caterer(cook):
    """Two packs, nine tubs out of one of them with a share weighed, one tub used."""
    cook.who = "Ana"
    cook.run(*DRESSING, *OF_THE_PACK)
    (cook.dressing,) = cook.codes("mustard dressing")
    cook.run("open", "other sauce", "--category", "pickles-opened", "--no-allergens")
    (cook.sauce,) = cook.codes("other sauce")
    cook.who = "Ben"
    cook.run(*SALAD, *NINE, "--from", f"{cook.dressing}=1.2kg")
    cook.tubs = cook.codes("salad")
    cook.run("scan", cook.tubs[0], "--use")
    return cook


def section(screen, head):
    """The lines under a head, up to the next one."""
    lines = screen.splitlines()
    start = lines.index(head) + 1
    end = next((at for at in range(start, len(lines)) if not lines[at]), len(lines))
    return [line.strip() for line in lines[start:end]]


def test_back_names_the_pack_with_maker_lot_date_and_opening(caterer):
    seen = caterer.see("trace", caterer.tubs[1], "--back")

    assert section(seen, "Back: packs that went in") == [
        "mustard dressing",
        spaced(caterer.dressing),
        "lot AB 12 · maker: North Mill",
        "maker's date: Fri 20 Nov 2026 · opened Sat 31 Oct 2026 17:40 by Ana",
        "went into batch 1 (salad): 1200 g",
        "held 3000 g · 1200 g into other food · 1800 g left",
        "now: Fridge",
    ]
    assert section(seen, "Back: batches and containers that went in") == [
        "batch 1: salad",
        "made Sat 31 Oct 2026 17:40 by Ben · 9 containers · 3600 g",
    ]
    assert "Forward" not in seen


def test_forward_by_lot_says_where_each_is_or_how_it_ended(caterer):
    seen = caterer.see("trace", "--lot", "ab12", "--forward")

    here = section(seen, "Forward: here now")
    assert here[0] == "salad x8"
    assert set(here[1].split(" · ")) == {spaced(code) for code in caterer.tubs[1:]}
    assert here[-1] == "now: Fridge"
    gone = section(seen, "Forward: gone")
    assert gone[:2] == ["salad", spaced(caterer.tubs[0])]
    assert gone[-1] == "used, Sat 31 Oct 2026 17:40 by Ben"
    assert "Back" not in seen


def test_what_has_nothing_of_the_lot_is_not_named(caterer):
    caterer.run(*SALAD[:1], "soup", *SALAD[2:], *NINE, "--from", caterer.sauce)
    seen = caterer.see("trace", "--lot", "AB 12")

    assert "soup" not in seen
    assert spaced(caterer.sauce) not in seen


def test_gaps_are_said_and_listed_together(caterer):
    caterer.run(*SALAD[:1], "soup", *SALAD[2:], *NINE, "--from", caterer.sauce)
    (first, *_) = caterer.codes("soup")
    seen = caterer.see("trace", first, "--back")

    pack = section(seen, "Back: packs that went in")
    assert pack[2] == "lot: not recorded · maker: not recorded"
    assert pack[3].startswith("maker's date: not recorded · opened ")
    assert pack[4] == "went into batch 2 (soup): how much is not recorded"
    assert pack[5] == "how much it held: not recorded"
    (_, gaps) = section(seen, "Back: not recorded")
    assert gaps.endswith(
        " · its lot, its maker, its maker's date, how much of it went in"
    )


def test_a_batch_of_which_no_input_was_recorded_says_so(stew):
    seen = stew.see("trace", stew.codes()[0], "--back")

    batch = section(seen, "Back: batches and containers that went in")
    assert batch[-1] == "what went into it: not recorded"
    assert "what went into it" in section(seen, "Back: not recorded")[-1]


def test_what_was_taken_for_nothing_recorded_is_told(caterer):
    caterer.run("take", caterer.dressing, "300g")
    seen = caterer.see("trace", caterer.dressing, "--forward")

    assert (
        "held 3000 g · 1200 g into other food · 300 g taken, into what is not recorded "
        "· 1500 g left"
    ) in section(seen, "Asked about")


def test_as_json_a_link_bears_its_grams_and_unknown_is_null(caterer):
    found = caterer.data("trace", caterer.tubs[1])
    packs = [one for one in found["back"] if one["kind"] == "pack"]

    (link,) = packs[0]["links"]
    assert (link["from"], link["how"], link["mass_g"]) == (
        *(caterer.dressing, "mixed", 1200.0),
    )
    assert packs[0]["gtin"] is None
    assert found["forward"] == []
    assert caterer.data("trace", caterer.tubs[1], "--back")["forward"] is None


def test_three_dishes_go_onto_one_list_to_print(caterer):
    for food in ("soup", "roots"):
        caterer.run(*SALAD[:1], food, *SALAD[2:], *NINE, "--from", caterer.sauce)
    out = caterer.folder / "recall.pdf"
    asked = ("--batch", "1", "--batch", "2", "--batch", "3")
    said = caterer.see("trace", *asked, "--back", "--out", str(out))

    assert said.startswith("wrote: ")
    document = pypdfium2.PdfDocument(out)
    text = "\n".join(page.get_textpage().get_text_range() for page in document)
    for words in ("batch 1: salad", "batch 2: soup", "batch 3: roots", "AB 12"):
        assert words in text
    assert text.count("how much is not recorded") == 2


def test_a_lot_or_a_batch_that_is_not_here_is_refused_with_what_to_do(caterer):
    told = caterer.fail(11, "trace", "--lot", "AB 13")
    assert "no pack and no batch here bears the lot 'AB 13'" in told
    assert "check how it is written" in told
    assert "no batch '9' here" in caterer.fail(11, "trace", "--batch", "9")
    assert "say what to trace" in caterer.fail(2, "trace")
    assert "--back or --forward" in caterer.fail(2, "trace", "--back", "--forward")


def test_a_number_that_two_batches_bear_is_asked_about(cook, tmp_path):
    """Two devices that were apart each counted on: neither batch is guessed."""
    cook.run(*SALAD, "Fridge", "--no-labels")
    backup, first = tmp_path / "before.db", tmp_path / "first.jsonl"
    cook.run("backup", str(backup))
    cook.run(*SALAD, "Fridge", "--no-labels")
    cook.run("export", str(first))
    cook.database = backup
    cook.run(*SALAD, "Fridge", "--no-labels")
    cook.run("import", str(first))
    told = cook.fail(2, "trace", "--batch", "2")

    assert "two devices numbered a batch 2 at the same time" in told
    assert "trace a container" in told
    assert "batch 1" in cook.see("trace", "--batch", "1")


def test_a_recipe_names_what_nobody_recorded_a_pack_of(cook):
    recipe = cook.folder / "salad.toml"
    recipe.write_text(
        'name = "salad"\n'
        'inputs = [{ name = "Mustard dressing", mass = "1 kg" },'
        ' { name = "barley", mass = "2 kg" }]\n'
    )
    cook.run("recipe", "add", str(recipe))
    cook.run(*DRESSING)
    (dressing,) = cook.codes("mustard dressing")
    cook.run(*SALAD, *NINE, "--from", dressing, "--recipe", "salad")
    seen = cook.see("trace", "--batch", "1", "--back")

    assert "barley: which of it went in is not recorded" in seen
    assert "dressing: which" not in seen


@pytest.mark.parametrize("words", [("--food", "mustard dressing"), ()])
def test_a_supplier_who_swaps_an_input_marks_the_labels_of_nine_tubs(cook, words):
    """3B.8: celery turns up in the dressing; nine live tubs, and no lid else."""
    cook.run(*DRESSING, "--lot", "AB 12")
    (dressing,) = cook.codes("mustard dressing")
    cook.run(*SALAD, *NINE, "--from", dressing)
    cook.run(*SALAD[:1], "soup", *SALAD[2:], *NINE)
    tubs, soup = cook.codes("salad"), cook.codes("soup")
    out = str(cook.folder / "labels.pdf")
    cook.run("label", dressing, *tubs, *soup, "--out", out)
    assert "to label anew" not in cook.see("correct", dressing, "--mass", "3kg")

    change = ("--allergens", "mustard, celery")
    if words:
        cook.run("food", "add", "mustard dressing", *change)
        change = words
    said = cook.see("correct", dressing, *change)

    assert "10 lids to label anew:" in said
    told = set(re.findall(r"^  (\w{3} \w{4}) .*does not name celery", said, re.M))
    assert told == {spaced(code) for code in (dressing, *tubs)}
    bare = {one["code"] for one in cook.data("list")["containers"]}
    labelled = {
        one["code"] for one in cook.data("list")["containers"] if one["labelled"]
    }
    assert bare - labelled == {dressing, *tubs}
    seen = cook.see("trace", "--lot", "AB12", "--forward")
    assert len(section(seen, "Labels to print anew")) > 1

    cook.run("label", dressing, *tubs, "--out", out)
    listed = cook.data("list")["containers"]
    assert all(one["labelled"] for one in listed)
    assert "to label anew" not in cook.see("correct", dressing, "--mass", "3kg")


def test_a_lid_that_is_gone_is_not_printed_anew(cook):
    cook.run(*DRESSING)
    (dressing,) = cook.codes("mustard dressing")
    cook.run(*SALAD, *NINE, "--from", dressing)
    tubs = cook.codes("salad")
    out = str(cook.folder / "labels.pdf")
    cook.run("label", *tubs, "--out", out)
    cook.run("scan", tubs[0], "--use")
    said = cook.see("correct", dressing, "--allergens", "mustard, celery")

    assert "8 lids to label anew:" in said
    assert spaced(tubs[0]) not in said
