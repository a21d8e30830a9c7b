"""Reads a recipe from JSON or TOML: every fault is named at once, with what to do."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from lidclock.app.documents import shown
from lidclock.app.recipe_values import Values, parsed
from lidclock.domain.masses import HEAVIEST_CONTAINER_G, HEAVIEST_G
from lidclock.domain.phrases import with_commas
from lidclock.domain.sentences import Figure, figure, sentence
from lidclock.errors import InputError
from lidclock.plan.recipe import HUNDRED, Input, Makes, Price, Recipe
from lidclock.plan.units import decimal_text

MOST_INPUTS = 200
MOST_PORTIONS = 100_000
_NONE = Fraction(0)
_MOST_PERCENT = 1_000_000
_MOST_MONEY = 1_000_000
# Dried pulses and rice gain; ten times their mass is a slip.
_MOST_USABLE = 10
# Grams a millilitre. Puffed cereal is near 0.05; nothing eaten reaches 5.
_DENSITY = (Fraction(1, 100), Fraction(5))
_RECIPE = frozenset({"name", "base", "inputs", "loss", "makes", "currency", "note"})
_INPUT = frozenset(
    {"name", "mass", "percent", "density", "yield", "allergens"}
    | {"price", "price_per"}
)
_MAKES = frozenset({"count", "portion"})


@dataclass(frozen=True, slots=True)
class Asked:
    """A recipe as it was read, with what only people need."""

    recipe: Recipe
    currency: str = ""
    note: str = ""
    is_named: bool = True


@dataclass(frozen=True, slots=True)
class _Row:
    """One input before percentages are resolved: grams or percent, never both."""

    where: str
    name: str
    grams: Fraction | None
    percent: Fraction | None
    usable: Fraction
    price: Price | None
    allergens: tuple[str, ...] | None


def read_recipe(text: str, *, is_toml: bool, values: Values) -> Asked | None:
    """The recipe in a document; None where `values` then holds what is wrong with it.

    InputError where it is no document at all.
    """
    document = parsed(text, is_toml=is_toml)
    if not isinstance(document, dict):
        raise InputError(f"document: write an object, not {shown(document)}")
    before = len(values.faults)
    values.refuse_strays("document", document, _RECIPE)
    name = values.name("name", document.get("name", "recipe"))
    rows = _rows(values, document.get("inputs"))
    base = _base(values, document.get("base"), rows)
    loss = read_loss(values, document.get("loss", 0))
    makes = _makes(values, document.get("makes"))
    note = values.text("note", document.get("note"))
    currency = values.text("currency", document.get("currency"))
    if makes is not None and loss:
        values.fault(
            "loss",
            sentence(
                "what the recipe makes has every loss in it; leave out one of the two"
            ),
        )
    if len(values.faults) > before or name is None or loss is None:
        return None
    inputs, is_weighed = _resolved(values, rows, base, makes)
    if len(values.faults) > before:
        return None
    recipe = Recipe(name, inputs, base, is_weighed, loss, makes)
    return Asked(recipe, currency, note, "name" in document)


def read_loss(values: Values, given: Any) -> Fraction | None:
    """The share of the mix that is lost: 0.025, or 2.5%."""
    found = values.number("loss", given, 0, HUNDRED, share=True)
    if found is not None and found >= 1:
        values.fault(
            "loss",
            sentence(
                "{what} leaves nothing; write a share such as 0.025, or 2.5%",
                what=shown(given),
            ),
        )
        return None
    return found


def _rows(values: Values, given: Any) -> list[_Row]:
    if not isinstance(given, list) or not given:
        values.fault("inputs", f"write a list of inputs, not {shown(given)}")
        return []
    if len(given) > MOST_INPUTS:
        values.fault(
            "inputs",
            sentence(
                "{count} are too many; {most} at most",
                count=figure(len(given)),
                most=figure(MOST_INPUTS),
            ),
        )
        return []
    rows: list[_Row] = []
    known: dict[str, str] = {}
    for index, facts in enumerate(given):
        where = f"inputs[{index}]"
        if not isinstance(facts, dict):
            values.fault(where, f"write an object, not {shown(facts)}")
            continue
        row = _row(values, where, facts)
        if row is None:
            continue
        first = known.setdefault(row.name.casefold(), where)
        if first != where:
            values.fault(
                where,
                sentence(
                    "{name} stands there twice; give it once, with both added",
                    name=repr(row.name),
                ),
            )
        rows.append(row)
    return rows


def _row(values: Values, where: str, facts: Mapping[str, Any]) -> _Row | None:
    values.refuse_strays(where, facts, _INPUT)
    name = values.name(f"{where}.name", facts.get("name"))
    if name is not None:
        where = f"{where} ({name})"
    density = percent = grams = None
    if facts.get("density") is not None:
        density = values.number(f"{where}.density", facts["density"], *_DENSITY)
    usable = _usable(values, where, facts.get("yield"))
    has_mass = facts.get("mass") is not None
    if has_mass == (facts.get("percent") is not None):
        values.fault(where, sentence("give mass or percent, one of the two"))
    elif has_mass:
        grams = values.grams(f"{where}.mass", facts["mass"], density, HEAVIEST_G)
    else:
        percent = _percent(values, f"{where}.percent", facts["percent"])
    price = _price(values, where, facts, density)
    allergens = _allergens(values, f"{where}.allergens", facts.get("allergens"))
    if name is None:
        return None
    return _Row(where, name, grams, percent, usable, price, allergens)


def _usable(values: Values, where: str, given: Any) -> Fraction:
    if given is None:
        return Fraction(1)
    found = values.number(f"{where}.yield", given, 0, _MOST_USABLE, share=True)
    if found == 0:
        values.fault(f"{where}.yield", sentence("a yield of 0 leaves nothing to use"))
    return found or Fraction(1)


def _percent(values: Values, where: str, given: Any) -> Fraction | None:
    bare = given.strip().removesuffix("%") if isinstance(given, str) else given
    return values.positive(where, bare, _MOST_PERCENT)


def _price(
    values: Values, where: str, facts: Mapping[str, Any], density: Fraction | None
) -> Price | None:
    money, per = facts.get("price"), facts.get("price_per")
    if money is None and per is None:
        return None
    if money is None or per is None:
        values.fault(
            where,
            sentence("a price goes with what it is for, such as 2.48 for 1 kg"),
        )
        return None
    amount = values.number(f"{where}.price", money, 0, _MOST_MONEY)
    grams = values.grams(f"{where}.price_per", per, density, HEAVIEST_G)
    if amount is None or grams is None:
        return None
    return Price(amount, grams, str(per).strip())


def _allergens(values: Values, where: str, given: Any) -> tuple[str, ...] | None:
    """None where nobody recorded them; an empty list says that there are none."""
    if given is None:
        return None
    if not isinstance(given, list):
        values.fault(where, f'write a list such as ["wheat"], not {shown(given)}')
        return None
    names = [values.name(where, one) for one in given]
    return tuple(dict.fromkeys(one.lower() for one in names if one is not None))


def _base(values: Values, given: Any, rows: list[_Row]) -> tuple[str, ...]:
    """The inputs that are 100 %, by their names as the inputs write them."""
    if given is None:
        return ()
    wanted = [given] if isinstance(given, str) else given
    if not isinstance(wanted, list) or not wanted:
        values.fault("base", f"name the inputs that are 100 %, not {shown(given)}")
        return ()
    known = {row.name.casefold(): row.name for row in rows}
    found: dict[str, None] = {}
    for one in wanted:
        name = values.name("base", one)
        if name is None:
            continue
        if name.casefold() not in known:
            values.fault("base", f"{name!r} is not among the inputs")
        elif known[name.casefold()] in found:
            values.fault("base", f"{name!r} stands there twice")
        else:
            found[known[name.casefold()]] = None
    return tuple(found)


def _makes(values: Values, given: Any) -> Makes | None:
    if given is None:
        return None
    if not isinstance(given, dict):
        values.fault("makes", f"write an object with count, not {shown(given)}")
        return None
    values.refuse_strays("makes", given, _MAKES)
    count = values.whole("makes.count", given.get("count"), MOST_PORTIONS)
    portion = None
    if given.get("portion") is not None:
        portion = values.grams(
            "makes.portion", given["portion"], None, HEAVIEST_CONTAINER_G
        )
    return None if count is None else Makes(count, portion)


def _resolved(
    values: Values, rows: list[_Row], base: tuple[str, ...], makes: Makes | None
) -> tuple[tuple[Input, ...], bool]:
    """Inputs in proportion, and whether their parts are grams."""
    is_weighed = any(row.grams is not None for row in rows)
    base_rows = [row for row in rows if row.name in base]
    base_g = sum((row.grams or _NONE for row in base_rows), _NONE)
    if not is_weighed:
        _check_percentages(values, rows, base, base_rows)
        if makes is not None:
            values.fault(
                "makes",
                sentence("needs masses; percentages alone make any amount"),
            )
    elif any(row.percent is not None for row in rows) and (
        not base_rows or any(row.grams is None for row in base_rows)
    ):
        values.fault(
            "base",
            sentence(
                "beside masses a percentage is of the base: name that, and give it "
                "by mass"
            ),
        )
    if values.faults:
        return (), is_weighed
    inputs = tuple(
        Input(
            row.name,
            _parts(row, base_g, is_weighed=is_weighed),
            row.usable,
            row.price,
            row.allergens,
        )
        for row in rows
    )
    return inputs, is_weighed


def _parts(row: _Row, base_g: Fraction, *, is_weighed: bool) -> Fraction:
    if row.grams is not None:
        return row.grams
    assert row.percent is not None  # one of the two, as was checked
    return row.percent * base_g / HUNDRED if is_weighed else row.percent


def _check_percentages(
    values: Values, rows: list[_Row], base: tuple[str, ...], base_rows: list[_Row]
) -> None:
    """Percentages alone must say what they are of, and that must be 100."""
    counted = base_rows if base else rows
    total = sum((row.percent or _NONE for row in counted), _NONE)
    if total == HUNDRED:
        return
    said = Figure(decimal_text(total))
    if base:
        values.fault(
            "base",
            sentence(
                "{names} add up to {percent} %; they are the 100 %",
                names=with_commas(base),
                percent=said,
            ),
        )
    else:
        values.fault(
            "base",
            sentence(
                "the percentages add up to {percent} %: name the inputs that are the "
                "100 %, such as the flour",
                percent=said,
            ),
        )
