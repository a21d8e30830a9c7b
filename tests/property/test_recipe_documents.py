"""Whatever a recipe's document holds, the answer is a plan or one InputError."""

from __future__ import annotations

import json
from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from lidclock.app.recipes import Size, plan_json, plan_recipe
from lidclock.errors import InputError

odd = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(-(10**20), 10**20),
    st.floats(),
    st.sampled_from(["", "1/0", "5 ml", "1 lb 2 oz", "0 g", "-1 g", "75%", "nan"]),
    st.text(max_size=8),
    st.lists(st.text(max_size=4), max_size=3),
    st.dictionaries(st.text(max_size=4), st.integers(), max_size=2),
)
sound = st.decimals("0.1", "900", places=2).map(str)
shares = st.decimals("0.1", "1", places=2).map(str)


def some(**values):
    """A dictionary with any of these keys, now and then with something odd behind."""
    optional = {key: one | odd for key, one in values.items()}
    return st.fixed_dictionaries({}, optional=optional)


names = st.sampled_from(["flour", "Flour", "milk", "salt", "oil", "water"])
inputs = some(
    **{"name": names, "mass": sound, "percent": sound, "density": shares},
    **{"yield": shares, "price": sound, "price_per": st.just("1 kg")},
    allergens=st.just(["wheat"]),
)
documents = some(
    name=names,
    base=names | st.lists(names, max_size=3),
    inputs=st.lists(inputs, min_size=1, max_size=4),
    loss=shares,
    makes=some(count=st.integers(1, 9), portion=sound),
    currency=st.just("USD"),
)
texts = st.sampled_from(["", "1", "6", "300g", "0", "-1", "1e9", "2kg,1kg", "x", "50%"])
sizes = st.builds(
    *(Size, texts, texts, texts, texts, texts),
    exact=st.booleans(),
    units=st.sampled_from(["metric", "us"]),
    step=st.sampled_from(["", "1g", "0.5oz", "x"]),
)


def asked(document, size):
    """The answer, or None and a check of the refusal."""
    try:
        return plan_json(plan_recipe(json.dumps(document), size))
    except InputError as error:
        told = str(error)
    assert 0 < len(told) < 8000
    return None


@given(documents | odd, sizes)
def test_anything_is_answered_or_refused_in_one_way(document, size):
    answer = asked(document, size)

    if answer is not None:
        assert json.loads(json.dumps(answer)) == answer


@given(
    st.lists(
        st.fixed_dictionaries(
            {"name": st.text("abcdefgh", min_size=1, max_size=6), "mass": sound},
            optional={"yield": shares},
        ),
        min_size=1,
        max_size=8,
        unique_by=lambda one: one["name"],
    ),
    st.integers(1, 300),
    st.integers(1, 900),
    st.decimals("0", "0.7", places=2).map(str),
)
def test_what_is_answered_adds_up(rows, count, portion_g, loss):
    answer = asked({"inputs": rows}, Size(str(count), str(portion_g), loss))

    exact = [Fraction(one["exact_g"]) for one in answer["inputs"]]
    assert sum(exact) == Fraction(answer["mix_g"])
    assert sum(answer["split"]["containers_g"]) == Fraction(answer["mix_g"])
    assert len(answer["split"]["containers_g"]) == count
    total = sum(Fraction(one["percent"]) for one in answer["inputs"])
    assert abs(total - 100) < Fraction(1, 10**10)
    by_weight = sorted(answer["inputs"], key=lambda x: -Fraction(x["exact_g"]))
    assert answer["ingredients"] == [one["name"] for one in by_weight]
    left = Fraction(answer["mix_g"]) * (1 - Fraction(loss))
    assert count * portion_g <= left < count * portion_g + 1
