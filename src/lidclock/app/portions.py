"""Dividing a container, and putting several together."""

from __future__ import annotations

from datetime import datetime

from lidclock.app.prep import Filled, fresh_codes
from lidclock.app.session import Fact, Unit
from lidclock.domain.codes import spaced
from lidclock.domain.foods import Food
from lidclock.domain.masses import checked_mass, say_mass
from lidclock.errors import InputError, RefusedError


def split(
    unit: Unit, typed: str, masses_g: list[float], *, at: datetime | None = None
) -> Filled:
    """Move `masses_g` into new containers; the rest stays, and so does the clock."""
    known = unit.find(typed)
    if not known.is_live:
        raise RefusedError(
            f"{spaced(known.code)} was already {known.end_kind}: nothing to split"
        )
    if known.mass_g is None:
        raise RefusedError(
            f"nobody recorded how much {spaced(known.code)} holds; give it with "
            f"`lidclock correct {known.code} --mass ...` first"
        )
    shares = [checked_mass(mass) for mass in masses_g]
    if not shares:
        raise InputError("say how much goes into each new container, for example 120g")
    if round(sum(shares), 1) > known.mass_g:
        raise InputError(
            f"{spaced(known.code)} holds {say_mass(known.mass_g)}, "
            f"not {say_mass(sum(shares))}"
        )
    when = unit.session.checked_past(at, "time")
    codes = fresh_codes(unit, len(shares))
    facts = [
        Fact("filled", code, {"parent": known.code, "mass_g": mass}, when)
        for code, mass in zip(codes, shares, strict=True)
    ]
    into = dict(zip(codes, shares, strict=True))
    facts.append(Fact("split", known.code, {"into": into}, when))
    unit.record(facts)
    left = round(known.mass_g - sum(shares), 1)
    remark = f"{say_mass(left)} stay in {spaced(known.code)}" if left > 0 else ""
    views = tuple(unit.view(code) for code in codes)
    return Filled(known.batch_number, views, (remark,) if remark else ())


def _mixture(unit: Unit, food: str | None, foods: set[str], codes: list[str]) -> Food:
    """The food of the mixture: the one named, or the one that all of them hold."""
    if food is not None:
        return unit.need_food(food)
    facts = {unit.view(code).food for code in codes}
    return facts.pop() if len(facts) == 1 else unit.need_food(foods.pop())


def combine(
    unit: Unit,
    typed: list[str],
    *,
    food: str | None = None,
    at: datetime | None = None,
) -> Filled:
    """Put several containers into a new one, which is as old as its oldest part."""
    parts = {known.code: known for known in (unit.find(code) for code in typed)}
    if len(parts) < 2:
        raise InputError("name at least two containers to combine")
    for known in parts.values():
        if not known.is_live:
            raise RefusedError(
                f"{spaced(known.code)} was already {known.end_kind}: leave it out"
            )
    foods = {known.food for known in parts.values()}
    if food is None and len(foods) > 1:
        raise InputError(
            f"these hold different foods ({', '.join(sorted(foods))}); say what the "
            "mixture is with --food"
        )
    mixture = _mixture(unit, food, foods, list(parts))
    masses = [known.mass_g for known in parts.values()]
    when = unit.session.checked_past(at, "time")
    code = fresh_codes(unit, 1)[0]
    body: dict[str, object] = {
        "food": mixture.name,
        "facts": mixture.as_dict(),
        "from": list(parts),
    }
    if all(mass is not None for mass in masses):
        body["mass_g"] = round(sum(mass or 0 for mass in masses), 1)
    facts = [
        Fact("filled", code, body, when),
        Fact("combined", code, {"from": list(parts)}, when),
    ]
    facts += [Fact("combined", part, {"into": code}, when) for part in parts]
    places = {(known.place, known.state) for known in parts.values()}
    if len(places) == 1 and ("", "") not in places:
        place, state = places.pop()
        facts.append(Fact("placed", code, {"place": place, "state": state}, when))
    unit.record(facts)
    return Filled(None, (unit.view(code),))
