"""Names as they are typed: invisible joiners kept where a script needs them."""

import pytest

PERSIAN = "قورمه\u200cسبزی"


def prep(cook, name):
    return cook.run(
        *("prep", name, "--category", "soup-stew", "--no-allergens", "--count", "1"),
        *("--portion", "350g", "--made", "today 17:10", "--place", "Fridge"),
        "--no-labels",
    )


def test_a_persian_name_is_found_and_printed_as_it_was_typed(cook):
    prep(cook, PERSIAN)

    (code,) = cook.codes(PERSIAN)

    assert cook.data("show", code)["food"] == PERSIAN
    assert "every symbol read back" in cook.see("label", code, "--out", "lid.pdf")


def test_names_that_differ_by_a_joiner_are_two_foods(cook):
    prep(cook, PERSIAN)
    prep(cook, PERSIAN.replace("\u200c", ""))

    assert len(cook.codes(PERSIAN)) == 1
    assert len(cook.codes()) == 2


@pytest.mark.parametrize("name", ["so\u200cup", "stew\u200d", "\u200c", "st\u202eew"])
def test_a_name_with_a_needless_invisible_character_is_refused(cook, name):
    told = cook.fail(
        2, "prep", name, "--category", "soup-stew", "--count", "1", "--no-labels"
    )

    assert "is not a name" in told
