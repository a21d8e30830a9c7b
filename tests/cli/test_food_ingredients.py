"""Recording what a food is made of, and seeing it again."""

import json

import pytest

BUN = ("food", "add", "bun", "--category", "bread-baked")
LIST = [
    *("--ingredient", "butter=80g", "--ingredient", "wheat flour=500g"),
    *("--ingredient", "stock (celery, salt)=1.5 oz"),
]


@pytest.fixture
def baker(cook):
    """A kitchen with a bun whose ingredients are recorded."""
    cook.run(*BUN, *LIST, "--allergens", "wheat, milk, celery")
    return cook


def names(cook):
    return [one["name"] for one in cook.data("food", "show", "bun")["ingredients"]]


def test_ingredients_are_kept_as_they_were_written(baker):
    assert baker.data("food", "show", "bun")["ingredients"] == [
        {"name": "butter", "mass": "80g", "grams": 80.0},
        {"name": "wheat flour", "mass": "500g", "grams": 500.0},
        {"name": "stock (celery, salt)", "mass": "1.5 oz", "grams": 42.5242846875},
    ]
    assert baker.data("food", "list")[0]["ingredients"][0]["name"] == "butter"


def test_a_food_is_shown_with_its_ingredients_the_heaviest_first(baker):
    lines = baker.see("food", "show", "Bun").splitlines()

    assert lines[0] == "bun  bread-baked  wheat, milk, celery"
    assert lines[1:5] == [
        "ingredients, the heaviest first",
        "  wheat flour, 500g",
        "  butter, 80g",
        "  stock (celery, salt), 1.5 oz",
    ]


def test_a_food_without_them_says_how_to_record_them(cook):
    cook.run(*BUN)

    assert "not recorded; give --ingredient" in cook.see("food", "show", "bun")


def test_other_changes_keep_them_and_a_new_list_replaces_them(baker):
    baker.run("food", "add", "bun", "--handling", "Toast it.")
    kept = names(baker)
    baker.run("food", "add", "bun", "--ingredient", "rye flour=1kg")

    assert kept == ["butter", "wheat flour", "stock (celery, salt)"]
    assert names(baker) == ["rye flour"]


def test_none_clears_them(baker):
    baker.run("food", "add", "bun", "--ingredient", "none")

    assert names(baker) == []


def test_a_bad_ingredient_is_refused_and_nothing_is_recorded(cook):
    before = cook.event_count()
    told = cook.fail(2, *BUN, "--ingredient", "butter 80g")

    assert "butter 80g" in told
    assert "wheat flour=500g" in told
    assert cook.event_count() == before


def test_an_unknown_food_is_refused(cook):
    assert "no food 'bunn'" in cook.fail(11, "food", "show", "bunn")


def test_they_can_be_recorded_while_a_batch_is_made(cook):
    cook.run(
        *("prep", "bun", "--category", "bread-baked", *LIST),
        *("--portion", "90g", "--no-labels"),
    )

    assert names(cook) == ["butter", "wheat flour", "stock (celery, salt)"]


def test_what_was_filled_before_keeps_its_own(baker):
    baker.run("prep", "bun", "--count", "1", "--portion", "90g", "--no-labels")
    baker.run("food", "add", "bun", "--ingredient", "rye flour=1kg")
    lines = [json.loads(x) for x in baker.run("export").stdout.splitlines()]
    made = [x["body"] for x in lines if x.get("kind") in ("made", "filled")]

    assert [x["ingredients"][0]["name"] for one in made if (x := one.get("facts"))] == (
        ["butter"]
    )


def test_export_and_import_carry_them(baker, tmp_path, monkeypatch):
    (tmp_path / "all.jsonl").write_text(baker.run("export").stdout)
    monkeypatch.setattr(baker, "database", tmp_path / "second.db")
    baker.run("import", "all.jsonl")

    assert names(baker) == ["butter", "wheat flour", "stock (celery, salt)"]


def test_an_import_with_a_malformed_ingredient_is_refused(baker, tmp_path):
    text = baker.run("export").stdout.replace('"mass": "80g"', '"mass": "80 x"')
    (tmp_path / "bad.jsonl").write_text(text)

    assert "80 x" in baker.fail(2, "import", "bad.jsonl")


def test_names_that_look_like_markup_stay_text(cook):
    name = "=SUM(A1) <b>&amp;</b> %PDF \\n 'x\"; DROP"
    cook.run(*BUN, "--ingredient", f"{name}=3g")

    assert names(cook) == [name]
