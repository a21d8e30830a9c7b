"""From tables of a parameter file to values, strictly: what is unknown is refused."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass, fields
from typing import Any, TypeVar

from lidclock.errors import GuidanceError
from lidclock.kinetics.factors import Factors
from lidclock.kinetics.organisms import (
    KINDS,
    LAGS,
    UNVERIFIED,
    VERIFIED,
    Hazard,
    Limits,
    Organism,
    Range,
    Source,
)
from lidclock.kinetics.parameters import (
    MODELS,
    PARAMETERS,
    UNITS,
    celsius,
    law_of,
    parameters_of,
    table_of,
    through_generation_times,
    through_rates,
)
from lidclock.kinetics.rates import RateLaw
from lidclock.kinetics.steps import Steps

_T = TypeVar("_T")
Table = Mapping[str, Any]
Sources = Mapping[str, Source]
_ORGANISM_KEYS = frozenset(
    {"id", "name", "kind", "source", "model", "unit", "parameters", "rates"}
    | {"generation_times_h", "generation_times_f", "end_f", "lag", "says"}
    | {"valid_c", "valid_ph", "valid_aw", "ph", "aw", "limits"}
)
# In which ways a model may be given.
_WAYS = {
    "square-root": ("parameters", "rates", "generation_times_h"),
    "extended-square-root": ("parameters",),
    "cardinal": ("parameters",),
    "generations-table": ("generation_times_f",),
}
_ALL_WAYS = ("parameters", "rates", "generation_times_h", "generation_times_f")
_TIME = re.compile(r"(\d+(?:\.\d+)?) ([hd])")


@dataclass(frozen=True, slots=True)
class Place:
    """An entry of a file: reads its values and words the refusals."""

    file: str
    entry: str
    table: Table

    def error(self, key: str, message: str) -> GuidanceError:
        """The refusal, with file, entry and key in front."""
        return GuidanceError(f"{self.file}: {self.entry}: {key}: {message}")

    def refuse_strays(self, known: Collection[str]) -> None:
        """Refuse a key that nobody knows."""
        for key in sorted(set(self.table) - set(known)):
            raise self.error(key, f"unknown; expected {', '.join(sorted(known))}")

    def text(self, key: str, known: Collection[str] = ()) -> str:
        """Some text, of `known` words where there are any."""
        value = self.table.get(key)
        if not isinstance(value, str) or not value:
            raise self.error(key, f"must be text, not {value!r}")
        if known and value not in known:
            raise self.error(key, f"{value!r} is not one of {', '.join(known)}")
        return value

    def number(self, key: str) -> float:
        """A number."""
        return self._number(key, self.table.get(key))

    def numbers(self, key: str, count: int) -> tuple[float, ...]:
        """A list of so many numbers."""
        return self.list_of(key, self.table.get(key), count)

    def points(self, key: str) -> list[tuple[float, float]]:
        """A list of [temperature, value], rising in temperature."""
        value = self.table.get(key)
        if not isinstance(value, list) or len(value) < 2:
            raise self.error(key, "must be a list of at least two [temperature, value]")
        found = [self.list_of(key, one, 2) for one in value]
        temps = [temp for temp, _ in found]
        if temps != sorted(set(temps)):
            raise self.error(key, "temperatures must rise")
        return [(temp, one) for temp, one in found]

    def range(self, key: str) -> Range:
        """[low, high] with low below high."""
        low, high = self.numbers(key, 2)
        if not low < high:
            raise self.error(key, f"{low:g} must lie below {high:g}")
        return low, high

    def source(self, key: str, sources: Sources) -> Source:
        """A source by its id."""
        name = self.text(key)
        if name not in sources:
            raise self.error(key, f"no source {name!r}")
        return sources[name]

    def tried(self, key: str, make: Callable[[], _T]) -> _T:
        """What `make` makes; a ValueError of it becomes a refusal."""
        try:
            return make()
        except ValueError as error:
            raise self.error(key, str(error)) from error

    def below(self, key: str, value: object) -> Place:
        """A table inside this entry."""
        if not isinstance(value, dict):
            raise self.error(key, "must be a table")
        return Place(self.file, f"{self.entry}: {key}", value)

    def _number(self, key: str, value: object) -> float:
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise self.error(key, f"must be a number, not {value!r}")
        if not math.isfinite(value):
            raise self.error(key, f"must be finite, not {value!r}")
        return float(value)

    def list_of(self, key: str, value: object, count: int) -> tuple[float, ...]:
        """This value as a list of so many numbers."""
        if not isinstance(value, list) or len(value) != count:
            raise self.error(key, f"must be a list of {count} numbers, not {value!r}")
        return tuple(self._number(key, one) for one in value)


def read_sources(file: str, data: Table) -> dict[str, Source]:
    """The sources by id."""
    Place(file, "top", data).refuse_strays({"source"})
    found = {}
    keys = [one.name for one in fields(Source) if one.name != "id"]
    for key, facts in _table(file, data, "source").items():
        place = Place(file, f"source {key}", _entry(file, f"source {key}", facts))
        place.refuse_strays(keys)
        place.text("status", (VERIFIED, UNVERIFIED))
        found[key] = Source(key, **{name: place.text(name) for name in keys})
    return found


def read_organisms(file: str, data: Table, sources: Sources) -> dict[str, Organism]:
    """The organisms by id, in the order of the file."""
    found: dict[str, Organism] = {}
    for place in _entries(file, data, "organism"):
        place.refuse_strays(_ORGANISM_KEYS)
        one = _organism(place, sources)
        if one.id in found:
            raise place.error("id", f"{one.id!r} stands twice")
        found[one.id] = one
    return found


def read_hazards(file: str, data: Table, sources: Sources) -> dict[str, Hazard]:
    """The tables of times that may add up, by id."""
    found: dict[str, Hazard] = {}
    for place in _entries(file, data, "hazard"):
        place.refuse_strays({"id", "name", "source", "bands"})
        one = Hazard(
            place.text("id"),
            place.text("name"),
            place.source("source", sources),
            _bands(place),
        )
        if one.id in found:
            raise place.error("id", f"{one.id!r} stands twice")
        found[one.id] = one
    return found


def _organism(place: Place, sources: Sources) -> Organism:
    law = _law(place)
    ph, ph_source = _cardinals(place, "ph", 3, sources)
    aw, aw_source = _cardinals(place, "aw", 2, sources)
    factors = place.tried("ph or aw", lambda: _factors(ph, aw))
    return Organism(
        id=place.text("id"),
        name=place.text("name"),
        kind=place.text("kind", KINDS),
        law=law,
        parameters=parameters_of(law),
        source=place.source("source", sources),
        says=place.text("says"),
        lag=place.text("lag", LAGS),
        valid_c=place.range("valid_c"),
        valid_ph=place.range("valid_ph") if "valid_ph" in place.table else None,
        valid_aw=place.range("valid_aw") if "valid_aw" in place.table else None,
        factors=factors,
        ph_source=ph_source,
        aw_source=aw_source,
        limits=_limits(place, sources),
    )


def _law(place: Place) -> RateLaw:
    model = place.text("model", MODELS)
    unit = place.text("unit", UNITS) if "unit" in place.table else "ln/h"
    ways = [key for key in _ALL_WAYS if key in place.table]
    if len(ways) != 1:
        raise place.error("model", f"give one of {', '.join(_WAYS[model])}")
    way = ways[0]
    if way not in _WAYS[model]:
        raise place.error(way, f"does not go with the model {model}")
    if way == "parameters":
        inner = place.below(way, place.table[way])
        inner.refuse_strays(PARAMETERS[model])
        values = {key: inner.number(key) for key in PARAMETERS[model]}
        return place.tried(way, lambda: law_of(model, values, unit))
    points = place.points(way)
    if way == "rates":
        return place.tried(way, lambda: through_rates(points, unit))
    if way == "generation_times_h":
        return place.tried(way, lambda: through_generation_times(points))
    end_f = place.number("end_f")
    return place.tried(way, lambda: table_of(points, end_f))


def _cardinals(
    place: Place, key: str, count: int, sources: Sources
) -> tuple[tuple[float, ...] | None, Source | None]:
    if key not in place.table:
        return None, None
    inner = place.below(key, place.table[key])
    inner.refuse_strays({"values", "source"})
    return inner.numbers("values", count), inner.source("source", sources)


def _factors(ph: tuple[float, ...] | None, aw: tuple[float, ...] | None) -> Factors:
    return Factors(
        (ph[0], ph[1], ph[2]) if ph else None, (aw[0], aw[1]) if aw else None
    )


def _limits(place: Place, sources: Sources) -> tuple[Limits, ...]:
    value = place.table.get("limits", [])
    if not isinstance(value, list):
        raise place.error("limits", "must be a list of tables")
    found = []
    for one in value:
        inner = place.below("limits", one)
        inner.refuse_strays({"source", "ph", "ph_min", "aw"})
        low, high = inner.range("ph") if "ph" in inner.table else (None, None)
        if "ph_min" in inner.table:
            low = inner.number("ph_min")
        aw = inner.number("aw") if "aw" in inner.table else None
        found.append(Limits(inner.source("source", sources), low, high, aw))
    return tuple(found)


def _bands(place: Place) -> Steps:
    """Bands of [from °F, to °F, time]; a gap between two belongs to the warmer."""
    value = place.table.get("bands")
    if not isinstance(value, list) or not value:
        raise place.error("bands", "must be a list of [from, to, time]")
    edges: list[float] = []
    rates: list[float] = []
    for one in value:
        if not isinstance(one, list) or len(one) != 3:
            raise place.error("bands", f"must be [from, to, time], not {one!r}")
        low, high = place.list_of("bands", one[:2], 2)
        share = 1 / _hours(place, one[2])
        start = celsius(low) if not edges else edges[-1]
        if low > high or celsius(high) < start:
            raise place.error("bands", f"{one!r} does not follow the one before it")
        edges = edges or [start]
        # A band of one temperature only has no width: the warmer one counts there.
        if celsius(high) > start:
            edges.append(celsius(high))
            rates.append(share)
    return place.tried("bands", lambda: Steps(tuple(edges), tuple(rates)))


def _hours(place: Place, value: object) -> float:
    found = _TIME.fullmatch(value) if isinstance(value, str) else None
    if found is None or float(found[1]) == 0:
        raise place.error("bands", f"a time is written 5 d or 6 h, not {value!r}")
    return float(found[1]) * (24 if found[2] == "d" else 1)


def _entries(file: str, data: Table, key: str) -> list[Place]:
    Place(file, "top", data).refuse_strays({key})
    value = data.get(key)
    if not isinstance(value, list) or not value:
        raise GuidanceError(f"{file}: write each {key} as [[{key}]]")
    places = []
    for number, facts in enumerate(value, start=1):
        entry = _entry(file, f"{key} {number}", facts)
        places.append(
            Place(file, f"{key} {number} ({entry.get('id', 'no id')})", entry)
        )
    return places


def _table(file: str, data: Table, key: str) -> Table:
    return _entry(file, key, data.get(key))


def _entry(file: str, name: str, value: object) -> Table:
    if not isinstance(value, dict):
        raise GuidanceError(f"{file}: {name}: must be a table")
    return value
