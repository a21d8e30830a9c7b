"""Labels for sale: every ingredient once and in order, every allergen, nothing cut."""

from __future__ import annotations

import re
from collections import Counter
from itertools import pairwise

from hypothesis import given, settings
from hypothesis import strategies as st

from lidclock.app.retail_allergens import Recorded, is_kind, list_ingredients
from lidclock.app.retail_statements import contains_runs, declared
from lidclock.domain.ingredients import Ingredient
from lidclock.errors import LabelError
from lidclock.guidance.allergens import allergen_ids, allergen_list
from lidclock.labels import load_stock, retail_type
from lidclock.labels.figure import clash
from lidclock.labels.retail_arrange import arrange_retail
from lidclock.labels.retail_content import DATE, NAME, NET, Part, RetailLabel
from lidclock.labels.retail_data import jurisdiction, jurisdictions
from lidclock.labels.retail_text import Run
from lidclock.labels.retail_words import word_list

UNDER = {name: jurisdiction(name) for name in jurisdictions()}
WORDS = sorted({*word_list().means, *word_list().may_hold, *allergen_ids()})
SPECIALS = [
    "<b>&amp;",
    "=SUM(A1)",
    "%PDF (",
    "\\n)",
    "{}",
    "'\"",
    "大豆粉",
    "حليب",
    "x",
]
KNOWN = st.sampled_from(WORDS)
TEXTS = st.one_of(KNOWN, st.sampled_from(SPECIALS), st.text("ab -,()", max_size=8))
MASSES = st.builds(
    lambda number, unit: f"{number} {unit}",
    st.integers(1, 900),
    st.sampled_from(["g", "kg", "oz", "lb"]),
)
RECORDED = st.lists(
    st.one_of(
        st.sampled_from([*allergen_ids(), "nut", "gluten", "cod", "shellfish"]),
        st.sampled_from(["大豆", "حليب", "leche", "q1q"]),
    ),
    max_size=6,
    unique=True,
)


@st.composite
def ingredients(draw):
    """Up to twelve, each with a mark of its own so that it can be counted."""
    names = draw(st.lists(st.lists(TEXTS, max_size=3), min_size=1, max_size=12))
    return tuple(
        Ingredient(" ".join([*filter(None, parts), f"q{n}q"]).strip(), draw(MASSES))
        for n, parts in enumerate(names)
    )


UNDERS = st.sampled_from(sorted(UNDER))


@given(ingredients(), RECORDED, UNDERS)
def test_every_ingredient_stands_there_once_the_heaviest_first(
    made_of, recorded, under
):
    listed = list_ingredients(made_of, Recorded.of(recorded), UNDER[under])
    shown = "".join(run.text for run in listed.runs)
    order = [int(n) for n in re.findall(r"q(\d+)q", shown.casefold())]

    assert Counter(order) == Counter(range(len(made_of)))
    masses = [made_of[n].grams for n in order]
    assert masses == sorted(masses, reverse=True)
    for first, second in pairwise(order):
        assert made_of[first].grams > made_of[second].grams or first < second


@given(ingredients(), RECORDED, UNDERS)
def test_no_letter_of_a_name_is_lost_or_moved(made_of, recorded, under):
    """Without what was added in brackets the list is the names as they were typed."""
    listed = list_ingredients(made_of, Recorded.of(recorded), UNDER[under])
    shown = iter("".join(run.text for run in listed.runs).casefold())
    ordered = sorted(made_of, key=lambda one: one.grams, reverse=True)

    # A subsequence: each letter in its turn, with nothing but additions between.
    assert all(letter in shown for one in ordered for letter in one.name.casefold())


def words_for(allergen, listed, under):
    """Every word that may tell the allergen on a label."""
    entries = allergen_list(under.allergens).entries
    own = [entry.name for entry in entries if allergen in entry.covers]
    own += [
        under.names.get(allergen, allergen),
        word_list().name.get(allergen, allergen),
    ]
    own += word_list().names_of(allergen)
    own += under.summary.get(allergen, ())
    own += listed.kinds.get(allergen, [])
    return [word.casefold() for word in own]


@given(ingredients(), RECORDED, UNDERS)
def test_every_declared_allergen_stands_out(made_of, recorded, under):
    """Recorded, or named by an ingredient and on the list in force: it is in bold."""
    rules, known = UNDER[under], Recorded.of(recorded)
    listed = list_ingredients(made_of, known, rules)
    behind = contains_runs(listed, known, rules)
    bold = " ".join(x.text for x in (*listed.runs, *behind) if x.bold).casefold()

    for allergen in declared(listed, known, rules):
        assert any(word in bold for word in words_for(allergen, listed, rules)), (
            allergen
        )
    assert set(known.allergens) <= set(declared(listed, known, rules))


@given(ingredients(), RECORDED, UNDERS)
def test_what_stands_out_is_in_capitals_or_has_none(made_of, recorded, under):
    rules = UNDER[under]
    listed = list_ingredients(made_of, Recorded.of(recorded), rules)
    bold = [run.text for run in listed.runs if run.bold]

    assert all(text == text.upper() for text in bold)
    assert not (bold and rules.emphasis == "statement")


def test_a_kind_is_not_its_group():
    assert is_kind("cod", "fish")
    assert not is_kind("fish", "fish")


def arranged(label, kind):
    """The figure, or why there is none."""
    try:
        return arrange_retail(label, kind), ""
    except LabelError as error:
        return None, str(error)


NAMES = st.text("abcdefgh WMJj-é", min_size=1, max_size=40).filter(str.strip)
STOCK = st.sampled_from(
    ["letter-2x5", "letter-2x3", "a4-2x7", "roll-102x51", "roll-57x32", "a4-round-60"]
)


@given(NAMES, ingredients(), STOCK, UNDERS, st.sampled_from([None, 60.0, 300.0]))
@settings(max_examples=100)
def test_a_label_is_whole_and_large_enough_or_refused(
    name, made_of, stock, under, face_cm2
):
    rules, kind = UNDER[under], load_stock(stock)
    least = rules.least(face_cm2)
    listed = list_ingredients(made_of, Recorded.of(["milk"]), rules)
    tall = rules.least_net(350, face_cm2)
    label = RetailLabel(
        code="4F7K2M0",
        uri="HTTP://LIDCLOCK.LOCAL/C/4F7K2M0",
        parts=(
            Part("name", (Run(name, bold=True),), least, NAME),
            Part("date", (Run("Use by Thu 5 Nov 2026", bold=True),), least, DATE),
            Part("ingredients", (Run("Ingredients: ", bold=True), *listed.runs), least)
            if listed.runs
            else Part("ingredients", (Run("x"),), least),
            Part("lot", (Run("Lot 1"),), least, drop=1),
            Part("net quantity", (Run("350 g", bold=True),), tall, NET),
        ),
        leading_mm=rules.leading_mm,
    )
    figure, told = arranged(label, kind)
    if figure is None:
        assert "fit" in told
        return

    assert clash(figure.boxes, kind.label_width_mm, kind.label_height_mm) is None
    letters = Counter("".join(one.text for one in figure.texts if one.text))
    for part in label.parts:
        if part.kind not in figure.shortened:
            letters.subtract(part.text)
    marks = {"\u200e", "\u200f", " ", *"4F7K2M0"}
    assert {one for one, count in letters.items() if count} <= marks
    for one in figure.texts:
        if not set(one.text) <= set("4F7 K2M0"):
            height = retail_type.height_mm(
                one.text, one.face, one.size_pt, least.letter
            )
            assert height >= least.mm - 1e-9
